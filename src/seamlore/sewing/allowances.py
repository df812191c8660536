"""Where seam allowances meet: the lines that are pressed as one, where they cross, and how crowded each side is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin

import numpy as np

from seamlore.sewing.cuts import Pieces
from seamlore.sewing.joins import joins
from seamlore.sewing.seammap import SeamMap
from seamlore.sewing.steps import Sewn, every_part

_NEAR = 1e-6
_SAME = 1e-4
# Where so many seams meet in a point, a seam may be pressed open.
MANY = 6


@dataclass(frozen=True, slots=True)
class Leg:
    """A straight stretch of a seam.

    Parameters
    ----------
    seam : int
        The number of the seam that it belongs to, which is pressed to one side with all its legs.
    numbers : tuple of int
        Its stretches, in order along the line.
    right_is_second : bool
        Whether what the seam adds (its second side) lies on the right of the line.
    corners : tuple of int
        Its corners, in order.
    """

    seam: int
    numbers: tuple[int, ...]
    right_is_second: bool
    corners: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Crossing:
    """Two seams that end on a third at one point, from its two sides.

    Parameters
    ----------
    at : int
        The corner.
    one, other : int
        Numbers of their legs.
    over : int
        The leg on which they end.
    turned : bool
        Whether they nest when both are pressed to the same side of their lines, left or right.
    """

    at: int
    one: int
    other: int
    over: int
    turned: bool


@dataclass(frozen=True, slots=True)
class Allowances:
    """All seams of sewn pieces and how their allowances meet.

    Parameters
    ----------
    seams : tuple of (pieces, int)
        Of each seam: the pieces of the part that it is sewn in, and its number there. A seam that is begun and
        finished is one.
    legs : tuple of Leg
    crossings : tuple of Crossing
    crowd : tuple of (int, int)
        How many other seams end on the first and on the second side of each seam, between its ends.
    at_ends : tuple of (int, int)
        How many end on each of the two sides just where the seam itself ends: points of triangles, mostly.
    points : dict of corner to rays
        Where four or more seams meet: the leg of each ray, and whether it leads from the corner along its line.
    """

    seams: tuple[tuple[tuple[int, ...], int], ...]
    legs: tuple[Leg, ...]
    crossings: tuple[Crossing, ...]
    crowd: tuple[tuple[int, int], ...]
    at_ends: tuple[tuple[int, int], ...]
    points: dict[int, tuple[tuple[int, bool], ...]]

    @property
    def open_seams(self) -> set[int]:
        """Seams that pass a point where so many meet that they may be pressed open."""
        return {self.legs[leg].seam for rays in self.points.values() if len(rays) >= MANY for leg, _ in rays}


def allowances(of: Sewn) -> Allowances:
    """Find the seams of sewn pieces and where their allowances meet.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.sewing.steps import sewn
    >>> four = find("four patch")
    >>> labels = tuple(each.place for each in four.patches)
    >>> found = allowances(sewn(tuple(each.outline for each in four.patches), labels, labels, True))
    >>> len(found.seams), len(found.crossings), found.crowd
    (3, 1, ((1, 1), (0, 0), (0, 0)))
    """
    net = of.net
    seams: list[tuple[tuple[int, ...], int]] = []
    legs: list[Leg] = []
    sides: list[tuple[Pieces, Pieces]] = []
    for part in every_part(of.whole):
        inside = [frozenset(each.pieces) for each in part.parts]
        for number, join in enumerate(joins(net, part)):
            if join.manner == "begun":
                continue
            first = frozenset[int]().union(*(inside[each] for each in join.first))
            second = frozenset[int]().union(*(inside[each] for each in join.second))
            legs += _legs(net, join.numbers, second, len(seams))
            seams.append((part.pieces, number))
            sides.append((first, second))
    ending = _ending(legs)
    crowd, at_ends = [[0, 0] for _ in seams], [[0, 0] for _ in seams]
    tips: dict[int, set[int]] = defaultdict(set)
    for leg in legs:
        tips[leg.seam] ^= {leg.corners[0], leg.corners[-1]}
    crossings: list[Crossing] = []
    for over, leg in enumerate(legs):
        first, second = sides[leg.seam]
        for at in leg.corners:
            here: tuple[list[int], list[int]] = ([], [])
            for other in ending[at]:
                piece = net.stretches[legs[other].numbers[0]].left
                if legs[other].seam != leg.seam and _within(net, legs[other], first, second):
                    here[piece in second].append(other)
            for side in (0, 1):
                counts = at_ends if at in tips[leg.seam] else crowd
                counts[leg.seam][side] += len(here[side])
            crossings += _pairs(net, legs, over, at, *here)
    inner, outer = (tuple((one, two) for one, two in counts) for counts in (crowd, at_ends))
    return Allowances(tuple(seams), tuple(legs), tuple(crossings), inner, outer, _points(net, legs))


def _legs(net: SeamMap, numbers: Iterable[int], second: Pieces, seam: int) -> Iterator[Leg]:
    by_line: dict[int, list[int]] = defaultdict(list)
    for number in numbers:
        by_line[net.stretches[number].line].append(number)
    for line in sorted(by_line):
        follows = {net.stretches[number].start: number for number in by_line[line]}
        ends = {net.stretches[number].end for number in by_line[line]}
        for start in sorted(set(follows) - ends):
            run, corners = list[int](), [start]
            while corners[-1] in follows:
                run.append(follows[corners[-1]])
                corners.append(net.stretches[run[-1]].end)
            yield Leg(seam, tuple(run), net.stretches[run[0]].right in second, tuple(corners))


def _ending(legs: Sequence[Leg]) -> dict[int, list[int]]:
    found: dict[int, list[int]] = defaultdict(list)
    for number, leg in enumerate(legs):
        found[leg.corners[0]].append(number)
        found[leg.corners[-1]].append(number)
    return found


def _within(net: SeamMap, leg: Leg, first: Pieces, second: Pieces) -> bool:
    """Whether a leg was sewn before two sides were joined: it lies within one of them."""
    each = net.stretches[leg.numbers[0]]
    return any(each.left in side and each.right in side for side in (first, second))


def direction(net: SeamMap, leg: Leg) -> tuple[float, float]:
    """The direction of a leg's line; its right is to the right of one who walks along it."""
    slope = float(net.slopes[net.stretches[leg.numbers[0]].line])
    # Lines run to the right, also those that rise.
    back = -1 if slope > pi / 2 + _SAME else 1
    return back * cos(slope), back * sin(slope)


