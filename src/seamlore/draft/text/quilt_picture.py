"""The cells of a quilt as a picture of words: which kind stands where, and how it lies."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache
from typing import Any

from seamlore.draft.kinds import NOT_READ, SIGN, Cell, Cells, Turned
from seamlore.draft.quilt_checks import counts_of
from seamlore.draft.setting.setting import OnPoint, Setting, spots
from seamlore.draft.text.quilt_lines import Line
from seamlore.errors import NotationError, nearest

# What stands for a block that was not read.
UNREAD = "?"
_LIE = re.compile(r"(m?)(90|180|270)?")
_AT = re.compile(r"row (\d{1,3}), column (\d{1,3}):\s*(.*)")
_LETTER = re.compile(r"\s*([A-Z])\s*=\s*")


def read_picture(lines: Sequence[Line], names: Collection[str], setting: Setting) -> Cells:
    """Read the rows of a picture.

    Parameters
    ----------
    lines : sequence of Line
        One for each row, from the top; on point the rows of blocks between whole ones too.
    names : collection of str
        Of the kinds.
    setting : Straight, OnPoint, Offset or Strips
        Says how many blocks each row has beside the first.

    Returns
    -------
    tuple of tuple of Cell

    Raises
    ------
    NotationError
        When a cell has no kind, or one that there is not, or a row is longer or shorter than it can be; it names the
        line and the place in it.

    Examples
    --------
    >>> from seamlore.draft.setting.setting import STRAIGHT
    >>> [(cell.kind, cell.lies.turn) for cell in read_picture([Line(4, "N P/90 ?")], ["N", "P"], STRAIGHT)[0]]
    [('N', 0), ('P', 90), ('', 0)]
    >>> read_picture([Line(4, "N . N")], ["N"], STRAIGHT)
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: line 4, column 2: ".": a cell has a kind, or ? where it was not read; name one of: N
    """
    known = tuple(names)
    cells = tuple(_row(line.text, known) or _cells(line, known) for line in lines)
    wanted = [0] * len(cells)
    for number, _ in spots(setting, *counts_of(setting, cells)):
        if number < len(wanted):
            wanted[number] += 1
    if isinstance(setting, OnPoint) and (len(cells) % 2 == 0 or (setting.edge == "half blocks" and len(cells) < 3)):
        raise lines[-1].refuse(
            f"{len(cells)} row{'s' * (len(cells) != 1)} of blocks on point",
            "whole rows and the rows between them take turns, and the first and the last are alike",
            "draw every row",
        )
    uneven = any(len(row) != count for row, count in zip(cells, wanted, strict=True))
    if uneven and len(set(wanted)) == 1:
        _refuse_hole(lines)
    for line, row, count in zip(lines, cells, wanted, strict=True):
        if len(row) != count:
            raise line.refuse(
                f"{len(row)} block{'s' * (len(row) != 1)}",
                f"this row has {count}, as the first row says",
                "give a name, or ?, for each",
            )
    return cells


def _refuse_hole(lines: Sequence[Line]) -> None:
    """Name the first hole that shows in a picture whose words stand in columns."""
    starts = [[found.start() for found in re.finditer(r"\S+", line.text)] for line in lines]
    columns = max(starts, key=len)
    for line, mine in zip(lines, starts, strict=True):
        if set(mine) < set(columns):
            hole = next((at for at, start in enumerate(columns) if start < mine[-1] and start not in mine), None)
            if hole is not None:
                here = Line(line.number, line.text, line.source, hole + 1)
                raise here.refuse(
                    "a hole", "every place has a kind, or ? where it was not read", "write one of them there"
                )


def _cells(line: Line, names: Collection[str]) -> tuple[Cell, ...]:
    return tuple(_cell(line, column, word, names) for column, word in enumerate(line.text.split(), start=1))


@lru_cache(maxsize=1024)
def _row(text: str, names: tuple[str, ...]) -> tuple[Cell, ...] | None:
    """The very same cells for the same words: an edit leaves most rows as they were. None where they cannot be read."""
    try:
        return _cells(Line(0, text), names)
    except NotationError:
        return None


def _cell(line: Line, column: int, word: str, names: Collection[str]) -> Cell:
    if word == UNREAD:
        return NOT_READ
    here = Line(line.number, line.text, line.source, column)
    name, slash, lies = word.partition("/")
    if not SIGN.fullmatch(name):
        raise here.refuse(
            f'"{word}"', "a cell has a kind, or ? where it was not read", f"name one of: {', '.join(names)}"
        )
    if name not in names:
        raise here.refuse(f'"{name}"', "no kind is called that", nearest(name, names))
    found = _LIE.fullmatch(lies)
    if not found or bool(slash) != bool(lies):
        raise here.refuse(
            f'"{word}"', "after the slash stands an m if it is mirrored, then 90, 180 or 270", f"write: {name}/m90"
        )
    turn: Any = int(found[2] or 0)
    return Cell(name, Turned(turn, bool(found[1])))


def read_own(line: Line) -> tuple[tuple[int, int], Mapping[str, str]]:
    """Read the fabrics that one block has of its own.

    Examples
    --------
    >>> read_own(Line(9, "row 2, column 3: A = red dot, B = blue, faded"))
    ((1, 2), {'A': 'red dot', 'B': 'blue, faded'})
    >>> read_own(Line(9, "2,3 A red"))
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: line 9: "2,3 A red": it names a block and its fabrics; write: at row 2, column 3: A = red
    """
    found = _AT.fullmatch(line.text)
    # A fabric's name may hold commas: a new one begins where a letter and = follow.
    parts = re.split(r",(?=\s*[A-Z]\s*=)", found[3]) if found else []
    named = [(_LETTER.match(part), part) for part in parts]
    if not found or not all(letter and part[letter.end() :].strip() for letter, part in named):
        raise line.refuse(f'"{line.text}"', "it names a block and its fabrics", "write: at row 2, column 3: A = red")
    fabrics = {letter[1]: part[letter.end() :].strip() for letter, part in named if letter}
    return (int(found[1]) - 1, int(found[2]) - 1), fabrics


def write_picture(cells: Cells) -> list[str]:
    """Draw the cells as rows of words, in columns.

    Examples
    --------
    >>> write_picture(((Cell("N"), NOT_READ), (Cell("N", Turned(90, True)), Cell("P"))))
    ['N     ?', 'N/m90 P']
    """
    words = [[_word(cell) for cell in row] for row in cells]
    wide = max(len(word) for row in words for word in row)
    return [" ".join(word.ljust(wide) for word in row).rstrip() for row in words]


def _word(cell: Cell) -> str:
    if not cell.read:
        return UNREAD
    if not cell.lies.turn and not cell.lies.mirrored:
        return cell.kind
    return f"{cell.kind}/{'m' * cell.lies.mirrored}{cell.lies.turn or ''}"
