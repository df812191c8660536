"""Templates gathered onto as few pages as can be, turned by quarters, at least a gap apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from random import Random

import numpy as np
from numpy.typing import NDArray

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Shape, moved
from seamlore.pictures.lettering import depth
from seamlore.plane.outline import Points

Mask = NDArray[np.bool_]
Wave = NDArray[np.complex128]
# Orders in which a few templates are tried, when the first two leave more pages than their area asks for.
_ORDERS = 6
_FEW = 10
_EMPTY = 0.45


@dataclass(frozen=True, slots=True)
class Spacing:
    """How far apart what stands on a page is kept at least, and how fine the cells are by which room is found; in mm."""

    gap_mm: float = 3.0
    cell_mm: float = 2.0


TEMPLATES = Spacing()


@dataclass(frozen=True, slots=True, eq=False)
class Turned:
    """A template turned by quarters, and the cells of a page that it takes, half a gap round it included."""

    drawn: Picture
    cells: Mask


@dataclass(eq=False)
class _Page:
    """A page being filled, and what is taken of it as a wave and in sums, until more is placed."""

    taken: Mask
    placed: list[tuple[Picture, float, float]]
    wave: Wave | None = None
    sums: NDArray[np.int64] | None = None


@dataclass(frozen=True, eq=False)
class _Room:
    """The room on a page; what each template takes as a wave, by the identity of its cells."""

    width: float
    height: float
    spacing: Spacing
    waves: dict[int, Wave]

    @property
    def cells(self) -> tuple[int, int]:
        """Rows and columns of cells."""
        return _cells(self.width, self.height, self.spacing)


def whole_cells(drawn: Picture, spacing: Spacing = TEMPLATES) -> Mask:
    """Give the cells of the whole box of a picture."""
    return np.ones(_cells(drawn.width_mm, drawn.height_mm, spacing), dtype=np.bool_)


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
    gap, cell = TEMPLATES.gap_mm, TEMPLATES.cell_mm
    middles = (corners + 0.5) * cell - gap / 2
    margin = (np.array([drawn.width_mm, drawn.height_mm]) - extent) / 2
    near = depth(cutting - low + margin, middles) > -(gap / 2 + cell)
    return np.asarray(near.reshape(rows, columns), dtype=np.bool_)


def fewest_pages(
    templates: Sequence[Sequence[Turned]],
    width: float,
    height: float,
    *,
    title: str = "Templates",
    spacing: Spacing = TEMPLATES,
) -> list[Picture]:
    """Fill pages in several orders, the largest first and the least square first, and keep the fewest pages.

    Parameters
    ----------
    templates : sequence of sequence of Turned
        Of each its turns; one of them is printed.
    width, height : float
        The room on a page, in millimeters.
    title : str
        Of each page.
    spacing : Spacing
        That the cells of the templates were found with.
    """
    if not templates:
        return []
    room = _Room(width, height, spacing, {})
    large = sorted(templates, key=lambda each: -int(each[0].cells.sum()))
    odd = sorted(large, key=lambda each: round(float(each[0].cells.mean()), 1))
    best = min((_pages(order, room) for order in (large, odd)), key=len)
    rows, columns = room.cells
    least = ceil(sum(int(each[0].cells.sum()) for each in large) / (rows * columns))
    for order in _more_orders(large):
        # Worth the time where a page is left nearly empty.
        if len(best) <= least or min(float(page.taken.mean()) for page in best) > _EMPTY:
            break
        best = min(best, _pages(order, room), key=len)
    return [_page(page.placed, title) for page in best]


def _more_orders(large: Sequence[Sequence[Turned]]) -> Iterator[list[Sequence[Turned]]]:
    """The same templates in other turns, and a few also in other orders, always the same ones."""
    dice = Random(1)
    yield [turns[1:2] or turns for turns in large]
    if len(large) > _FEW or all(turns[0].cells.all() for turns in large):
        return
    yield list(large[::-1])
    for _ in range(_ORDERS):
        order = list(large)
        dice.shuffle(order)
        yield order


def _cells(width: float, height: float, spacing: Spacing) -> tuple[int, int]:
    gap, cell = spacing.gap_mm, spacing.cell_mm
    # A hair of rounding takes no cell.
    return ceil((height + gap) / cell - 1e-6), ceil((width + gap) / cell - 1e-6)


def _pages(templates: Sequence[Sequence[Turned]], room: _Room) -> list[_Page]:
    """Set each template where it comes to lie highest on the first page with room for it."""
    pages: list[_Page] = []
    for turns in templates:
        if not any(_placed(page, turns, room) for page in pages):
            pages.append(_Page(np.zeros(room.cells, dtype=np.bool_), []))
            _placed(pages[-1], turns, room)
    return pages


def _placed(page: _Page, turns: Sequence[Turned], room: _Room) -> bool:
    cell = room.spacing.cell_mm
    best: tuple[tuple[int, int, int], Turned, int, int] | None = None
    for index, each in enumerate(turns):
        rows, columns = each.cells.shape
        free = _free(page, each.cells, room.waves)
        # Pages are a part of a cell larger than their room; the picture itself must stay inside.
        free[int((room.height - each.drawn.height_mm) / cell + 1e-6) + 1 :] = False
        free[:, int((room.width - each.drawn.width_mm) / cell + 1e-6) + 1 :] = False
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
    page.placed.append((turned.drawn, left * cell, top * cell))
    page.wave = page.sums = None
    return True


def _free(page: _Page, cells: Mask, waves: dict[int, Wave]) -> Mask:
    """Tell at which places of its top left cell a template meets nothing, shape (rows, columns) of the page."""
    taken = page.taken
    free = np.zeros(taken.shape, dtype=np.bool_)
    down, across = taken.shape[0] - cells.shape[0], taken.shape[1] - cells.shape[1]
    if down < 0 or across < 0:
        return free
    if cells.all():
        # Of a box what is taken beneath it is a difference of sums.
        if page.sums is None:
            page.sums = np.pad(taken.cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))
        sums = page.sums
        rows, columns = cells.shape
        beneath = sums[rows:, columns:] - sums[:-rows, columns:] - sums[rows:, :-columns] + sums[:-rows, :-columns]
        free[: down + 1, : across + 1] = beneath == 0
        return free
    # Cells that meet are counted at all places at once, as a correlation. Only places wholly on the page are asked for, so
    # that it may go round at the page's edges; multiples of 32 are quick.
    shape = tuple(32 * ceil(side / 32) for side in taken.shape)
    if page.wave is None:
        page.wave = np.fft.rfft2(taken, shape)
    if id(cells) not in waves:
        waves[id(cells)] = np.conj(np.fft.rfft2(cells, shape))
    meet = np.fft.irfft2(page.wave * waves[id(cells)], shape)
    free[: down + 1, : across + 1] = meet[: down + 1, : across + 1] < 0.5
    return free


def _page(placed: Sequence[tuple[Picture, float, float]], title: str) -> Picture:
    shapes: list[Shape] = [moved(each.shapes, x, y, name=each.title) for each, x, y in placed]
    width = max(x + each.width_mm for each, x, _ in placed)
    height = max(y + each.height_mm for each, _, y in placed)
    said = " ".join(each.description for each, _, _ in placed)
    return picture(width, height, shapes, title=title, description=said)