def _pairs(
    net: SeamMap, legs: Sequence[Leg], over: int, at: int, first: Sequence[int], second: Sequence[int]
) -> Iterator[Crossing]:
    """Seams from two sides that go straight on, or that mirror each other in the seam between, two by two."""
    t = direction(net, legs[over])
    ones, others = list(first), list(second)
    for mirrored in (False, True):
        for one in list(ones):
            x, y = _ray(net, legs[one], at)
            along = x * t[0] + y * t[1]
            goal = (2 * along * t[0] - x, 2 * along * t[1] - y) if mirrored else (-x, -y)
            for other in others:
                there = _ray(net, legs[other], at)
                if hypot(there[0] - goal[0], there[1] - goal[1]) < _SAME:
                    ones.remove(one)
                    others.remove(other)
                    yield Crossing(at, one, other, over, _toward(net, legs[one], t) != _toward(net, legs[other], t))
                    break


def _ray(net: SeamMap, leg: Leg, at: int) -> tuple[float, float]:
    """The direction in which a leg leads away from one of its ends."""
    x, y = direction(net, leg)
    return (x, y) if leg.corners[0] == at else (-x, -y)


def _toward(net: SeamMap, leg: Leg, t: tuple[float, float]) -> bool:
    """Whether the right of a leg lies toward the end of another line."""
    x, y = direction(net, leg)
    return -y * t[0] + x * t[1] > 0


def _points(net: SeamMap, legs: Sequence[Leg]) -> dict[int, tuple[tuple[int, bool], ...]]:
    found: dict[int, list[tuple[int, bool]]] = defaultdict(list)
    for number, leg in enumerate(legs):
        for at in leg.corners[:-1]:
            found[at].append((number, True))
        for at in leg.corners[1:]:
            found[at].append((number, False))
    inner = {at for number in net.inside(net.everything) for at in net.stretches[number][:2]}
    inner -= {at for number in net.edge(net.everything) for at in net.stretches[number][:2]}
    return {at: tuple(rays) for at, rays in sorted(found.items()) if len(rays) >= 4 and at in inner}


def heaps(net: SeamMap, legs: Sequence[Leg], rays: Sequence[tuple[int, bool]]) -> list[list[tuple[int, bool]]]:
    """What may lie on each other at a point: between every two neighboring rays, the legs that reach there and whether
    they do when they are pressed to the right.

    An allowance covers what lies within a right angle of its seam.
    """
    ways = []
    for leg, onward in rays:
        x, y = direction(net, legs[leg])
        ways.append((x, y) if onward else (-x, -y))
    order = sorted(range(len(rays)), key=lambda ray: float(np.arctan2(ways[ray][1], ways[ray][0])))
    found = []
    for one, two in zip(order, [*order[1:], order[0]], strict=True):
        middle = np.arctan2(ways[one][1], ways[one][0])
        wide = (np.arctan2(ways[two][1], ways[two][0]) - middle) % (2 * np.pi)
        x, y = cos(middle + wide / 2), sin(middle + wide / 2)
        heap = []
        for ray, (leg, onward) in enumerate(rays):
            ahead = ways[ray][0] * x + ways[ray][1] * y
            if ahead < _NEAR:
                continue
            beside = ways[ray][0] * y - ways[ray][1] * x
            # To the right of the ray, which is the left of a leg that leads toward the corner.
            heap.append((leg, (beside > 0) == onward))
        found.append(heap)
    return found
