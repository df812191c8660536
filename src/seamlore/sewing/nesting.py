"""How blocks that lie side by side are pressed so that their seams nest: some turned, some pressed the other way.

Each block has a few ways of lying and being pressed that serve it equally well: turned so that it looks the same, and
with all seams that are free to be pressed the other way round. Between neighbors as few seams as can be that meet at one
point are pressed to the same side.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import hypot

import numpy as np

from seamlore.draft.groups import Group
from seamlore.draft.setting.parts import Spot, SpotKind, spot_kind
from seamlore.sewing.allowances import MANY
from seamlore.sewing.ends import NEAR, Choice, End, Lying, Vector, choices_of, placed_corner
from seamlore.sewing.pressing import PressedPieces
from seamlore.sewing.seammap import SeamMap
from seamlore.sewing.settling import Costs, cost, settled

# Of two neighbors: the clashes between them, by the choice for the one and for the other.
Table = list[list[int]]
_SWEEPS = 12


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
    choices = {number: choices_of(spot, *groups[number], known) for number, spot in spots.items()}
    meetings = list(_meetings(nets, choices))
    # Most pairs of neighbors lie to each other as another pair does.
    tables_of: dict[object, Table] = {}
    tables = []
    for each in meetings:
        alike = _alike(each, spots, groups)
        if alike not in tables_of:
            tables_of[alike] = _table(each, choices)
        tables.append(tables_of[alike])
    pairs: dict[tuple[int, int], Costs] = {}
    for each, table in zip(meetings, tables, strict=True):
        both = each.one, each.other
        pairs[both] = pairs.get(both, 0) + np.array(table)
    chosen, bound = settled({number: len(each) for number, each in choices.items()}, pairs, _row_by_row(spots))
    # Line by line what is turned comes out regular, and is easier told: kept where it is as good.
    by_lines = _by_lines(spots, choices, meetings, tables)
    if cost(by_lines, pairs) <= cost(chosen, pairs):
        chosen = by_lines
    clashes = tuple(
        at
        for each in meetings
        for at in _clashes(each, choices[each.one][chosen[each.one]], choices[each.other][chosen[each.other]])
    )
    return Nested(
        {number: choices[number][label].lying for number, label in chosen.items()},
        {number: choices[number][label].ends for number, label in chosen.items()},
        clashes,
        bound,
    )


def _row_by_row(spots: Mapping[int, Spot]) -> list[int]:
    """Spots along the longer side of the quilt, so that few touch at a time; those of borders after them."""
    down = len({spot.where.row for spot in spots.values() if spot.where.part == "block"})
    across = len({spot.where.column for spot in spots.values() if spot.where.part == "block"})

    def place(number: int) -> tuple[bool, int, int, str, int]:
        where = spots[number].where
        first, second = (where.row, where.column) if down >= across else (where.column, where.row)
        return where.part != "block", first, second, where.side, number

    return sorted(spots, key=place)


def _meetings(
    nets: Sequence[tuple[SeamMap, Sequence[int]]], choices: Mapping[int, Sequence[Choice]]
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
    begins = [round(number / NEAR / 4) for at, _ in each.along for number in (at[0] - x, at[1] - y)]
    corner = placed_corner(one)
    return (
        id(groups[each.one][1]), spot_kind(one), id(groups[each.other][1]), spot_kind(other), one.frame.tilted,
        other.x - one.x, other.y - one.y, tuple(begins), round((x - corner[0]) / NEAR / 4), round((y - corner[1]) / NEAR / 4),
    )  # fmt: skip


def _table(each: _Meeting, choices: Mapping[int, Sequence[Choice]]) -> Table:
    return [[len(list(_clashes(each, one, other))) for other in choices[each.other]] for one in choices[each.one]]


def _clashes(meeting: _Meeting, one: Choice, other: Choice) -> Iterator[Vector]:
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
        if abs(dx * t[1] - dy * t[0]) < NEAR and -NEAR < dx * t[0] + dy * t[1] < long + NEAR:
            found[round(end.at[0] / NEAR / 4), round(end.at[1] / NEAR / 4)].append(end)
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


def _by_lines(
    spots: Mapping[int, Spot],
    choices: Mapping[int, Sequence[Choice]],
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
    choices: Mapping[int, Sequence[Choice]],
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
