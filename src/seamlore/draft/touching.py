"""Which pieces of a quilt share an edge, and which blocks lie side by side."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import combinations

import numpy as np

from seamlore.draft.layout import Laid
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import arrange
from seamlore.draft.setting.parts import Frame
from seamlore.draft.setting.setting import Strips

# Corners closer than this, in inches, are the rounding of floats.
_NEAR = 1e-4


def touching_pairs(laid: Sequence[Laid]) -> list[tuple[int, int]]:
    """List the pairs of pieces that share an edge, not only a corner.

    Parameters
    ----------
    laid : sequence of Laid
        From `layout.lay`.

    Returns
    -------
    list of (int, int)
        Positions in `laid`, the smaller first, in order.

    Examples
    --------
    >>> from seamlore.draft.layout import lay
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> touching_pairs(lay(repeated("q", four, inches(8), inches(8), 1, 1)))
    [(0, 1), (0, 2), (1, 3), (2, 3)]
    >>> touching_pairs([])
    []
    """
    return sorted(seams(laid))


def seams(laid: Sequence[Laid]) -> dict[tuple[int, int], float]:
    """Measure the seam between every two pieces that share an edge.

    Parameters
    ----------
    laid : sequence of Laid
        From `layout.lay`.

    Returns
    -------
    dict of (int, int) to float
        Positions in `laid`, the smaller first, and the length of the edge that they share, in inches.

    Examples
    --------
    >>> from seamlore.draft.layout import lay
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> half = read_block("block Half\\nA dark\\nB light\\n\\nA|B")
    >>> seams(lay(repeated("q", half, inches(8), inches(8), 1, 1)))
    {(0, 1): 8.0}
    >>> seams([])
    {}
    """
    if not laid:
        return {}
    counts = [len(piece.outline) for piece in laid]
    starts = np.concatenate([piece.outline for piece in laid])
    ends = np.concatenate([np.roll(piece.outline, -1, axis=0) for piece in laid])
    owner = np.repeat(np.arange(len(laid)), counts)
    along = ends - starts
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    # Every side lies on a line: its direction, whichever way it runs, and its distance from the origin.
    back = (along[:, 0] < -1e-9) | ((np.abs(along[:, 0]) <= 1e-9) & (along[:, 1] < 0))
    along[back] *= -1
    away = starts[:, 0] * along[:, 1] - starts[:, 1] * along[:, 0]
    one, two = np.einsum("ij,ij->i", starts, along), np.einsum("ij,ij->i", ends, along)
    low, high = np.minimum(one, two), np.maximum(one, two)
    lines = defaultdict(list)
    slope = np.round(np.arctan2(along[:, 1], along[:, 0]) / 1e-5).astype(np.int64)
    row = np.floor(away / _NEAR / 4).astype(np.int64)
    for index, key in enumerate(zip(slope.tolist(), row.tolist(), strict=True)):
        lines[key].append(index)
    found: dict[tuple[int, int], dict[tuple[int, int], float]] = defaultdict(dict)
    for (turn, place), sides in lines.items():
        # A line may fall on the border of two cells.
        near = sides + lines.get((turn, place + 1), [])
        ordered = sorted(near, key=lambda side: low[side])
        open_sides: list[int] = []
        for side in ordered:
            open_sides = [other for other in open_sides if high[other] > low[side] + _NEAR]
            for other in open_sides:
                if (
                    back[other] != back[side]
                    and abs(away[other] - away[side]) < _NEAR
                    and owner[other] != owner[side]
                ):
                    one_of, two_of = sorted((int(owner[other]), int(owner[side])))
                    common = min(high[other], high[side]) - max(low[other], low[side])
                    # Sides near the border of a cell are met twice and counted once.
                    found[one_of, two_of][min(other, side), max(other, side)] = float(common)
            open_sides.append(side)
    return {pair: sum(found[pair].values()) for pair in sorted(found)}


def neighboring_blocks(quilt: Quilt) -> list[tuple[int, int]]:
    """List the pairs of blocks that lie side by side, across the sashing or strip between them if there is one.

    Returns
    -------
    list of (int, int)
        Positions in `Quilt.spots`, the smaller first.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> plain = read_block("block Plain\\nA dark\\n\\nA")
    >>> neighboring_blocks(repeated("q", plain, inches(8), inches(8), 2, 2))
    [(0, 1), (0, 2), (1, 3), (2, 3)]
    >>> neighboring_blocks(repeated("q", plain, inches(8), inches(8), 1, 1))
    []
    """
    number = {spot: index for index, spot in enumerate(quilt.spots)}
    gap_x, gap_y = (gap.inches_float + _NEAR for gap in quilt.gaps)
    if isinstance(quilt.setting, Strips):
        gap_x = quilt.setting.width.inches_float + _NEAR
    rows: dict[tuple[Frame, int], list[tuple[int, float, float, float, float]]] = defaultdict(list)
    for spot in arrange(quilt).spots:
        if spot.where.part == "block":
            left, top = float(spot.x), float(spot.y)
            box = left, top, left + float(spot.width), top + float(spot.height)
            rows[spot.frame, spot.where.row].append((number[spot.where.row, spot.where.column], *box))
    found = set()
    for (frame, row), members in rows.items():
        # Neighbors lie in the same row or the next; on point, two rows further is only a corner.
        for one, two in combinations(members + rows.get((frame, row + 1), []), 2):
            across = max(one[1], two[1]) - min(one[3], two[3])
            down = max(one[2], two[2]) - min(one[4], two[4])
            if (across <= gap_x and down < -_NEAR) or (down <= gap_y and across < -_NEAR):
                found.add((min(one[0], two[0]), max(one[0], two[0])))
    return sorted(found)
