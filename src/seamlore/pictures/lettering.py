"""Dimensions and labels as they stand in drawings."""

from __future__ import annotations

from functools import lru_cache
from math import hypot

import numpy as np

from seamlore.drawing.metrics import width_em
from seamlore.drawing.shapes import CAP_HEIGHT_EM, MM_PER_PT, Area, Line, Shape, Text, circle
from seamlore.pictures.palette import INK, QUIET
from seamlore.plane.outline import Points

TICK_MM = 1.4
_STAND_OFF = 1.6


def words_width(words: str, size_pt: float) -> float:
    """Give the width of a line of words in mm, for keeping lettering apart.

    Examples
    --------
    >>> round(words_width("74 in", 8), 1), words_width("", 8)
    (5.6, 0.0)
    """
    return width_em(words) * size_pt * MM_PER_PT


def across(
    left: float, right: float, y: float, label: str, *, size_pt: float = 8.0, above: bool = True, lift: float = 0.0
) -> list[Shape]:
    """Letter a distance from left to right, all in mm: a line with ticks, its length over or under it.

    `lift` stands the words off, clear of a neighbor's.
    """
    line = Line(
        (
            ((left, y), (right, y)),
            ((left, y - TICK_MM), (left, y + TICK_MM)),
            ((right, y - TICK_MM), (right, y + TICK_MM)),
        ),
        QUIET,
        0.15,
    )
    aside = -_STAND_OFF - lift if above else _STAND_OFF + lift + _capital(size_pt)
    return [line, Text((left + right) / 2, y + aside, label, size_pt, "middle", fill=INK)]


def down(
    top: float, bottom: float, x: float, label: str, *, size_pt: float = 8.0, left: bool = True, lift: float = 0.0
) -> list[Shape]:
    """Letter a distance from top to bottom, all in mm: its length reads upward, left or right of the line."""
    line = Line(
        (
            ((x, top), (x, bottom)),
            ((x - TICK_MM, top), (x + TICK_MM, top)),
            ((x - TICK_MM, bottom), (x + TICK_MM, bottom)),
        ),
        QUIET,
        0.15,
    )
    aside = -_STAND_OFF - lift if left else _STAND_OFF + lift + _capital(size_pt)
    return [line, Text(x + aside, (top + bottom) / 2, label, size_pt, "middle", fill=INK, turn_deg=-90)]


def _capital(size_pt: float) -> float:
    return CAP_HEIGHT_EM * size_pt * MM_PER_PT


def arrow(x0: float, y0: float, x1: float, y1: float, color: str, *, stroke_mm: float = 0.3) -> list[Shape]:
    """Draw an arrow from one point to another; a dot when it has no length."""
    length = hypot(x1 - x0, y1 - y0)
    if length < 0.3:
        return [Area((circle(x0, y0, 1.2 * stroke_mm),), color)]
    head = min(8 * stroke_mm, 0.6 * length)
    along, aside = ((x1 - x0) / length, (y1 - y0) / length), 0.38 * head
    foot = (x1 - along[0] * head, y1 - along[1] * head)
    tip = (
        (x1, y1),
        (foot[0] - along[1] * aside, foot[1] + along[0] * aside),
        (foot[0] + along[1] * aside, foot[1] - along[0] * aside),
    )
    return [Line((((x0, y0), foot),), color, stroke_mm), Area((tip,), color)]


def heart(outline: Points) -> tuple[float, float, float]:
    """Find the roomiest spot of an outline: x, y, and how far from every side it is.

    Parameters
    ----------
    outline : ndarray, shape (n, 2)

    Returns
    -------
    tuple of float
        To about a hundredth of the outline's size, in its unit.

    Examples
    --------
    >>> [round(value, 1) for value in heart(np.array([[0.0, 0], [4, 0], [4, 2], [0, 2]]))]
    [2.0, 1.0, 1.0]
    """
    low = outline.min(axis=0)
    size = float(np.ptp(outline, axis=0).max())
    # The same few shapes come again and again, elsewhere and in other sizes.
    x, y, clear = _heart_of(tuple(map(tuple, np.round((outline - low) / size, 12).tolist())))
    return x * size + float(low[0]), y * size + float(low[1]), clear * size


