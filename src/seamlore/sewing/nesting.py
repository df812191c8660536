"""How blocks that lie side by side are pressed so that their seams nest: some turned, some pressed the other way.

Each block has a few ways of lying and being pressed that serve it equally well: turned so that it looks the same, and
with all seams that are free to be pressed the other way round. Between neighbors as few seams as can be that meet at one
point are pressed to the same side.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import hypot, sqrt

from seamlore.draft.groups import Group
from seamlore.draft.setting.parts import Spot, SpotKind, parts, spot_kind
from seamlore.sewing.allowances import MANY, direction
from seamlore.sewing.pressing import PressedPieces
from seamlore.sewing.seammap import SeamMap

Vector = tuple[float, float]
# Of two neighbors: the clashes between them, by the choice for the one and for the other.
Table = list[list[int]]
# Inches; corners nearer than this are one.
_NEAR = 1e-4
_SWEEPS = 12


@dataclass(frozen=True, slots=True)
class End:
    """Where a seam of a block ends on its edge.

    Parameters
    ----------
    at : (float, float)
        In inches; in its block, or in the quilt.
    ray : (float, float)
        The direction in which it leads into the block.
    lean : (float, float) or None
        The direction to which it is pressed, square to it; None where it is open.
    """

    at: Vector
    ray: Vector
    lean: Vector | None


@dataclass(frozen=True, slots=True)
class Lying:
    """How one block is laid and pressed.

    Parameters
    ----------
    quarters : int
        So many quarter turns more than the draft says; it looks the same.
    way : int
        Which of the ways in which it can be pressed, from 0.
    """

    quarters: int = 0
    way: int = 0


@dataclass(frozen=True)
class Nested:
    """How the blocks of a quilt are laid and pressed.

    Parameters
    ----------
    lying : dict of int to Lying
        By the number of the piece of the top; blocks of one piece of cloth are not in it.
    ends : dict of int to tuple of End
        Of each, where its seams end, in inches from the quilt's top left corner.
    clashes : tuple of (float, float)
        Where seams of neighbors meet and do not nest.
    bound : int
        In how many places no way of laying and pressing could make them nest.
    """

    lying: Mapping[int, Lying]
    ends: Mapping[int, tuple[End, ...]]
    clashes: tuple[Vector, ...]
    bound: int

    @property
    def turned(self) -> int:
        """How many blocks are turned, which look the same, so that their seams nest."""
        return sum(bool(each.quarters) for each in self.lying.values())


@dataclass(frozen=True, slots=True)
class _Choice:
    lying: Lying
    ends: tuple[End, ...]


@dataclass(slots=True)
class _Meeting:
    """Two neighbors and the stretches along which they lie: from, to."""

    one: int
    other: int
    along: list[tuple[Vector, Vector]] = field(default_factory=list)


def nested(
    spots: Mapping[int, Spot],
    groups: Mapping[int, tuple[Group, Sequence[PressedPieces]]],
    nets: Sequence[tuple[SeamMap, Sequence[int]]],
) -> Nested:
    """Lay and press blocks so that neighbors nest.

    Parameters
    ----------
    spots : dict of int to Spot
        Pieced blocks by their number among the pieces of the top.
    groups : dict of int to (Group, sequence of PressedPieces)
        What each is sewn as, and the ways in which it can be pressed; the first is best where others are as good.
    nets : sequence of (SeamMap, sequence of int)
        How the pieces of the top meet, and the numbers that they have in the top.
    """
    known: dict[tuple[int, SpotKind], tuple[int, ...]] = {}
    choices = {number: _choices(spot, *groups[number], known) for number, spot in spots.items()}
    meetings = list(_meetings(nets, choices))
    # Most pairs of neighbors lie to each other as another pair does.
    tables_of: dict[object, Table] = {}
    tables = []
    for each in meetings:
        alike = _alike(each, spots, groups)
        if alike not in tables_of:
            tables_of[alike] = _table(each, choices)
        tables.append(tables_of[alike])
    chosen = _settled(spots, choices, meetings, tables)
    clashes = tuple(
        at
        for each in meetings
        for at in _clashes(each, choices[each.one][chosen[each.one]], choices[each.other][chosen[each.other]])
    )
    return Nested(
        {number: choices[number][label].lying for number, label in chosen.items()},
        {number: choices[number][label].ends for number, label in chosen.items()},
        clashes,
        sum(min(min(row) for row in table) for table in tables),
    )


def _choices(
    spot: Spot, group: Group, ways: Sequence[PressedPieces], known: dict[tuple[int, SpotKind], tuple[int, ...]]
) -> list[_Choice]:
    scale = 1 / sqrt(2.0) if spot.frame.tilted else 1.0

    def placed(at: Vector) -> Vector:
        x, y = at
        return ((x - y) * scale, (x + y) * scale) if spot.frame.tilted else (x, y)

    left, top = _placed_corner(spot)
    kind = id(ways), spot_kind(spot)
    if kind not in known:
        known[kind] = _quarters(spot, group)
    wide, high = float(group.spots[0].width), float(group.spots[0].height)
    found = []
    for number, way in enumerate(ways):
        for quarters in known[kind]:
            ends = []
            for end in _ends(way):
                at, ray, lean = _turned(end, quarters, wide, high)
                x, y = placed(at)
                ends.append(End((x + left, y + top), placed(ray), lean and placed(lean)))
            found.append(_Choice(Lying((quarters - known[kind][0]) % 4, number), tuple(ends)))
    return found


def _turned(end: End, quarters: int, wide: float, high: float) -> tuple[Vector, Vector, Vector | None]:
    (x, y), ray, lean = end.at, end.ray, end.lean
    for _ in range(quarters):
        x, y, wide, high = high - y, x, high, wide
        ray = -ray[1], ray[0]
        lean = lean and (-lean[1], lean[0])
    return (x, y), ray, lean


@lru_cache(maxsize=256)
def _ends(sewn: PressedPieces) -> tuple[End, ...]:
    """Where the seams of a block end on its edge, in inches from its corner."""
    net, met, ways = sewn.of.net, sewn.met, sewn.pressed.ways
    edge = {at for number in net.edge(net.everything) for at in net.stretches[number][:2]}
    found = []
    for leg in met.legs:
        x, y = direction(net, leg)
        way = ways[leg.seam]
        right = (way == "second") == leg.right_is_second
        lean = None if way == "open" else (-y, x) if right else (y, -x)
        for at, sign in ((leg.corners[0], 1), (leg.corners[-1], -1)):
            if at in edge:
                corner = float(net.points[at][0]), float(net.points[at][1])
                found.append(End(corner, (sign * x, sign * y), lean))
    return tuple(found)


def _quarters(spot: Spot, group: Group) -> tuple[int, ...]:
    """By how many quarter turns the first block of a group comes to look as this one does."""
    goal = _read(spot, 0)
    return tuple(quarters for quarters in range(4) if _read(group.spots[0], quarters) == goal)


def _read(spot: Spot, quarters: int) -> frozenset[tuple[object, ...]]:
    wide, high = float(spot.width), float(spot.height)
    found: set[tuple[object, ...]] = set()
    for part in parts(spot):
        ring = [(float(x), float(y)) for x, y in part.outline]
        across, down = wide, high
        for _ in range(quarters):
            ring = [(down - y, x) for x, y in ring]
            across, down = down, across
        found.add((part.place, frozenset((round(x / _NEAR), round(y / _NEAR)) for x, y in ring)))
    return frozenset(found)


def _meetings(
    nets: Sequence[tuple[SeamMap, Sequence[int]]], choices: Mapping[int, Sequence[_Choice]]
) -> Iterator[_Meeting]:
    for net, numbers in nets:
        found: dict[tuple[int, int], _Meeting] = {}
        for each in net.stretches:
            if each.left < 0 or each.right < 0:
                continue
            one, other = sorted((numbers[each.left], numbers[each.right]))
            if one in choices and other in choices:
                meeting = found.setdefault((one, other), _Meeting(one, other))
                start, end = net.points[each.start].tolist(), net.points[each.end].tolist()
                meeting.along.append(((start[0], start[1]), (end[0], end[1])))
        yield from found.values()


def _alike(
    each: _Meeting, spots: Mapping[int, Spot], groups: Mapping[int, tuple[Group, Sequence[PressedPieces]]]
) -> object:
    """What is the same for pairs of neighbors that lie to each other alike."""
    one, other = spots[each.one], spots[each.other]
    (x, y), _ = each.along[0]
    begins = [round(number / _NEAR / 4) for at, _ in each.along for number in (at[0] - x, at[1] - y)]
    corner = _placed_corner(one)
    return (
        id(groups[each.one][1]), spot_kind(one), id(groups[each.other][1]), spot_kind(other), one.frame.tilted,
        other.x - one.x, other.y - one.y, tuple(begins), round((x - corner[0]) / _NEAR / 4), round((y - corner[1]) / _NEAR / 4),
    )  # fmt: skip


def _placed_corner(spot: Spot) -> Vector:
    x, y = float(spot.x), float(spot.y)
    if spot.frame.tilted:
        x, y = (x - y) / sqrt(2.0), (x + y) / sqrt(2.0)
    return x + float(spot.frame.x), y + float(spot.frame.y)


def _table(each: _Meeting, choices: Mapping[int, Sequence[_Choice]]) -> Table:
    return [[len(list(_clashes(each, one, other))) for other in choices[each.other]] for one in choices[each.one]]


def _clashes(meeting: _Meeting, one: _Choice, other: _Choice) -> Iterator[Vector]:
    seen: set[Vector] = set()
    for start, end in meeting.along:
        t = end[0] - start[0], end[1] - start[1]
        long = hypot(*t)
        t = t[0] / long, t[1] / long
        here, there = (_along(choice.ends, start, t, long) for choice in (one, other))
        for at in here:
            if at in there and at not in seen:
                seen.add(at)
                many = len(here[at]) + len(there[at]) + 2 >= MANY
                for mine, theirs in _pairs(here[at], there[at], t):
                    if mine.lean is None or theirs.lean is None:
                        clash = not many
                    else:
                        clash = (_dot(mine.lean, t) > 0) == (_dot(theirs.lean, t) > 0)
                    if clash:
                        yield mine.at


def _along(ends: Sequence[End], start: Vector, t: Vector, long: float) -> dict[Vector, list[End]]:
    found: dict[Vector, list[End]] = defaultdict(list)
    for end in ends:
        dx, dy = end.at[0] - start[0], end.at[1] - start[1]
        if abs(dx * t[1] - dy * t[0]) < _NEAR and -_NEAR < dx * t[0] + dy * t[1] < long + _NEAR:
            found[round(end.at[0] / _NEAR / 4), round(end.at[1] / _NEAR / 4)].append(end)
    return found


def _pairs(here: Sequence[End], there: Sequence[End], t: Vector) -> Iterator[tuple[End, End]]:
    """Seams that go straight on across the seam between, or mirror each other in it."""
    mine, theirs = list(here), list(there)
    for mirrored in (False, True):
        for one in list(mine):
            twice = 2 * _dot(one.ray, t)
            goal = (twice * t[0] - one.ray[0], twice * t[1] - one.ray[1]) if mirrored else (-one.ray[0], -one.ray[1])
            for other in theirs:
                if hypot(other.ray[0] - goal[0], other.ray[1] - goal[1]) < 1e-3:
                    mine.remove(one)
                    theirs.remove(other)
                    yield one, other
                    break


def _dot(one: Vector, other: Vector) -> float:
    return one[0] * other[0] + one[1] * other[1]


def _settled(
    spots: Mapping[int, Spot],
    choices: Mapping[int, Sequence[_Choice]],
    meetings: Sequence[_Meeting],
    tables: Sequence[Table],
) -> dict[int, int]:
    """Choose for all blocks of a row at once what clashes least with each other and with the rows beside; then column by
    column, and again until nothing betters."""
    near: dict[int, dict[int, Table]] = defaultdict(dict)
    for each, table in zip(meetings, tables, strict=True):
        near[each.one][each.other] = table
        near[each.other][each.one] = list(map(list, zip(*table, strict=True)))
    rows: dict[object, list[int]] = defaultdict(list)
    columns: dict[object, list[int]] = defaultdict(list)
    for number, spot in spots.items():
        where = spot.where
        rows[where.part, where.row, where.side].append(number)
        columns[where.part, where.column, where.side].append(number)
    chosen: dict[int, int] = {}
    best, least = dict(chosen), -1
    for _ in range(_SWEEPS):
        for line in (*rows.values(), *columns.values()):
            chosen.update(_best_line(line, choices, near, chosen))
        cost = sum(table[chosen[each.one]][chosen[each.other]] for each, table in zip(meetings, tables, strict=True))
        if 0 <= least <= cost:
            break
        best, least = dict(chosen), cost
    return best


def _best_line(
    line: Sequence[int],
    choices: Mapping[int, Sequence[_Choice]],
    near: Mapping[int, Mapping[int, Table]],
    chosen: Mapping[int, int],
) -> dict[int, int]:
    """The best choice for a line of blocks, the others staying as they are: from its end back to its beginning."""
    inside = set(line)
    costs: list[list[int]] = []
    came: list[list[int]] = []
    for place, number in enumerate(line):
        here = [0] * len(choices[number])
        for other, table in near.get(number, {}).items():
            if other not in inside and other in chosen:
                here = [cost + table[label][chosen[other]] for label, cost in enumerate(here)]
        from_ = [0] * len(here)
        if place:
            before = costs[-1]
            beside = near.get(number, {}).get(line[place - 1]) or [[0] * len(before)] * len(here)
            for label, row in enumerate(beside):
                both = [one + other for one, other in zip(before, row, strict=True)]
                from_[label] = both.index(min(both))
                here[label] += min(both)
        costs.append(here)
        came.append(from_)
    label = min(range(len(costs[-1])), key=lambda each: (costs[-1][each], each))
    found = {}
    for place in range(len(line) - 1, -1, -1):
        found[line[place]] = label
        label = came[place][label]
    return found
