"""What parts a block from one of the catalogue that comes near: seams on one that are not on the other."""

from __future__ import annotations

from collections.abc import Mapping

from seamlore.draft.block import Block
from seamlore.draft.naming.naming import Match
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Group, Line, Paint, Shape, moved
from seamlore.pictures.blocks import block_shapes
from seamlore.pictures.palette import INK, MADDER, PAPER

_FADED = 0.45


def near_picture(block: Block, match: Match, side_mm: float, cloths: Mapping[str, Paint] | None = None) -> Picture:
    """Draw a block pale, and over it the seams in which one of the catalogue differs.

    Parameters
    ----------
    block : Block
        The block that was drawn or read.
    match : Match
        The catalogue's entry, as `draft.naming.name_block` found it for this block.
    side_mm : float
        Side of the block on paper.
    cloths : mapping of str to paint, optional
        Cloth of each place of the block.

    Returns
    -------
    Picture
        Whole lines are seams that only the entry has, dashed ones those that only the block has.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.edit import draw_seam
    >>> from seamlore.draft.naming.naming import name_block
    >>> fly = draw_seam(find("shoo fly"), (Fraction(1, 3), Fraction(1, 3)), (Fraction(2, 3), Fraction(2, 3)))
    >>> near_picture(fly, name_block(fly)[0], 30).description
    'Shoo Fly beside this block: 0 seams more, 1 seam less.'
    """
    shapes: list[Shape] = [Group(tuple(block_shapes(block, side_mm, cloths)), opacity=_FADED)]
    for segments, dash, color in ((match.extra, (1.6, 1.1), INK), (match.missing, (), MADDER)):
        runs = tuple(tuple((x * side_mm, y * side_mm) for x, y in segment) for segment in segments)
        if runs:
            # Paper under the line keeps it clear of dark cloth.
            shapes += [Line(runs, PAPER, 1.3), Line(runs, color, 0.7, dash)]
    more, less = len(match.missing), len(match.extra)
    return picture(
        side_mm + 1.4,
        side_mm + 1.4,
        [moved(shapes, 0.7, 0.7)],
        title=f"{match.block.name} beside this block",
        description=f"{match.block.name} beside this block: {more} seam{'s' * (more != 1)} more, "
        f"{less} seam{'s' * (less != 1)} less.",
    )
