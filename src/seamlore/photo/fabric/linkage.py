"""What is alike is gathered, the nearest first, until what is left stands apart."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]


def lumps(points: Floats, most: int) -> Ints:
    """Gather points so near to each other that they surely belong together, to keep the rest of the gathering quick.

    Parameters
    ----------
    points : ndarray, shape (n, measures)
        In units of how much two of a kind usually differ.
    most : int
        How many lumps there may be; up to so many points each stays by itself.

    Returns
    -------
    ndarray of int, shape (n,)
        Number of the lump of each point.

    Examples
    --------
    >>> lumps(np.array([[0.0, 0.0], [0.1, 0.1], [9.0, 9.0]]), 2).tolist()
    [0, 0, 1]
    >>> lumps(np.zeros((0, 2)), 2).tolist()
    []
    """
    fine = 0.0 if len(points) <= most else 0.4
    while True:
        if fine == 0.0:
            return np.arange(len(points))
        boxes = np.floor(points / fine).astype(np.int64)
        boxes -= boxes.min(axis=0)
        # One number for each box is quicker to sort than its several.
        number = np.zeros(len(boxes), dtype=np.int64)
        for column in boxes.T:
            # Numbered anew for each measure, lest it outgrow 64 bits.
            number = np.unique(number * (int(column.max()) + 1) + column, return_inverse=True)[1]
        if number.max() < most:
            return number
        fine *= 1.3


def average_linkage(apart: NDArray[np.float32], sizes: Floats, limit: float) -> Ints:
    """Join the two nearest groups (by the mean distance of their members) until none are nearer than the limit.

    Parameters
    ----------
    apart : ndarray of float32, shape (n, n)
        How far every two are apart; it is used up.
    sizes : ndarray, shape (n,)
        How many members each has to begin with.
    limit : float

    Returns
    -------
    ndarray of int, shape (n,)
        The group of each, numbered by their first members.

    Examples
    --------
    >>> line = np.array([0.0, 1.0, 5.0])
    >>> average_linkage(np.abs(np.subtract.outer(line, line)).astype(np.float32), np.ones(3), 2).tolist()
    [0, 0, 1]
    >>> average_linkage(np.zeros((1, 1), np.float32), np.ones(1), 2).tolist()
    [0]
    """
    label = np.arange(len(apart))
    while len(apart):
        np.fill_diagonal(apart, np.inf)
        here, nearest = np.arange(len(apart)), apart.argmin(axis=1)
        # All pairs that are each other's nearest: joining others brings nothing nearer to either.
        one = np.flatnonzero((here < nearest) & (nearest[nearest] == here) & (apart[here, nearest] < limit))
        if not len(one):
            break
        two = nearest[one]
        both = sizes[one] + sizes[two]
        first, second = (sizes[one] / both).astype(np.float32), (sizes[two] / both).astype(np.float32)
        apart[one] = first[:, None] * apart[one] + second[:, None] * apart[two]
        apart[:, one] = first * apart[:, one] + second * apart[:, two]
        kept = np.ones(len(apart), dtype=bool)
        kept[two] = False
        into = np.cumsum(kept) - 1
        into[two] = into[one]
        label = into[label]
        sizes = np.bincount(into, weights=sizes).astype(np.float64)
        apart = apart[np.ix_(kept, kept)]
        # Rounded one way across and another way down, the nearest of one need not be the other's.
        np.minimum(apart, apart.T, out=apart)
    return label
