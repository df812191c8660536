"""A block beside those of the catalogue that it is or comes near to, for telling what it is called."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from seamlore.draft.block import Block
from seamlore.draft.naming.naming import Match
from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import Paint
from seamlore.pictures.blocks import block_shapes
from seamlore.pictures.nearness import near_picture
from seamlore.pictures.tiles import Tile, tiles

_SIDE_MM = 40.0


def names_picture(
    block: Block,
    matches: Sequence[Match],
    width_mm: float,
    cloths: Mapping[str, Paint] | None = None,
    *,
    words: Callable[[Match], Sequence[str]],
) -> Picture:
    """Draw a block, and beside it every entry of the catalogue that matches.

    Parameters
    ----------
    block : Block
    matches : sequence of Match
        As `draft.naming.name_block` found them for this block.
    width_mm : float
        Width on paper.
    cloths : mapping of str to paint, optional
        Cloth of each place of the block.
    words : callable
        Gives the lines under a match.

    Returns
    -------
    Picture
        An entry with the same seams is drawn as it must lie to match. One that is near is shown as seams on the
        block, pale: whole lines are seams that only the entry has, dashed ones those that only the block has.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.naming.naming import name_block
    >>> fly = find("shoo fly")
    >>> names_picture(fly, name_block(fly)[:2], 150, words=lambda match: match.names).description
    'Shoo Fly beside Shoo Fly, Churn Dash.'
    """
    drawn = [
        Tile(
            tuple(block_shapes(block, _SIDE_MM, cloths, letters=True)), _SIDE_MM, _SIDE_MM, (block.name, "this block")
        )
    ]
    for match in matches:
        if match.kind == "near":
            near = near_picture(block, match, _SIDE_MM, cloths)
            drawn.append(Tile(near.shapes, near.width_mm, near.height_mm, tuple(words(match))))
        else:
            entry = match.block.moved(match.turn, mirrored=match.mirrored)
            drawn.append(Tile(tuple(block_shapes(entry, _SIDE_MM)), _SIDE_MM, _SIDE_MM, tuple(words(match))))
    listed = ", ".join(match.block.name for match in matches) or "nothing that the catalogue has"
    return tiles(drawn, width_mm, title=f"Names for {block.name}", description=f"{block.name} beside {listed}.")
