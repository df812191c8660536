"""Hexagons over papers: what is cut for them, and their papers to print."""

from __future__ import annotations

from datetime import date
from typing import Any

from seamlore.errors import PlanError
from seamlore.lengths import Length, Unit, length
from seamlore.limits import whole_number
from seamlore.making.hexagons import Hexagons, hexagons
from seamlore.printing.content import Paper
from seamlore.steps.edit.typed import with_unit


def hexagons_asked(side: Length, count: int, width: Length, seam: Length | None = None) -> Hexagons:
    """Reckon hexagons, as `making.hexagons.hexagons` does."""
    return hexagons(side, count, width, seam)


def hexagons_typed(side: str, count: str, width: Length, seam: Length | None, unit: Unit) -> Hexagons:
    """Reckon hexagons as they were asked for on the page; bare numbers are in the unit of the study.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> hexagons_typed("1", "60", inches(42), None, Unit.INCH).strips
    4
    >>> hexagons_typed("1", "many", inches(42), None, Unit.INCH)
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: "many" hexagons: a count is a whole number; write it as 60
    """
    many = whole_number(count.strip()) if count.strip().isdigit() else None
    if many is None:
        raise PlanError(f'"{count}" hexagons', "a count is a whole number", "write it as 60")
    return hexagons(length(with_unit(side, unit)), many, width, seam)


def hexagons_pdf(given: Hexagons, paper: Paper, printed: date) -> bytes:
    """Print the papers and the template."""
    from seamlore.printing.pages import to_pdf  # the document engine: slow to import
    from seamlore.sheets.hexagon_pages import hexagon_pages

    return to_pdf(hexagon_pages(given, paper, printed), paper)


def hexagons_record(given: Hexagons) -> dict[str, Any]:
    """Give what is cut as plain data."""
    unit = given.side.unit
    return {
        "unit": str(unit),
        "side": given.side.number,
        "count": given.count,
        "finished": [(given.side * 2).number, given.across.number],
        "cut": [each.number for each in given.cut],
        "per_strip": given.held,
        "strips": given.strips,
        "width": given.width.number,
        "length": given.length.number,
        "buy": given.buy,
    }
