"""Where sewn pieces come apart: along straight seams, at a partial seam, at seams that are set in.

A straight seam runs from edge to edge of what it divides. Where none is left, seams may end on one another in a ring,
each butting the next: then one of them is begun, left open, and finished last (a partial seam). The sides of a frame with
mitered corners are sewn on from corner to corner, and its corners last. Where none of these is, a seam turns at a corner and what lies in the corner is set in. A corner at which no straight seam runs through costs
one turn whatever the order, since the last seam sewn there passes it; seams that turn only at such corners are
therefore as few as can be.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from math import pi

from seamlore.errors import ShapeError
from seamlore.sewing.seammap import SeamMap

Pieces = frozenset[int]
# Numbers of the stretches of one straight seam, in order along its line.
Run = tuple[int, ...]
_SAME = 1e-5
# Ways of setting in that are looked at for one part: as many as the corners of a large star have, many times over.
_WAYS = 400


@dataclass(frozen=True, slots=True)
class Runs:
    """The straight seams of a part.

    Parameters
    ----------
    whole : dict of slope to list of Run
        Those that run from edge to edge.
    ending : tuple of Run
        Those that end inside, on another seam or at a corner.
    """

    whole: Mapping[float, list[Run]]
    ending: tuple[Run, ...]


def runs(net: SeamMap, part: Pieces) -> Runs:
    """Find the straight seams of a part.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.sewing.seammap import seam_map
    >>> ring = read_block("block Ring\\nA dark\\nB light\\n\\nA1 A1 A2\\nA4 B A2\\nA4 A3 A3")
    >>> net = seam_map([each.outline for each in ring.patches])
    >>> found = runs(net, net.everything)
    >>> len(found.whole), len(found.ending)
    (0, 4)
    """
    edge = edge_corners(net, part)
    by_line: dict[int, list[int]] = defaultdict(list)
    for number in net.inside(part):
        by_line[net.stretches[number].line].append(number)
    whole: dict[float, list[Run]] = defaultdict(list)
    ending: list[Run] = []
    for line, numbers in sorted(by_line.items()):
        # A stretch may begin where another of its line has ended long before.
        follows = {net.stretches[number].start: number for number in numbers}
        begun = {net.stretches[number].end for number in numbers}
        for number in numbers:
            start = net.stretches[number].start
            if start in begun and start not in edge:
                continue
            run = [number]
            while (end := net.stretches[run[-1]].end) not in edge and end in follows:
                run.append(follows[end])
            if start in edge and end in edge:
                whole[float(net.slopes[line])].append(tuple(run))
            else:
                ending.append(tuple(run))
    return Runs(dict(whole), tuple(ending))


def edge_corners(net: SeamMap, part: Pieces) -> set[int]:
    """The corners on the outline of a part."""
    return {at for number in net.edge(part) for at in net.stretches[number][:2]}


@dataclass(frozen=True, slots=True)
class Ring:
    """Seams that end on one another in a ring.

    Parameters
    ----------
    middle : Pieces
        What the ring goes round.
    arms : tuple of Pieces
        In the order in which they are sewn: the first to the middle alone, along a part of its seam.
    """

    middle: Pieces
    arms: tuple[Pieces, ...]


def ring(net: SeamMap, part: Pieces, ending: Sequence[Run]) -> Ring | None:
    """Find a ring of seams, each of which begins at the edge and ends on the next.

    Returns
    -------
    Ring or None
        Of several the one with the smallest middle; None when there is none.
    """
    edge = edge_corners(net, part)
    inner = {at: run for run in ending for number in run[1:] for at in (net.stretches[number].start,)}
    # What each run ends on, for those that begin at the edge.
    onto: dict[Run, Run] = {}
    for run in ending:
        ends = (net.stretches[run[0]].start, net.stretches[run[-1]].end)
        loose = [at for at in ends if at not in edge]
        if len(loose) == 1 and loose[0] in inner:
            onto[run] = inner[loose[0]]
    found: list[tuple[int, int, Ring]] = []
    seen: set[frozenset[Run]] = set()
    for start in onto:
        way, at = [start], onto[start]
        while at in onto and at not in way:
            way.append(at)
            at = onto[at]
        if at not in way:
            continue
        way = way[way.index(at) :]
        if len(way) < 3 or frozenset(way) in seen:
            continue
        seen.add(frozenset(way))
        made = _as_ring(net, part, way)
        if made:
            found.append((len(made.middle), min(made.middle), made))
    return min(found, key=lambda each: each[:2])[2] if found else None


def _as_ring(net: SeamMap, part: Pieces, way: Sequence[Run]) -> Ring | None:
    groups = net.components(part, [number for run in way for number in run])
    if len(groups) != len(way) + 1:
        return None
    of = {piece: number for number, group in enumerate(groups) for piece in group}
    sides = [
        {of[piece] for number in run for piece in (net.stretches[number].left, net.stretches[number].right)}
        for run in way
    ]
    middles = set.intersection(*sides)
    if len(middles) != 1 or any(len(each) != 3 for each in sides):
        return None
    (middle,) = middles
    # Each arm lies along its own seam with all its side: next to the middle, the arm before butts against it.
    arms = []
    for number, each in enumerate(sides):
        shared = each & sides[(number + 1) % len(sides)] - {middle}
        if len(shared) != 1:
            return None
        arms.append(groups[shared.pop()])
    return Ring(groups[middle], tuple(arms)) if len(set(arms)) == len(arms) else None


@dataclass(frozen=True, slots=True)
class Frame:
    """A frame whose corners are mitered.

    Parameters
    ----------
    middle : Pieces
        What it goes round.
    sides : tuple of Pieces
        Clockwise.
    """

    middle: Pieces
    sides: tuple[Pieces, ...]


def frame(net: SeamMap, part: Pieces, ending: Sequence[Run]) -> Frame | None:
    """Find a frame round the middle of a part: one side along each side of the middle, a seam from each of its corners
    straight to the edge.

    Parameters
    ----------
    net : SeamMap
    part : Pieces
    ending : sequence of Run
        Its seams that do not run from edge to edge.
    """
    outer = frozenset(
        piece
        for number in net.edge(part)
        for piece in (net.stretches[number].left, net.stretches[number].right)
        if piece in part
    )
    middle = part - outer
    if not middle or len(net.components(middle, ())) != 1:
        return None
    try:
        corners = net.bent(middle)
    except ShapeError:
        return None
    edge = edge_corners(net, part)
    spokes: dict[int, Run] = {}
    for run in ending:
        start, end = net.stretches[run[0]].start, net.stretches[run[-1]].end
        inner = start if end in edge else end
        if (start in edge) != (end in edge) and inner in corners:
            if inner in spokes:
                return None
            spokes[inner] = run
    groups = net.components(outer, [number for run in spokes.values() for number in run])
    if set(spokes) != set(corners) or len(groups) != len(corners):
        return None
    sides = []
    for one, other in zip(corners, [*corners[1:], corners[0]], strict=True):
        between = [group for group in groups if set(_tips(net, net.between(group, middle))) == {one, other}]
        if len(between) != 1:
            return None
        sides.append(between[0])
    return Frame(middle, tuple(sides))


def _tips(net: SeamMap, numbers: Sequence[int]) -> tuple[int, ...]:
    """The two ends of stretches that lie on one line, one after the other; nothing for others."""
    if len({net.stretches[number].line for number in numbers}) != 1:
        return ()
    ends = [at for number in numbers for at in net.stretches[number][:2]]
    tips = tuple(at for at in ends if ends.count(at) == 1)
    return tips if len(tips) == 2 else ()


Turns = tuple[int, int]


def set_in(net: SeamMap, part: Pieces) -> list[tuple[Turns, Pieces]]:
    """Find what can be set in: the seams that divide a part in two with the fewest turns.

    Returns
    -------
    list of ((int, int), Pieces)
        For each way: turns where a straight seam would have run through, and turns in all; the smaller of the two
        parts. Empty when no seam divides the part, as where one patch lies within another.
    """
    edge = edge_corners(net, part)
    around: dict[int, list[int]] = defaultdict(list)
    for number in net.inside(part):
        for at in net.stretches[number][:2]:
            around[at].append(number)
    starts = [(number, at) for number in net.inside(part) for at in net.stretches[number][:2] if at in edge]
    straight = {at: _runs_through(net, numbers) for at, numbers in around.items()}

    def far(number: int, at: int) -> int:
        each = net.stretches[number]
        return each.end if each.start == at else each.start

    def turn(number: int, onward: int, at: int) -> Turns:
        if net.stretches[number].line == net.stretches[onward].line:
            return 0, 0
        return int(straight[at]), 1

    # How few turns lead from a stretch, walked away from a corner, to the edge; found from the edge inward.
    least: dict[tuple[int, int], Turns] = {}
    heap: list[tuple[Turns, int, int]] = []
    for number, at in starts:
        heappush(heap, ((0, 0), number, far(number, at)))
    while heap:
        cost, number, at = heappop(heap)
        if (number, at) in least:
            continue
        least[number, at] = cost
        if at in edge:
            continue
        for before in around[at]:
            if before != number:
                more = turn(before, number, at)
                heappush(heap, ((cost[0] + more[0], cost[1] + more[1]), before, far(before, at)))
    ways = [(least[number, at], number, at) for number, at in starts if (number, at) in least]
    if not ways:
        return []
    best = min(ways)[0]
    found: dict[Pieces, Turns] = {}
    walked, met = 0, set[frozenset[int]]()
    waiting = [([number], far(number, at), (0, 0)) for cost, number, at in sorted(ways) if cost == best]
    while waiting and walked < _WAYS:
        way, at, spent = waiting.pop(0)
        if at in edge:
            walked += 1
            if frozenset(way) in met:
                continue  # the same, walked from its other end
            met.add(frozenset(way))
            groups = net.components(part, way)
            if len(groups) == 2:
                found.setdefault(min(groups, key=lambda group: (len(group), min(group))), best)
            continue
        for onward in around[at]:
            if onward in way:
                continue
            more = turn(way[-1], onward, at)
            rest = least.get((onward, at))
            if rest and (spent[0] + more[0] + rest[0], spent[1] + more[1] + rest[1]) == best:
                waiting.append(([*way, onward], far(onward, at), (spent[0] + more[0], spent[1] + more[1])))
    return [(turns, group) for group, turns in found.items()]


def _runs_through(net: SeamMap, numbers: Iterable[int]) -> bool:
    lines = [net.stretches[number].line for number in numbers]
    return len(set(lines)) < len(lines)


def turned_slope(slope: float, turn: int) -> float:
    """The angle of a slope after so many quarter turns, 0 to pi.

    Examples
    --------
    >>> turned_slope(0.0, 1) == pi / 2, turned_slope(pi / 2, 1)
    (True, 0.0)
    """
    there = (slope + turn * pi / 2) % pi
    return 0.0 if there > pi - _SAME else there


def square_to(one: float, other: float) -> bool:
    """Tell whether two slopes are at right angles."""
    return abs(abs(one - other) - pi / 2) < _SAME
