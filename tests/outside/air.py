"""Checks openings, atmosphere, networks and units against fluids, scipy and pint.

Both sides compute in binary doubles by different ways, so that only rounding may differ: 1e-9 of the value, more where
brentq's own stop (1e-13 to 1e-15 of airflow or area) is magnified by a flat fan curve or a pressure's square.
"""

import json
import math
import sys

import networkx as nx
import numpy as np
import pint
from fluids.atmosphere import ATMOSPHERE_1976
from fluids.core import dP_from_K
from fluids.filters import square_edge_grill
from fluids.flow_meter import flow_meter_discharge
from scipy.optimize import brentq, root

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
            opening(flow + case["exhausts_m3_per_s"], windows, density),
            dP_from_K(grill, density, flow / case["opening_m2"]),
            opening(flow, case["vents_m2"], density),
        )

    # Other exhausts may pull harder at the windows than the fan can lift: then it moves nothing.
    if lift(case["curve"], 0.0, density) <= sum(parts(0.0)):
        return 0.0, parts(0.0)
    flow = brentq(
        lambda flow: lift(case["curve"], flow, density) - sum(parts(flow)),
        0.0,
        case["curve"][0][1],
        xtol=1e-15,
        rtol=8.9e-16,
    )
    return flow, parts(flow)


limited = 0
settled = 0
for case in cases["networks"]:
    flow, (house, ceiling, attic) = settle(case, case["windows_m2"])
    same("network airflow", case, case["m3_per_s"], flow, 1e-9)
    same("network house pressure", case, case["house_pa"], -house, 1e-8)
    same("network attic pressure", case, case["attic_pa"], attic, 1e-8)
    if flow > 0.0:
        same("network fan pressure", case, case["fan_pa"], lift(case["curve"], flow, case["kg_per_m3"]), 1e-7)
    if ceiling > 1e-6:
        same("network joists", case, case["ceiling_pa"], ceiling, 1e-8)
    # Windows for a limit: their area as the unknown, where the fan can pull so hard at all.
    limit = -case["limit_pa"]
    if lift(case["curve"], 0.0, case["kg_per_m3"]) > 1.001 * limit:
        area = brentq(lambda area: settle(case, area)[1][0] - limit, 1e-5, 1e4, xtol=1e-14, rtol=1e-13)
        same("windows for a limit", case, case["windows_for_limit_m2"], area, 1e-7)
        limited += 1
    elif lift(case["curve"], 0.0, case["kg_per_m3"]) < 0.999 * limit and case["exhausts_m3_per_s"] == 0.0:
        same("no windows for a limit", case, case["windows_for_limit_m2"], 0.0, 0.0)

# Zones: each network as a graph of networkx, outdoors its last node. From our airflows alone, Kirchhoff's two laws: nothing
# is lost at any node, and round every cycle the pressures that fluids gives for these airflows add up to nothing. Then the
# same network by scipy's own root finder, from a start 20 % off.
for case in cases["zones"]:
    graph = nx.MultiDiGraph()
    graph.add_nodes_from(range(case["zones"] + 1))
    outdoors = case["zones"]
    density = case["kg_per_m3"]
    ends = []
    for number, joint in enumerate(case["joints"]):
        a = outdoors if joint["a"] is None else joint["a"]
        b = outdoors if joint["b"] is None else joint["b"]
        ends.append((a, b))
        graph.add_edge(a, b, key=number)
    flows = [joint["m3_per_s"] for joint in case["joints"]]
    matrix = nx.incidence_matrix(graph, oriented=True, edgelist=[(a, b, n) for n, (a, b) in enumerate(ends)])
    into = matrix @ np.array(flows)
    fan = case["fan"]
    into[fan["from"]] -= fan["m3_per_s"]
    into[fan["to"]] += fan["m3_per_s"]
    for zone, flow in case["exhausts"]:
        into[zone] -= flow
    through = sum(abs(flow) for flow in flows)
    for zone in range(case["zones"]):
        if abs(into[zone]) > 1e-7 * through:
            wrong.append(f"zone {zone} loses {into[zone]!r}: {case}")

    def drop(joint, flow):
        return math.copysign(dP_from_K(1.0 / CD**2, density, abs(flow) / joint["m2"]), flow)

    plain = nx.Graph()
    for number, (a, b) in enumerate(ends):
        if not plain.has_edge(a, b):
            plain.add_edge(a, b, number=number)
    for cycle in nx.cycle_basis(plain):
        total, largest_drop = 0.0, 0.0
        for a, b in zip(cycle, cycle[1:] + cycle[:1]):
            number = plain.edges[a, b]["number"]
            joint = case["joints"][number]
            lost = drop(joint, flows[number])
            # Wind at one of its ends drives it.
            lost += joint["pa_b"] - joint["pa_a"]
            total += lost if ends[number] == (a, b) else -lost
            largest_drop = max(largest_drop, abs(lost))
        if abs(total) > 1e-5 * max(largest_drop, 1.0):
            wrong.append(f"a cycle does not close by {total!r} Pa: {case}")

    ours = np.array(case["pa"])
    # The fan's first line drawn on before it, its last one down to nothing.
    (x_a, y_a), (x_b, y_b) = fan["curve"][:2]
    (x_y, y_y), (x_z, y_z) = fan["curve"][-2:]
    curve = [[x_a - 60.0, y_a + 60.0 * (y_a - y_b) / (x_b - x_a)], *fan["curve"], [x_z + y_z * (x_z - x_y) / (y_y - y_z), 0.0]]

    def surplus(pa):
        out = np.zeros(case["zones"])
        for joint, (a, b) in zip(case["joints"], ends):
            p_a = joint["pa_a"] if a == outdoors else pa[a]
            p_b = joint["pa_b"] if b == outdoors else pa[b]
            flow = CD * joint["m2"] * math.copysign(math.sqrt(2.0 * abs(p_a - p_b) / density), p_a - p_b)
            if a != outdoors:
                out[a] += flow
            if b != outdoors:
                out[b] -= flow
        lifted = (pa[fan["to"]] - pa[fan["from"]]) * RATED / density
        flow = float(np.interp(lifted, [it[0] for it in curve], [it[1] for it in curve]))
        out[fan["from"]] += flow
        out[fan["to"]] -= flow
        for zone, flow in case["exhausts"]:
            out[zone] += flow
        return out

    found = root(surplus, ours * 1.2 + 0.05, method="hybr", tol=1e-12)
    if found.success:
        settled += 1
        for mine, theirs in zip(ours, found.x):
            if abs(mine - theirs) > 1e-5 * max(1.0, abs(theirs)):
                wrong.append(f"zones: ours {mine!r}, scipy {theirs!r}: {case}")
assert settled >= 0.7 * len(cases["zones"]), settled

units = pint.UnitRegistry()
for unit, to, value in cases["units"]:
    # pint's Btu is the ISO one, ours the international table's: they part in the seventh digit.
    same(f"1 {unit} in {to}", unit, value, units.Quantity(1.0, unit).to(to).magnitude, 2e-7 if "Btu" in unit else 1e-12)

print(
    f"{len(cases['openings'])} openings, {len(cases['bars'])} grills, {len(cases['heights'])} heights, "
    f"{len(cases['networks'])} networks, {limited} limits, {len(cases['zones'])} of zones ({settled} by scipy too), {len(cases['units'])} units; largest differences:"
)
for what, off in largest.items():
    print(f"  {what}: {off:.1e}")
assert len(cases["networks"]) >= 500
if wrong:
    sys.exit(f"{len(wrong)} differ\n" + "\n".join(wrong[:5]))
