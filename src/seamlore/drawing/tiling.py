"""A picture too large for the page, in tiles with matching marks. Nothing is ever made smaller to fit."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Group, Line, Shape, Text
from seamlore.errors import PageError

# Glued edges need a finger's breadth to lie on each other.
OVERLAP_MM = 10.0
MOST_TILES = 64
_MARK = "#8a7f74"


@dataclass(frozen=True, slots=True)
class Tile:
    """One page of a picture.

    Parameters
    ----------
    row, column : int
        Where it belongs, from 0 at the top left.
    picture : Picture
        What is printed, no larger than the page.
    left_mm, top_mm : float
        Where its top left corner lies in the whole picture.
    """

    row: int
    column: int
    picture: Picture
    left_mm: float
    top_mm: float


def tiles(
    given: Picture, width_mm: float, height_mm: float, *, overlap_mm: float = OVERLAP_MM, most: int = MOST_TILES
) -> tuple[Tile, ...]:
    """Divide a picture into tiles that fit a page, at true scale.

    Parameters
    ----------
    given : Picture
    width_mm, height_mm : float
        The room on one page.
    overlap_mm : float
        How far neighbors repeat each other, so that they can be glued.
    most : int
        More tiles than this are refused.

    Returns
    -------
    tuple of Tile
        By rows. A picture that fits is its own only tile, unmarked. Otherwise each tile has a dashed line
        where the next begins, a cross at each end of it that also stands on the neighbor, and its number.

    Raises
    ------
    PageError
        When the page is no larger than the overlap, or more than `most` pages would be needed.

    Examples
    --------
    >>> wide = picture(300, 100, [], title="Strip", description="A strip.")
    >>> [(tile.left_mm, tile.picture.width_mm) for tile in tiles(wide, 160, 160)]
    [(0.0, 160.0), (150.0, 150.0)]
    >>> tiles(wide, 400, 400)[0].picture == wide
    True
    """
    if given.width_mm <= width_mm + 1e-9 and given.height_mm <= height_mm + 1e-9:
        return (Tile(0, 0, given, 0.0, 0.0),)
    step_x, step_y = width_mm - overlap_mm, height_mm - overlap_mm
    if min(step_x, step_y) <= 0:
        raise PageError(
            f"a page with room for {width_mm:g} by {height_mm:g} mm",
            f"tiles repeat {overlap_mm:g} mm of each other",
            "choose a larger page",
        )
    columns, rows = _count(given.width_mm, step_x, overlap_mm), _count(given.height_mm, step_y, overlap_mm)
    if rows * columns > most:
        raise PageError(
            f"{given.title}, {given.width_mm:.0f} by {given.height_mm:.0f} mm, on {rows * columns} pages",
            f"at true scale at most {most} pages are printed",
            "print a part of it, or draw it by its measurements",
        )
    return tuple(
        _tile(given, row, column, (rows, columns), (step_x, step_y), overlap_mm)
        for row in range(rows)
        for column in range(columns)
    )


def _count(side: float, step: float, overlap: float) -> int:
    return max(1, ceil((side - overlap) / step - 1e-9))


def _tile(
    given: Picture,
    row: int,
    column: int,
    counts: tuple[int, int],
    steps: tuple[float, float],
    overlap: float,
) -> Tile:
    left, top = column * steps[0], row * steps[1]
    width = min(steps[0] + overlap, given.width_mm - left)
    height = min(steps[1] + overlap, given.height_mm - top)
    inside = Group(given.shapes, -left, -top)
    shapes: list[Shape] = [Group((inside,), clip=(0, 0, width, height))]
    # A line in the middle of what two tiles share: cut one there, lay it on the other's line.
    upright = [x for x, there in ((overlap / 2, column > 0), (width - overlap / 2, column < counts[1] - 1)) if there]
    lying = [y for y, there in ((overlap / 2, row > 0), (height - overlap / 2, row < counts[0] - 1)) if there]
    lines = [((x, 0.0), (x, height)) for x in upright] + [((0.0, y), (width, y)) for y in lying]
    shapes.append(Line(tuple(lines), _MARK, 0.2, (2.0, 1.5)))
    for x in upright:
        shapes += [_cross(x, y) for y in _spots(height, overlap)]
    for y in lying:
        shapes += [_cross(x, y) for x in _spots(width, overlap)]
    name = f"{given.title}, part {row * counts[1] + column + 1} of {counts[0] * counts[1]}"
    at = overlap / 2 + 2
    shapes.append(Text(at, at + 2.5, name, 7, fill=_MARK, halo="#ffffff"))
    drawn = picture(width, height, shapes, title=name, description=f"{given.description} {name}.")
    return Tile(row, column, drawn, left, top)


def _spots(side: float, overlap: float) -> tuple[float, float]:
    inset = min(side / 2, overlap * 2)
    return inset, max(inset, side - inset)


def _cross(x: float, y: float) -> Line:
    reach = 2.5
    return Line((((x - reach, y), (x + reach, y)), ((x, y - reach), (x, y + reach))), _MARK, 0.3)
