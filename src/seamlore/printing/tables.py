"""Tables as the document engine takes them: columns as wide as their words, none so wide that it crushes the rest."""

from __future__ import annotations

import re

from seamlore.drawing.metrics import width_em
from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import MM_PER_PT
from seamlore.drawing.svg import number
from seamlore.printing.content import Cell, Column, Span, Table
from seamlore.printing.fragment import to_typst
from seamlore.printing.words import literal, words, yes

# Type and inset of a table, and how wide it is at the least: as a section on A4.
_TABLE_EM_MM, _CELL_MM, _TABLE_MM = 9.5 * MM_PER_PT, 4.0, 118.0


def table_source(table: Table) -> str:
    """Write a table as the engine reads it."""
    widths = ", ".join(_width(table, index) for index in range(len(table.columns)))
    aligns = ", ".join("left" if column.align == "left" else "right" for column in table.columns)
    heads = "none"
    if any(column.head for column in table.columns):
        heads = "(" + "".join(f"{words(column.head)}, " for column in table.columns) + ")"
    slots = [
        column.align == "tape" and any(isinstance(row[index], str) and "/" in str(row[index]) for row in table.rows)
        for index, column in enumerate(table.columns)
    ]
    rows = "".join(
        "("
        + "".join(
            f"{_cell(cell, column, slot)}, " for cell, column, slot in zip(row, table.columns, slots, strict=True)
        )
        + "), "
        for row in table.rows
    )
    return f"listing(({widths},), ({aligns},), {heads}, ({rows}), {yes(table.last_strong)})"


def _width(table: Table, index: int) -> str:
    """As wide as its words, but no wider than its part of the line: what is long must not crush its neighbors."""
    column = table.columns[index]
    if column.share:
        return f"{column.share:g}fr"
    said = [column.head, *(_text(row[index]) for row in table.rows)]
    widest = max(width_em(each, "semibold") for each in said) * _TABLE_EM_MM
    word = max((width_em(each, "semibold") for line in said for each in line.split()), default=0.0) * _TABLE_EM_MM
    part = _TABLE_MM / len(table.columns)
    return "auto" if widest <= part else f"{number(max(part, word + _CELL_MM))}mm"


def _text(cell: Cell) -> str:
    if isinstance(cell, Picture):
        return ""
    if isinstance(cell, tuple):
        return "".join(_text(part) for part in cell)
    return cell.text if isinstance(cell, Span) else cell


def _cell(cell: Cell, column: Column, slot: bool) -> str:
    if isinstance(cell, Picture):
        return f"chip({cell.width_mm:g}mm, {cell.height_mm:g}mm, pdf.artifact({to_typst(cell)}))"
    if slot and isinstance(cell, str) and cell:
        found = re.fullmatch(r"(-?\d*)\s*(\d+/\d+)?", cell)
        if found:
            part = literal(found[2]) if found[2] else "none"
            return f"tape({words(found[1])}, {part})"
    return words(cell)