@lru_cache(maxsize=4096)
def _heart_of(corners: tuple[tuple[float, ...], ...]) -> tuple[float, float, float]:
    outline = np.array([at for at, before in zip(corners, corners[-1:] + corners[:-1], strict=True) if at != before])
    low, high = outline.min(axis=0), outline.max(axis=0)
    best, reach = (low + high) / 2, (high - low) / 2
    clearance = -1.0
    middle = best
    # Fine enough at first that the bend of an L is not missed for one of its arms.
    for count in (61, 13, 13, 13):
        ticks = np.linspace(-1, 1, count)
        spots = best + np.stack(np.meshgrid(ticks, ticks), axis=-1).reshape(-1, 2) * reach
        inside = depth(outline, spots)
        # Among spots as good as the best, the one nearest to the middle, so that labels stand calmly.
        good = inside > inside.max() - 1e-9 - 0.005 * inside.max()
        nearest = np.where(good, np.hypot(*(spots - middle).T), np.inf)
        best, clearance = spots[int(nearest.argmin())], float(inside[int(nearest.argmin())])
        reach = reach / 6
    return float(best[0]), float(best[1]), clearance


def inmost(triangle: Points) -> tuple[float, float, float]:
    """Give the spot of a triangle that is farthest from its sides, the center of its inscribed circle, and how far that is.

    Parameters
    ----------
    triangle : ndarray, shape (3, 2)

    Returns
    -------
    tuple of float
        x, y and the distance, in the triangle's unit; worked out, where `heart` searches.

    Examples
    --------
    >>> [round(value, 6) for value in inmost(np.array([[0.0, 0], [4, 0], [0, 3]]))]
    [1.0, 1.0, 1.0]
    """
    # Each corner weighs as much as the side over against it is long (Euclid, Elements IV.4).
    sides = np.hypot(*(np.roll(triangle, -1, axis=0) - np.roll(triangle, -2, axis=0)).T)
    center = sides @ triangle / sides.sum()
    (ax, ay), (bx, by) = triangle[1] - triangle[0], triangle[2] - triangle[0]
    return float(center[0]), float(center[1]), float(abs(ax * by - ay * bx) / sides.sum())


def depth(outline: Points, spots: Points) -> Points:
    """Tell how deep spots lie inside an outline; less than 0 outside it.

    Parameters
    ----------
    outline : ndarray, shape (n, 2)
    spots : ndarray, shape (m, 2)

    Returns
    -------
    ndarray, shape (m,)
        Distance to the nearest side, in the outline's unit.

    Examples
    --------
    >>> square = np.array([[0.0, 0], [4, 0], [4, 4], [0, 4]])
    >>> depth(square, np.array([[1.0, 2], [5, 2]])).tolist()
    [1.0, -1.0]
    >>> depth(square, np.empty((0, 2))).tolist()
    []
    """
    start, end = outline, np.roll(outline, -1, axis=0)
    side = end - start
    offset = spots[:, None, :] - start[None, :, :]
    part = np.clip((offset * side).sum(-1) / (side * side).sum(-1), 0, 1)
    distance = np.hypot(*np.moveaxis(offset - part[..., None] * side, -1, 0)).min(axis=1)
    x, y = spots[:, 0, None], spots[:, 1, None]
    crosses = (start[:, 1] > y) != (end[:, 1] > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        at = start[:, 0] + (y - start[:, 1]) * side[:, 0] / side[:, 1]
    inside = (crosses & (x < at)).sum(axis=1) % 2 == 1
    return np.asarray(np.where(inside, distance, -distance))
