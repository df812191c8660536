"""Look beyond the edges found for fainter ones: a border like the ground hides where the quilt really ends."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.edges.ground import Floats, kinds_of, overlap, share_of_kinds
from seamlore.photo.edges.tracing import length_across, sampled, unit_points
from seamlore.photo.frame import Frame

Numbers = NDArray[np.float64]

# How far out borders are looked for, as parts of the quilt found so far.
_LEAST, _MOST = 0.02, 0.17
_SIDEWAYS = 0.25
_PARTS = 24
_PER_PART = 16
# How far an edge may wave about the line through its corners and still be one line.
_WAVE = 0.005


def lines_beyond(frame: Frame, side: int, fine: Floats) -> tuple[Numbers, Numbers]:
    """Find lines beyond one edge, parallel to it, that may be the quilt's true edge.

    Parameters
    ----------
    frame : Frame
        Of size (1, 1), in pixels of `fine`.
    side : int
        0..3: top, right, bottom, left.
    fine : ndarray of float32, shape (h, w, 3)

    Returns
    -------
    outward : ndarray, shape (n,)
        How far beyond the edge each line lies, as a part of the quilt across it, nearest first.
    gathered : ndarray, shape (n, 6)
        What speaks for each: how clear it is; in what part of its length it is clear; how clear it goes on past
        the corners, where an edge ends and a gap between floorboards does not (nan where that is out of the
        picture); how alike both sides of it are; how alike the would-be border and all beyond it are; how much of what
        lies a little farther out is in the picture.
    """
    across = length_across(frame, side)
    step = max(1.0 / across, 0.001)
    inward = np.arange(-_MOST - 0.05, 0.03, step)
    columns = _PARTS * _PER_PART
    along = (np.arange(columns) + 0.5) / columns * (1 + 2 * _SIDEWAYS) - _SIDEWAYS
    grid = unit_points(side, along[None, :], inward[:, None])
    places = frame.to_photo(grid.reshape(-1, 2)).reshape(len(inward), columns, 2)
    strip = sampled(fine, places)
    seen = np.asarray(((places >= 1) & (places <= [fine.shape[1] - 2, fine.shape[0] - 2])).all(axis=-1))
    calm = cv2.GaussianBlur(strip, (0, 0), sigmaX=0.5, sigmaY=1.2)
    steps = np.gradient(calm, axis=0).reshape(len(inward), _PARTS, _PER_PART, 3).mean(axis=2)
    in_view = seen.reshape(len(inward), _PARTS, _PER_PART).all(axis=2)
    sizes = np.where(in_view, np.linalg.norm(steps, axis=-1), np.nan)
    clear = _clearness(sizes, inward, max(int(_WAVE / step), 1))
    middles = along.reshape(_PARTS, _PER_PART).mean(axis=1)
    kinds = kinds_of(strip)
    outward, gathered = [], []
    score = np.array([_mean(clear[row], (middles > v) & (middles < 1 - v)) for row, v in enumerate(inward)])
    for row in range(2, len(inward) - 2):
        v = inward[row]
        if (
            not (-_MOST < v < -_LEAST)
            or not score[row] >= 0.5
            or score[row] < np.nanmax(score[max(row - 4, 0) : row + 5])
        ):
            continue
        within = (middles > v) & (middles < 1 - v)
        past = (middles < v - 0.03) | (middles > 1 - v + 0.03)
        part = _mean((clear[row] > 0.7).astype(np.float64), within & ~np.isnan(clear[row]))
        inside_run = (along > v) & (along < 1 - v)
        ends = _alike(kinds, seen, inside_run, inward, (v - 0.03, v - _WAVE), (v + _WAVE, v + 0.03))
        border = _alike(kinds, seen, inside_run, inward, (-1.0, v - _WAVE), (v + _WAVE, -_WAVE))
        outward.append(-v)
        ground_row = int(np.clip(np.searchsorted(inward, v - 0.035), 0, len(inward) - 1))
        room = float(seen[ground_row, inside_run].mean())
        gathered.append([score[row], part, _mean(clear[row], past), ends, border, room])
    order = np.argsort(outward)
    return np.array(outward)[order], np.array(gathered).reshape(-1, 6)[order]


def _clearness(sizes: Numbers, inward: Numbers, reach: int) -> Numbers:
    """Log of how much stronger a step is than is usual beyond the edge, the best within a wave's reach."""
    usual = np.nan_to_num(
        np.nanmedian(np.where((inward < -0.01)[:, None], np.nan_to_num(sizes, nan=1.0), np.nan), axis=0)
    )
    log = np.log((np.nan_to_num(sizes) + 0.02) / (usual + 0.1))
    best = cv2.dilate(log.astype(np.float32), np.ones((2 * reach + 1, 1), np.uint8))
    return np.where(np.isnan(sizes), np.nan, best.astype(np.float64))


