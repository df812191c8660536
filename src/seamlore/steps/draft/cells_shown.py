"""What stands where in a draft, as a page shows it: its cells row by row, and how each kind is drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from seamlore.draft.block import Patch
from seamlore.draft.kinds import Cell
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import on_point
from seamlore.draft.where import said
from seamlore.drawing.shapes import Paint
from seamlore.once import Very
from seamlore.pictures.palette import kind_cloths


@dataclass(frozen=True, slots=True)
class CellShown:
    """One cell as the page shows it: where it is, which kind, how its picture is turned, and all that in words."""

    at: str
    kind: str
    lies: str
    words: str


def row_shown(cells: Sequence[Cell], row: int, called: Mapping[str, str]) -> list[CellShown]:
    """Give the cells of one row of a draft.

    Parameters
    ----------
    cells : sequence of Cell
    row : int
        Counted from 0.
    called : mapping of str to str
        The names of the blocks, by those of their kinds.

    Examples
    --------
    >>> row_shown([Cell("SF")], 0, {"SF": "Shoo Fly"})[0].words
    'row 1, column 1: Shoo Fly'
    """
    return [_cell_shown(cell, row, column, called) for column, cell in enumerate(cells)]


def _cell_shown(cell: Cell, row: int, column: int, called: Mapping[str, str]) -> CellShown:
    name = called[cell.kind] if cell.read else "not read"
    lies = cell.lies
    how = ", mirrored" * lies.mirrored + (f", turned {lies.turn} degrees" if lies.turn else "")
    own = "".join(f", {letter} {fabric}" for letter, fabric in sorted(cell.fabrics.items()))
    turned = f"{'m' * lies.mirrored}{lies.turn}" if lies.mirrored or lies.turn else ""
    return CellShown(f"{row},{column}", cell.kind, turned, f"{said(row, column)}: {name}{how}{own}")


@dataclass(frozen=True, slots=True, eq=False)
class RowShown:
    """One row of cells: its number from 0, its cells, and whether the blocks stand on a corner.

    It is the very same from one draft to the next where nothing in it has changed.
    """

    number: int
    cells: Sequence[CellShown]
    tilted: bool


def rows_shown(quilt: Quilt) -> list[RowShown]:
    """Give the cells of a draft, row by row.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> (row,) = rows_shown(repeated("q", find("shoo fly"), inches(9), inches(9), 1, 1))
    >>> row.cells[0].words
    'row 1, column 1: Shoo Fly'
    """
    called = tuple((kind.name, kind.block.name) for kind in quilt.kinds)
    tilted = on_point(quilt)
    return [_row(Very(cells), number, called, tilted) for number, cells in enumerate(quilt.cells)]


@lru_cache(maxsize=1024)
def _row(cells: Very[tuple[Cell, ...]], number: int, called: tuple[tuple[str, str], ...], tilted: bool) -> RowShown:
    return RowShown(number, row_shown(cells.value, number, dict(called)), tilted)


def drawn_as(quilt: Quilt, paints: Mapping[str, Paint]) -> dict[str, str]:
    """Give for each kind a text that is another where it is drawn or colored otherwise.

    Parameters
    ----------
    quilt : Quilt
    paints : mapping of str to paint
        As `pictures.palette.quilt_cloths` gives them.
    """
    return {
        kind.name: str(abs(hash((_hashed(Very(kind.block.patches)), *kind_cloths(quilt, kind, paints).values()))))
        for kind in quilt.kinds
    }


@lru_cache(maxsize=1024)
def _hashed(patches: Very[tuple[Patch, ...]]) -> int:
    return hash(patches.value)
