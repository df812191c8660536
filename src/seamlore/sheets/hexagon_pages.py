"""Papers for hexagons at their finished size, side by side, and the template that cloth is cut by."""

from __future__ import annotations

from datetime import date
from math import floor, sqrt

import numpy as np

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, mm, ring
from seamlore.errors import PageError
from seamlore.lengths import show, show_seam, show_size
from seamlore.making.hexagons import Hexagons
from seamlore.pictures.palette import INK
from seamlore.pictures.templates import template_picture
from seamlore.plane.outline import Points
from seamlore.printing.content import Document, Paper, Paragraph, Plate, Section, Steps, Title
from seamlore.printing.pages import plate_room
from seamlore.sheets.cautions import CUTTING

_EDGE_MM = 0.5


def corners(side: float) -> Points:
    """The corners of a hexagon that stands on a point, its box beginning at 0, 0; shape (6, 2).

    Examples
    --------
    >>> np.ptp(corners(1.0), axis=0).round(4).tolist()
    [1.7321, 2.0]
    """
    turn = np.radians(np.arange(6) * 60.0 - 90)
    return side * np.column_stack([np.cos(turn) + sqrt(3) / 2, np.sin(turn) + 1])


def places(side: float, room: tuple[float, float]) -> list[tuple[float, float]]:
    """Lay as many as go on a page, every second row moved by half; give the corner of each one's box.

    Examples
    --------
    >>> len(places(10.0, (2 * 17.33, 35.0))), places(10.0, (17.0, 30.0))
    (3, [])
    """
    wide, high = room
    across = sqrt(3) * side
    found = []
    for row in range(max(0, floor((high - 2 * side) / (1.5 * side) + 1e-9) + 1)):
        begins = across / 2 if row % 2 else 0.0
        held = floor((wide - begins) / across + 1e-9)
        found += [(begins + across * column, 1.5 * side * row) for column in range(held)]
    return found


def hexagon_pages(given: Hexagons, paper: Paper, printed: date) -> Document:
    """Lay the sheet out: what is cut, how it is sewn, the template with its seam lines, the papers.

    Raises
    ------
    PageError
        When a hexagon does not go on the paper.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> from seamlore.making.hexagons import hexagons
    >>> laid = hexagon_pages(hexagons(inches(1), 120, inches(42)), "letter", date(2026, 11, 30))
    >>> [type(block).__name__ for block in laid.blocks]
    ['Title', 'Section', 'Section', 'Note', 'Plate', 'Plate']
    """
    room = plate_room(paper)
    side = mm(given.side)
    wide, high = room[0] - 2 * _EDGE_MM, room[1] - 2 * _EDGE_MM
    standing, lying = places(side, (wide, high)), places(side, (high, wide))
    at = max(standing, lying, key=len)
    size = show(given.side)
    template = template_picture(
        corners(given.side.inches_float),
        given.seam,
        "hexagon",
        (f"side {size}", f"{given.count:,} in all"),
        grain_deg=90,
    )
    if not at or template.width_mm > room[0] or template.height_mm > room[1]:
        raise PageError(
            f"a hexagon with sides of {size}",
            f"it does not go on {paper} paper",
            "make it smaller; it is not printed in parts",
        )
    times = -(-given.count // len(at))
    again = f"Print this page {times} times" if times > 1 else "Print this page once"
    each = f"{len(at)} papers on a page, {given.count:,} are needed."
    return Document(
        f"Hexagons with sides of {size}",
        (
            Title("To sew over papers", f"Hexagons with sides of {size}", f"{given.count:,} in all"),
            Section(
                "Cutting",
                (
                    Paragraph(f"{str(given)[0].upper()}{str(given)[1:]}."),
                    Paragraph(
                        f"Finished {show_size(given.side * 2, given.across)}, point to point and flat to flat; cut "
                        f"{show_size(*given.cut)}, which holds {show_seam(given.seam)} all round; rounded up, never down."
                    ),
                ),
            ),
            Section(
                "Sewing over papers",
                (
                    Steps(
                        (
                            f"Cut the papers on their lines: {given.count:,}.",
                            "Cut the cloth by the template, or leave the rectangles and trim them once they are basted.",
                            "Lay a paper on the wrong side, within the dashed line; fold the allowance over it and baste.",
                            "Whip the folded edges of two together, right sides facing, through the cloth alone.",
                            "Take a paper out when all its neighbors are sewn on; papers serve again.",
                        )
                    ),
                ),
                (Paragraph("Common practice, no source."),),
            ),
            CUTTING,
            Plate(
                "Template for the cloth",
                template,
                (Paragraph("Cut on the outer line; the dashed line is the seam, and the paper's edge.", "small"),),
            ),
            Plate(
                "Papers at finished size",
                _honeycomb(side, at, size, lying=at is not standing),
                (Paragraph(f"{again} on one side at 100 %: {each} Cut on the lines.", "small"),),
            ),
        ),
        printed,
        squares="plates",
        subject=f"Papers and template for {given.count:,} hexagons with sides of {size}",
    )


def _honeycomb(side: float, at: list[tuple[float, float]], size: str, *, lying: bool) -> Picture:
    turn = slice(None, None, -1 if lying else 1)
    outlines = [(corners(side) + place)[:, turn] for place in at]
    width, height = np.max(outlines, axis=(0, 1)).tolist()
    shapes = [Area((ring(each + _EDGE_MM),), None, INK, 0.2) for each in outlines]
    return picture(
        width + 2 * _EDGE_MM,
        height + 2 * _EDGE_MM,
        shapes,
        title="Papers for hexagons",
        description=f"{len(at)} papers for hexagons with sides of {size}, at finished size.",
    )
