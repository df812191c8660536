"""Templates gathered onto pages at true scale; a template larger than the page in tiles with matching marks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import MM_PER_INCH, Shape, moved
from seamlore.drawing.tiling import OVERLAP_MM, Tile, tiles
from seamlore.lengths import Length, show_seam
from seamlore.pictures.lettering import depth, heart
from seamlore.pictures.templates import template_picture
from seamlore.plane.outline import as_outline, grow
from seamlore.printing.content import Block, Paper, Paragraph, Plate
from seamlore.printing.pages import plate_room
from seamlore.sheets.content import PatchTemplate

Mask = NDArray[np.bool_]
_GAP_MM = 3.0
_CELL_MM = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class _Turned:
    """A template turned by quarters, and the cells of a page that it takes, half a gap round it included."""

    drawn: Picture
    cells: Mask


@dataclass(eq=False)
class _Page:
    """A page being filled."""

    taken: Mask
    placed: list[tuple[Picture, float, float]]


def template_plates(templates: Sequence[PatchTemplate], allowance: Length, paper: Paper) -> tuple[Block, ...]:
    """Lay templates out on plates.

    Parameters
    ----------
    templates : sequence of PatchTemplate
    allowance : Length
        Seam allowance.
    paper : {"letter", "a4"}

    Returns
    -------
    tuple of Plate
        None when there is no template. Templates may be turned by quarters, never mirrored, and stand at least
        3 mm apart.

    Raises
    ------
    PageError
        When a template would take more pages than `drawing.tiling.MOST_TILES`.
    """
    room = plate_room(paper)
    pages = _fewest([each for given in templates for each in _parts(given, allowance, room)], *room)
    use = (
        Paragraph("Cut on the outer line. Sew on the dashed line, dot to dot.", "small"),
        Paragraph(
            f"The seam allowance of {show_seam(allowance)} is drawn. The arrow lies on the straight grain; "
            "the ticks are notches to match at the middle of each side.",
            "small",
        ),
        Paragraph("Print on one side at 100 %. Turn a template over for a mirrored patch.", "small"),
    )
    heading = "Templates at true scale"
    return tuple(
        Plate(f"{heading}, page {index} of {len(pages)}" if len(pages) > 1 else heading, each, use)
        for index, each in enumerate(pages, start=1)
    )


def _parts(given: PatchTemplate, allowance: Length, room: tuple[float, float]) -> list[list[_Turned]]:
    """Give a template in all its turns that go on a page, no two alike, or else each of its tiles."""
    turns = list(_turns(given, allowance))
    fitting: list[_Turned] = []
    for outline, drawn in turns:
        if drawn.width_mm <= room[0] and drawn.height_mm <= room[1]:
            cells = _cells(outline, allowance, drawn)
            if not any(np.array_equal(cells, each.cells) for each in fitting):
                fitting.append(_Turned(drawn, cells))
    if fitting:
        return [fitting]
    if given.by_ruler:
        # Its size stands in the cutting list; it is not pasted together from several pages.
        return []
    cut = [(tiles(drawn, *room), _label_spot(outline, drawn)) for outline, drawn in turns]
    # Of as many tiles, those whose seams run farthest from the label.
    best, _ = min(cut, key=lambda each: (len(each[0]), -round(_from_seams(*each), 1)))
    return [[_Turned(tile.picture, _whole(tile.picture))] for tile in best]


def _label_spot(outline_in: NDArray[np.float64], drawn: Picture) -> tuple[float, float]:
    sewing = as_outline(outline_in) * MM_PER_INCH
    x, y, _ = heart(sewing)
    low, extent = sewing.min(axis=0), np.ptp(sewing, axis=0)
    left, top = (drawn.width_mm - extent[0]) / 2 - low[0], (drawn.height_mm - extent[1]) / 2 - low[1]
    return float(x + left), float(y + top)


def _from_seams(cut: Sequence[Tile], spot: tuple[float, float]) -> float:
    """Give the distance from a spot to the nearest line along which tiles are joined, in mm."""
    across = [abs(spot[0] - tile.left_mm - OVERLAP_MM / 2) for tile in cut if tile.column]
    down = [abs(spot[1] - tile.top_mm - OVERLAP_MM / 2) for tile in cut if tile.row]
    return min(across + down)


def _turns(given: PatchTemplate, allowance: Length) -> Iterator[tuple[NDArray[np.float64], Picture]]:
    """Draw a template as it was given and turned clockwise by one, two and three quarters."""
    outline, grain = np.asarray(given.outline_in, dtype=np.float64), given.grain_deg
    for _ in range(4):
        yield outline, template_picture(outline, allowance, given.label, given.lines, grain_deg=grain)
        outline, grain = np.column_stack([-outline[:, 1], outline[:, 0]]), (grain + 90) % 180


def _whole(drawn: Picture) -> Mask:
    shape = ceil((drawn.height_mm + _GAP_MM) / _CELL_MM), ceil((drawn.width_mm + _GAP_MM) / _CELL_MM)
    return np.ones(shape, dtype=np.bool_)


def _cells(outline_in: NDArray[np.float64], allowance: Length, drawn: Picture) -> Mask:
    whole = _whole(drawn)
    rows, columns = whole.shape
    cutting = grow(as_outline(outline_in) * MM_PER_INCH, allowance.inches_float * MM_PER_INCH)
    low, extent = cutting.min(axis=0), np.ptp(cutting, axis=0)
    if drawn.height_mm > extent[1] + 2:
        # Words stand under it: the whole box is taken.
        return whole
    x, y = np.meshgrid(np.arange(columns), np.arange(rows))
    corners = np.stack([x, y], axis=-1).reshape(-1, 2).astype(np.float64)
    middles = (corners + 0.5) * _CELL_MM - _GAP_MM / 2
    margin = (np.array([drawn.width_mm, drawn.height_mm]) - extent) / 2
    near = depth(cutting - low + margin, middles) > -(_GAP_MM / 2 + _CELL_MM)
    return np.asarray(near.reshape(rows, columns), dtype=np.bool_)


def _fewest(templates: Sequence[Sequence[_Turned]], width: float, height: float) -> list[Picture]:
    """Fill pages in two orders, the largest first and the least square first, and keep the fewer pages."""
    large = sorted(templates, key=lambda each: -int(each[0].cells.sum()))
    odd = sorted(large, key=lambda each: round(float(each[0].cells.mean()), 1))
    return min((_pages(order, width, height) for order in (large, odd)), key=len)


def _pages(templates: Sequence[Sequence[_Turned]], width: float, height: float) -> list[Picture]:
    """Set each template where it comes to lie highest on the first page with room for it."""
    rows, columns = ceil((height + _GAP_MM) / _CELL_MM), ceil((width + _GAP_MM) / _CELL_MM)
    pages: list[_Page] = []
    for turns in templates:
        if not any(_placed(page, turns, width, height) for page in pages):
            pages.append(_Page(np.zeros((rows, columns), dtype=np.bool_), []))
            _placed(pages[-1], turns, width, height)
    return [_page(page.placed) for page in pages]


def _placed(page: _Page, turns: Sequence[_Turned], width: float, height: float) -> bool:
    best: tuple[tuple[int, int, int], _Turned, int, int] | None = None
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
