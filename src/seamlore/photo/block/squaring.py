"""Where exactly a block begins and ends: its seams lie on even divisions of its side, and so do its sides.

All blocks together show at which distances seams run along and across. A block grid that lies a little off as a whole
puts them between the lines of any division; shifted and stretched rightly, they fall on the lines of a small one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.perspective import blocks_to_quilt
from seamlore.photo.stack import UNIT, Cloth, restack, steps

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_MARGIN = 1 / 8  # of the block's side, that is looked at beyond it
_MOST_BLOCKS = 60  # more would only take time
_DIVISIONS = tuple(range(1, 13))
_ON_LINE = 0.85  # of the seams lie on lines of the division
_SIGMA = 0.009  # how far they stray from it, in parts of the side
_SAY = 25.0  # how many independent seams a profile is worth
_SHIFT, _STRETCH = 0.018, 0.012  # how far a block grid may well lie off as a whole (tuned on rendered quilts)
_FURTHEST, _WIDEST = 0.07, 0.045
_SHIFTS = np.linspace(-_FURTHEST, _FURTHEST, 29)
_STRETCHES = np.linspace(-_WIDEST, _WIDEST, 13)


def squared(source: Cloth, places: Ints, corners: Floats, seen: NDArray[np.bool_], size: int) -> Floats:
    """Move and stretch all blocks alike, so that their seams fall on even divisions of their sides.

    Parameters
    ----------
    source : Cloth
        The quilt.
    places : ndarray of int, shape (blocks, 2)
    corners : ndarray, shape (blocks, 4, 2)
        In pixels of the flattened quilt.
    seen : ndarray of bool, shape (blocks,)
        Blocks to learn from.
    size : int
        Side of a block in pixels, at which it is looked at.

    Returns
    -------
    ndarray, shape (blocks, 4, 2)
    """
    if not seen.any():
        return corners
    across, down = seam_profiles(source, places, corners, seen, size)
    off = np.array([best_fit(across), best_fit(down)])
    # Where the unit square's corners go, in parts of the sides.
    at = UNIT * (off[:, 1] - off[:, 0]) + off[:, 0]
    return blocks_to_quilt(at, corners)


def seam_profiles(
    source: Cloth, places: Ints, corners: Floats, seen: NDArray[np.bool_], size: int
) -> tuple[Floats, Floats]:
    """How much upright seam there is at each distance across the block, and how much level seam down it.

    Returns
    -------
    across, down : ndarray, shape (n,)
        From a margin before the block to a margin after it.
    """
    reach = round(_MARGIN * size)
    few = np.flatnonzero(seen)
    few = few[np.unique(np.linspace(0, len(few) - 1, _MOST_BLOCKS).astype(int))]
    middle = corners[few].mean(axis=1, keepdims=True)
    wide = middle + (corners[few] - middle) * ((size + 2 * reach) / size)
    stack = restack(source, places[few], wide, size + 2 * reach)
    across, down = (each * stack.shown for each in steps(stack.lab))
    # A diagonal changes color across and down alike, and is neither.
    sums = np.maximum(across - down, 0).sum(axis=0), np.maximum(down - across, 0).sum(axis=0)
    inner = slice(reach, reach + size)
    return sums[0][inner].mean(axis=0, dtype=np.float64), sums[1][:, inner].mean(axis=1, dtype=np.float64)


def best_fit(profile: Floats) -> tuple[float, float]:
    """Find where a block begins and ends in a profile of its seams.

    Parameters
    ----------
    profile : ndarray, shape (n,)
        From an eighth of a side before the block to an eighth after.

    Returns
    -------
    start, end : float
        In parts of the side, near 0 and 1.

    Examples
    --------
    >>> seams = np.zeros(120)
    >>> seams[[14, 46, 78, 110]] = 1
    >>> start, end = best_fit(seams)
    >>> bool(abs(start - 2.5 / 96) < 0.005), bool(abs(end - 98.5 / 96) < 0.005)
    (True, True)
    >>> best_fit(np.zeros(120))
    (0.0, 1.0)
    """
    count = len(profile)
    at = ((np.arange(count) + 0.5) / count - 0.5) * (1 + 2 * _MARGIN) + 0.5
    peaks = np.maximum(profile - 1.2 * float(np.median(profile)), 0)
    if peaks.sum() < 1e-6:
        return 0.0, 1.0
    peaks = peaks / peaks.sum()
    held = np.flatnonzero(peaks > 1e-4)
    peaks, at = peaks[held], at[held]
    # First in wide steps, then round the best in fine ones.
    found = _best(peaks, at, _SHIFTS, _STRETCHES, _DIVISIONS)
    fine = np.linspace(-1, 1, 11)
    shift, stretch, _ = _best(peaks, at, found[0] + 0.005 * fine, found[1] + 0.0075 * fine, (found[2],))
    return 0.5 + shift - 0.5 * (1 + stretch), 0.5 + shift + 0.5 * (1 + stretch)


def _best(
    peaks: Floats, at: Floats, shifts: Floats, stretches: Floats, divisions: tuple[int, ...]
) -> tuple[float, float, int]:
    shift, stretch = (grid.ravel() for grid in np.meshgrid(shifts, stretches))
    prior = -0.5 * ((shift / _SHIFT) ** 2 + (stretch / _STRETCH) ** 2)
    span = 1 + 2 * _MARGIN
    # Where each place lies in the block so shifted and stretched about its middle.
    inside = (at - 0.5 - shift[:, None]) / (1 + stretch[:, None]) + 0.5
    best: tuple[float, int, int] = (-np.inf, 0, 1)
    for count in divisions:
        line = np.clip(np.rint(inside * count), 0, count) / count
        density = np.exp(-0.5 * ((inside - line) / _SIGMA) ** 2) / (_SIGMA * np.sqrt(2 * np.pi) * (count + 1))
        score = _SAY * (np.log(_ON_LINE * density * span + 1 - _ON_LINE) @ peaks) + prior
        top = int(score.argmax())
        best = max(best, (float(score[top]), top, count))
    return float(shift[best[1]]), float(stretch[best[1]]), best[2]
