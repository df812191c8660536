"""The units inside a block, each shown alone with the rest dimmed, for teaching."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from seamlore.draft.block import Block
from seamlore.draft.units import BlockUnit
from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import Paint
from seamlore.errors import ShapeError
from seamlore.pictures.blocks import block_shapes
from seamlore.pictures.tiles import Tile, tiles

_SIDE_MM = 40.0


def units_picture(
    block: Block, found: Sequence[BlockUnit], width_mm: float, cloths: Mapping[str, Paint] | None = None
) -> Picture:
    """Draw a block once for each kind of unit in it, all units of that kind shown and the rest dimmed.

    Parameters
    ----------
    block : Block
    found : sequence of BlockUnit
        As `draft.units.units` found them in this block.
    width_mm : float
        Width on paper.
    cloths : mapping of str to paint, optional
        Cloth of each place; by value when not given.

    Raises
    ------
    ShapeError
        When the block has no units.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.units import units
    >>> ladder = find("Jacob's Ladder")
    >>> units_picture(ladder, units(ladder), 90).description
    "Units of Jacob's Ladder: 5 four patch, 4 half-square triangle."
    >>> units_picture(find("bright hopes"), (), 90)
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: Bright Hopes: it comes apart into no units that have a name; draw the block itself
    """
    if not found:
        raise ShapeError(block.name, "it comes apart into no units that have a name", "draw the block itself")
    kinds: dict[str, list[BlockUnit]] = {}
    for unit in found:
        kinds.setdefault(unit.kind, []).append(unit)
    drawn = [
        Tile(
            tuple(block_shapes(block, _SIDE_MM, cloths, only={index for unit in same for index in unit.patches})),
            _SIDE_MM,
            _SIDE_MM,
            (kind, f"{len(same)} in the block"),
        )
        for kind, same in kinds.items()
    ]
    listed = ", ".join(f"{len(same)} {kind}" for kind, same in kinds.items())
    return tiles(drawn, width_mm, title=f"Units of {block.name}", description=f"Units of {block.name}: {listed}.")
