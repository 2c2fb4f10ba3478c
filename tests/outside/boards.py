"""The least length of boards for each cut list, by OR-tools' CP-SAT (Apache-2.0), against ours."""

import json
import sys

from ortools.sat.python import cp_model

SOLD = [96 * 16, 120 * 16, 144 * 16, 168 * 16, 192 * 16]
KERF = 2


def least(pieces, ours):
    model = cp_model.CpModel()
    # Nothing better than ours has more boards than ours has of the shortest kind.
    most = min(len(pieces), ours // SOLD[0])
    # Board b has a stock length (or none); piece p comes from board b.
    uses = [[model.new_bool_var(f"s{b}_{s}") for s in range(len(SOLD))] for b in range(most)]
    puts = [[model.new_bool_var(f"p{p}_{b}") for b in range(most)] for p in range(len(pieces))]
    size = []
    for b in range(most):
        model.add_at_most_one(uses[b])
        length = sum(SOLD[s] * uses[b][s] for s in range(len(SOLD)))
        size.append(sum((4 + s) * uses[b][s] for s in range(len(SOLD))))
        # n pieces need n - 1 cuts: with the kerf on every piece, the board is one kerf longer.
        model.add(
            sum((pieces[p] + KERF) * puts[p][b] for p in range(len(pieces)))
            <= length + KERF * sum(uses[b])
        )
    for p in range(len(pieces)):
        model.add_exactly_one(puts[p])
    model.add(sum(size) <= ours // (24 * 16))
    # Boards in falling order, to spare the solver equal answers.
    for b in range(most - 1):
        model.add(size[b] >= size[b + 1])
    model.minimize(sum(size))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.random_seed = 1
    status = solver.solve(model)
    assert status == cp_model.OPTIMAL, solver.status_name(status)
    return round(solver.objective_value) * 24 * 16


cases = json.load(open(sys.argv[1]))
worse = []
for number, case in enumerate(cases):
    best = least(case["pieces_sixteenths"], case["bought_sixteenths"])
    if best != case["bought_sixteenths"]:
        worse.append((number, best, case))
if worse:
    sys.exit(f"{len(worse)} of {len(cases)} lists differ: {worse[:3]}")
print(f"boards: {len(cases)} cut lists, the same least length as CP-SAT")
