"""The division grid: a square cut into small triangles by lines across, down and along both diagonals.

A grid has columns x rows cells, each cut by its two diagonals into four triangles. Most blocks have as many columns as
rows; twice as many of one gives the flatter diagonals of flying geese. Corners are whole numbers in halves of a cell,
so that outlines made of triangles are exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Division:
    """The triangles of one division grid and who touches whom.

    Attributes
    ----------
    columns, rows : int
        Cells along and down.
    corners : ndarray of int, shape (triangles, 3, 2)
        Corners of each triangle, clockwise, in halves of a cell.
    pairs : ndarray of int, shape (pairs, 2)
        Triangles that share a side.
    sides : ndarray of int, shape (pairs, 2, 2)
        The side that they share, in halves of a cell.
    """

    columns: int
    rows: int
    corners: Ints
    pairs: Ints
    sides: Ints

    @property
    def lengths(self) -> NDArray[np.float64]:
        """Length of each shared side, in parts of the square's side."""
        run = (self.sides[:, 1] - self.sides[:, 0]) / (2.0 * np.array([self.columns, self.rows]))
        lengths: NDArray[np.float64] = np.hypot(run[:, 0], run[:, 1])
        return lengths


@lru_cache(maxsize=64)
def division(columns: int, rows: int) -> Division:
    """Make the division grid with so many cells along and down.

    Triangles are numbered cell by cell in reading order; within a cell top, right, bottom, left.

    Examples
    --------
    >>> division(1, 1).corners.shape, division(1, 1).pairs.tolist()
    ((4, 3, 2), [[0, 1], [1, 2], [2, 3], [3, 0]])
    >>> len(division(3, 3).pairs)
    48
    """
    row, column = np.divmod(np.arange(rows * columns), columns)
    origin = np.stack([2 * column, 2 * row], axis=-1)
    square = np.array([[0, 0], [2, 0], [2, 2], [0, 2]])
    middle = np.array([1, 1])
    shapes = np.stack([np.stack([square[k], square[(k + 1) % 4], middle]) for k in range(4)])
    corners = (origin[:, None, None] + shapes).reshape(-1, 3, 2)
    cell = 4 * np.arange(rows * columns)
    pairs = [np.stack([cell + k, cell + (k + 1) % 4], axis=-1) for k in range(4)]
    sides = [origin[:, None] + np.stack([square[(k + 1) % 4], middle]) for k in range(4)]
    left, upper = cell[column < columns - 1], cell[row < rows - 1]
    pairs += [np.stack([left + 1, left + 4 + 3], axis=-1), np.stack([upper + 2, upper + 4 * columns], axis=-1)]
    sides += [
        origin[column < columns - 1][:, None] + square[[1, 2]],
        origin[row < rows - 1][:, None] + square[[3, 2]],
    ]
    return Division(columns, rows, corners, np.concatenate(pairs), np.concatenate(sides))


@lru_cache(maxsize=64)
def triangle_of_pixel(columns: int, rows: int, size: int) -> Ints:
    """Which triangle of a division grid each pixel of a square lies in, shape (size, size).

    Examples
    --------
    >>> triangle_of_pixel(1, 1, 4).tolist()
    [[0, 0, 0, 1], [3, 0, 1, 1], [3, 3, 2, 1], [3, 2, 2, 2]]
    """
    across, u = _cells(columns, size)
    down, v = _cells(rows, size)
    u, v = np.meshgrid(u, v)
    # A pixel on a diagonal goes to the triangle clockwise of it, so that all four get the same number.
    above = np.where(np.isclose(u, v), u < 0.5, v < u)
    before = np.where(np.isclose(u + v, 1), u < 0.5, u + v < 1)
    part = np.where(above, np.where(before, 0, 1), np.where(before, 3, 2))
    found: Ints = 4 * (down[:, None] * columns + across[None, :]) + part
    return found


@lru_cache(maxsize=64)
def pixels_by_triangle(columns: int, rows: int, size: int) -> tuple[Ints, Ints]:
    """The pixels of a square, counted in reading order, triangle by triangle, and where those of each begin.

    Examples
    --------
    >>> [each.tolist() for each in pixels_by_triangle(1, 1, 2)]
    [[0, 1, 3, 2], [0, 1, 2, 3]]
    """
    which = triangle_of_pixel(columns, rows, size).ravel()
    order = np.argsort(which, kind="stable")
    return order, np.searchsorted(which[order], np.arange(4 * columns * rows))


def _cells(count: int, size: int) -> tuple[Ints, NDArray[np.float64]]:
    at = (np.arange(size) + 0.5) * count / size
    cell = np.minimum(at.astype(np.intp), count - 1)
    return cell, at - cell
