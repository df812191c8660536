"""One fabric's pieces laid out: the best layout that was found, and how short none can be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from seamlore.packing.bounds import least_length
from seamlore.packing.improving import improve
from seamlore.packing.merging import ENDLESS, join_all
from seamlore.packing.pieces import Block, Kind, in_a_row, piece
from seamlore.packing.strips import strip_plan

# Up to so many pieces are joined one by one; more lie in strips first.
FEW = 150
# Pairs looked at in each step, and states kept: about a second's work.
WORK = 60_000
STATES = 1_000
# How far over the area's length a layout may be, tried in this order: a tight limit prunes early.
OVER = (1.02, 1.04, 1.07)


@dataclass(frozen=True, slots=True)
class Place:
    """Where one piece lies: `x` across the fabric and `y` along it, in parts, from the first corner."""

    kind: int
    x: int
    y: int
    width: int
    height: int
    turned: bool


@dataclass(frozen=True, slots=True)
class Layout:
    """A layout that can be cut edge to edge.

    Parameters
    ----------
    width, length, least_length : int
        Of the fabric, in parts; no layout can be shorter than the last.
    strips : tuple of Block
        What each cut across the whole width sets free, in order along the fabric.
    """

    width: int
    length: int
    least_length: int
    strips: tuple[Block, ...]

    def places(self) -> list[Place]:
        """Lay each piece at its place."""
        found: list[Place] = []
        y = 0
        for strip in self.strips:
            todo = [(strip, 0, y)]
            while todo:
                block, left, top = todo.pop()
                if block.kind >= 0:
                    found.append(Place(block.kind, left, top, block.width, block.height, block.turned))
                    continue
                first, second = block.blocks
                beyond = (left + first.width, top) if block.across else (left, top + first.height)
                todo += [(second, *beyond), (first, left, top)]
            y += strip.height
        return found


def lay_out(kinds: Sequence[Kind], width: int) -> Layout:
    """Lay all pieces out on a fabric, with little waste.

    The same pieces give the same layout: work is limited by steps, never by the clock.

    Parameters
    ----------
    kinds : sequence of Kind
        At least one; each lies in some way within the width.
    width : int
        In parts.

    Returns
    -------
    Layout

    Examples
    --------
    >>> layout = lay_out([Kind(5, 5, 16, False), Kind(2, 5, 4, False)], 42)
    >>> layout.length, layout.least_length, len(layout.places())
    (15, 15, 20)
    """
    many = sum(kind.count for kind in kinds)
    area = sum(kind.area * kind.count for kind in kinds)
    starts = []
    if many > len(kinds):
        starts.append(strip_plan(kinds, width))
    if many <= FEW:
        starts.append(_joined_singly(kinds, width, area))
    best = min(starts, key=lambda each: each.height)
    least = least_length(kinds, width, best.height)
    for seed, size in enumerate((20, 28)):
        best = improve(best, width, least, size=size, seed=seed)
    strips = tuple(_strips(best))
    return Layout(width, best.height, min(least, best.height), strips)


def _joined_singly(kinds: Sequence[Kind], width: int, area: int) -> Block:
    pieces = [piece(kinds, index) for index, kind in enumerate(kinds) for _ in range(kind.count)]
    for over in OVER:
        found = join_all(pieces, width, int(area / width * over), work=WORK, states=STATES)
        if found is not None:
            return found
    found = join_all(pieces, width, ENDLESS, work=WORK, states=STATES)
    # Where few states are kept, all of them may have come to an end that does not fit: rows always fit.
    return found if found is not None else in_a_row(pieces, across=False)


def _strips(block: Block) -> list[Block]:
    """Part a layout by its cuts across the whole width."""
    todo, strips = [block], []
    while todo:
        each = todo.pop()
        if each.kind < 0 and not each.across:
            todo += reversed(each.blocks)
        else:
            strips.append(each)
    return strips
