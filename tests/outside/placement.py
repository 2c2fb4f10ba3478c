"""The opening's place: our exact answer against a search over every 1/16 in of the hall.

Reads the survey file's own texts, knows nothing of our code. Grid places are compared as whole sixteenths where an
edge must be flush; distances are computed with numpy.
"""
import json
import sys
from fractions import Fraction

import numpy as np

halls = json.load(open(sys.argv[1]))
wrong = []
NEAR = 1e-6
# How far wood stays from a flue (IRC M1804.2, R1005, R1003.18, IFGC 503.10.5, NFPA 211; type L and plastic from memory),
# a recessed light (NEC 410.116(A)(2)) and heating equipment (from memory), in inches.
FLUES = {
    "type B": 1, "type L": 9, "single wall": 6, "stovepipe": 18, "factory-built": 2, "masonry": 2, "plastic": 1,
    "unknown": 18,
}
KINDS = {"recessed light": 0.5, "appliance": 6}
ALARM = 36  # a smoke alarm from the opening, edge to edge (NFPA 72 29.11.3.4, by analogy)
NOBODY = 1000  # one thing that nobody can move outweighs all that somebody can


def inches(text):
    """The text of a length, exactly."""
    number, unit = text.rsplit(" ", 1)
    sign = -1 if number.startswith("-") else 1
    total = sum(Fraction(part) for part in number.lstrip("-").split())
    return sign * total / (1 if unit == "in" else Fraction(254, 10))


def f(record, name):
    return float(inches(record[name]))


