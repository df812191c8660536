"""What a piece of cloth is cut as, how large, and from how long a strip: rules of a handbook, in floats."""

from __future__ import annotations

from collections import Counter, defaultdict
from math import ceil, floor, hypot, sqrt

from shapely.geometry import Polygon

SEAM, WIDTH = 0.25, 42.0
YIELDS = {"square": 1, "rectangle": 1, "half-square triangle": 2, "quarter-square triangle": 4, "half-rectangle triangle": 2,
          "mitered": 1}  # fmt: skip


def eighth_up(inches: float) -> float:
    # Sides are told to five places: what is a hair over a mark is that mark.
    return ceil(inches * 8 - 1e-3) / 8


def cut_sides(shape: str, one: float, two: float) -> tuple[float, float]:
    if shape == "mitered":
        return eighth_up(one + SEAM * (2 + 2 * sqrt(2))), eighth_up(two + 2 * SEAM)
    if shape == "half-rectangle triangle":
        radius = (one + two - hypot(one, two)) / 2
        more = [SEAM * side / radius for side in (one, two)]
    else:
        each = {"half-square triangle": SEAM * (2 + sqrt(2)), "quarter-square triangle": SEAM * (2 + 2 * sqrt(2))}
        more = [each.get(shape, 2 * SEAM)] * 2
    return tuple(eighth_up(side + eighth_up(extra)) for side, extra in zip((one, two), more, strict=True))


def strips(cuts: list[tuple[str, float, float, int]]) -> float:
    """Lay pieces of one fabric in strips across it, one kind to a strip; long ones joined, or along it where that is less.

    A "strip" is one as it is: it is not turned.
    """
    total, long = 0.0, defaultdict(list)
    for shape, one, two, count in cuts:
        if one > WIDTH:
            long[two] += [one] * count
            continue
        ways = []
        for along, depth in ((one, two), (two, one))[: 1 if shape == "strip" else 2]:
            each = floor(WIDTH / along + 1e-9)
            if each:
                ways.append((depth * ceil(count / each), ceil(count / each)))
        total += min(ways)[0]
    for depth, pieces in long.items():
        joined = depth * max(1, ceil((sum(pieces) - 2 * SEAM) / (WIDTH - 2 * SEAM) - 1e-9))
        beside = floor(WIDTH / depth + 1e-9)
        along = sum(sorted(pieces, reverse=True)[::beside])
        total += min(joined, along)
    return total


def cut_apart(line: dict) -> tuple[Counter, set[float]]:
    """Cut the strips of one fabric of a plan's record column by column: which pieces fall, and how wide its long ones are."""
    fallen, long = Counter(), set()
    for strip in line["strips"]:
        if strip["way"] == "across":
            assert sum(lay["times"] for lay in strip["lays"]) == strip["count"]
            assert abs(strip["length"] - strip["depth"] * strip["count"]) < 1e-9
        else:
            long.add(round(strip["depth"], 4))
        for lay in strip["lays"]:
            used = 0.0 if strip["way"] == "across" else strip["depth"]
            for column in lay["columns"]:
                used += column["along"] * column["number"]
                if strip["way"] == "across":
                    assert column["depth"] * column["stacked"] <= strip["depth"] + 1e-9
                sides = sorted((round(column["along"], 4), round(column["depth"], 4)), reverse=True)
                fallen[tuple(sides)] += column["stacked"] * column["number"] * lay["times"]
            assert used <= WIDTH + 1e-9
    return fallen, long


def eighths(length: float) -> str:
    """A length in yards as it is asked for: up to the next eighth."""
    whole, part = divmod(ceil(length / 4.5 - 1e-9), 8)
    told = ["", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"][part]
    return " ".join(each for each in (str(whole) if whole or not part else "", told) if each)


def shape_of(polygon: Polygon) -> tuple:
    """What a piece is cut as: its shape and finished sides; a template by its outline, up to a quarter turn."""
    ring = corners_of(polygon)
    count = len(ring)
    sides = [(ring[(i + 1) % count][0] - x, ring[(i + 1) % count][1] - y) for i, (x, y) in enumerate(ring)]
    long = [hypot(*side) for side in sides]
    right = [abs(a[0] * b[0] + a[1] * b[1]) < 1e-6 for a, b in zip([sides[-1], *sides[:-1]], sides, strict=True)]
    level = [min(abs(x), abs(y)) < 1e-6 for x, y in sides]
    if count == 4 and all(right):
        one, two = sorted((round(long[0], 5), round(long[1], 5)), reverse=True)
        return ("square" if one == two else "rectangle", one, two)
    if count == 3 and any(right):
        at = right.index(True)
        legs, slanted = (long[at], long[at - 1]), (at + 1) % 3
        if abs(legs[0] - legs[1]) < 1e-6:
            if level[slanted]:
                return ("quarter-square triangle", round(long[slanted], 5), round(long[slanted], 5))
            return ("half-square triangle", round(legs[0], 5), round(legs[0], 5))
        if not level[slanted]:
            # Seen from the right angle, the longer leg runs on or comes in: the one is the mirror image of the other.
            return ("half-rectangle triangle", round(max(legs), 5), round(min(legs), 5), legs[0] > legs[1])
    return ("template", *_turned_least(ring))


def corners_of(polygon: Polygon) -> list[tuple[float, float]]:
    """The corners clockwise as seen, none of them on a straight side."""
    ring = list(polygon.exterior.coords)[:-1]
    # y runs down: counterclockwise in numbers is clockwise as seen.
    if not polygon.exterior.is_ccw:
        ring.reverse()
    # Clipping leaves corners twice, a hair apart.
    ring = [at for i, at in enumerate(ring) if hypot(at[0] - ring[i - 1][0], at[1] - ring[i - 1][1]) > 1e-5]
    kept = []
    for i, (x, y) in enumerate(ring):
        (x0, y0), (x1, y1) = ring[i - 1], ring[(i + 1) % len(ring)]
        if abs((x - x0) * (y1 - y) - (y - y0) * (x1 - x)) > 1e-4 * hypot(x - x0, y - y0) * hypot(x1 - x, y1 - y):
            kept.append((x, y))
    return kept


def _turned_least(ring: list[tuple[float, float]]) -> tuple:
    ways = []
    for _ in range(4):
        ring = [(-y, x) for x, y in ring]
        left, top = min(x for x, _ in ring), min(y for _, y in ring)
        moved = [(round(x - left, 4) + 0.0, round(y - top, 4) + 0.0) for x, y in ring]
        start = moved.index(min(moved))
        ways.append(tuple(moved[start:] + moved[:start]))
    return min(ways)
