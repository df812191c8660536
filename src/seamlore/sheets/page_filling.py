"""Templates gathered onto as few pages as can be, turned by quarters, at least a gap apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Shape, moved
from seamlore.pictures.lettering import depth
from seamlore.plane.outline import Points

Mask = NDArray[np.bool_]
_GAP_MM = 3.0
_CELL_MM = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class Turned:
    """A template turned by quarters, and the cells of a page that it takes, half a gap round it included."""

    drawn: Picture
    cells: Mask


@dataclass(eq=False)
class _Page:
    """A page being filled."""

    taken: Mask
    placed: list[tuple[Picture, float, float]]


def whole_cells(drawn: Picture) -> Mask:
    """Give the cells of the whole box of a picture."""
    shape = ceil((drawn.height_mm + _GAP_MM) / _CELL_MM), ceil((drawn.width_mm + _GAP_MM) / _CELL_MM)
    return np.ones(shape, dtype=np.bool_)


def near_cells(cutting: Points, drawn: Picture) -> Mask:
    """Give the cells that a template takes: those near its cutting line, or its whole box where words stand under it.

    Parameters
    ----------
    cutting : ndarray, shape (n, 2)
        Its cutting line in millimeters.
    drawn : Picture
    """
    whole = whole_cells(drawn)
    rows, columns = whole.shape
    low, extent = cutting.min(axis=0), np.ptp(cutting, axis=0)
    if drawn.height_mm > extent[1] + 2:
        return whole
    x, y = np.meshgrid(np.arange(columns), np.arange(rows))
    corners = np.stack([x, y], axis=-1).reshape(-1, 2).astype(np.float64)
    middles = (corners + 0.5) * _CELL_MM - _GAP_MM / 2
    margin = (np.array([drawn.width_mm, drawn.height_mm]) - extent) / 2
    near = depth(cutting - low + margin, middles) > -(_GAP_MM / 2 + _CELL_MM)
    return np.asarray(near.reshape(rows, columns), dtype=np.bool_)


def fewest_pages(templates: Sequence[Sequence[Turned]], width: float, height: float) -> list[Picture]:
    """Fill pages in two orders, the largest first and the least square first, and keep the fewer pages."""
    large = sorted(templates, key=lambda each: -int(each[0].cells.sum()))
    odd = sorted(large, key=lambda each: round(float(each[0].cells.mean()), 1))
    return min((_pages(order, width, height) for order in (large, odd)), key=len)


def _pages(templates: Sequence[Sequence[Turned]], width: float, height: float) -> list[Picture]:
    """Set each template where it comes to lie highest on the first page with room for it."""
    rows, columns = ceil((height + _GAP_MM) / _CELL_MM), ceil((width + _GAP_MM) / _CELL_MM)
    pages: list[_Page] = []
    for turns in templates:
        if not any(_placed(page, turns, width, height) for page in pages):
            pages.append(_Page(np.zeros((rows, columns), dtype=np.bool_), []))
            _placed(pages[-1], turns, width, height)
    return [_page(page.placed) for page in pages]


def _placed(page: _Page, turns: Sequence[Turned], width: float, height: float) -> bool:
    best: tuple[tuple[int, int, int], Turned, int, int] | None = None
    for index, each in enumerate(turns):
        rows, columns = each.cells.shape
        free = _free(page.taken, each.cells)
        # Pages are a part of a cell larger than their room; the picture itself must stay inside.
        free[int((height - each.drawn.height_mm) / _CELL_MM + 1e-9) + 1 :] = False
        free[:, int((width - each.drawn.width_mm) / _CELL_MM + 1e-9) + 1 :] = False
        if not free.any():
            continue
        top, left = (int(at[0]) for at in np.nonzero(free))
        score = (top + rows, left + columns, index)
        if best is None or score < best[0]:
            best = score, each, top, left
    if best is None:
        return False
    _, turned, top, left = best
    rows, columns = turned.cells.shape
    page.taken[top : top + rows, left : left + columns] |= turned.cells
    page.placed.append((turned.drawn, left * _CELL_MM, top * _CELL_MM))
    return True


def _free(taken: Mask, cells: Mask) -> Mask:
    """Tell at which places of its top left cell a template meets nothing, shape (rows, columns) of the page."""
    free = np.zeros(taken.shape, dtype=np.bool_)
    down, across = taken.shape[0] - cells.shape[0], taken.shape[1] - cells.shape[1]
    if down < 0 or across < 0:
        return free
    # Cells that meet are counted at all places at once, as a correlation.
    shape = (taken.shape[0] + cells.shape[0], taken.shape[1] + cells.shape[1])
    meet = np.fft.irfft2(np.fft.rfft2(taken, shape) * np.conj(np.fft.rfft2(cells, shape)), shape)
    free[: down + 1, : across + 1] = meet[: down + 1, : across + 1] < 0.5
    return free


def _page(placed: Sequence[tuple[Picture, float, float]]) -> Picture:
    shapes: list[Shape] = [moved(each.shapes, x, y, name=each.title) for each, x, y in placed]
    width = max(x + each.width_mm for each, x, _ in placed)
    height = max(y + each.height_mm for each, _, y in placed)
    said = " ".join(each.description for each, _, _ in placed)
    return picture(width, height, shapes, title="Templates", description=said)
