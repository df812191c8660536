"""Drawings side by side in rows, each with its words under it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Shape, Text, moved
from seamlore.errors import ShapeError
from seamlore.pictures.lettering import words_width
from seamlore.pictures.palette import INK, QUIET

_GAP_MM = 7.0
_TYPE_PT = 8.5
_LINE_MM = 3.9
_EDGE_MM = 0.4
# Where the type is not at hand another takes its place, and it may be wider.
_SLACK = 0.85
# How much wider than the widest drawing a column may be, for its words.
_ASIDE_MM = 16.0


@dataclass(frozen=True, slots=True)
class Tile:
    """One drawing of several.

    Parameters
    ----------
    shapes : tuple of Shape
        With their top left corner at 0, 0.
    width_mm, height_mm : float
        How much room they take.
    words : tuple of str
        Lines under it, the first of them its heading; each is wrapped where it is too long.
    """

    shapes: tuple[Shape, ...]
    width_mm: float
    height_mm: float
    words: tuple[str, ...]


def tiles(drawn: Sequence[Tile], width_mm: float, *, title: str, description: str) -> Picture:
    """Lay drawings out in rows, as many in a row as find room, their words below.

    Parameters
    ----------
    drawn : sequence of Tile
        At least one; none wider than the picture.
    width_mm : float
        The room there is; a few small drawings take less.
    title, description : str
        Of the whole picture.

    Raises
    ------
    ShapeError
        When there is nothing to draw.

    Examples
    --------
    >>> from seamlore.drawing.shapes import Area, box
    >>> square = Tile((Area((box(0, 0, 20, 20),), "#34466b"),), 20, 20, ("square",))
    >>> sheet = tiles([square] * 4, 80, title="Squares", description="Four squares.")
    >>> round(sheet.width_mm), round(sheet.height_mm, 1)
    (80, 57.2)
    >>> tiles([], 80, title="Squares", description="None.")
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: nothing to draw: a sheet shows at least one drawing; choose some
    """
    if not drawn:
        raise ShapeError("nothing to draw", "a sheet shows at least one drawing", "choose some")
    wide = max(each.width_mm for each in drawn)
    columns = max(1, min(len(drawn), int((width_mm - 2 * _EDGE_MM + _GAP_MM) / (wide + _GAP_MM))))
    # Drawings stand in even columns over the whole width, so that rows line up and words find room.
    step = min((width_mm - 2 * _EDGE_MM + _GAP_MM) / columns, wide + _ASIDE_MM + _GAP_MM)
    shapes: list[Shape] = []
    top = _EDGE_MM
    for start in range(0, len(drawn), columns):
        row = drawn[start : start + columns]
        high = max(each.height_mm for each in row)
        lines = [_lettered(each.words, step - _GAP_MM) for each in row]
        for number, (each, words) in enumerate(zip(row, lines, strict=True)):
            left = _EDGE_MM + number * step
            # Small drawings stand on the foot of their row, over their words.
            shapes.append(moved(each.shapes, left, top + high - each.height_mm, name=each.words[0]))
            shapes.append(moved(words, left, top + high + _LINE_MM + 0.4))
        deepest = max(len(words) for words in lines)
        top += high + 0.4 + deepest * _LINE_MM + (_GAP_MM if start + columns < len(drawn) else 1.2)
    return picture(columns * step - _GAP_MM + 2 * _EDGE_MM, top, shapes, title=title, description=description)


def _lettered(words: Sequence[str], room_mm: float) -> list[Text]:
    wrapped = [
        (line, not number) for number, text in enumerate(words) for line in wrap(text, room_mm * _SLACK, _TYPE_PT)
    ]
    return [
        Text(
            0,
            number * _LINE_MM,
            line,
            _TYPE_PT,
            weight="semibold" if head else "regular",
            fill=INK if head else QUIET,
        )
        for number, (line, head) in enumerate(wrapped)
    ]


def wrap(text: str, room_mm: float, size_pt: float) -> list[str]:
    """Break words into lines that find room; a word wider than that stands alone.

    Examples
    --------
    >>> wrap("sashing 2 1/2 in, border 4 in", 25, 8.5)
    ['sashing 2 1/2 in,', 'border 4 in']
    >>> wrap("", 25, 8.5)
    []
    """
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and words_width(longer, size_pt) <= room_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