class Hall:
    def __init__(self, spot):
        hall, attic = spot["hall"], spot["attic"]
        start, left = inches(hall["mark_from_start"]), inches(hall["mark_from_left"])
        self.walls = ((-start, inches(hall["length"]) - start), (left - inches(hall["width"]), left))
        # Axis 0 is ahead, 1 is left; the joists run along one of them.
        self.along = 0 if attic["joist_run"] == "along the hall" else 1
        self.across = 1 - self.along
        if attic["nominal_size"] == "other":
            self.thickness = inches(attic["joist_thickness"])
        else:
            self.thickness = Fraction(3, 2)
        self.bearings = None
        if attic["framing"] == "sawn joists":
            behind = -f(attic, "mark_from_bearing")
            self.bearings = (behind, behind + f(attic, "bearing_span"))
        if attic["joists_even"]:
            spacing, nearest = inches(attic["joist_spacing"]), inches(attic["nearest_joist"])
            self.joists = [nearest + spacing * n for n in range(-80, 81)]
        else:
            self.joists = sorted({inches(joist["at"]) for joist in attic["joists"]["items"]})
        self.height = f(attic, "roof_height")
        self.fall = attic["roof_fall"]
        if self.fall != "level":
            slope = attic["roof_slope"]
            self.rise = float(str(slope).split(":")[0]) / 12
            self.ridge = f(attic, "ridge_distance")
        self.framing = attic["framing"]
        self.things = [self.thing(it) for it in attic["obstructions"]["items"]]
        self.fixtures = [
            (
                it["id"],
                NOBODY if it["kind"] in ("hatch", "other") else 1,
                np.array([f(it, "ahead"), f(it, "left")]),
                np.array([f(it, "size_along"), f(it, "size_across")]) / 2,
                it["kind"] == "smoke alarm",
            )
            for it in spot["hall"]["fixtures"]["items"]
        ]
        walls = np.array([[float(end) for end in wall] for wall in self.walls])
        self.fixtures = [
            it
            for it in self.fixtures
            if np.all(it[2] + it[3] > walls[:, 0]) and np.all(it[2] - it[3] < walls[:, 1])
        ]
        self.openings(spot["hall"]["fixtures"]["items"])

    def openings(self, items):
        """The joists that end at a hatch, and the two that each hatch hangs on."""
        half = self.thickness / 2
        self.whole = {joist: True for joist in self.joists}
        self.holes, found = [], []
        for it in items:
            if it["kind"] != "hatch":
                continue
            middle = [inches(it["ahead"]), inches(it["left"])]
            own = [inches(it["size_along"]) / 2, inches(it["size_across"]) / 2]
            low, high = ([m + sign * o for m, o in zip(middle, own)] for sign in (-1, 1))
            size = np.array([float(o) for o in own])
            size[self.along] += float(self.thickness)
            self.holes.append((it["id"], NOBODY, "box", (np.array([float(m) for m in middle]), size, -1e4, 0.0), 0))
            along = float(low[self.along]), float(high[self.along])
            if self.bearings and not (along[0] < self.bearings[1] and self.bearings[0] < along[1]):
                continue
            cuts = [j for j in self.joists if j + half > low[self.across] and j - half < high[self.across]]
            for joist in cuts:
                self.whole[joist] = False
            if cuts:
                found.append(cuts)
        self.gaps = []
        for cuts in found:
            before = [j for j in self.joists if j < cuts[0] and self.whole[j]]
            after = [j for j in self.joists if j > cuts[-1] and self.whole[j]]
            self.gaps.append((cuts, (before[-1], after[0]) if before and after else None))

    def sound(self, meets, trimmers, cut):
        """Are the joists there whole, or cut by a hatch that hangs on the same two?"""
        if not (self.whole[trimmers[0]] and self.whole[trimmers[1]]):
            return False
        if not cut:
            return all(self.whole[joist] for joist in meets)
        for joist in meets:
            for cuts, held in self.gaps:
                if joist in cuts:
                    if held != trimmers:
                        return False
                elif held and joist in held:
                    return False
        return True

    def thing(self, it):
        web = it["kind"] == "truss web" or (it["kind"] == "brace" and self.framing == "trusses")
        weight = NOBODY if it["mover"] == "nobody" or web else 1
        clear = FLUES[it["flue"]] if it["kind"] == "flue" else KINDS.get(it["kind"], 0)
        bottom, top = f(it, "bottom"), f(it, "top")
        if it["shape"] == "run":
            radius = f(it, "diameter") / 2
            a = np.array([f(it, "ahead"), f(it, "left"), bottom + radius])
            b = np.array([f(it, "to_ahead"), f(it, "to_left"), top - radius])
            return it["id"], weight, "run", (a, b, radius), clear
        middle = np.array([f(it, "ahead"), f(it, "left")])
        if it["shape"] == "box":
            return it["id"], weight, "box", (middle, np.array([f(it, "size_along"), f(it, "size_across")]) / 2, bottom, top), clear
        return it["id"], weight, "upright", (middle, f(it, "diameter") / 2, bottom, top), clear

    def roof_over(self, middles, half):
        """The least height of the roof over rectangles about these middles, from their corners."""
        if self.fall == "level":
            return np.full(len(middles), self.height)
        line, uphill = {"ahead": (0, -1), "back": (0, 1), "left": (1, -1), "right": (1, 1)}[self.fall]
        lowest = None
        for side in (-1, 1):
            run = uphill * (middles[:, line] + side * half[line])
            height = self.height + self.rise * np.where(run <= self.ridge, run, 2 * self.ridge - run)
            lowest = height if lowest is None else np.minimum(lowest, height)
        return lowest


def nearer(thing, middles, half, low, high, clear):
    """By how much each block about these middles is nearer to the thing than it may be; as `reach_into`."""
    kind, shape = thing[2], thing[3]
    if clear == 0:
        return reach_into(thing, middles, half, low, high)
    if kind == "run":
        a, b, radius = shape
        return reach_into((*thing[:3], (a, b, radius + clear)), middles, half, low, high)
    middle, own, bottom, top = shape
    over = max(bottom - high, low - top, 0)
    if kind == "box":
        level = np.linalg.norm(np.maximum(np.abs(middles - middle) - half - own, 0), axis=1)
    else:
        level = np.maximum(np.linalg.norm(np.maximum(np.abs(middles - middle) - half, 0), axis=1) - own, 0)
    return clear - np.hypot(level, over)


