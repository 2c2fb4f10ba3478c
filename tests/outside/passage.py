"""Rectangles in rectangles, tipping and boxes through hatches: our answers against shapely."""
import itertools
import json
import math
import sys

import numpy as np
from shapely import affinity
from shapely.geometry import LineString, box

cases = json.load(open(sys.argv[1]))
wrong = []


def best_turn(p, q, a, b):
    """The turn (radians) at which p × q has most room in a × b, and that room as a ratio."""

    def room(turn):
        width = p * np.abs(np.cos(turn)) + q * np.abs(np.sin(turn))
        height = p * np.abs(np.sin(turn)) + q * np.abs(np.cos(turn))
        return np.minimum(a / width, b / height)

    low, high = 0.0, math.pi / 2
    for _ in range(9):
        turns = np.linspace(low, high, 721)
        at = turns[np.argmax(room(turns))]
        step = (high - low) / 720
        low, high = max(at - 2 * step, 0.0), min(at + 2 * step, math.pi / 2)
    return at, float(room(at))


def fits(p, q, a, b, slack):
    """By shapely: the rectangle, turned the best way and smaller by a slack, lies within the other."""
    turn, _ = best_turn(p, q, a, b)
    inner = box(-p / 2 + slack, -q / 2 + slack, p / 2 - slack, q / 2 - slack)
    return box(-a / 2, -b / 2, a / 2, b / 2).contains(affinity.rotate(inner, turn, origin=(0, 0), use_radians=True))


SLACK = 1e-5
ties = 0
for case in cases["rectangles"]:
    p, q, a, b = (case[name] for name in "pqab")
    _, room = best_turn(p, q, a, b)
    if abs(room - 1) < 1e-6:
        ties += 1
    elif case["fits"] != fits(p, q, a, b, SLACK if case["fits"] else 0.0):
        wrong.append(("rectangle", case, room))
    side = case["least_other_side"]
    if side is not None:
        if not fits(p, q, a, side + 1e-4, SLACK):
            wrong.append(("side too small", case))
        if fits(p, q, a, side - 1e-3, 0):
            wrong.append(("side too large", case))
    elif min(p, q) <= a:
        wrong.append(("no side", case))
    longest = case["longest_through"]
    if longest is not None:
        if not fits(longest, q, a, b, SLACK) or fits(longest + 1e-3, q, a, b, 0):
            wrong.append(("longest", case))
    elif q <= min(a, b):
        wrong.append(("no longest", case))

for case in cases["tipped"]:
    length, thick, slot = case["length"], case["thickness"], case["slot"]
    if case["headroom"] is None:
        if thick <= slot:
            wrong.append(("tipped refused", case))
        continue
    # The piece at that tilt, drawn up along its own length through the slot, step by step.
    tilt = math.asin(min(1.0, thick / slot))
    piece = affinity.rotate(box(0, 0, length, thick), tilt, origin=(0, 0), use_radians=True)
    piece = affinity.translate(piece, 0, -piece.bounds[1])
    if abs(piece.bounds[3] - case["headroom"]) > 1e-6:
        wrong.append(("headroom", case, piece.bounds[3]))
    far = 10 * (length + slot)
    lefts, rights = [], []
    for share in np.linspace(0.001, 0.999, 25):
        # Along its own length: x and y go together, so that the slot stays where it is.
        drop = -share * length
        moved = affinity.translate(piece, drop * math.cos(tilt), drop * math.sin(tilt))
        cut = moved.intersection(LineString([(-far, 0), (far, 0)]))
        if cut.is_empty:
            continue
        lefts.append(cut.bounds[0])
        rights.append(cut.bounds[2])
    if lefts and max(rights) - min(lefts) > slot + 1e-6:
        wrong.append(("slot", case, max(rights) - min(lefts)))

for case in cases["boxes"]:
    sides, hatch = case["sides"], case["hatch"]
    ways = []
    for up in range(3):
        p, q = sides[(up + 1) % 3], sides[(up + 2) % 3]
        _, room = best_turn(p, q, *hatch)
        if room > 1 - 1e-9:
            ways.append(sides[up])
    for lying, along in itertools.product(range(3), range(2)):
        a, b = sides[(lying + 1) % 3], sides[(lying + 2) % 3]
        length, thick, slot = max(a, b), min(a, b), hatch[1 - along]
        if sides[lying] <= hatch[along] and thick <= slot:
            tilt = math.asin(thick / slot)
            ways.append(affinity.rotate(box(0, 0, length, thick), tilt, use_radians=True).bounds)
            low, high = ways[-1][1], ways[-1][3]
            ways[-1] = high - low
    ours = case["passage"]
    if (ours is None) != (not ways) or (ours and abs(ours[1] - min(ways)) > 1e-6):
        wrong.append(("box", case, ways))

print(
    f"passage: {len(cases['rectangles'])} rectangles ({ties} ties), {len(cases['tipped'])} tipped, "
    f"{len(cases['boxes'])} boxes against shapely; {len(wrong)} differ"
)
for it in wrong[:5]:
    print(it)
sys.exit(bool(wrong))
