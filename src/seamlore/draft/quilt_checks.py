"""What makes a quilt one: as many cells as its setting takes, kinds that are there, sizes and a cut that leave something."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seamlore.draft.kinds import Cells, check_letters
from seamlore.draft.setting.setting import (
    OnPoint,
    Setting,
    row_counts,
)
from seamlore.draft.where import said
from seamlore.errors import LengthError, ShapeError, UnknownNameError, nearest

if TYPE_CHECKING:
    from seamlore.draft.quilt import Quilt


def counts_of(setting: Setting, cells: Cells) -> tuple[int, int]:
    """Give the rows and columns of a picture of cells, as `setting.spots` takes them."""
    rows, columns = len(cells), len(cells[0]) if cells else 0
    if isinstance(setting, OnPoint):
        halves = setting.edge == "half blocks"
        return (rows - 1 if halves else rows + 1) // 2, columns - halves
    return rows, columns


def check_counts(rows: int, columns: int) -> None:
    """Refuse counts of rows and columns that make no quilt.

    Raises
    ------
    ShapeError
    """
    if rows < 1 or columns < 1:
        raise ShapeError(
            f"{rows} rows of {columns} blocks",
            "a quilt has at least one block",
            "give 1 or more of each",
        )


def check_shape(quilt: Quilt) -> None:
    """Refuse other numbers of rows and of cells in a row than the setting takes."""
    rows, columns = counts_of(quilt.setting, quilt.cells)
    check_counts(rows, columns)
    wanted = row_counts(quilt.setting, rows, columns)
    if isinstance(quilt.setting, OnPoint) and len(quilt.cells) != len(wanted):
        raise ShapeError(
            f"{len(quilt.cells)} rows of blocks on point",
            "whole rows and the rows between them take turns, and the first and the last are alike",
            "leave a row out or put one in",
        )
    for number, (cells, count) in enumerate(zip(quilt.cells, wanted, strict=True), start=1):
        if len(cells) != count:
            raise ShapeError(
                f"{len(cells)} block{'s' * (len(cells) != 1)}",
                f"this row has {count}",
                "give one for each",
                where=f"row {number}",
            )


def check_kinds(quilt: Quilt) -> None:
    """Refuse kinds of one name, kinds that are not there, and kinds that nothing takes."""
    names = [kind.name for kind in quilt.kinds]
    again = next((name for index, name in enumerate(names) if name in names[:index]), None)
    if again:
        raise ShapeError(f"two kinds called {again}", "kinds are told apart by their names", "rename one")
    used: set[str] = set()
    for row, cells in enumerate(quilt.cells):
        for column, cell in enumerate(cells):
            if not cell.read:
                continue
            if cell.kind not in names:
                raise UnknownNameError(
                    f'a kind called "{cell.kind}"',
                    "the quilt has none",
                    nearest(cell.kind, names),
                    where=said(row, column),
                )
            used.add(cell.kind)
            if cell.fabrics:
                check_letters(cell.fabrics, quilt.kind(cell.kind).block, said(row, column))
    for number, border in enumerate(quilt.borders, start=1):
        for name in border.kinds:
            if name not in names:
                raise UnknownNameError(
                    f'a kind called "{name}"', "the quilt has none", nearest(name, names), where=f"border {number}"
                )
            used.add(name)
    unused = next((name for name in names if name not in used), None)
    if unused:
        raise ShapeError(f"kind {unused}", "no cell and no border takes it", "put it somewhere, or leave it out")


def check_numbers(quilt: Quilt) -> None:
    """Refuse blocks and sashing without a width."""
    if any(width.inches <= 0 for width in (quilt.block_width, quilt.block_height)):
        raise LengthError("a block of 0 width", "it must be more than 0", "give its finished size")
    if quilt.sashing and min(quilt.gaps).inches < 0:
        raise LengthError("sashing of less than 0", "it must be 0 or more", "give its finished width")


def check_cut(quilt: Quilt) -> None:
    """Refuse a cut that leaves nothing or is not one."""
    cut = quilt.cut
    if cut is None:
        return
    sides = (cut.left, cut.top, cut.right, cut.bottom)
    if any(side.inches < 0 for side in sides):
        raise LengthError("a cut of less than 0", "the edge cuts off 0 or more", "give what is gone")
    if isinstance(quilt.setting, OnPoint):
        raise ShapeError(
            "a cut by lengths on point",
            "on point the edge leaves blocks whole or halves them",
            "set the blocks on point with half blocks",
        )
    limits = (quilt.block_width, quilt.block_height) * 2
    if any(side >= limit for side, limit in zip(sides, limits, strict=True)):
        raise ShapeError(
            "a cut as wide as a block",
            "the edge cuts only outer blocks",
            "leave the row or column out instead",
        )
    if any(side.inches <= 0 for side in quilt.field_size):
        raise ShapeError("a cut that leaves nothing", "part of a block must be left", "cut off less")
