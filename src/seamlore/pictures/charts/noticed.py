"""Pictures of what is worth noticing: where a fabric stops or comes back, a row that drifts, proportion, how it is held."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Group, Image, ImageFile, Line, Ring, Shape, Text, box, circle
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


def lit_picture(
    photo: ImageFile,
    size: tuple[float, float],
    patches: Sequence[Ring],
    width_mm: float,
    height_mm: float,
    *,
    title: str,
    description: str,
) -> Picture:
    """Show the quilt laid flat with some patches lit and the rest dimmed.

    Parameters
    ----------
    photo : ImageFile
        The flattened photograph.
    size : (float, float)
        Of the quilt, in the unit of the outlines.
    patches : sequence of Ring
    width_mm, height_mm : float
        The room there is.

    Examples
    --------
    >>> photo = ImageFile("a.jpg", "image/jpeg", b"")
    >>> lit_picture(photo, (80, 100), [((0, 0), (9, 0), (0, 9))], 40, 40, title="t", description="d").width_mm
    32.0
    """
    scale = min(width_mm / size[0], height_mm / size[1])
    wide, high = size[0] * scale, size[1] * scale
    rings = tuple(tuple((x * scale, y * scale) for x, y in each) for each in patches)
    # A patch that the quilt's edge cuts goes on beyond it.
    inner = (
        Image(photo, 0, 0, wide, high),
        Group((Area((box(0, 0, wide, high), *rings), PAPER),), opacity=0.65),
        Area(rings, None, MADDER, 0.25),
    )
    shapes: list[Shape] = [Group(inner, clip=(0, 0, wide, high)), Area((box(0, 0, wide, high),), None, FAINT, 0.15)]
    return picture(wide, high, shapes, title=title, description=description)


def held_picture(
    photo: ImageFile,
    size: tuple[float, float],
    ties: Sequence[tuple[float, float]],
    lines: Sequence[Ring],
    widest: tuple[float, float, float] | None,
    width_mm: float,
    height_mm: float,
    *,
    description: str,
) -> Picture:
    """Show the quilt laid flat with its ties and quilting lines, and the widest circle that none of them holds.

    Parameters
    ----------
    photo : ImageFile
    size : (float, float)
        Of the quilt, in the unit of the points.
    ties : sequence of (x, y)
    lines : sequence of Ring
    widest : (x, y, radius) or None
    width_mm, height_mm : float
        The room there is.
    """
    scale = min(width_mm / size[0], height_mm / size[1])
    wide, high = size[0] * scale, size[1] * scale
    runs = tuple(tuple((x * scale, y * scale) for x, y in each) for each in lines)
    dots = tuple(circle(x * scale, y * scale, 0.55) for x, y in ties)
    shapes: list[Shape] = [
        Image(photo, 0, 0, wide, high),
        Group((Area((box(0, 0, wide, high),), PAPER),), opacity=0.45),
    ]
    shapes += [Line(runs, INK, 0.25)] if runs else []
    shapes += [Area(dots, INK, PAPER, 0.15)] if dots else []
    if widest is not None:
        around = (circle(widest[0] * scale, widest[1] * scale, widest[2] * scale),)
        shapes += [Area(around, None, PAPER, 1.2), Area(around, None, MADDER, 0.7)]
    shapes = [Group(tuple(shapes), clip=(0, 0, wide, high)), Area((box(0, 0, wide, high),), None, FAINT, 0.15)]
    return picture(wide, high, shapes, title="How it is held", description=description)


def proportion_picture(
    part: float, custom: tuple[float, float], width_mm: float, *, title: str, description: str
) -> Picture:
    """Draw two blocks with their sashing at its proportion, and under it how wide custom has it.

    Parameters
    ----------
    part : float
        The sashing's width in parts of the block's.
    custom : (float, float)
        The narrowest and the widest that custom has, the same way.

    Examples
    --------
    >>> proportion_picture(0.5, (0.25, 1 / 3), 70.0, title="t", description="d").width_mm
    70.0
    """
    side = width_mm / (2 + part)
    row, low = 4.6, side * 0.6
    middle = width_mm / 2
    shapes: list[Shape] = [
        Area((box(0, 0, side, low), box(side + part * side, 0, side, low)), WASH, HAIR, 0.2),
        Area((box(side, 0, part * side, low),), MADDER),
        Text(side / 2, low / 2, "block", _TYPE_PT, "middle", True),
        Text(width_mm - side / 2, low / 2, "block", _TYPE_PT, "middle", True),
    ]
    for number, (share, says) in enumerate(((custom[0], "a quarter"), (custom[1], "a third"))):
        top = low + 2 + number * row
        shapes.append(Area((box(middle - share * side / 2, top, share * side, row - 1.6),), INK))
        shapes.append(Text(middle + share * side / 2 + 1.5, top + (row - 1.6) / 2, says, _TYPE_PT, "start", True))
    return picture(width_mm, low + 2 + 2 * row, shapes, title=title, description=description)
