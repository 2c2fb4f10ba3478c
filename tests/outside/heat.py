"""Heat index: ours against MetPy's, both in degrees Fahrenheit."""

import json
import sys

import numpy as np
from metpy.calc import heat_index
from metpy.units import units

HOTTEST_AIR = 112.0
HIGHEST_INDEX = 137.0
TOLERANCE = 1e-6

cases = json.load(open(sys.argv[1]))
air = np.array([c["air_f"] for c in cases])
humidity = np.array([c["humidity_percent"] for c in cases])
theirs = (
    heat_index(air * units.degF, humidity * units.percent, mask_undefined=False)
    .to("degF")
    .magnitude
)
# MetPy goes over to the regression where the simple formula gives 79 °F, the Weather Service at 80 °F:
# cells between the two are skipped.
# It also applies the adjustment for dry air to the simple formula, the Weather Service only to the regression:
# there the simple formula itself, computed here, is what counts.
simple = 0.5 * (air + 61.0 + 1.2 * (air - 68.0) + 0.094 * humidity)
theirs = np.where((simple < 79.0) & (air >= 80.0), simple, np.asarray(theirs))
between = (simple >= 79.0) & (simple < 80.0)

wrong, numbers, beyond = [], 0, 0
for case, want, skip in zip(cases, theirs, between):
    if skip:
        continue
    ours = case["index_f"]
    out = case["air_f"] > HOTTEST_AIR or want > HIGHEST_INDEX + TOLERANCE
    if ours is None:
        beyond += 1
        if not out and want < HIGHEST_INDEX - TOLERANCE:
            wrong.append((case, float(want)))
    else:
        numbers += 1
        if out or abs(ours - want) > TOLERANCE:
            wrong.append((case, float(want)))
if wrong:
    sys.exit(f"{len(wrong)} of {len(cases)} differ, such as {wrong[:5]}")
print(
    f"heat index: {numbers} numbers as MetPy's, {beyond} beyond the equation's data, "
    f"{int(between.sum())} skipped where the two change over differently"
)
assert numbers > 10_000 and beyond > 1_000
