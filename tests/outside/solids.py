"""Blocks, posts, round runs and roofs: our answers against trimesh (distances from meshes) and shapely (in plan)."""
import json
import multiprocessing
import sys

import numpy as np
import trimesh
from shapely.geometry import Point, box

cases = json.load(open(sys.argv[1]))
wrong = []


def mesh(corners):
    low, high = np.array(corners[:3]), np.array(corners[3:])
    return trimesh.creation.box(extents=high - low, transform=trimesh.transformations.translation_matrix((low + high) / 2))


def plan(corners):
    return box(corners[0], corners[1], corners[3], corners[4])


def apart(low, high, other_low, other_high):
    return max(low - other_high, other_low - high)


def signed(of, level, upright):
    """Distance where apart; else how far they are one in the other, at the least of the two directions."""
    if level > 0 or upright > 0:
        return float(np.hypot(max(level, 0), max(upright, 0)))
    return max(level, upright)


def from_mesh(block_mesh, points):
    """Distance of points from a block; nothing inside it."""
    _, distances, _ = trimesh.proximity.closest_point_naive(block_mesh, points)
    low, high = block_mesh.bounds
    inside = np.all((points >= low) & (points <= high), axis=1)
    return np.where(inside, 0.0, distances)


def distance(thing, block, block_mesh, shift=(0.0, 0.0, 0.0)):
    """Distance between a thing, shifted, and a block; below nothing where one reaches into the other."""
    shift = np.array(shift)
    values = thing["is"]
    if thing["kind"] == "block":
        own = np.array(values) + np.concatenate([shift, shift])
        a, b = plan(own), plan(block)
        level = a.distance(b)
        if level == 0 and not (a.intersects(b) and a.intersection(b).area > 0):
            level = 0.0
        elif level == 0:
            level = max(apart(own[i], own[i + 3], block[i], block[i + 3]) for i in (0, 1))
        return signed(thing, level, apart(own[2], own[5], block[2], block[5]))
    if thing["kind"] == "post":
        ahead, left, diameter, bottom, top = values
        level = plan(block).distance(Point(ahead + shift[0], left + shift[1])) - diameter / 2
        return signed(thing, level, apart(bottom + shift[2], top + shift[2], block[2], block[5]))
    start, end = np.array(values[:3]) + shift, np.array(values[3:6]) + shift
    low, high = 0.0, 1.0
    # The distance of the middle line's points from a convex body is convex along the line.
    for _ in range(7 if low < high else 1):
        shares = np.linspace(low, high, 17)
        distances = from_mesh(block_mesh, start + shares[:, None] * (end - start))
        at = int(np.argmin(distances))
        low, high = shares[max(at - 1, 0)], shares[min(at + 1, 16)]
    return float(distances.min()) - values[6] / 2


NEAR = 1e-5
WAYS = [(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1)]


def look(thing):
    """How many of its blocks one thing touches, and what is wrong about it."""
    touching, wrong = 0, []
    meshes = [mesh(block) for block in thing["blocks"]]
    for block, block_mesh, hits, clearance in zip(thing["blocks"], meshes, thing["hits"], thing["clearances"]):
        theirs = distance(thing, block, block_mesh)
        if abs(theirs) < NEAR:
            touching += 1
        elif hits != (theirs < 0):
            wrong.append(("hits", thing, theirs))
        if abs(max(theirs, 0.0) - clearance) > NEAR:
            wrong.append(("clearance", thing, theirs, clearance))
    if thing["shifts"]:
        for way, by in zip(WAYS, thing["shifts"]):
            def least(by):
                shift = np.array(way) * by
                return min(distance(thing, b, m, shift) for b, m in zip(thing["blocks"], meshes))
            if least(by) < -NEAR:
                wrong.append(("shift too short", thing, way, by, least(by)))
            if by > 0.01 and least(by - 0.01) >= 0:
                wrong.append(("shift too long", thing, way, by, least(by - 0.01)))
    return touching, wrong


counts = {}
for thing in cases["things"]:
    counts[thing["kind"]] = counts.get(thing["kind"], 0) + 1
touching = 0
with multiprocessing.get_context("fork").Pool() as pool:
    for touches, found in pool.imap_unordered(look, cases["things"], chunksize=50):
        touching += touches
        wrong += found

for case in cases["roofs"]:
    rise = case["pitch"] / 12
    uphill = np.array([*case["uphill"], 0.0])
    top = np.array([0, 0, case["height"]]) + uphill * case["ridge"] + np.array([0, 0, rise * case["ridge"]])
    planes = []
    for side in (1, -1):
        normal = np.array([0, 0, 1.0]) - side * rise * uphill
        planes.append(normal / np.linalg.norm(normal))
    vertices = mesh(case["block"]).vertices
    square = min(float(((top - vertices) @ normal).min()) for normal in planes)
    upright = min(float((((top - vertices) @ normal) / normal[2]).min()) for normal in planes) + case["block"][5]
    if abs(square - case["square"]) > NEAR or abs(upright - case["lowest"]) > NEAR:
        wrong.append(("roof", case, square, upright))
    peak = top[2]
    if (case["high_enough"] is None) != (peak < case["block"][5] - 1e-9):
        wrong.append(("high enough", case, peak))
    if case["high_enough"]:
        line = int(abs(case["uphill"][1]))
        for end in case["high_enough"]:
            place = np.zeros(3)
            place[line] = end
            height = min(float(((top - place) @ normal) / normal[2]) for normal in planes)
            if abs(height - case["block"][5]) > NEAR and abs(peak - case["block"][5]) > NEAR:
                wrong.append(("end of the high part", case, height))

print(
    f"solids: {counts} with {sum(len(t['blocks']) for t in cases['things'])} blocks ({touching} touching), "
    f"{len(cases['roofs'])} roofs against trimesh and shapely; {len(wrong)} differ"
)
for it in wrong[:5]:
    print(it)
sys.exit(bool(wrong))
