"""Outlines of patches in a block, 0..1 across and down it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Rng = np.random.Generator
Ring = NDArray[np.float64]
# An outline in 0..1 of the block, and the number of its fabric's place.
Patch = tuple[Ring, int]

BOX: Ring = np.array([[0.0, 0], [1, 0], [1, 1], [0, 1]])
NEAR = 1e-9


def box_between(low: NDArray[np.float64], high: NDArray[np.float64]) -> Ring:
    """Give the rectangle between its top left and its bottom right corner, clockwise from the top left.

    Examples
    --------
    >>> box_between(np.array([0.0, 0.5]), np.array([1.0, 1.0])).tolist()
    [[0.0, 0.5], [1.0, 0.5], [1.0, 1.0], [0.0, 1.0]]
    """
    return np.asarray(low + BOX * (high - low), float)


def turned(ring: Ring, turn: int, mirror: bool) -> Ring:
    """Mirror an outline left to right if asked, then turn it clockwise by quarters.

    Examples
    --------
    >>> turned(np.array([[0.0, 0.25]]), 1, mirror=False).tolist(), turned(np.array([[0.0, 0.25]]), 0, mirror=True).tolist()
    ([[0.75, 0.0]], [[1.0, 0.25]])
    """
    points = ring.copy()
    if mirror:
        points[:, 0] = 1 - points[:, 0]
    for _ in range(turn % 4):
        points = np.stack([1 - points[:, 1], points[:, 0]], axis=-1)
    return points


def strip_of(ring: Ring, normal: NDArray[np.float64], low: float, high: float) -> Ring:
    """Give the part of a convex outline between two parallel lines; fewer than three points where there is none.

    Parameters
    ----------
    ring : ndarray, shape (n, 2)
    normal : ndarray, shape (2,)
        Across the lines; a point lies between them when ``low <= point @ normal <= high``.

    Examples
    --------
    >>> strip_of(BOX, np.array([1.0, 0.0]), 0.25, 0.5).tolist()
    [[0.25, 0.0], [0.5, 0.0], [0.5, 1.0], [0.25, 1.0]]
    >>> len(strip_of(BOX, np.array([1.0, 0.0]), 2, 3))
    0
    """
    for sign, limit in ((1.0, high), (-1.0, -low)):
        value = sign * (ring @ normal) - limit
        out = []
        for k in range(len(ring)):
            a, b = value[k], value[(k + 1) % len(ring)]
            if a <= 1e-12:
                out.append(ring[k])
            if (a < -1e-12 and b > 1e-12) or (a > 1e-12 and b < -1e-12):
                out.append(ring[k] + (ring[(k + 1) % len(ring)] - ring[k]) * (a / (a - b)))
        ring = np.array(out).reshape(-1, 2)
        if len(ring) < 3:
            return ring
    return ring


def is_box(ring: Ring) -> bool:
    """Tell whether an outline is a rectangle along the block's sides.

    Examples
    --------
    >>> is_box(BOX / 2), is_box(BOX[:3]), is_box(np.array([[0.5, 0], [1, 0.5], [0.5, 1], [0, 0.5]]))
    (True, False, False)
    """
    low, high = ring.min(axis=0), ring.max(axis=0)
    return len(ring) == 4 and bool(np.all((np.abs(ring - low) < NEAR) | (np.abs(ring - high) < NEAR)))
