"""Rectangles out of an odd scrap with spoilt places, each set free by cuts that run straight through what they divide."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from seamlore.fabric.stash import Holding
from seamlore.plane.outline import Points

Flags = NDArray[np.bool_]
Box = tuple[int, int, int, int]

# So many steps across or along the scrap's longer side at most: its marks are as fine as that.
FINEST = 160
MOST = 40


def rectangles(holding: Holding, least_in: float) -> list[tuple[float, float, float, float]]:
    """Find rectangles that lie wholly on sound fabric.

    The largest comes first; the scrap is parted along one of its sides, straight through, and each part is looked at in
    the same way.

    Parameters
    ----------
    holding : Holding
        A scrap with an outline.
    least_in : float
        A rectangle narrower than this is of no use.

    Returns
    -------
    list of (x, y, width, height)
        In inches, from the corner of the scrap's box; on a grid of 1/8 in, coarser where the scrap is large.

    Examples
    --------
    >>> from fractions import Fraction as f
    >>> from seamlore.lengths import inches
    >>> ell = ((f(0), f(0)), (f(10), f(0)), (f(10), f(4)), (f(4), f(4)), (f(4), f(9)), (f(0), f(9)))
    >>> rectangles(Holding("Red", "scrap", inches(10), inches(9), 1, ell), 2)
    [(0.0, 0.0, 10.0, 4.0), (0.0, 4.0, 4.0, 5.0)]
    >>> rectangles(Holding("Red", "scrap", inches(10), inches(9), 1, ell, (ell,)), 2)
    []
    """
    longer = max(holding.width.inches_float, holding.length.inches_float)
    step = 0.125
    while longer / step > FINEST:
        step *= 2
    sound = _sound(holding, step)
    narrow = max(1, int(np.ceil(least_in / step - 1e-9)))
    found: list[Box] = []
    todo: list[Box] = [(0, 0, sound.shape[1], sound.shape[0])]
    while todo and len(found) < MOST:
        part = todo.pop(0)
        best = _largest(sound, part, narrow)
        if best is None:
            continue
        if best == part:
            found.append(best)
            continue
        todo[:0] = _parted(sound, part, best, narrow)
    found.sort(key=lambda box: -(box[2] - box[0]) * (box[3] - box[1]))
    return [(x0 * step, y0 * step, (x1 - x0) * step, (y1 - y0) * step) for x0, y0, x1, y1 in found]


def _parted(sound: Flags, part: Box, best: Box, narrow: int) -> list[Box]:
    """Cut a part along one side of its largest rectangle: there where most is left on the other side."""
    x0, y0, x1, y1 = part
    ways: list[tuple[Box, Box]] = []
    if best[0] > x0:
        ways.append(((best[0], y0, x1, y1), (x0, y0, best[0], y1)))
    if best[2] < x1:
        ways.append(((x0, y0, best[2], y1), (best[2], y0, x1, y1)))
    if best[1] > y0:
        ways.append(((x0, best[1], x1, y1), (x0, y0, x1, best[1])))
    if best[3] < y1:
        ways.append(((x0, y0, x1, best[3]), (x0, best[3], x1, y1)))

    def left(way: tuple[Box, Box]) -> int:
        other = _largest(sound, way[1], narrow)
        return 0 if other is None else (other[2] - other[0]) * (other[3] - other[1])

    part_first, other = max(ways, key=left)
    return [part_first, other]


def _largest(sound: Flags, part: Box, narrow: int) -> Box | None:
    """The largest sound rectangle within a part, at least so narrow; by the heights of sound columns, row by row."""
    x0, y0, x1, y1 = part
    width = x1 - x0
    high = np.zeros(width, np.int64)
    best, area = None, 0
    for y in range(y0, y1):
        high = np.where(sound[y, x0:x1], high + 1, 0)
        if high.max(initial=0) < narrow:
            continue
        stack: list[int] = []
        row = [*high.tolist(), 0]
        for x, tall in enumerate(row):
            while stack and row[stack[-1]] >= tall:
                top = row[stack.pop()]
                begin = stack[-1] + 1 if stack else 0
                if top >= narrow and x - begin >= narrow and top * (x - begin) > area:
                    area = top * (x - begin)
                    best = (x0 + begin, y - top + 1, x0 + x, y + 1)
            stack.append(x)
    return best


def _sound(holding: Holding, step: float) -> Flags:
    """Which squares of the grid lie wholly inside the outline and on no spoilt place; shape (down, across)."""
    across, down = (max(1, int(np.ceil(side.inches_float / step - 1e-9))) for side in (holding.width, holding.length))
    outline = np.array([(float(x), float(y)) for x, y in holding.outline]) / step
    sound = _inside(outline, across, down) & ~_touched(outline, across, down)
    for hole in holding.spoilt:
        corners = np.array([(float(x), float(y)) for x, y in hole]) / step
        sound &= ~(_inside(corners, across, down) | _touched(corners, across, down))
    return sound


def _inside(corners: Points, across: int, down: int) -> Flags:
    """Whose middles lie inside, by counting the sides that a ray crosses."""
    x, y = np.arange(across) + 0.5, np.arange(down) + 0.5
    odd = np.zeros((down, across), np.bool_)
    for (ax, ay), (bx, by) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        crosses = (ay > y) != (by > y)
        with np.errstate(divide="ignore", invalid="ignore"):
            at = ax + (y - ay) * (bx - ax) / (by - ay)
        odd ^= crosses[:, None] & (x[None, :] < at[:, None])
    return odd


def _touched(corners: Points, across: int, down: int) -> Flags:
    """Through whose inside a side runs; one that runs along a line of the grid touches nothing."""
    found = np.zeros((down, across), np.bool_)
    for (ax, ay), (bx, by) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        for row in _rows(ay, by, down):
            low, high = max(row, min(ay, by)), min(row + 1, max(ay, by))
            ends = [ax, bx] if ay == by else [ax + (at - ay) * (bx - ax) / (by - ay) for at in (low, high)]
            first, last = int(np.floor(min(ends) + 1e-9)), int(np.ceil(max(ends) - 1e-9))
            found[row, max(0, first) : min(across, last)] = True
    return found


def _rows(one: float, two: float, down: int) -> Sequence[int]:
    low, high = min(one, two), max(one, two)
    if abs(low - round(low)) < 1e-9 and abs(high - low) < 1e-9:
        return ()
    return range(max(0, int(np.floor(low + 1e-9))), min(down, int(np.ceil(high - 1e-9))))
