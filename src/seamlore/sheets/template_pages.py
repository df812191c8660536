"""Templates gathered onto pages at true scale; a template larger than the page in tiles with matching marks."""

from __future__ import annotations

from collections.abc import Sequence

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Shape, moved
from seamlore.drawing.tiling import tiles
from seamlore.lengths import Length, show
from seamlore.pictures.templates import template_picture
from seamlore.printing.content import Block, Paper, Paragraph, Plate
from seamlore.printing.pages import plate_room
from seamlore.sheets.content import PatchTemplate

_GAP_MM = 4.0


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
        None when there is no template.

    Raises
    ------
    PageError
        When a template would take more pages than `drawing.tiling.MOST_TILES`.
    """
    room = plate_room(paper)
    drawn = [
        template_picture(each.outline_in, allowance, each.label, each.lines, grain_deg=each.grain_deg)
        for each in templates
    ]
    fitting = [each for each in drawn if each.width_mm <= room[0] and each.height_mm <= room[1]]
    pages = _pages(fitting, *room)
    for each in drawn:
        if each not in fitting:
            pages += [tile.picture for tile in tiles(each, *room)]
    use = (
        Paragraph("Cut on the outer line. Sew on the dashed line, dot to dot.", "small"),
        Paragraph(
            f"The seam allowance of {show(allowance)} is drawn. The arrow lies on the straight grain; "
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


def _pages(drawn: Sequence[Picture], width: float, height: float) -> list[Picture]:
    """Set pictures in rows, the tallest first, and rows on pages."""
    pages: list[Picture] = []
    placed: list[tuple[Picture, float, float]] = []
    x = y = row = 0.0
    for each in sorted(drawn, key=lambda one: -one.height_mm):
        if x and x + each.width_mm > width:
            x, y, row = 0.0, y + row + _GAP_MM, 0.0
        if y and y + each.height_mm > height:
            pages.append(_page(placed))
            placed, x, y, row = [], 0.0, 0.0, 0.0
        placed.append((each, x, y))
        x, row = x + each.width_mm + _GAP_MM, max(row, each.height_mm)
    if placed:
        pages.append(_page(placed))
    return pages


def _page(placed: Sequence[tuple[Picture, float, float]]) -> Picture:
    shapes: list[Shape] = [moved(each.shapes, x, y, name=each.title) for each, x, y in placed]
    width = max(x + each.width_mm for each, x, _ in placed)
    height = max(y + each.height_mm for each, _, y in placed)
    said = " ".join(each.description for each, _, _ in placed)
    return picture(width, height, shapes, title="Templates", description=said)