def reach_into(thing, middles, half, low, high):
    """How far each block about these middles (level) and between these heights reaches into the thing; at least one
    number that is above nothing where they have space in common and nothing or below where they have none."""
    kind, shape = thing[2], thing[3]
    if kind == "run":
        a, b, radius = shape
        near = np.all(
            (middles + half > np.minimum(a, b)[:2] - radius) & (middles - half < np.maximum(a, b)[:2] + radius), axis=1
        )
        near &= (high > min(a[2], b[2]) - radius) and (low < max(a[2], b[2]) + radius)
        if not near.all():
            depth = np.full(len(middles), -1.0)
            if near.any():
                depth[near] = reach_into(thing, middles[near], half, low, high)
            return depth
        size = np.array([half[0], half[1], (high - low) / 2])
        centres = np.column_stack([middles, np.full(len(middles), (low + high) / 2)])

        def distance(share):
            points = a + share[:, None] * (b - a)
            return np.linalg.norm(np.maximum(np.abs(points - centres) - size, 0), axis=1)

        # The distance of a line's points from a block is convex along the line: golden section.
        golden = (np.sqrt(5) - 1) / 2
        lo, hi = np.zeros(len(middles)), np.ones(len(middles))
        x1, x2 = hi - golden * (hi - lo), lo + golden * (hi - lo)
        d1, d2 = distance(x1), distance(x2)
        for _ in range(46):
            left = d1 <= d2
            hi, lo = np.where(left, x2, hi), np.where(left, lo, x1)
            x1, x2 = hi - golden * (hi - lo), lo + golden * (hi - lo)
            d1, d2 = distance(x1), distance(x2)
        ends = np.minimum(distance(np.zeros(len(middles))), distance(np.ones(len(middles))))
        return radius - np.minimum(np.minimum(d1, d2), ends)
    middle, own, bottom, top = shape
    upright = min(top - low, high - bottom)
    if upright <= 0:
        return np.full(len(middles), -1.0)
    away = np.abs(middles - middle)
    if kind == "box":
        level = np.min(half + own - away, axis=1)
    else:
        level = own - np.linalg.norm(np.maximum(away - half, 0), axis=1)
    return np.minimum(level, upright)


FACING = 5.5  # width of the boards that face an opening
BOARD = 1.5


def blocks(hall, fan, row):
    """From the opening's middle to theirs, half sizes (both ahead, left), bottom and top of all that must be free over and
    between the joists: the fan's own, and the wood that is put in."""
    along = hall.along
    space = fan.get("clear_space") or {"length": "36 in", "width": "36 in", "height": "36 in"}

    def half(record):
        pair = np.array([f(record, "length"), f(record, "width")]) / 2
        return pair if along == 0 else pair[::-1]

    here = np.zeros(2)
    yield here, half(space), 0.0, f(space, "height")
    yield here, half(fan["frame"]), 0.0, f(fan["frame"], "height")
    yield here, half(fan["opening"]), -1e4, 0.0
    yield here, half(fan["opening"]) + FACING, 0.0, BOARD
    at, standing, headers, (low, high) = row
    at, thick = float(at), float(hall.thickness)
    piece = max(thick, BOARD)
    length, width = f(fan["opening"], "length"), f(fan["opening"], "width")
    bay = (float(low) + thick / 2 - at, float(high) - thick / 2 - at)

    def between(along_from, along_to, across_from, across_to):
        pairs = [(along_from, along_to), (across_from, across_to)]
        pairs = pairs if along == 0 else pairs[::-1]
        return np.array([sum(pair) / 2 for pair in pairs]), np.array([(b - a) / 2 for a, b in pairs]), -1e4, 0.0

    if bay[0] < bay[1]:
        yield between(-length / 2 - headers * piece, -length / 2, *bay)
        yield between(length / 2, length / 2 + headers * piece, *bay)
    faces = [(float(j) - at - thick / 2, float(j) - at + thick / 2) for j in standing]
    before = max([b for a, b in faces if a < -width / 2], default=bay[0])
    after = min([a for a, b in faces if b > width / 2], default=bay[1])
    if before < -width / 2:
        yield between(-length / 2, length / 2, max(before, -width / 2 - piece), -width / 2)
    if after > width / 2:
        yield between(-length / 2, length / 2, width / 2, min(after, width / 2 + piece))


