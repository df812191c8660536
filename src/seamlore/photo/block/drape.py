"""Lay blocks on each other before their piecing is known: cloth drapes and stretches smoothly from block to block.

Each block is slid over the mean of all until lightness and seams fall together, its neighbors having a say. What is
found is a smooth field of displacements over the quilt; single blocks are set by their own seams later.
"""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.stack import UNIT, Cloth, move_square, resampled, steps, undo

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]
Ints = NDArray[np.intp]

_LIGHT, _SEAM = 1 / 25, 3.0  # weights of lightness and of seams
_PULL = 0.4  # what being a whole side off would cost, in parts of a perfect likeness


class Slide(NamedTuple):
    """How far a block is slid, in parts of its side, and how far neighbors have a say in each round, in blocks."""

    reach: float
    spreads: tuple[float, ...]


# Tuned on rendered quilts.
WIDE, NARROW = Slide(1 / 6, (2.0, 1.2)), Slide(1 / 10, (1.2, 0.8))


def follow_drape(
    source: Cloth,
    places: Ints,
    corners: Floats,
    moves: Ints,
    seen: Floats,
    side: int = 48,
    slides: tuple[Slide, ...] = (WIDE, NARROW),
) -> Floats:
    """Move the corners of blocks so that blocks lie on each other.

    Parameters
    ----------
    source : Cloth
        The quilt.
    places : ndarray of int, shape (blocks, 2)
        Row and column of each block.
    corners : ndarray, shape (blocks, 4, 2)
        In pixels of the flattened quilt, as the blocks lie in it.
    moves : ndarray of int, shape (blocks,)
        What lays each block like the others.
    seen : ndarray, shape (blocks,)
        How much each block has to say, 0..1: nothing where it is one piece of cloth.
    side : int
        Of the small squares that are compared.
    slides : tuple of Slide
        One after the other.

    Returns
    -------
    ndarray, shape (blocks, 4, 2)
    """
    if len(places) < 3 or not seen.any():
        return corners
    off = np.zeros((len(places), 2))
    placed = corners
    share = (seen / seen.sum()).astype(np.float32)
    for reach, spread in ((round(slide.reach * side), spread) for slide in slides for spread in slide.spreads):
        windows = _windows(source, placed, side, reach)
        laid = _looks(_moved(windows, moves))
        inner = laid[:, reach : reach + side, reach : reach + side]
        template = (share @ inner.reshape(len(inner), -1)).reshape(inner.shape[1:])
        likeness = np.stack([cv2.matchTemplate(each, template, cv2.TM_CCOEFF_NORMED) for each in laid])
        said = _moved(likeness.astype(np.float32, copy=False), np.array([undo(int(move)) for move in moves]))
        shared = _shared(said, places, seen, spread)
        off = off + _peaks(shared, off, side) / side
        placed = _displaced(places, corners, off)
    return placed


def _moved(squares: Floats32, moves: Ints) -> Floats32:
    moved = squares.copy()
    for move in np.unique(moves[moves > 0]):
        moved[moves == move] = move_square(squares[moves == move], int(move))
    return moved


def _windows(source: Cloth, corners: Floats, side: int, reach: int) -> Floats32:
    middle = corners.mean(axis=1, keepdims=True)
    wide = middle + (corners - middle) * ((side + 2 * reach) / side)
    return resampled(source, wide, side + 2 * reach)


def _looks(windows: Floats32) -> Floats32:
    looks = np.empty_like(windows)
    looks[..., 0] = windows[..., 0]
    looks[..., 1], looks[..., 2] = steps(windows)
    looks *= np.array([_LIGHT, _SEAM, _SEAM], dtype=np.float32)
    return looks


def _shared(said: Floats32, places: Ints, seen: Floats, spread: float) -> Floats32:
    """The likeness of each block at each shift, with that of its neighbors."""
    rows, columns = places.max(axis=0) + 1
    whole = np.zeros((rows, columns, *said.shape[1:]), dtype=np.float32)
    weight = np.zeros((rows, columns), dtype=np.float32)
    whole[places[:, 0], places[:, 1]] = said * seen[:, None, None]
    weight[places[:, 0], places[:, 1]] = seen
    for axis, count in ((0, rows), (1, columns)):
        apart = np.subtract.outer(np.arange(count), np.arange(count))
        kernel = np.exp(-0.5 * (apart / spread) ** 2).astype(np.float32)
        whole = np.moveaxis(np.tensordot(kernel, whole, axes=(1, axis)), 0, axis)
        weight = np.moveaxis(np.tensordot(kernel, weight, axes=(1, axis)), 0, axis)
    at = places[:, 0], places[:, 1]
    shared: Floats32 = (whole[at] / np.maximum(weight[at], 1e-3)[:, None, None]).astype(np.float32, copy=False)
    return shared


def _peaks(shared: Floats32, off: Floats, side: int) -> Floats:
    """Where each block fits best, to a part of a pixel, x and y; held back towards where the block grid has it."""
    blocks, span = shared.shape[:2]
    at = np.arange(span) - span // 2
    x = off[:, 0, None] + at / side
    y = off[:, 1, None] + at / side
    score: Floats = shared - _PULL * (x[:, None, :] ** 2 + y[:, :, None] ** 2)
    best = score.reshape(blocks, -1).argmax(axis=1)
    row, column = np.divmod(best, span)
    each = np.arange(blocks)
    r, c = np.clip(row, 1, span - 2), np.clip(column, 1, span - 2)

    def finer(low: Floats, here: Floats, high: Floats) -> Floats:
        bend = np.minimum(low - 2 * here + high, -1e-6)
        part: Floats = np.clip(0.5 * (low - high) / bend, -0.5, 0.5)
        return part

    dx = finer(score[each, r, c - 1], score[each, r, c], score[each, r, c + 1])
    dy = finer(score[each, r - 1, c], score[each, r, c], score[each, r + 1, c])
    return np.stack([at[c] + dx, at[r] + dy], axis=-1)


def _displaced(places: Ints, corners: Floats, off: Floats) -> Floats:
    """Corners moved by the field that is `off` at the blocks' middles, in parts of each block's sides."""
    rows, columns = places.max(axis=0) + 1
    field = np.full((rows, columns, 2), np.nan)
    field[places[:, 0], places[:, 1]] = off
    # At a corner of the block the field is halfway to its neighbor there; where there is none, it goes on as it came.
    steps_rc = [np.full_like(field, np.nan) for _ in range(2)]
    for axis in (0, 1):
        ahead = np.diff(field, axis=axis, append=np.full_like(field.take([0], axis), np.nan))
        behind = np.diff(field, axis=axis, prepend=np.full_like(field.take([0], axis), np.nan))
        both = np.nan_to_num(ahead) + np.nan_to_num(behind)
        steps_rc[axis] = both / np.maximum(np.isfinite(ahead).astype(int) + np.isfinite(behind), 1)
    at = places[:, 0], places[:, 1]
    down, right = steps_rc[0][at], steps_rc[1][at]
    offset = off[:, None] + (UNIT[None, :, 0:1] - 0.5) * right[:, None] + (UNIT[None, :, 1:2] - 0.5) * down[:, None]
    across = ((corners[:, 1] + corners[:, 2]) - (corners[:, 0] + corners[:, 3])) / 2
    along = ((corners[:, 3] + corners[:, 2]) - (corners[:, 0] + corners[:, 1])) / 2
    moved: Floats = corners + offset[..., :1] * across[:, None] + offset[..., 1:] * along[:, None]
    return moved
