"""Blocks cut into the triangles of a division grid, and how restless their fabrics are."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.division import division, pixels_by_triangle
from seamlore.photo.merging import Pieces

Floats = NDArray[np.float64]
Cells = tuple[int, int]

_RIM = 0.03  # of the block, along its sides, that its neighbors reach into
CLEAR = 3.0  # half the squared step, in units of noise, at which one block votes neither way
# Columns gathered together; at a power of two all their rows would meet in a few lines of the cache, four times slower.
_AT_ONCE = 100
LIGHT = 2.5  # color difference (CIELAB) that uneven light alone makes between two patches


def by_pixel(lab: NDArray[np.float32]) -> NDArray[np.float32]:
    """Put a stack (blocks, size, size, 3) as (size * size, blocks * 3): one row a pixel of the square."""
    blocks, size = lab.shape[:2]
    rows = cv2.transpose(lab.reshape(blocks, size * size, lab.shape[3]))
    return rows.reshape(size * size, -1).astype(np.float32, copy=False)


def without_rim(lab: NDArray[np.float32]) -> NDArray[np.float32]:
    """Let what lies a little inside each side of the block stand for its rim.

    At its sides a block runs into its neighbors and horizontal sashing blurred seams that stray; a patch so thin is none.
    """
    rim = max(1, round(_RIM * lab.shape[1]))
    inner = lab.copy()
    for squares in (inner, inner.swapaxes(1, 2)):
        squares[:, :rim], squares[:, -rim:] = squares[:, rim, None], squares[:, -rim - 1, None]
    return inner


def triangles(rows: NDArray[np.floating], cells: Cells, size: int) -> Pieces:
    """Gather rows of pixels into the triangles of a division grid."""
    order, starts = pixels_by_triangle(*cells, size)
    counts = np.diff(np.append(starts, len(order))).astype(np.float64)
    grid = division(*cells)
    sums = np.empty((len(starts), rows.shape[1]))
    # A few columns at a time, for all rows put in order are large.
    for start in range(0, rows.shape[1], _AT_ONCE):
        few = slice(start, start + _AT_ONCE)
        sums[:, few] = np.add.reduceat(rows[:, few][order], starts, axis=0)
    return Pieces(sums, counts, grid.pairs, grid.lengths)


def print_noise(rows: NDArray[np.float32], size: int) -> Floats:
    """How restless the fabrics of each block are, shape (blocks,).

    The variance of a mean over n pixels within one fabric is this divided by n. It is taken from triangles between
    which no seam runs in most blocks.
    """
    found = []
    for count in (6, 8, 9):
        pieces = triangles(rows, (count, count), size)
        one, two = pieces.pairs.T
        step = _steps(pieces) / (1 / pieces.counts[one] + 1 / pieces.counts[two])[:, None]
        rough = np.quantile(step, 0.3, axis=0) / 1.42  # of chi-square with 3 degrees of freedom
        vote = np.clip(step / (2 * np.maximum(rough, 1.0)) - CLEAR, -CLEAR, CLEAR).mean(axis=1)
        calm = step[vote <= np.quantile(vote, 0.4)]
        found.append(np.maximum(np.minimum(calm, np.quantile(calm, 0.9, axis=0)).mean(axis=0) / 2.4, 1.0))
    noise: Floats = np.median(found, axis=0)
    return noise


def stepped_share(rows: NDArray[np.float32], noise: Floats, size: int) -> Floats:
    """How much of each block changes color from one small triangle to the next, 0..1, shape (blocks,)."""
    pieces = triangles(rows, (6, 6), size)
    one, two = pieces.pairs.T
    spread = noise * (1 / pieces.counts[one] + 1 / pieces.counts[two])[:, None] + LIGHT**2
    share: Floats = (_steps(pieces) > 2 * CLEAR * spread).mean(axis=0)
    return share


def changes(pieces: Pieces) -> Floats:
    """Color of the first less that of the second of each pair, in each block, shape (pairs, blocks, 3)."""
    means = pieces.means.reshape(len(pieces.counts), -1, 3)
    change: Floats = means[pieces.pairs[:, 0]] - means[pieces.pairs[:, 1]]
    return change


def _steps(pieces: Pieces) -> Floats:
    """Squared color difference of each pair of neighbors in each block, shape (pairs, blocks)."""
    change = changes(pieces)
    step: Floats = np.einsum("pbc,pbc->pb", change, change)
    return step
