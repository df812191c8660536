"""A picture too large for the page, in tiles with matching marks. Nothing is ever made smaller to fit."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from math import ceil, cos, radians, sin
from string import ascii_lowercase

from numpy import arange

from seamlore.drawing.metrics import width_em
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import MM_PER_PT, Area, Group, Line, Shape, Text
from seamlore.errors import PageError

# Glued edges need a finger's breadth to lie on each other.
OVERLAP_MM = 10.0
# More pages than three by three nobody glues together truly.
MOST_TILES = 9
_MARK = "#8a7f74"
_NAME_PT, _NAME_MM = 7.0, 2.5
Edge = tuple[tuple[float, float], tuple[float, float]]
# How far the letter of a seam stands from its first cross, and how far both keep from words of the picture.
_ASIDE_MM, _CLEAR_MM = 6.0, 3.0
# Left, top, right, bottom in millimeters of the whole picture.
Box = tuple[float, float, float, float]
# Row and column.
Spot = tuple[int, int]


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
    given: Picture,
    width_mm: float,
    height_mm: float,
    *,
    overlap_mm: float = OVERLAP_MM,
    most: int = MOST_TILES,
    drawn_in: Callable[[Box], bool] = lambda _: True,
) -> tuple[Tile, ...]:
    """Divide a picture into even tiles that fit a page, at true scale.

    Parameters
    ----------
    given : Picture
    width_mm, height_mm : float
        The room on one page.
    overlap_mm : float
        How far neighbors repeat each other, so that they can be glued.
    most : int
        More tiles than this are refused.
    drawn_in : callable
        Whether anything is drawn in a box of the picture; where nothing is, no page is printed.

    Returns
    -------
    tuple of Tile
        By rows, all of one size, so that none is a sliver. A picture that fits is its own only tile, unmarked. Otherwise
        each tile has a dashed line where the next begins, a cross at each end of it that also stands on the neighbor, the
        letter of that seam, and its number.

    Raises
    ------
    PageError
        When the page is no larger than the overlap, or more than `most` pages would be needed.

    Examples
    --------
    >>> wide = picture(300, 100, [], title="Strip", description="A strip.")
    >>> [(tile.left_mm, tile.picture.width_mm) for tile in tiles(wide, 160, 160)]
    [(0.0, 155.0), (145.0, 155.0)]
    >>> tiles(wide, 400, 400)[0].picture == wide
    True
    """
    boxes = even_boxes((given.width_mm, given.height_mm), (width_mm, height_mm), overlap_mm)
    if len(boxes) == 1:
        return (Tile(0, 0, given, 0.0, 0.0),)
    kept = {spot: box for spot, box in boxes.items() if drawn_in(box)}
    if len(kept) > most:
        raise PageError(
            f"{given.title}, {given.width_mm:.0f} by {given.height_mm:.0f} mm, on {len(kept)} pages",
            f"at true scale at most {most} pages are printed",
            "print a part of it, or draw it by its measurements",
        )
    letters, words = _letters(kept), tuple(_words(given.shapes))
    return tuple(
        _tile(given, spot, box, (number, len(kept)), letters, overlap_mm, words)
        for number, (spot, box) in enumerate(kept.items(), start=1)
    )


def even_boxes(
    size_mm: tuple[float, float], page_mm: tuple[float, float], overlap_mm: float = OVERLAP_MM
) -> dict[Spot, Box]:
    """Divide a size into boxes of one size that fit a page and overlap, by row and column.

    Raises
    ------
    PageError
        When the page is no larger than the overlap.

    Examples
    --------
    >>> even_boxes((300, 100), (160, 160))
    {(0, 0): (0.0, 0.0, 155.0, 100.0), (0, 1): (145.0, 0.0, 300.0, 100.0)}
    """
    (width, height), (page_w, page_h) = size_mm, page_mm
    if (width > page_w + 1e-9 or height > page_h + 1e-9) and min(page_mm) <= overlap_mm:
        raise PageError(
            f"a page with room for {page_w:g} by {page_h:g} mm",
            f"tiles repeat {overlap_mm:g} mm of each other",
            "choose a larger page",
        )
    columns, wide = _even(width, page_w, overlap_mm)
    rows, high = _even(height, page_h, overlap_mm)
    return {
        (row, column): (left, top, left + wide, top + high)
        for row in range(rows)
        for column in range(columns)
        for left, top in ((column * (wide - overlap_mm), row * (high - overlap_mm)),)
    }


# A seam by the tile above or left of it, and whether it runs upright.
Letters = dict[tuple[Spot, bool], str]


def _even(side: float, page: float, overlap: float) -> tuple[int, float]:
    """Give how many tiles a side takes, and how long each is."""
    if side <= page + 1e-9:
        return 1, side
    count = max(1, ceil((side - overlap) / (page - overlap) - 1e-9))
    return count, (side + (count - 1) * overlap) / count


def _letters(kept: dict[Spot, Box]) -> Letters:
    """Letter the seams between tiles that are printed."""
    seams = [
        (spot, upright)
        for spot in kept
        for upright in (True, False)
        if (spot[0] + (not upright), spot[1] + upright) in kept
    ]
    # Twelve seams at most for nine tiles; who allows more tiles goes round.
    return {seam: ascii_lowercase[index % 26] for index, seam in enumerate(seams)}


# Where words stand in the whole picture, and how far they reach from there at most.
Words = tuple[float, float, float]


def _words(shapes: Sequence[Shape]) -> Iterator[Words]:
    """Find all words of a picture."""
    for shape in shapes:
        if isinstance(shape, Text):
            reach = width_em(shape.words) * shape.size_pt * MM_PER_PT
            yield shape.x, shape.y, reach / 2 if shape.anchor == "middle" else reach
        elif isinstance(shape, Group):
            right, down = cos(radians(shape.turn_deg)), sin(radians(shape.turn_deg))
            for x, y, reach in _words(shape.shapes):
                yield shape.dx + x * right - y * down, shape.dy + x * down + y * right, reach


def _tile(
    given: Picture,
    spot: Spot,
    box: Box,
    number: tuple[int, int],
    letters: Letters,
    overlap: float,
    words: Sequence[Words],
) -> Tile:
    left, top, right, bottom = box
    width, height = right - left, bottom - top
    inside = Group(given.shapes, -left, -top)
    row, column = spot
    # A line in the middle of what two tiles share: cut one there, lay it on the other's line.
    seams = [
        (letters.get(((row, column - 1), True)), True, overlap / 2),
        (letters.get((spot, True)), True, width - overlap / 2),
        (letters.get(((row - 1, column), False)), False, overlap / 2),
        (letters.get((spot, False)), False, height - overlap / 2),
    ]
    found = [(letter, upright, at) for letter, upright, at in seams if letter]
    lines = [((at, 0.0), (at, height)) if upright else ((0.0, at), (width, at)) for _, upright, at in found]
    # What is drawn lies over the lines, so that words with a halo stay readable where one runs through them.
    shapes: list[Shape] = [Line(tuple(lines), _MARK, 0.2, (2.0, 1.5)), Group((inside,), clip=(0, 0, width, height))]
    for letter, upright, at in found:
        # The same on both tiles of the seam: words are counted from where both begin.
        here = [
            (y - top, reach) if upright else (x - left, reach)
            for x, y, reach in words
            if abs(x - left - at if upright else y - top - at) < (reach if upright else 0) + _CLEAR_MM
        ]
        ends = _spots(height if upright else width, overlap, here)
        shapes += [_cross(at, along) if upright else _cross(along, at) for along in ends]
        # Aside of the cross, where a seam ends clear of the other way's.
        x, y = (at, ends[0] + _ASIDE_MM) if upright else (ends[0] + _ASIDE_MM, at)
        shapes.append(Text(x, y, letter, 9, "middle", True, "semibold", fill=_MARK, halo="#ffffff"))
    name = f"{given.title}, part {number[0]} of {number[1]}"
    x, y = _clear_of(list(_edges(shapes)), name, (width, height), overlap / 2 + 2)
    shapes.append(Text(x, y, name, _NAME_PT, fill=_MARK, halo="#ffffff"))
    drawn = picture(width, height, shapes, title=name, description=f"{given.description} {name}.")
    return Tile(row, column, drawn, left, top)


def _clear_of(edges: Sequence[Edge], name: str, size: tuple[float, float], inset: float) -> tuple[float, float]:
    """Where the name of a tile stands clear of all lines, as near to its top left corner as can be; there, if nowhere."""
    long = width_em(name) * _NAME_PT * MM_PER_PT
    across = arange(inset, max(inset, size[0] - inset - long) + 1e-9, 6.0).tolist()
    down = arange(inset, max(inset, size[1] - inset - _NAME_MM) + 1e-9, 4.0).tolist()
    for y, x in product(down, across):
        box = (x - 1, y - 1, x + long + 1, y + _NAME_MM + 1)
        if not any(_runs_through(edge, box) for edge in edges):
            return x, y + _NAME_MM
    return inset, inset + _NAME_MM


def _runs_through(edge: Edge, box: Box) -> bool:
    """Whether any of a straight edge lies in a box: what is left of it is cut off at each side (Liang and Barsky, 1984)."""
    (x0, y0), (x1, y1) = edge
    first, last = 0.0, 1.0
    for run, before, after in ((x1 - x0, box[0] - x0, box[2] - x0), (y1 - y0, box[1] - y0, box[3] - y0)):
        if abs(run) < 1e-12:
            if before > 0 or after < 0:
                return False
            continue
        enters, leaves = sorted((before / run, after / run))
        first, last = max(first, enters), min(last, leaves)
    return first <= last


def _edges(shapes: Iterable[Shape], turn: float = 0.0, dx: float = 0.0, dy: float = 0.0) -> Iterator[Edge]:
    """Every straight edge of drawn lines and outlines where it lies; of words the line that they stand on."""
    right, lower = cos(radians(turn)), sin(radians(turn))

    def at(x: float, y: float) -> tuple[float, float]:
        return x * right - y * lower + dx, x * lower + y * right + dy

    for shape in shapes:
        if isinstance(shape, Group):
            yield from _edges(shape.shapes, turn + shape.turn_deg, *at(shape.dx, shape.dy))
        elif isinstance(shape, Line | Area):
            closed = isinstance(shape, Area)
            for run in shape.rings if isinstance(shape, Area) else shape.runs:
                nodes = [at(node[-2], node[-1]) for node in run]
                yield from pairwise([*nodes, nodes[0]] if closed else nodes)
        elif isinstance(shape, Text):
            half = width_em(shape.words) * shape.size_pt * MM_PER_PT / 2
            yield at(shape.x - half, shape.y), at(shape.x + half, shape.y)


def _spots(side: float, overlap: float, words: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Where the crosses of a seam stand: near its ends, but clear of words; the letter goes with the first."""
    inset = min(side / 2, overlap * 2)

    def clear(low: float, high: float) -> bool:
        return all(at + reach + _CLEAR_MM <= low or high <= at - reach - _CLEAR_MM for at, reach in words)

    steps = [float(step) for step in range(int(max(0.0, side / 2 - inset)))]
    first = next((inset + step for step in steps if clear(inset + step, inset + step + _ASIDE_MM)), inset)
    last = next(
        (side - inset - step for step in steps if clear(side - inset - step, side - inset - step)), side - inset
    )
    return first, max(first, last)


def _cross(x: float, y: float) -> Line:
    reach = 2.5
    return Line((((x - reach, y), (x + reach, y)), ((x, y - reach), (x, y + reach))), _MARK, 0.3)
