"""What of a fabric's pieces is cut from the stash before any is bought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

from seamlore import limits
from seamlore.fabric.stash import Holding
from seamlore.lengths import Length
from seamlore.packing.cuts import in_order, tidy
from seamlore.packing.pieces import Block, Kind, renumbered
from seamlore.packing.plan import two_plans
from seamlore.packing.strips import held_by
from seamlore.steps.cutting.wanted import Piece, Wishes

# Strips of a length at hand are chosen among so many at the most, in parts as fine as its length allows.
_MOST_STRIPS = 2_000


@dataclass(frozen=True, slots=True)
class Used:
    """What is cut from one thing at hand.

    Parameters
    ----------
    holding : Holding
    times : int
        From how many that are alike.
    strips : tuple of Block
        What each cut across the whole width sets free, beginning at `x`, `y`.
    x, y, width, height : int
        The rectangle that they are cut from, in parts from the corner of the holding.
    """

    holding: Holding
    times: int
    strips: tuple[Block, ...]
    x: int
    y: int
    width: int
    height: int


def from_stash(
    name: str, pieces: Sequence[Piece], kinds: Sequence[Kind], left: list[int], part: Length, wishes: Wishes
) -> tuple[tuple[Used, ...], list[int]]:
    """Use what is at hand: the small things first, then lengths."""
    holdings = wishes.stash.of(name)
    if not holdings:
        return (), left
    from seamlore.fabric.scraps import rectangles  # not needed where all is bought
    from seamlore.packing.sheets import fill_sheets

    small = [each for each in holdings if each.form != "length"]
    sides = [min(each.width, each.height).inches_float for each in pieces]
    boxes: list[tuple[Holding, tuple[int, int, int, int]]] = []
    for holding in small:
        found = [(0.0, 0.0, holding.width.inches_float, holding.length.inches_float)]
        if holding.outline:
            found = rectangles(holding, min(sides))
        per = float(part.inches)
        whole = [
            (ceil(x / per - 1e-9), ceil(y / per - 1e-9), int((x + w) / per + 1e-9), int((y + h) / per + 1e-9))
            for x, y, w, h in found
        ]
        boxes += [(holding, box) for _ in range(holding.count) for box in whole]
    filled = fill_sheets(kinds, left, [(x1 - x0, y1 - y0) for _, (x0, y0, x1, y1) in boxes])
    left = list(filled.left)
    used: dict[tuple[Holding, tuple[int, int, int, int], Block], int] = {}
    for (holding, box), block in zip(boxes, filled.blocks, strict=True):
        if block is not None:
            key = holding, box, tidy(block)
            used[key] = used.get(key, 0) + 1
    from_small = [
        Used(holding, times, _as_strips(block), x0, y0, x1 - x0, y1 - y0)
        for (holding, (x0, y0, x1, y1), block), times in used.items()
    ]
    from_lengths = []
    for holding in holdings:
        if holding.form == "length" and any(left):
            for _ in range(holding.count):
                found_here, left = _from_length(holding, kinds, left, part, wishes)
                from_lengths += found_here
    return (*from_small, *from_lengths), left


def _as_strips(block: Block) -> tuple[Block, ...]:
    """Part a block by its cuts across its whole width."""
    if block.blocks and not block.across:
        return tuple(strip for each in block.blocks for strip in _as_strips(each))
    return (block,)


def _from_length(
    holding: Holding, kinds: Sequence[Kind], left: list[int], part: Length, wishes: Wishes
) -> tuple[list[Used], list[int]]:
    """Use a length off the bolt: all that is left where it is long enough, else its fullest strips."""
    from seamlore.packing.sheets import fill_sheets, fullest  # as above

    across, along = parts_along(holding.width, part), parts_along(holding.length, part)
    wanted = [
        index for index, many in enumerate(left) if many and any(h <= along for _, h, _ in kinds[index].lies(across))
    ]
    if not wanted or across > limits.PARTS_ACROSS:
        return [], left
    plans = two_plans([replace(kinds[k], count=left[k]) for k in wanted], across, wishes.effort, wishes.share)
    layout = plans.simple if plans.simple.length <= along else plans.frugal
    strips = list(renumbered(layout.strips, wanted))
    if layout.length > along:
        strips = fullest(strips[:_MOST_STRIPS], along)
    left = _without(left, strips)
    room = along - sum(each.height for each in strips)
    end = fill_sheets(kinds, left, [(across, room)])
    if end.blocks[0] is not None:
        strips += _as_strips(end.blocks[0])
        left = list(end.left)
    if not strips:
        return [], left
    return [Used(holding, 1, in_order(strips), 0, 0, across, along)], left


def _without(left: Sequence[int], strips: Sequence[Block]) -> list[int]:
    held = [held_by(each, len(left)) for each in strips]
    return [many - sum(each[kind] for each in held) for kind, many in enumerate(left)]


def parts_along(side: Length, part: Length) -> int:
    """Give how many whole parts lie along a side."""
    return int(side.inches / part.inches)