def in_the_way(hall, fan, cut, middles, row):
    """For each middle the weight of what is in the way, and which things; minus one where walls, bearings or roof forbid
    it."""
    headers = row[2]
    shutter = np.array([f(fan["shutter"], "length"), f(fan["shutter"], "width")]) / 2
    if hall.along == 1:
        shutter = shutter[::-1]
    walls = np.array([[float(end) for end in wall] for wall in hall.walls])
    allowed = np.all((middles - shutter >= walls[:, 0] - NEAR) & (middles + shutter <= walls[:, 1] + NEAR), axis=1)
    if cut and hall.bearings:
        # Header pieces as thick as a joist at either end.
        ends = f(fan["opening"], "length") / 2 + headers * float(hall.thickness)
        along = middles[:, hall.along]
        allowed &= (along - ends >= hall.bearings[0] - NEAR) & (along + ends <= hall.bearings[1] + NEAR)
    weight = np.zeros(len(middles))
    which = []
    needed = list(blocks(hall, fan, row))
    for _, half, low, high in needed[:2]:
        allowed &= hall.roof_over(middles, half) >= high - NEAR
    for thing in hall.things + hall.holes:
        hit = np.zeros(len(middles), dtype=bool)
        for number, (off, half, low, high) in enumerate(needed):
            # The first is the clear space, which may touch what is hot; all else is wood, or has wood round it.
            hit |= nearer(thing, middles + off, half, low, high, thing[4] if number else 0) > NEAR
        weight += hit * thing[1]
        which.append((thing[0], hit))
    opening = needed[2][1]
    for identity, heavy, middle, own, alarm in hall.fixtures:
        hit = np.min(shutter + own - np.abs(middles - middle), axis=1) > NEAR
        if alarm:
            apart = np.linalg.norm(np.maximum(np.abs(middles - middle) - own - opening, 0), axis=1)
            hit |= apart < ALARM - NEAR
        weight += hit * heavy
        which.append((identity, hit))
    return np.where(allowed, weight, -1), which


def fine(length):
    """A length as a whole number of 1/64 in."""
    number = length * 64
    assert number.denominator == 1, length
    return int(number)


