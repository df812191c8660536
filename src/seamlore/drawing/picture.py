"""The picture: shapes at true scale.

A picture is a value. It has one size and nothing that scales it: what is drawn 25.4 mm long is an inch long on
paper. Who wants a quilt small draws it small.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from seamlore.drawing.shapes import Area, Color, Group, Hatch, Image, ImageFile, Line, Ring, Shape, Swatch, Text, walk
from seamlore.errors import ShapeError
from seamlore.once import Very

_COLOR = re.compile(r"#[0-9a-f]{6}\Z")


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of one size; made by `picture`, which checks it.

    Parameters
    ----------
    width_mm, height_mm : float
        Its size on paper.
    shapes : tuple of Shape
        From the bottom up.
    title : str
        What it is, in a few words.
    description : str
        What it shows, for who cannot see it.
    """

    width_mm: float
    height_mm: float
    shapes: tuple[Shape, ...]
    title: str
    description: str

    @property
    def images(self) -> tuple[ImageFile, ...]:
        """Every image file in it, each once."""
        shown = [each.file for each in walk(self.shapes) if isinstance(each, Image)]
        worn = [
            each.fill.file for each in walk(self.shapes) if isinstance(each, Area) and isinstance(each.fill, Swatch)
        ]
        return tuple({file.name: file for file in shown + worn}.values())


def picture(width_mm: float, height_mm: float, shapes: Iterable[Shape], *, title: str, description: str) -> Picture:
    """Make a picture and check it.

    Parameters
    ----------
    width_mm, height_mm : float
        Its size on paper, more than 0.
    shapes : iterable of Shape
        From the bottom up.
    title, description : str
        Neither may be empty: a picture without words is lost on who cannot see it.

    Raises
    ------
    ShapeError
        When the size is not a size, a color is no color, a number is not finite, or words are missing.

    Examples
    --------
    >>> from seamlore.drawing.shapes import box
    >>> square = Area((box(0, 0, 10, 10),), fill="#34466b")
    >>> picture(10, 10, [square], title="A square", description="A blue square.").width_mm
    10
    >>> picture(10, 0, [], title="Nothing", description="Nothing.")
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: picture Nothing: a size of 10 by 0 mm: both sides must be more than 0; ...
    """
    where = f"picture {title}"
    if not all(math.isfinite(side) and side > 0 for side in (width_mm, height_mm)):
        raise ShapeError(
            f"a size of {width_mm:g} by {height_mm:g} mm",
            "both sides must be more than 0",
            "give its size on paper",
            where=where,
        )
    if not title.strip() or not description.strip():
        raise ShapeError(
            "a picture without words",
            "a picture has a title and says what it shows",
            "give both",
            where=where.strip(),
        )
    drawn = tuple(shapes)
    for shape in walk(drawn, once=True):
        _check(shape, where)
    return Picture(width_mm, height_mm, drawn, title, description)


def _check(shape: Shape, where: str) -> None:
    for color in _colors(shape):
        if not _COLOR.match(color):
            raise ShapeError(
                f'"{color}" is not a color',
                "a color is written #rrggbb",
                "write it in small hex digits",
                where=where,
            )
    if not math.isfinite(_sum(shape)):
        raise ShapeError(
            "a shape with a number that is not finite", "all places are finite", "mend its corners", where=where
        )


def _colors(shape: Shape) -> list[Color]:
    if isinstance(shape, Group):
        return []
    if isinstance(shape, Area):
        hatched = [shape.fill.ground, shape.fill.ink] if isinstance(shape.fill, Hatch) else []
        return [color for color in (shape.fill, shape.stroke) if isinstance(color, str)] + hatched
    if isinstance(shape, Line):
        return [shape.stroke]
    if isinstance(shape, Text):
        return [shape.fill] + ([shape.halo] if shape.halo is not None else [])
    return []


def _sum(shape: Shape) -> float:
    """All the numbers of a shape together: not finite where one of them is not."""
    if isinstance(shape, Group):
        return shape.dx + shape.dy + shape.turn_deg + shape.opacity + sum(shape.clip or ())
    if isinstance(shape, Area | Line):
        return _sum_of(Very(shape.rings if isinstance(shape, Area) else shape.runs)) + shape.stroke_mm
    if isinstance(shape, Text):
        return shape.x + shape.y + shape.size_pt + shape.turn_deg
    return shape.x + shape.y + shape.width + shape.height


@lru_cache(maxsize=4096)
def _sum_of(given: Very[tuple[Ring, ...]]) -> float:
    return sum(sum(map(sum, ring)) for ring in given.value)
