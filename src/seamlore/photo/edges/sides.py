"""Find one side of the quilt: the line that parts quilt from ground, or along which its edge is seen.

Every side is looked for as if it were the top: pictures are turned so that it is, and answers turned back.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Numbers = NDArray[np.float64]
Pair = tuple[float, float]
_Lines = tuple[Numbers, Numbers, NDArray[np.intp]]

# How many pixels of plain evidence a full edge is worth (tuned on rendered quilts).
EDGE_WORTH = 8.0
# Steepest side, as rise over run: a quilt photographed from its foot narrows this much.
_STEEPEST_SIDE = 0.45
# The same of an edge that is seen, as its rise across the picture in parts of the picture's height.
_STEEPEST = 0.6


def turned(picture: Floats, side: int) -> Floats:
    """Turn a picture so that side 0..3 (top, right, bottom, left) is on top."""
    return np.rot90(picture, side)


def to_turned(point: Pair, side: int, shape: tuple[int, int]) -> Pair:
    """Take a point of a picture of (height, width) to where `turned` puts it.

    Examples
    --------
    >>> to_turned((7, 2), 1, (5, 8))
    (2, 0)
    """
    x, y = point
    h, w = shape
    return ((x, y), (y, w - 1 - x), (w - 1 - x, h - 1 - y), (h - 1 - y, x))[side]


def from_turned(point: Pair, side: int, shape: tuple[int, int]) -> Pair:
    """Take a point of a turned picture back; `shape` is that of the picture before turning.

    Examples
    --------
    >>> from_turned((2, 0), 1, (5, 8))
    (7, 2)
    """
    x, y = point
    h, w = shape
    return ((x, y), (w - 1 - y, x), (w - 1 - x, h - 1 - y), (y, h - 1 - x))[side]


def edge_strength(lab: Floats, along_px: float = 5.0, across_px: float = 1.2) -> Floats:
    """Map how strongly color changes down the picture along level lines, 0..1.

    Averaging along the line first lets prints and weave cancel out: a long edge keeps its step.

    Parameters
    ----------
    lab : ndarray of float32, shape (h, w, 3)
    along_px, across_px : float, optional
        How far to average along and across the line.

    Returns
    -------
    ndarray of float32, shape (h, w)
        A half means an edge twice as strong as is usual in this picture.
    """
    calm = cv2.GaussianBlur(np.ascontiguousarray(lab), (0, 0), sigmaX=along_px, sigmaY=across_px)
    step = cv2.Sobel(calm, cv2.CV_32F, 0, 1, ksize=3) / 8
    size = np.sqrt((step * step).sum(axis=-1))
    usual = max(2 * float(np.median(size)), 0.8)
    return np.asarray(size / (size + usual), dtype=np.float32)


def best_ridge(seen: Floats) -> tuple[float, float, float]:
    """Lay the line along which an edge is seen best, for the side on top.

    Parameters
    ----------
    seen : ndarray of float32, shape (h, w)
        How likely the edge runs through each spot, 0..1.

    Returns
    -------
    y0, y1 : float
        Where it crosses the first and the last column; outside the picture if it is steep.
    length : float
        Along how many columns it is seen.

    Examples
    --------
    >>> picture = np.zeros((64, 64), np.float32)
    >>> picture[20, 8:56] = 1
    >>> y0, y1, length = best_ridge(picture)
    >>> abs(y0 - 20) <= 1, abs(y1 - 20) <= 1, 30 < length < 64
    (True, True, True)
    """
    h, w = seen.shape

    def search(blurred: Any, lines: _Lines) -> tuple[float, float, float]:
        a, b, places = lines
        # One empty row above and one below stand for all that is outside.
        framed = np.vstack([np.zeros((1, w), np.float32), blurred, np.zeros((1, w), np.float32)])
        scores = np.take(framed, places).sum(axis=1)
        top = int(scores.argmax())
        return float(a[top]), float(b[top]), float(scores[top])

    a, b, _ = search(cv2.GaussianBlur(seen, (0, 0), 3.0), _coarse_lines(h, w))
    for step in (2.0, 1.0):
        around = np.arange(-3, 4) * step
        a, b, _ = search(cv2.GaussianBlur(seen, (0, 0), step), _lines(h, w, a + around, b + around))
    # Bowed edges leave the line a little.
    widened = cv2.dilate(seen, np.ones((5, 1), np.uint8))
    a, b, length = search(widened, _lines(h, w, np.array([a]), np.array([b])))
    return a, b, length


def _lines(h: int, w: int, starts: NDArray[Any], ends: NDArray[Any]) -> _Lines:
    """List the lines across a picture that are not too steep: where each starts and ends, and what it runs through.

    Places are counted in reading order in the picture with a row more above and below, shape (lines, w).
    """
    a, b = (grid.ravel() for grid in np.meshgrid(starts, ends))
    kept = np.abs(a - b) <= _STEEPEST * h
    a, b = a[kept], b[kept]
    columns = np.arange(w)
    rows = np.rint(a[:, None] + (b - a)[:, None] * (columns / max(w - 1, 1))).astype(np.intp) + 1
    return a, b, np.clip(rows, 0, h + 1) * w + columns


@lru_cache(maxsize=1)
def _coarse_lines(h: int, w: int) -> _Lines:
    grid = np.arange(-0.3 * h, 0.8 * h, 4.0)
    return _lines(h, w, grid, grid)


def best_line(said: Floats, edge: Floats, run: tuple[float, float], deepest: int) -> tuple[float, float]:
    """Find the line that best parts ground (above) from quilt (below).

    Parameters
    ----------
    said : ndarray of float32, shape (h, w)
        Log of quilt over ground.
    edge : ndarray of float32, shape (h, w)
        Strength of level edges, 0..1.
    run : (x0, x1)
        The columns between which the side lies.
    deepest : int
        How far down it is looked for.

    Returns
    -------
    y0, y1 : float
        Where it crosses the columns x0 and x1.
    """
    h, w = edge.shape
    x0, x1 = run
    count = min(64, max(8, int(x1 - x0) // 4))
    columns = np.clip(np.linspace(x0, x1, count).round().astype(int), 0, w - 1)
    above = np.vstack([np.zeros((1, count)), np.cumsum(said[:, columns], axis=0)])
    worth = np.vstack([EDGE_WORTH * edge[:, columns], np.zeros((1, count))])
    worth[0] = 0  # the rim of the picture is no edge
    gain = (worth - above).astype(np.float32)
    part = np.linspace(0, 1, count)
    each = np.arange(count)

    def search(starts: Numbers, ends: Numbers) -> tuple[float, float]:
        a, b = (grid.ravel() for grid in np.meshgrid(starts, ends))
        kept = np.abs(a - b) <= _STEEPEST_SIDE * (x1 - x0)
        a, b = a[kept], b[kept]
        rows = np.clip((a[:, None] + (b - a)[:, None] * part).round().astype(int), 0, h)
        scores = gain[rows, each].mean(axis=1)
        top = int(scores.argmax())
        return float(a[top]), float(b[top])

    grid = np.arange(0, max(deepest, 5), 4, dtype=np.float64)
    a, b = search(grid, grid)
    for step in (2, 1):
        around = np.arange(-4, 5) * step
        a, b = search(np.clip(a + around, 0, h - 1), np.clip(b + around, 0, h - 1))
    return a, b


def best_path(gain: Floats, stiffness: float, widest_step: int = 2) -> NDArray[np.int64]:
    """Find the row in each column that gains most in sum, bending as little as it must.

    Parameters
    ----------
    gain : ndarray of float32, shape (rows, columns)
    stiffness : float
        What a step of one row between neighboring columns costs; larger steps cost its square.
    widest_step : int, optional

    Returns
    -------
    ndarray of int, shape (columns,)

    Examples
    --------
    >>> picture = np.zeros((5, 4), np.float32)
    >>> picture[[1, 1, 2, 2], [0, 1, 2, 3]] = 9
    >>> best_path(picture, 1.0).tolist()
    [1, 1, 2, 2]
    """
    rows, columns = gain.shape
    price = stiffness * np.arange(-widest_step, widest_step + 1)[:, None] ** 2.0
    # One row more at each end than can be stepped from, so that every row sees all of its neighbors.
    total = np.full(rows + 2 * widest_step, -np.inf)
    here = total[widest_step : widest_step + rows]
    around = np.lib.stride_tricks.sliding_window_view(total, rows)
    worth = np.ascontiguousarray(gain.T, dtype=np.float64)
    # For each column, step and row: the most that a path can have gained before it steps to that row.
    offers = np.empty((columns, len(price), rows))
    here[:] = worth[0]
    for column in range(1, columns):
        np.subtract(around, price, out=offers[column])
        np.maximum.reduce(offers[column], axis=0, out=here)
        here += worth[column]
    path = np.empty(columns, dtype=np.int64)
    path[-1] = row = int(here.argmax())
    for column in range(columns - 1, 0, -1):
        path[column - 1] = row = row + int(offers[column, :, row].argmax()) - widest_step
    return path
