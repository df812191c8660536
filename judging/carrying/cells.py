"""Shapes on cells of a quarter inch: squares, rectangles and plain rows of patches counted on them."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

CELL = 0.25


def cells_of(shape: Any, wide: float, high: float) -> NDArray[np.bool_]:
    """Cells of a quarter inch that lie in a shape with all four corners."""
    across, down = (np.arange(0, side + 1e-9, CELL) for side in (wide, high))
    shapely.prepare(shape)
    points = shapely.contains_xy(shape.buffer(1e-6), *(each.ravel() for each in np.meshgrid(across, down))).reshape(
        len(down), len(across)
    )
    return np.asarray(points[:-1, :-1] & points[:-1, 1:] & points[1:, :-1] & points[1:, 1:])


def square(piece: Any) -> float:
    """The side of the largest square of whole cells, along the sides of the quilt."""
    left, top, right, bottom = piece.bounds
    cells = cells_of(shapely.affinity.translate(piece, -left, -top), right - left, bottom - top).astype(int)
    for row in range(1, cells.shape[0]):
        for column in range(1, cells.shape[1]):
            if cells[row, column]:
                cells[row, column] = 1 + min(
                    cells[row - 1, column], cells[row, column - 1], cells[row - 1, column - 1]
                )
    return float(cells.max(initial=0)) * CELL


def rectangle(cells: NDArray[np.bool_]) -> tuple[float, float, Any]:
    """The largest rectangle of whole cells: of each row of cells how far up they are free, then runs of columns."""
    best, up = (0, 0, 0, (slice(0), slice(0))), np.zeros(cells.shape[1], dtype=int)
    for row in range(cells.shape[0]):
        up = np.where(cells[row], up + 1, 0)
        stack: list[tuple[int, int]] = []
        for column, tall in enumerate([*up.tolist(), 0]):
            begin = column
            while stack and stack[-1][1] >= tall:
                begin, high = stack.pop()
                if high * (column - begin) > best[0]:
                    best = (
                        high * (column - begin),
                        column - begin,
                        high,
                        (slice(row - high + 1, row + 1), slice(begin, column)),
                    )
            stack.append((begin, tall))
    return best[1] * CELL, best[2] * CELL, best[3]


def in_rows(cells: NDArray[np.bool_], wide: float, high: float) -> int:
    """Rows from the top: at each height as many side by side as the cloth lets, then the next height below them."""
    across, down = (int(np.ceil(side / CELL)) for side in (wide, high))
    if across > cells.shape[1] or down > cells.shape[0]:
        return 0
    sums = np.pad(cells.astype(int).cumsum(0).cumsum(1), ((1, 0), (1, 0)))
    free = (
        sums[down:, across:] - sums[:-down, across:] - sums[down:, :-across] + sums[:-down, :-across] == across * down
    )
    count, row = 0, 0
    while row < free.shape[0]:
        here, column = 0, 0
        while column < free.shape[1]:
            if free[row, column]:
                here, column = here + 1, column + across
            else:
                column += 1
        count, row = count + here, row + (down if here else 1)
    return count


def lie(parts: list[Any], told: dict[Any, Any]) -> bool:
    """Whether every patch of a cloth lies within one piece of it, in its size, and on no other."""
    boxes = []
    for (wide, high), places in told.items():
        for x, y, across, down in places:
            if sorted((round(across, 6), round(down, 6))) != sorted((wide, high)):
                return False
            boxes.append(shapely.box(x, y, x + across, y + down))
    if not boxes:
        return True
    inside = all(any(each.buffer(0.02).contains(box) for each in parts) for box in boxes)
    return bool(inside and abs(shapely.union_all(boxes).area - sum(box.area for box in boxes)) < 0.01 * len(boxes))
