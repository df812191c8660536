"""Where the seams of a block end on its edge, in each way in which the block can be laid and pressed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt

from seamlore.draft.groups import Group
from seamlore.draft.setting.parts import Spot, SpotKind, parts, spot_kind
from seamlore.sewing.allowances import direction
from seamlore.sewing.pressing import PressedPieces

Vector = tuple[float, float]
# Inches; corners nearer than this are one.
NEAR = 1e-4


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


@dataclass(frozen=True, slots=True)
class Choice:
    """One way of laying and pressing a block, and where its seams then end."""

    lying: Lying
    ends: tuple[End, ...]


def choices_of(
    spot: Spot, group: Group, ways: Sequence[PressedPieces], known: dict[tuple[int, SpotKind], tuple[int, ...]]
) -> list[Choice]:
    """Every way of laying and pressing one block; `known` keeps what spots of one kind share."""
    scale = 1 / sqrt(2.0) if spot.frame.tilted else 1.0

    def placed(at: Vector) -> Vector:
        x, y = at
        return ((x - y) * scale, (x + y) * scale) if spot.frame.tilted else (x, y)

    left, top = placed_corner(spot)
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
            found.append(Choice(Lying((quarters - known[kind][0]) % 4, number), tuple(ends)))
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
        found.add((part.place, frozenset((round(x / NEAR), round(y / NEAR)) for x, y in ring)))
    return frozenset(found)


def placed_corner(spot: Spot) -> Vector:
    """The corner of a spot in inches from the quilt's top left corner."""
    x, y = float(spot.x), float(spot.y)
    if spot.frame.tilted:
        x, y = (x - y) / sqrt(2.0), (x + y) / sqrt(2.0)
    return x + float(spot.frame.x), y + float(spot.frame.y)