def _mean(numbers: Numbers, where: NDArray[np.bool_]) -> float:
    kept = numbers[where & ~np.isnan(numbers)]
    # A line half of which lies outside the picture tells nothing.
    return float(kept.mean()) if len(kept) >= max(2, 0.5 * where.sum()) else float("nan")


def _alike(
    kinds: NDArray[np.int64],
    seen: NDArray[np.bool_],
    run: NDArray[np.bool_],
    inward: Numbers,
    one: tuple[float, float],
    two: tuple[float, float],
) -> float:
    masks = [((inward > low) & (inward < high))[:, None] & run[None, :] & seen for low, high in (one, two)]
    if min(mask.sum() for mask in masks) < 60:
        return 1.0
    return overlap(share_of_kinds(kinds, masks[0]), share_of_kinds(kinds, masks[1]))


# A logistic model of whether a line beyond an edge is the quilt's true edge: a constant and a weight for each kind
# of evidence. Fitted on 150 rendered quilts whose frames were drawn in by 3 to 11 %; with the frames left where
# they belong no line beyond came to more than 0.25. Fitted anew by `python -m judging.fitting.border`.
_WEIGHTS = np.array([0.944, 0.221, 2.879, 0.215, -5.156, -4.086])
_LIKELY = 0.35
# The rim of a shadow on the ground parts colors too, but is never as clear as this from end to end.
_AT_LEAST = (1.4, 0.9)
# A border of the ground's own color gives itself away by its edge alone: clear over its whole length, and gone
# beyond the corners (tuned as above).
_CLEAR, _WHOLE, _GONE, _GOES_ON = 2.2, 0.95, 0.25, 0.6


def border_beyond(frame: Frame, side: int, fine: Floats, expected: float = 0.0) -> float:
    """Tell how far beyond an edge the quilt goes on.

    Parameters
    ----------
    frame : Frame
        Of size (1, 1), in pixels of `fine`.
    side : int
        0..3: top, right, bottom, left.
    fine : ndarray of float32, shape (h, w, 3)
    expected : float, optional
        How far the quilt went on beyond other edges, 0 when it did not: a border seldom has one side only.

    Returns
    -------
    float
        A part of the quilt across the edge; 0 when the edge is the last.
    """
    outward, gathered = lines_beyond(frame, side, fine)
    if not len(outward):
        return 0.0
    clear, part, past = gathered[:, 0], gathered[:, 1], gathered[:, 2]
    chance = 1 / (1 + np.exp(-(_WEIGHTS[0] + np.nan_to_num(gathered[:, :5]) @ _WEIGHTS[1:])))
    # Comparing with nan is False: where nothing is seen past the corners, this way of telling is not open.
    by_itself = (clear > _CLEAR) & (part > _WHOLE) & (past < _GONE)
    like_the_others = (np.abs(outward - expected) < 0.35 * expected) & (clear > 1.2) & (part > 0.8)
    # A dark strip along the rim of the picture is no quilt: ground must be seen beyond the line.
    likely = (chance > _LIKELY) & (clear > _AT_LEAST[0]) & (part > _AT_LEAST[1]) & (gathered[:, 5] > 0.5)
    # What goes on past the corners, or comes again farther out, is a pattern of the ground: checks, boards, tiles.
    further = np.array([clear[outward > at + 0.02].max(initial=0.0) for at in outward])
    patterned = (past > _GOES_ON) | ((further > 0.85 * clear) & (chance < 0.6))
    last = outward[(likely | by_itself | like_the_others) & ~patterned]
    # Neighboring rows answer for one line: take their middle.
    return float(last[last > last[-1] - 0.012].mean()) if len(last) else 0.0
