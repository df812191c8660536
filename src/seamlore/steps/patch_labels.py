"""What each patch of a quilt's block is called in every list, diagram and template."""

from __future__ import annotations

from seamlore.draft.pieces import canonical, pieces
from seamlore.draft.quilt import Quilt


def patch_labels(quilt: Quilt) -> tuple[str, ...]:
    """Give the label of each patch of the main block, in the block's reading order.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> patch_labels(Quilt("q", find("four patch"), inches(8), inches(8), 2, 3))
    ('B1', 'A1', 'A1', 'B1')
    """
    known = {(each.fabric, each.outline): each.label for each in pieces(quilt)}
    width, height = quilt.block_width.inches, quilt.block_height.inches
    return tuple(
        known[quilt.fabric_of(each.place), canonical([(x * width, y * height) for x, y in each.outline])]
        for each in quilt.block.patches
    )
