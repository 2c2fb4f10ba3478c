"""Checks openings, atmosphere, networks and units against fluids, scipy and pint.

Both sides compute in binary doubles by different ways, so that only rounding may differ: 1e-9 of the value, more where
brentq's own stop (1e-13 to 1e-15 of airflow or area) is magnified by a flat fan curve or a pressure's square.
"""

import json
import sys

import pint
from fluids.atmosphere import ATMOSPHERE_1976
from fluids.core import dP_from_K
from fluids.filters import square_edge_grill
from fluids.flow_meter import flow_meter_discharge
from scipy.optimize import brentq

cases = json.load(open(sys.argv[1]))
wrong = []
largest = {}


def same(what, case, ours, theirs, tolerance):
    off = abs(ours - theirs) / max(abs(theirs), 1e-12)
    largest[what] = max(largest.get(what, 0.0), off)
    if not off <= tolerance:
        wrong.append(f"{what}: ours {ours!r}, theirs {theirs!r}: {case}")


CD = 0.60


def opening(flow, area, density, cd=CD):
    return dP_from_K(1.0 / cd**2, density, flow / area)


for case in cases["openings"]:
    pa = opening(case["m3_per_s"], case["m2"], case["kg_per_m3"], case["cd"])
    same("orifice pressure", case, case["pa"], pa, 1e-9)
    same("orifice pressure, back", case, case["pa_back"], pa, 1e-9)
    same("orifice area, back", case, case["m2_back"], case["m2"], 1e-9)
    # An orifice plate in a pipe a thousand times wider than its hole: no speed before it, nothing else changes.
    hole = (4.0 * case["m2"] / 3.141592653589793) ** 0.5
    kilograms = flow_meter_discharge(
        D=1000.0 * hole, Do=hole, P1=101325.0 + case["pa"], P2=101325.0, rho=case["kg_per_m3"], C=case["cd"], expansibility=1.0
    )
    same("orifice meter", case, case["m3_per_s"], kilograms / case["kg_per_m3"], 1e-9)

RATED = cases["networks"][0]["rated_kg_per_m3"]
for case in cases["bars"]:
    pa = dP_from_K(square_edge_grill(case["open_share"]), RATED, case["m3_per_s"] / case["m2"])
    off = abs(case["pa"] - pa)
    if off > 1e-9 * max(pa, 1e-6):
        wrong.append(f"bars: ours {case['pa']!r}, theirs {pa!r}: {case}")

for case in cases["heights"]:
    there = ATMOSPHERE_1976(case["m"])
    same("standard pressure", case, case["pa"], there.P, 1e-9)
    same("standard density", case, case["standard"], there.rho, 1e-9)
    # The same pressure at another temperature: density in inverse proportion.
    same("density at a temperature", case, case["at_temperature"], there.rho * there.T / case["k"], 1e-9)


def lift(curve, flow, density):
    """Pressure of a fan at a flow: straight lines, the last drawn on; in proportion to the density."""
    for (pa_a, flow_a), (pa_b, flow_b) in zip(curve, curve[1:]):
        if flow >= flow_b:
            break
    return (pa_a + (pa_b - pa_a) * (flow - flow_a) / (flow_b - flow_a)) * density / RATED


def settle(case, windows):
    density = case["kg_per_m3"]
    grill = square_edge_grill(case["open_share"])

    def parts(flow):
        return (
            opening(flow, windows, density),
            dP_from_K(grill, density, flow / case["opening_m2"]),
            opening(flow, case["vents_m2"], density),
        )

    flow = brentq(
        lambda flow: lift(case["curve"], flow, density) - sum(parts(flow)),
        0.0,
        case["curve"][0][1],
        xtol=1e-15,
        rtol=8.9e-16,
    )
    return flow, parts(flow)


limited = 0
for case in cases["networks"]:
    flow, (house, ceiling, attic) = settle(case, case["windows_m2"])
    same("network airflow", case, case["m3_per_s"], flow, 1e-9)
    same("network house pressure", case, case["house_pa"], -house, 1e-8)
    same("network attic pressure", case, case["attic_pa"], attic, 1e-8)
    same("network fan pressure", case, case["fan_pa"], lift(case["curve"], flow, case["kg_per_m3"]), 1e-7)
    if ceiling > 1e-6:
        same("network joists", case, case["ceiling_pa"], ceiling, 1e-8)
    # Windows for a limit: their area as the unknown, where the fan can pull so hard at all.
    limit = -case["limit_pa"]
    if lift(case["curve"], 0.0, case["kg_per_m3"]) > 1.001 * limit:
        area = brentq(lambda area: settle(case, area)[1][0] - limit, 1e-5, 1e4, xtol=1e-14, rtol=1e-13)
        same("windows for a limit", case, case["windows_for_limit_m2"], area, 1e-7)
        limited += 1
    elif lift(case["curve"], 0.0, case["kg_per_m3"]) < 0.999 * limit:
        same("no windows for a limit", case, case["windows_for_limit_m2"], 0.0, 0.0)

units = pint.UnitRegistry()
for unit, to, value in cases["units"]:
    # pint's Btu is the ISO one, ours the international table's: they part in the seventh digit.
    same(f"1 {unit} in {to}", unit, value, units.Quantity(1.0, unit).to(to).magnitude, 2e-7 if "Btu" in unit else 1e-12)

print(
    f"{len(cases['openings'])} openings, {len(cases['bars'])} grills, {len(cases['heights'])} heights, "
    f"{len(cases['networks'])} networks, {limited} limits, {len(cases['units'])} units; largest differences:"
)
for what, off in largest.items():
    print(f"  {what}: {off:.1e}")
assert len(cases["networks"]) >= 500
if wrong:
    sys.exit(f"{len(wrong)} differ\n" + "\n".join(wrong[:5]))
