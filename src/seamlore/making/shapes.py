"""The exact shape of a piece, and what must be cut for it so that it can be sewn.

Every allowance follows from growing the finished shape by the seam allowance on each side:
a square or rectangle grows by 2 SA; a right triangle is as large as before times (r + SA) / r, r being the radius
of the circle inside it, which for half a square is SA (2 + sqrt 2) and for a quarter square, along its long side,
SA (2 + 2 sqrt 2). With 1/4 in these are 0.854 and 1.207 in, which handbooks round up to 7/8 and 1 1/4 in.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, isqrt
from typing import Literal

import numpy as np

from seamlore.draft.block import Corner
from seamlore.draft.exact.roots import SQRT2, Exact, above, absolute, root
from seamlore.errors import PlanError
from seamlore.lengths import RULER_MARK, Length, Unit, show, show_seam
from seamlore.plane.outline import Points, area, as_outline, grow

Shape = Literal[
    "square", "rectangle", "half-square triangle", "quarter-square triangle", "half-rectangle triangle", "template"
]
# The diagonals of a quilt on point come as fractions to a millionth of a millionth; shapes are told apart well above
# that.
_NEAR = Fraction(1, 10**6)


@dataclass(frozen=True, slots=True)
class Shaped:
    """A finished shape, told by what it is cut from.

    Parameters
    ----------
    shape : str
        How it is cut.
    sides : tuple of Exact
        Finished inches: width and height of a square or rectangle; the two legs of a half-square or
        half-rectangle triangle; the long side of a quarter-square triangle, twice; the box of a template.
    diagonal : {"", "/", "\\\\"}
        Which way a half-rectangle triangle's seam runs when the rectangle lies with its long side across;
        the other way gives the mirror image.
    outline : tuple of (Exact, Exact)
        Of a template: finished corners with a side on the straight grain.
    """

    shape: Shape
    sides: tuple[Exact, Exact]
    diagonal: Literal["", "/", "\\"] = ""
    outline: tuple[Corner, ...] = ()

    @property
    def yields(self) -> int:
        """How many patches one cut gives."""
        return {"half-square triangle": 2, "half-rectangle triangle": 2, "quarter-square triangle": 4}.get(
            self.shape, 1
        )


def root_up(square: Exact) -> Exact:
    """Take a square root, exact where a draft has numbers for it, otherwise a trifle too large.

    Examples
    --------
    >>> root_up(Fraction(9, 4)), root_up(Fraction(2)), float(root_up(Fraction(3)))
    (Fraction(3, 2), Root2('sqrt2'), 1.732050807569)
    >>> root_up(Fraction(0))
    Fraction(0, 1)
    """
    found = root(square)
    if found is not None:
        return found
    scale = 10**12
    near = above(square * scale * scale)
    return Fraction(isqrt(ceil(near)) + 1, scale)


def mark_up(inches: Exact, unit: Unit) -> Length:
    """Put a size on the ruler's next mark: the one place where an exact size is rounded, and only upward.

    Parameters
    ----------
    inches : Exact
        The size.
    unit : Unit
        Which marks: 1/8 in or 1 mm.

    Examples
    --------
    >>> from fractions import Fraction
    >>> mark_up(3 * SQRT2, Unit.INCH), mark_up(Fraction(4), Unit.INCH)
    (Length('4 1/4 in'), Length('4 in'))
    """
    step = RULER_MARK[unit].inches
    return Length(ceil(inches / step) * step, unit)


def shape_of(outline: tuple[Corner, ...]) -> Shaped:
    """Tell how a piece is cut from its finished outline.

    Parameters
    ----------
    outline : tuple of (Exact, Exact)
        Corners in inches, clockwise as seen; sides along x or y lie on the straight grain.

    Returns
    -------
    Shaped
        A piece with no side on the grain is turned: a tilted square is cut as a square; any other shape
        gets its longest side on the grain.

    Examples
    --------
    >>> f = Fraction
    >>> shape_of(((f(0), f(0)), (f(3), f(0)), (f(0), f(3)))).shape
    'half-square triangle'
    >>> tilted = shape_of(((f(2), f(0)), (f(4), f(2)), (f(2), f(4)), (f(0), f(2))))
    >>> tilted.shape, float(tilted.sides[0])
    ('square', 2.8284271247461903)
    >>> shape_of(((f(0), f(0)), (f(5), f(0)), (f(4), f(2)), (f(1), f(2)))).shape
    'template'
    """
    if len(outline) == 4 and all(_right(outline, index) for index in range(4)):
        one, two = (_long(outline, index) for index in (0, 1))
        if absolute(one - two) < _NEAR:
            return Shaped("square", (max(one, two),) * 2)
        return Shaped("rectangle", (max(one, two), min(one, two)))
    if len(outline) == 3:
        corner = next((index for index in range(3) if _right(outline, index)), None)
        if corner is not None:
            return _right_triangle(outline, corner)
    return _template(outline)


def _right_triangle(outline: tuple[Corner, ...], corner: int) -> Shaped:
    # Clockwise: the leg that leaves the right angle, then the long side, then the leg that comes back.
    leaving, coming = (_long(outline, index % 3) for index in (corner, corner + 2))
    equal = absolute(leaving - coming) < _NEAR
    long_on_grain = _on_grain(outline, (corner + 1) % 3)
    legs_on_grain = _on_grain(outline, corner)
    if long_on_grain and equal:
        long = _long(outline, (corner + 1) % 3)
        return Shaped("quarter-square triangle", (long, long))
    if long_on_grain and not legs_on_grain:
        return _template(outline)
    if equal:
        return Shaped("half-square triangle", (max(leaving, coming),) * 2)
    legs = (max(leaving, coming), min(leaving, coming))
    return Shaped("half-rectangle triangle", legs, "/" if leaving > coming else "\\")


def _template(outline: tuple[Corner, ...]) -> Shaped:
    turned = outline
    foot = _foot(outline)
    if foot is not None:
        (x0, y0), (x1, y1) = outline[foot], outline[(foot + 1) % len(outline)]
        long = _long(outline, foot)
        dx, dy = (x1 - x0) / long, (y1 - y0) / long
        turned = tuple((x * dx + y * dy, y * dx - x * dy) for x, y in outline)
    left, top = min(x for x, _ in turned), min(y for _, y in turned)
    turned = tuple((x - left, y - top) for x, y in turned)
    return Shaped("template", (max(x for x, _ in turned), max(y for _, y in turned)), "", turned)


def _foot(outline: tuple[Corner, ...]) -> int | None:
    """Which side to lay along the strip; None when the piece may lie as it does in the quilt.

    A side on the grain stays on the grain, but a four-sided piece whose only two parallel sides are off it is cut
    with these along the strip, as diagonal stripes are.
    """
    count = len(outline)
    on_grain = [index for index in range(count) if _on_grain(outline, index)]
    along = list(on_grain)
    if count == 4:
        parallel = [index for index in range(4) if _parallel(outline, index, (index + 2) % 4)]
        along = [index for index in parallel if index in on_grain] or parallel or on_grain
    if on_grain and count > 4:
        return None
    return max(along or range(count), key=lambda index: (_square(outline, index), -index))


def _parallel(outline: tuple[Corner, ...], one: int, two: int) -> bool:
    (ax, ay), (bx, by) = _side(outline, one), _side(outline, two)
    return absolute(ax * by - ay * bx) <= _NEAR * max(_square(outline, one), _square(outline, two))


def _side(outline: tuple[Corner, ...], index: int) -> Corner:
    (x0, y0), (x1, y1) = outline[index], outline[(index + 1) % len(outline)]
    return x1 - x0, y1 - y0


def _square(outline: tuple[Corner, ...], index: int) -> Exact:
    dx, dy = _side(outline, index)
    return dx * dx + dy * dy


def _long(outline: tuple[Corner, ...], index: int) -> Exact:
    """The length of a side. A diagonal of diagonals comes out a hair beside a plain number, and is that number."""
    long = root_up(_square(outline, index))
    plain = above(long).limit_denominator(960)
    return plain if absolute(long - plain) < Fraction(1, 10**9) else long


def _right(outline: tuple[Corner, ...], index: int) -> bool:
    """Whether the corner at `index` is a right angle."""
    (ax, ay), (bx, by) = _side(outline, index - 1 if index else len(outline) - 1), _side(outline, index)
    return absolute(ax * bx + ay * by) <= _NEAR * max(ax * ax + ay * ay, bx * bx + by * by)


def _on_grain(outline: tuple[Corner, ...], index: int) -> bool:
    dx, dy = _side(outline, index)
    return min(absolute(dx), absolute(dy)) <= _NEAR


def exact_allowance(shaped: Shaped, seam: Fraction) -> tuple[Exact, Exact]:
    """How much larger than finished a cut must be, to each side, before any rounding.

    Parameters
    ----------
    shaped : Shaped
        The finished shape.
    seam : Fraction
        Seam allowance in inches.

    Examples
    --------
    >>> half = Shaped("half-square triangle", (Fraction(3), Fraction(3)))
    >>> [round(float(each), 5) for each in exact_allowance(half, Fraction(1, 4))]
    [0.85355, 0.85355]
    >>> exact_allowance(Shaped("square", (Fraction(3), Fraction(3))), Fraction(0))
    (Fraction(0, 1), Fraction(0, 1))
    """
    width, height = shaped.sides
    match shaped.shape:
        case "square" | "rectangle":
            return 2 * seam, 2 * seam
        case "half-square triangle":
            each = seam * (2 + SQRT2)
            return each, each
        case "quarter-square triangle":
            each = seam * (2 + 2 * SQRT2)
            return each, each
        case "half-rectangle triangle":
            inside = (width + height - root_up(width * width + height * height)) / 2
            return seam * width / inside, seam * height / inside
        case "template":
            grown = cutting_line(shaped, seam)
            span = np.ptp(grown, axis=0)
            # A billionth of an inch is the rounding of floats, and must not become the next mark.
            wide, high = (Fraction(float(each)).limit_denominator(10**9) - Fraction(1, 10**9) for each in span)
            return wide - width, high - height


def cut_size(shaped: Shaped, seam: Length) -> tuple[Length, Length]:
    """The size to cut, on the ruler's marks: 1/8 in, or 1 mm with a metric seam allowance.

    The allowance is rounded up to a mark, as in handbooks, then the sum is. So 1/4 in gives finished + 7/8 for
    half squares and finished + 1 1/4 for quarter squares.

    Parameters
    ----------
    shaped : Shaped
        The finished shape.
    seam : Length
        Seam allowance; its unit decides the marks.

    Returns
    -------
    tuple of Length
        Width and height, the longer first.

    Raises
    ------
    PlanError
        When the seam allowance is less than 0, or wider than the finished patch.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> cut_size(Shaped("half-square triangle", (Fraction(3), Fraction(3))), inches("1/4"))
    (Length('3 7/8 in'), Length('3 7/8 in'))
    >>> cut_size(Shaped("square", (Fraction(1, 8), Fraction(1, 8))), inches("1/4"))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a seam allowance of 1/4 in on a patch of 1/8 in: ...
    """
    if seam.inches < 0:
        raise PlanError(f"a seam allowance of {show_seam(seam)}", "it is 0 or more", "give the width of the seam")
    narrow = min(shaped.sides)
    if narrow < seam.inches:
        raise PlanError(
            f"a seam allowance of {show_seam(seam)} on a patch of {show(Length(above(narrow), seam.unit))}",
            "a seam is no wider than its patch",
            "make the block larger or the seam narrower",
        )
    sizes = []
    for finished, more in zip(shaped.sides, exact_allowance(shaped, seam.inches), strict=True):
        # A template's box has no rule to remember; only its sum is rounded.
        added = more if shaped.shape == "template" else mark_up(more, seam.unit).inches
        sizes.append(mark_up(finished + added, seam.unit))
    return (sizes[0], sizes[1]) if sizes[0] >= sizes[1] else (sizes[1], sizes[0])


def finished_points(shaped: Shaped) -> Points:
    """The finished outline of a template, in inches, shape (n, 2)."""
    return as_outline([(float(x), float(y)) for x, y in shaped.outline])


def cutting_line(shaped: Shaped, seam: Fraction) -> Points:
    """The cutting line of a template, its points trimmed, in inches, shape (n, 2)."""
    return grow(finished_points(shaped), float(seam))


def cloth_area(shaped: Shaped, size: tuple[Length, Length], seam: Fraction) -> Fraction:
    """The cloth that one cut uses, in square inches: of a template only what lies inside its cutting line.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> square = Shaped("square", (Fraction(3), Fraction(3)))
    >>> cloth_area(square, (inches("3.5"), inches("3.5")), Fraction(1, 4))
    Fraction(49, 4)
    """
    if shaped.shape == "template":
        return Fraction(area(cutting_line(shaped, seam))).limit_denominator(10**9)
    return size[0].inches * size[1].inches
