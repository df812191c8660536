"""Pictures of what is worth noticing: where a fabric stops, a straight line through a row that drifts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Image, ImageFile, Line, Shape, Text, box
from seamlore.pictures.palette import FAINT, HAIR, INK, MADDER, PAPER, WASH

_MARGIN_MM = 5.0
_TYPE_PT = 7.0


def cells_picture(
    counts: tuple[int, int],
    fills: Mapping[tuple[int, int], str],
    size_mm: float,
    *,
    line: tuple[Literal["rows", "columns"], int] | None = None,
    title: str,
    description: str,
) -> Picture:
    """Draw the blocks of a quilt as a grid of squares, those with a fill in it, and a line between two rows or columns.

    Parameters
    ----------
    counts : (int, int)
        Rows and columns.
    fills : mapping of (row, column) to color
    size_mm : float
        The longer side of the grid.
    line : ({"rows", "columns"}, int), optional
        Before which row or column, counted from 0, it runs.

    Examples
    --------
    >>> drawn = cells_picture((2, 3), {(0, 0): "#33456a"}, 60, line=("rows", 1), title="t", description="d")
    >>> drawn.width_mm, drawn.height_mm
    (65.0, 45.0)
    """
    rows, columns = counts
    side = size_mm / max(rows, columns)
    wide, high = columns * side, rows * side
    shapes: list[Shape] = []
    for row in range(rows):
        shapes.append(Text(_MARGIN_MM - 1, _MARGIN_MM + (row + 0.5) * side, str(row + 1), _TYPE_PT, "end", True))
        for column in range(columns):
            fill = fills.get((row, column), WASH)
            at = box(_MARGIN_MM + column * side, _MARGIN_MM + row * side, side, side)
            shapes.append(Area((at,), fill, HAIR, 0.15))
    for column in range(columns):
        shapes.append(Text(_MARGIN_MM + (column + 0.5) * side, _MARGIN_MM - 1.2, str(column + 1), _TYPE_PT, "middle"))
    if line is not None:
        along, at_line = line
        reach = 1.5
        ends = (
            (
                (_MARGIN_MM - reach, _MARGIN_MM + at_line * side),
                (_MARGIN_MM + wide + reach, _MARGIN_MM + at_line * side),
            )
            if along == "rows"
            else (
                (_MARGIN_MM + at_line * side, _MARGIN_MM - reach),
                (_MARGIN_MM + at_line * side, _MARGIN_MM + high + reach),
            )
        )
        shapes.append(Line((ends,), MADDER, 0.6))
    return picture(wide + _MARGIN_MM, high + _MARGIN_MM, shapes, title=title, description=description)


def drift_picture(
    photo: ImageFile,
    size: tuple[float, float],
    centers: Sequence[tuple[float, float]],
    straight: tuple[tuple[float, float], tuple[float, float]],
    width_mm: float,
    height_mm: float,
    *,
    description: str,
) -> Picture:
    """Show the quilt laid flat with the middles of one row's blocks joined, and a straight line beside them.

    Parameters
    ----------
    photo : ImageFile
        The flattened photograph.
    size : (float, float)
        Of the quilt, in the unit of the points.
    centers : sequence of (x, y)
        Of the blocks of one row or column.
    straight : two points
        Where they would lie on an even grid.
    width_mm, height_mm : float
        The room there is.
    """
    scale = min(width_mm / size[0], height_mm / size[1])
    wide, high = size[0] * scale, size[1] * scale

    def at(point: tuple[float, float]) -> tuple[float, float]:
        return (point[0] * scale, point[1] * scale)

    shapes: list[Shape] = [
        Image(photo, 0, 0, wide, high),
        # A light line under each, so that both are seen on any cloth.
        Line((tuple(map(at, straight)),), PAPER, 1.1),
        Line((tuple(map(at, straight)),), INK, 0.5, (2.0, 1.2)),
        Line((tuple(map(at, centers)),), PAPER, 1.5),
        Line((tuple(map(at, centers)),), MADDER, 0.8),
        Area((box(0, 0, wide, high),), None, FAINT, 0.15),
    ]
    return picture(wide, high, shapes, title="A row and a straight line", description=description)