def rows(hall, fan, cut):
    """Every 1/16 in across the joists at which an opening may lie, with the joists it meets and the pieces of each
    header: two where joists are cut and it spans more than 4 ft (IRC R802.9)."""
    half, vane = fine(inches(fan["opening"]["width"]) / 2), fine(inches(fan.get("fixed_vane", "0 in")))
    half_joist = fine(hall.thickness / 2) if cut else 0
    joists = np.array([fine(joist) for joist in hall.joists])
    low, high = (fine(wall) for wall in hall.walls[hall.across])
    places = np.arange(-(-low // 4) * 4, high + 1, 4)
    if cut:
        right = np.isin(places - half, joists + half_joist) | np.isin(places + half, joists - half_joist)
    else:
        right = np.isin(places - vane, joists) | np.isin(places + vane, joists)
    for at in places[right]:
        below, above = joists + half_joist <= at - half, joists - half_joist >= at + half
        if not below.any() or not above.any():
            continue
        flush = (joists[below] + half_joist == at - half).any() or (joists[above] - half_joist == at + half).any()
        if cut and not flush:
            continue
        meets = [hall.joists[i] for i in np.flatnonzero(~below & ~above)]
        span = hall.joists[np.flatnonzero(above)[0]] - hall.joists[np.flatnonzero(below)[-1]] - hall.thickness
        trimmers = hall.joists[np.flatnonzero(below)[-1]], hall.joists[np.flatnonzero(above)[0]]
        if not hall.sound(meets, trimmers, cut):
            continue
        yield Fraction(int(at), 64), meets, 2 if cut and meets and span > 48 else 1, trimmers


def search(hall, fan, cut):
    """Over the grid: the best free place, and the least weight in the way anywhere."""
    low, high = hall.walls[hall.along]
    steps = np.arange(int(np.ceil(low * 16)), int(high * 16) + 1) / 16
    centre = np.array([float(sum(wall)) / 2 for wall in hall.walls])
    best, lightest, places = None, None, 0
    for at, meets, headers, trimmers in rows(hall, fan, cut):
        middles = np.zeros((len(steps), 2))
        middles[:, hall.along], middles[:, hall.across] = steps, float(at)
        weight, _ = in_the_way(hall, fan, cut, middles, (at, [] if cut else meets, headers, trimmers))
        possible = weight >= 0
        if not possible.any():
            continue
        places += int(possible.sum())
        off = np.linalg.norm(middles - centre, axis=1)
        kind = len(meets) if cut else 0
        least = weight[possible].min()
        if lightest is None or least < lightest:
            lightest = least
        if least == 0:
            key = (kind, off[weight == 0].min())
            if best is None or key < best:
                best = key
    return best, lightest, places


def check(hall, fan, cut, place, problems):
    """Is a place of ours what it says it is? Returns the weight in the way there."""
    at = np.array([[place["ahead"], place["left"]]])
    across = Fraction(at[0][hall.across]).limit_denominator(64)
    there = [row for row in rows(hall, fan, cut) if row[0] == across]
    if not there:
        problems.append("not flush with a joist, nor one under the vane")
        return 0
    _, meets, headers, trimmers = there[0]
    weight, which = in_the_way(hall, fan, cut, at, (across, [] if cut else meets, headers, trimmers))
    if weight[0] < 0:
        problems.append("beyond walls, bearings or roof")
    there = sorted({identity for identity, hit in which if hit[0]})
    if there != sorted(set(place["moves"])):
        problems.append(f"in the way there: {there}")
    if [float(j) for j in meets] != (place["cut"] if cut else place["standing"]):
        problems.append("other joists are met")
    elif place["standing" if cut else "cut"]:
        problems.append("joists of the other kind")
    centre = np.array([float(sum(wall)) / 2 for wall in hall.walls])
    if abs(np.linalg.norm(at[0] - centre) - place["off"]) > 1e-5:
        problems.append("distance from the middle")
    return weight[0]


tally = {"free": 0, "with moves": 0, "nowhere": 0}
nearer = fewer = looked = 0
for case in halls:
    hall = Hall(case["survey"]["spots"][0])
    fans = {fan["id"]: fan for fan in case["fans"]}
    for said in case["answers"]:
        fan, cut, answer = fans[said["fan"]], said["cut"], said["answer"]
        best, lightest, places = search(hall, fan, cut)
        looked += places
        problems = []
        if "place" in answer:
            place = answer["place"]
            weight = check(hall, fan, cut, place, problems)
            moves = place["moves"]
            tally["with moves" if moves else "free"] += 1
            if not moves:
                ours = (len(place["cut"]), place["off"])
                if best and (best[0] < ours[0] or (best[0] == ours[0] and best[1] < ours[1] - 1e-5)):
                    problems.append(f"the grid has better: {best} against {ours}")
                nearer += bool(best is None or best[0] > ours[0] or best[1] > ours[1] + 1e-5)
            else:
                if lightest is not None and lightest < weight:
                    problems.append(f"the grid has a place with {lightest} in the way, ours has {weight}")
                fewer += bool(lightest is None or lightest > weight)
                if weight >= NOBODY:
                    problems.append("nobody can move that")
            kinds = [len(place["cut"])] if cut else []
            for other in answer["others"]:
                check(hall, fan, cut, other, problems)
                kinds.append(len(other["cut"]))
            if cut and kinds != sorted(set(kinds)):
                problems.append(f"kinds {kinds}")
        else:
            tally["nowhere"] += 1
            if lightest is not None and lightest < NOBODY:
                problems.append(f"the grid has a place with {lightest} in the way")
            if answer["closest"]:
                weight = check(hall, fan, cut, answer["closest"], problems)
                if lightest is not None and lightest < weight:
                    problems.append(f"the grid comes closer: {lightest} against {weight}")
        if problems:
            wrong.append((case["survey"]["id"], said, problems))

print(
    f"placement: {len(halls)} halls, {sum(tally.values())} choices {tally}, against {looked:,} places on the 1/16 in grid; "
    f"off the grid ours was nearer {nearer} times and had less to move {fewer} times; {len(wrong)} worse or infeasible"
)
for it in wrong[:5]:
    print(json.dumps(it))
sys.exit(bool(wrong))
