"""Where a piece of cloth lies in a quilt: one address for drafts, colors, swatches and pictures."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
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


def said_all(spots: Iterable[tuple[int, int]]) -> str:
    """Say several cells, those of a row together.

    Examples
    --------
    >>> said_all([(0, 2), (1, 4), (1, 0), (1, 1), (1, 2)])
    'row 1, column 3; row 2, columns 1 to 3 and 5'
    >>> said_all([])
    ''
    >>> said_all([(3, 2), (3, 3), (3, 5)])
    'row 4, columns 3, 4 and 6'
    """
    rows: dict[int, list[int]] = {}
    for row, column in sorted(spots):
        rows.setdefault(row, []).append(column + 1)
    return "; ".join(f"row {row + 1}, {_columns(columns)}" for row, columns in rows.items())


def _columns(columns: Sequence[int]) -> str:
    runs: list[list[int]] = []
    for column in columns:
        if runs and column == runs[-1][1] + 1:
            runs[-1][1] = column
        else:
            runs.append([column, column])
    # Two neighbors are named one by one.
    parts = [
        each
        for low, high in runs
        for each in ([f"{low} to {high}"] if high > low + 1 else map(str, range(low, high + 1)))
    ]
    listed = parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
    return f"column{'s' * (len(columns) > 1)} {listed}"
