"""How an edge departs from straight: a smooth curve through offsets at evenly spaced stations.

The curve is a natural cubic spline that is 0 at both corners.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]
Bow = tuple[float, ...]


@lru_cache(maxsize=64)
def _bends(bow: Bow) -> tuple[Numbers, Numbers]:
    """Heights and second derivatives at the stations, corners included."""
    heights = np.concatenate([[0.0], bow, [0.0]])
    pieces = len(heights) - 1
    bends = np.zeros(pieces + 1)
    inner = pieces - 1
    matrix = np.diag(np.full(inner, 4.0)) + np.diag(np.ones(inner - 1), 1) + np.diag(np.ones(inner - 1), -1)
    bends[1:-1] = np.linalg.solve(matrix, 6.0 * pieces**2 * np.diff(heights, 2))
    return heights, bends


def _pieces(bow: Bow, at: Numbers) -> tuple[Numbers, ...]:
    heights, bends = _bends(bow)
    count = len(heights) - 1
    place = np.clip(at, 0.0, 1.0) * count
    piece = np.minimum(place.astype(np.int64), count - 1)
    right = place - piece
    return heights[piece], heights[piece + 1], bends[piece], bends[piece + 1], 1 - right, right


def bow_at(bow: Bow, at: ArrayLike) -> Numbers:
    """Give the offset of a bowed edge along it.

    Parameters
    ----------
    bow : tuple of float
        Offsets at evenly spaced stations between the corners; empty for a straight edge.
    at : array_like
        Places along the edge, 0 at one corner, 1 at the other; beyond them the offset is 0.

    Returns
    -------
    ndarray, the shape of `at`

    Examples
    --------
    >>> bow_at((0.02,), [0.0, 0.5, 1.0]).tolist()
    [0.0, 0.02, 0.0]
    >>> bow_at((), [0.3]).tolist()
    [0.0]
    """
    places = np.asarray(at, dtype=np.float64)
    if not bow:
        return np.zeros_like(places)
    low, high, bend_low, bend_high, left, right = _pieces(bow, places)
    step = 1.0 / (len(bow) + 1)
    curve = ((left**3 - left) * bend_low + (right**3 - right) * bend_high) * step**2 / 6
    return np.asarray(left * low + right * high + curve)


def bow_slope_at(bow: Bow, at: ArrayLike) -> Numbers:
    """Give the slope of a bowed edge along it; the parameters are those of `bow_at`.

    Examples
    --------
    >>> bow_slope_at((0.02,), [0.5]).tolist()
    [0.0]
    >>> bow_slope_at((), [0.5]).tolist()
    [0.0]
    """
    places = np.asarray(at, dtype=np.float64)
    if not bow:
        return np.zeros_like(places)
    low, high, bend_low, bend_high, left, right = _pieces(bow, places)
    step = 1.0 / (len(bow) + 1)
    slope = (high - low) / step + ((1 - 3 * left**2) * bend_low + (3 * right**2 - 1) * bend_high) * step / 6
    # Beyond a corner the offset stays 0.
    return np.asarray(np.where((places < 0) | (places > 1), 0.0, slope))


def bow_through(along: ArrayLike, offsets: ArrayLike, stations: int) -> Bow:
    """Fit a bow to measured offsets by least squares.

    Parameters
    ----------
    along : array_like, shape (n,)
        Places along the edge, 0..1.
    offsets : array_like, shape (n,)
        Measured offsets there.
    stations : int
        How many stations the bow shall have.

    Returns
    -------
    tuple of float

    Examples
    --------
    >>> along = np.linspace(0, 1, 9)
    >>> [round(offset, 6) for offset in bow_through(along, bow_at((0.01, 0.03, 0.01), along), 3)]
    [0.01, 0.03, 0.01]
    >>> bow_through([], [], 0)
    ()
    """
    if stations == 0:
        return ()
    places = np.asarray(along, dtype=np.float64)
    shapes = np.column_stack([bow_at(tuple(np.eye(stations)[i]), places) for i in range(stations)])
    # A little stiffness keeps a station that nothing was measured near from flying off.
    stiff = 1e-6 * np.eye(stations)
    solved = np.linalg.solve(shapes.T @ shapes + stiff, shapes.T @ np.asarray(offsets, dtype=np.float64))
    return tuple(float(offset) for offset in solved)
