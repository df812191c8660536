"""Which patch lies at a point: a point inside each patch, and all patches asked at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from seamlore.draft.block import Block, Patch

Spots = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Sides:
    """The sides of all patches of a block in one array, but for the level ones, which no level line crosses.

    Parameters
    ----------
    starts, ends : ndarray, shape (sides, 2)
        Where each side begins and ends.
    firsts : ndarray, shape (patches,)
        The number of the first side of each patch; every patch has two sides that are not level, or more.
    """

    starts: Spots
    ends: Spots
    firsts: NDArray[np.int64]


def sides(given: Block) -> Sides:
    """Put the sides of all patches of a block into one array."""
    rings = [each.points for each in given.patches]
    starts = np.concatenate(rings)
    ends = np.concatenate([part for ring in rings for part in (ring[1:], ring[:1])])
    slanted = starts[:, 1] != ends[:, 1]
    firsts = np.cumsum([0, *(len(ring) for ring in rings[:-1])])
    return Sides(
        starts[slanted], ends[slanted], np.cumsum([0, *np.add.reduceat(slanted, firsts, dtype=np.int64)])[:-1]
    )


def patches_at(found: Sides, spots: Spots) -> list[tuple[int, int]]:
    """Look up the patches that points lie in.

    Parameters
    ----------
    found : Sides
        Of the block that is asked.
    spots : ndarray, shape (n, 2)
        Points in parts of the block's side, none of them on a seam.

    Returns
    -------
    list of (int, int)
        Patch and point for every point that lies in a patch.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> half = sides(read_block("block Half\\nA light\\nB dark\\n\\nA|B"))
    >>> patches_at(half, np.array([[0.7, 0.2], [0.1, 0.4]]))
    [(0, 1), (1, 0)]
    >>> patches_at(half, np.array([[1.7, 0.2]]))
    []
    """
    (x0, y0), (x1, y1) = found.starts.T[:, :, None], found.ends.T[:, :, None]
    x, y = spots.T[:, None, :]
    # A point lies in a patch when an odd number of the patch's sides runs to the right of it.
    right = ((y0 > y) != (y1 > y)) & (x < x0 + (y - y0) * ((x1 - x0) / (y1 - y0)))
    patch, spot = np.logical_xor.reduceat(right, found.firsts, axis=0).nonzero()
    return list(zip(patch.tolist(), spot.tolist(), strict=True))


def inner_points(patches: Sequence[Patch]) -> Spots:
    """Give a point inside each patch, shape (patches, 2).

    Examples
    --------
    >>> from seamlore.draft.block import patch
    >>> x, y = inner_points([patch([(0, 0), (1, 0), (1, 1), (0, 1)], "A")])[0]
    >>> bool(0 < x < 1 and 0 < y < 1)
    True
    """
    return np.array([inner_point([(float(x), float(y)) for x, y in each.outline]) for each in patches])


def inner_point(points: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Give a point inside an outline: in its widest part along a line that runs through no corner of it.

    Examples
    --------
    >>> x, y = inner_point([(0, 0), (4, 0), (4, 1), (1, 1), (1, 4), (0, 4)])
    >>> 0 < x < 1 and 1 < y < 4
    True
    """
    # Plain floats: a patch has so few corners that arrays would take longer.
    heights = sorted({y for _, y in points})
    _, low, high = max(((b - a, a, b) for a, b in pairwise(heights)), key=lambda gap: gap[0])
    # Off the half, so that the point does not fall on a seam of a block that is divided more finely.
    level = low + 0.4721 * (high - low)
    along = sorted(
        x0 + (level - y0) / (y1 - y0) * (x1 - x0)
        for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]], strict=True)
        if (y0 > level) != (y1 > level)
    )
    _, left, right = max(
        ((b - a, a, b) for a, b in zip(along[::2], along[1::2], strict=True)), key=lambda gap: gap[0]
    )
    return left + 0.4519 * (right - left), level


def move_spots(spots: Spots, turn: int, mirrored: bool) -> Spots:
    """Mirror points left to right (if asked), then turn them clockwise about the middle of the block.

    Examples
    --------
    >>> move_spots(np.array([[0.25, 0.0]]), 90, False).tolist()
    [[1.0, 0.25]]
    """
    if mirrored:
        spots = spots * [-1, 1] + [1, 0]
    for _ in range(turn // 90 % 4):
        spots = np.column_stack([1 - spots[:, 1], spots[:, 0]])
    return spots
