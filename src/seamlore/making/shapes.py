"""The exact shape of a finished piece, told by what it is cut from."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, isqrt
from typing import Literal

from seamlore.draft.block import Corner
from seamlore.draft.exact.roots import Exact, above, absolute, root

Shape = Literal[
    "square", "rectangle", "half-square triangle", "quarter-square triangle", "half-rectangle triangle", "template"
]
# The diagonals of a quilt on point come as fractions to a millionth of a millionth; shapes are told apart well above
# that.
_NEAR = Fraction(1, 10**6)
# What is eased in sewing: half a scant quarter inch's thread or two (trade: 1/64 to 1/32 in). Sides that differ by less are one.
EASED = Fraction(1, 32)
_EIGHTH = Fraction(1, 8)


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
        if absolute(one - two) < EASED:
            return Shaped("square", (one_of(one, two),) * 2)
        return Shaped("rectangle", (max(one, two), min(one, two)))
    if len(outline) == 3:
        corner = next((index for index in range(3) if _right(outline, index)), None)
        if corner is not None:
            return _right_triangle(outline, corner)
    return _template(outline)


def one_of(one: Exact, *others: Exact) -> Exact:
    """Of sizes that sewing eases into one, that on a mark of the ruler, else the largest.

    Examples
    --------
    >>> one_of(Fraction(3), Fraction(751, 250)), one_of(Fraction(10, 3), Fraction(13, 4))
    (Fraction(3, 1), Fraction(13, 4))
    """
    sizes = (one, *others)
    return next((size for size in sizes if isinstance(size, Fraction) and not size % _EIGHTH), max(sizes))


def _right_triangle(outline: tuple[Corner, ...], corner: int) -> Shaped:
    # Clockwise: the leg that leaves the right angle, then the long side, then the leg that comes back.
    leaving, coming = (_long(outline, index % 3) for index in (corner, corner + 2))
    equal = absolute(leaving - coming) < EASED
    long_on_grain = _on_grain(outline, (corner + 1) % 3)
    legs_on_grain = _on_grain(outline, corner)
    if long_on_grain and equal:
        long = _long(outline, (corner + 1) % 3)
        return Shaped("quarter-square triangle", (long, long))
    if long_on_grain and not legs_on_grain:
        return _template(outline)
    if equal:
        return Shaped("half-square triangle", (one_of(leaving, coming),) * 2)
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
    longer = max(ax * ax + ay * ay, bx * bx + by * by)
    crooked = absolute(ax * bx + ay * by)
    # How far the one side would have to be eased to stand square on the other.
    return crooked <= _NEAR * longer or crooked * crooked < EASED * EASED * longer


def _on_grain(outline: tuple[Corner, ...], index: int) -> bool:
    dx, dy = _side(outline, index)
    return min(absolute(dx), absolute(dy)) <= _NEAR
