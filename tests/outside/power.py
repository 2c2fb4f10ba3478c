"""Power: ours against printed tables, written down here a second time, and against fluids and pint."""

import json
import math
import sys
from fractions import Fraction

import pint
from fluids.piping import t_from_gauge

cases = json.load(open(sys.argv[1]))
unit = pint.UnitRegistry()
wrong = []


def check(what, case, ours, want, tolerance):
    if ours is None or want is None:
        same = ours is None and want is None
    else:
        same = math.isclose(ours, want, rel_tol=tolerance, abs_tol=1e-9)
    if not same:
        wrong.append((what, case, want))


# Resistance from the wire's own diameter: annealed copper at 20 °C has 1.7241e-8 Ω·m (International Annealed
# Copper Standard, IEC 60028), and 0.393 % more for each kelvin. Table 8 rounds to three digits; its stranded
# wires are about 2 % longer than they look.
for case in cases["resistances"]:
    inches = t_from_gauge(case["gauge"], SI=False, schedule="AWG") * unit.inch
    area = math.pi * inches**2 / 4
    cold = 1.7241e-8 * unit.ohm * unit.meter / area
    hot = (cold * (1 + 0.00393 * 55)).to("ohm / kilofoot").magnitude
    ours = case["ohm_per_kft"]
    low, high = (0.995, 1.005) if case["solid"] else (1.015, 1.025)
    if not low * hot <= ours <= high * hot:
        wrong.append(("resistance", case, hot))

# NEC Table 310.15(B)(1) as IRC E3705.2 prints it, by its Fahrenheit bands: the warm end, and the columns for
# 60, 75 and 90 °C.
BANDS = [
    (50, 1.29, 1.20, 1.15), (59, 1.22, 1.15, 1.12), (68, 1.15, 1.11, 1.08), (77, 1.08, 1.05, 1.04),
    (86, 1.00, 1.00, 1.00), (95, 0.91, 0.94, 0.96), (104, 0.82, 0.88, 0.91), (113, 0.71, 0.82, 0.87),
    (122, 0.58, 0.75, 0.82), (131, 0.41, 0.67, 0.76), (140, None, 0.58, 0.71), (149, None, 0.47, 0.65),
    (158, None, 0.33, 0.58), (167, None, None, 0.50), (176, None, None, 0.41), (185, None, None, 0.29),
]


def factors(f):
    for warm, *columns in BANDS:
        if f <= warm:
            return columns
    return [None, None, None]


for case in cases["factors"]:
    for ours, want in zip(case["factors"], factors(case["f"])):
        check("factor", case, ours, want, 1e-12)
# The bands are those of whole degrees Celsius.
for warm, *_ in BANDS:
    celsius = unit.Quantity(warm, unit.degF).to("degC").magnitude
    assert abs(celsius - round(celsius)) < 1e-9 and round(celsius) % 5 == 0, warm

# NEC Table 310.16, copper: 60, 75 and 90 °C; and 310.15(C)(1): up to so many wires, the factor.
TABLE = {14: (15, 20, 25), 12: (20, 25, 30), 10: (30, 35, 40)}
BUNDLES = [(3, 1.0), (6, 0.8), (9, 0.7), (20, 0.5), (30, 0.45), (40, 0.4), (10**9, 0.35)]
for case in cases["ampacities"]:
    c60, c75, c90 = TABLE[case["gauge"]]
    heat60, heat75, heat90 = factors(case["f"])
    bundle = next(factor for most, factor in BUNDLES if case["wires"] <= most)
    check("NM-B", case, case["nm_b"], None if heat90 is None else min(c60, c90 * heat90 * bundle), 1e-9)
    check("marked 90 °C", case, case["marked_90"], None if heat90 is None else min(c60, c90 * heat90 * bundle), 1e-9)
    check("marked 75 °C", case, case["marked_75"], None if heat75 is None else min(c60, c75 * heat75 * bundle), 1e-9)
    check("unmarked", case, case["unmarked"], None if heat60 is None else min(c60, c60 * heat60 * bundle), 1e-9)

# Voltage drop with units.
for case in cases["drops"]:
    run = case["run_sixteenths"] / 16 * unit.inch
    wire = case["ohm_per_kft"] * unit.ohm / unit.kilofoot
    current = case["ampere"] * unit.ampere
    check("drop", case, case["drop_v"], (2 * current * wire * run).to("volt").magnitude, 1e-9)
    longest = (case["allowed_v"] * unit.volt / (2 * current * wire)).to("foot").magnitude
    # Lengths are held to 25 nm.
    check("longest run", case, case["longest_ft"], min(longest, 1000.0), 1e-6)

# Box fill in exact fractions.
VOLUME = {n: Fraction(v) for n, v in
          {18: "1.5", 16: "1.75", 14: "2", 12: "2.25", 10: "2.5", 8: "3", 6: "5"}.items()}
for case in cases["boxes"]:
    held = [(what, VOLUME[gauge], count) for what, gauge, count in case["held"] if count]
    total = sum(v * n for what, v, n in held if what == "wires")
    total += sum(2 * v * n for what, v, n in held if what == "yokes")
    grounds = [(v, n) for what, v, n in held if what == "grounds"]
    if grounds:
        many = sum(n for _, n in grounds)
        late = case["edition"] in ("NEC 2020", "NEC 2023")
        extra = Fraction(max(many - 4, 0), 4) if late else 0
        total += max(v for v, _ in grounds) * (1 + extra)
    if any(what == "clamps" for what, _, _ in held):
        total += max(v for what, v, _ in held if what != "pigtails")
    check("box", case, case["total_in3"], float(total), 1e-9)

if wrong:
    sys.exit(f"{len(wrong)} differ, such as {wrong[:5]}")
print("power:", ", ".join(f"{len(rows)} {name}" for name, rows in cases.items()))
