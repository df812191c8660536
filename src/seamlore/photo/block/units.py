"""Blocks pieced of units on an even grid, as most are: squares, half- and quarter-squares, geese, strips.

For each number of divisions every stretch of the grid, and every slant through one or two of its squares, is held
against what is seen there; what is seen along most of a stretch is a seam along the whole of it. So a seam lies where
the block's maker measured it, and not where print or a fold moved it by a little.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.ops import polygonize, unary_union

from seamlore.photo.block.agreement import Seen
from seamlore.photo.block.lines import WHOLE, thinned
from seamlore.photo.block.seams import ACROSS, ANY, DOWN, FALLING, OTHER, RISING, SIDE
from seamlore.photo.block.straight import as_rings
from seamlore.photo.reading import Ring

Floats = NDArray[np.float32]
Points = NDArray[np.float64]
Ints = NDArray[np.intp]

_COUNTS = (2, 3, 4, 5, 6, 7, 8, 9, 10, 12)
_LOW, _HIGH = -2.0, 2.5  # log-odds that a pixel can speak for or against a seam
_ENDS = 0.14  # of a stretch, at each end, where other seams cross
_SURE, _GOES_ON = 0.3, -0.5  # log-odds in the mean at which a stretch is a seam, and goes on one that is
_STEEP = 1.5  # by how much what is said in the mean is surer than what a pixel says
_FINER = 0.02  # of agreement, that a grid of twice the divisions must bring
_LONG_SLANTS = 6  # divisions, up to which slants through two squares are told from others
_SMALLEST = 1e-4  # area of a patch, in parts of the block
_KEPT = 2  # grids that are drawn


@dataclass(frozen=True, eq=False)
class _Stretches:
    """All stretches of one grid that run one way.

    Attributes
    ----------
    way : int
        Which.
    ends : ndarray, shape (stretches, 2, 2)
        Of each, in 0..1 of the block; those of one line follow each other in order.
    pixels : ndarray of int, shape (stretches, spots)
        Along each, in the flat map.
    line : ndarray of int, shape (stretches,)
        The line that each lies on.
    """

    way: int
    ends: Points
    pixels: Ints
    line: Ints

    @classmethod
    def of(cls, way: int, ends: Points, line: Ints, count: int) -> _Stretches:
        """Gather the pixels along each; `ends` in divisions."""
        ends = ends / count
        length = float(np.hypot(*(ends[0, 1] - ends[0, 0]))) * SIDE
        along = np.linspace(_ENDS, 1 - _ENDS, max(3, int(length * (1 - 2 * _ENDS)) + 1))
        spots = ends[:, None, 0] + along[None, :, None] * (ends[:, None, 1] - ends[:, None, 0])
        x, y = np.moveaxis(np.clip((spots * SIDE).astype(np.intp), 0, SIDE - 1), -1, 0)
        return cls(way, ends, np.asarray(y * SIDE + x, np.intp), line)


@cache
def _stretches(count: int) -> tuple[_Stretches, ...]:
    """All that a grid of so many divisions has."""
    at, along = (each.ravel() for each in np.mgrid[1:count, 0:count])
    across = np.stack([along, at, along + 1, at], axis=-1).reshape(-1, 2, 2).astype(float)
    # One diagonal of the grid after the other, and the same mirrored.
    x, y = (each.ravel() for each in np.mgrid[0:count, 0:count])
    order = np.lexsort((x, x - y))
    x, y = x[order], y[order]
    falling = np.stack([x, y, x + 1, y + 1], axis=-1).reshape(-1, 2, 2).astype(float)
    rising = falling * [1, -1] + [0, count]
    made = [
        _Stretches.of(ACROSS, across, at, count),
        _Stretches.of(DOWN, across[..., ::-1], at, count),
        _Stretches.of(FALLING, falling, x - y, count),
        _Stretches.of(RISING, rising, x - y, count),
    ]
    if 2 <= count <= _LONG_SLANTS:
        # Through two squares, each by itself.
        x, y = (each.ravel() for each in np.mgrid[0 : count - 1, 0:count])
        flat = np.concatenate([np.stack([x, y, x + 2, y + 1], axis=-1), np.stack([x, y + 1, x + 2, y], axis=-1)])
        two = flat.reshape(-1, 2, 2).astype(float)
        both = np.concatenate([two, two[..., ::-1]])
        made.append(_Stretches.of(OTHER, both, np.arange(len(both)), count))
    return tuple(made)


def on_units(maps: Floats) -> list[tuple[Ring, ...]]:
    """Draw the patches of a block on the even grids that fit what is seen.

    Parameters
    ----------
    maps : ndarray of float32, shape (6, SIDE, SIDE)
        Log-odds of seams, as `lines.inner` gives them.

    Returns
    -------
    list of drawings
        Outlines in 0..1 of the block, the grid that fits best first; none where nothing is seen on any.

    Examples
    --------
    >>> maps = np.full((6, 64, 64), -3, np.float32)
    >>> maps[[ANY, DOWN], :, 20:22] = maps[[ANY, ACROSS], 42:44] = 3
    >>> [len(drawing) for drawing in on_units(maps)][:1]
    [4]
    """
    clipped = np.clip(thinned(maps), _LOW, _HIGH).astype(np.float32)
    near = [np.asarray(cv2.dilate(each, np.ones((3, 3), np.uint8)), np.float32).ravel() for each in clipped]
    near[OTHER] = np.maximum(near[OTHER], 0.5 * (near[OTHER] + near[ANY]))
    seen = Seen.of(maps)
    told: list[tuple[float, Points]] = []
    for count in _COUNTS:
        spoken = [near[each.way][each.pixels].mean(axis=1) for each in _stretches(count)]
        chosen = [_chosen(each, says) for each, says in zip(_stretches(count), spoken, strict=True)]
        ends = np.concatenate([each.ends[on] for each, on in zip(_stretches(count), chosen, strict=True)])
        if len(ends):
            says = np.concatenate([each[on] for each, on in zip(spoken, chosen, strict=True)])
            told.append((_fits(ends, says, seen) - _FINER * float(np.log2(count)), ends))
    told.sort(key=lambda each: -each[0])
    return [drawing for _, ends in told[:_KEPT] if len(drawing := _patches(ends)) > 1]


def _chosen(stretches: _Stretches, spoken: Floats) -> NDArray[np.bool_]:
    """Which stretches are seams: those seen well, and those on from them, along a line, that are not denied."""
    on: NDArray[np.bool_] = spoken >= _SURE
    if stretches.way == OTHER:
        return on
    may = on | (spoken >= _GOES_ON)
    begins = np.concatenate([[True], (stretches.line[1:] != stretches.line[:-1]) | ~may[1:] | ~may[:-1]])
    run = np.cumsum(begins)
    known: NDArray[np.bool_] = np.bincount(run, weights=on)[run] > 0
    return known


def _fits(ends: Points, spoken: Floats, seen: Seen) -> float:
    """About how well the stretches agree with what is seen, 0..1."""
    length = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    mask = np.zeros((SIDE, SIDE), np.uint8)
    for a, b in np.rint(ends * SIDE).astype(int):
        cv2.line(mask, a.tolist(), b.tolist(), 1, 1)
    beside = cv2.dilate(mask, np.ones((5, 5), np.uint8)) > 0
    held = float(seen.weight[beside].sum()) / max(float(seen.weight.sum()), 1e-6)
    shown = float((length / (1 + np.exp(-_STEEP * spoken))).sum() / length.sum())
    return 2 * held * shown / max(held + shown, 1e-9)


def _patches(ends: Points) -> tuple[Ring, ...]:
    """The parts into which seams cut the block; it whole where one of them would lie within another."""
    box = shapely.box(0, 0, 1, 1).exterior
    faces = [each for each in polygonize(unary_union([*shapely.linestrings(ends), box])) if each.area > _SMALLEST]
    if any(each.interiors for each in faces):
        return (WHOLE,)
    return as_rings([_turning(shapely.get_coordinates(each)[:-1]) * SIDE for each in faces])


def _turning(points: Points) -> Points:
    """The corners of an outline that turn."""
    before, after = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    return points[np.abs(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]) > 1e-9]
