"""Where a piece of cloth lies in a quilt: one address for drafts, colors, swatches and pictures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

WherePart = Literal["block", "sashing", "cornerstone", "strip", "setting", "border"]
SideName = Literal["top", "right", "bottom", "left"]
SIDES: tuple[SideName, ...] = ("top", "right", "bottom", "left")


@dataclass(frozen=True, slots=True, order=True)
class Where:
    """The address of one piece.

    Parameters
    ----------
    part : {"block", "sashing", "cornerstone", "strip", "setting", "border"}
        What it belongs to.
    row, column : int
        Of its block, from 0 at the top left; on point every second row is one of the blocks between the whole rows.
        Of a border: its number from the inside, and that of the piece along its side. Pieces of the setting are
        numbered by their column. -1 for what has none.
    patch : int
        Index of the patch in its block as drawn, unturned; -1 for what is no patch of a block.
    side : {"top", "right", "bottom", "left", ""}
        Of a border.
    """

    part: WherePart
    row: int = -1
    column: int = -1
    patch: int = -1
    side: SideName | Literal[""] = ""


def in_block(row: int, column: int, patch: int) -> Where:
    """Address one patch of one block.

    Examples
    --------
    >>> in_block(0, 2, 1)
    Where(part='block', row=0, column=2, patch=1, side='')
    """
    return Where("block", row, column, patch)


def border_keys(number: int) -> tuple[str, ...]:
    """Give the keys that the fabrics of a border may hang on: the whole border, or single sides.

    Examples
    --------
    >>> border_keys(1)
    ('border 1', 'border 1 top', 'border 1 right', 'border 1 bottom', 'border 1 left')
    """
    return (f"border {number}", *(f"border {number} {name}" for name in SIDES))


def said(row: int, column: int) -> str:
    """Say a cell as a person counts it.

    Examples
    --------
    >>> said(0, 2)
    'row 1, column 3'
    """
    return f"row {row + 1}, column {column + 1}"
