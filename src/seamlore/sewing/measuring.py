"""What the tape shows of something sewn, and how it is laid: square to the block, or along what is slanted."""

from __future__ import annotations

from fractions import Fraction
from math import hypot

import numpy as np

from seamlore.draft.block import Corner
from seamlore.draft.exact.roots import Exact, above, absolute, root
from seamlore.lengths import Length, Unit
from seamlore.plane.outline import Points, as_outline, grow
from seamlore.sewing.steps import Outline


def now_measures(outline: Outline, allowance: Length, unit: Unit = Unit.INCH) -> tuple[Length, Length]:
    """Work out what the tape shows of something sewn, with the allowance still round it: width and height.

    Parameters
    ----------
    outline : tuple of corners
        Finished, in inches.
    allowance : Length
    unit : Unit
        How they are shown.

    Returns
    -------
    tuple of Length
        Of a rectangle its sides; of another shape its box along a side that lies square to the block, or along the
        slanted ones where they are longer, points cut off as for sewing. Exact, or a trifle more.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> square = tuple((Fraction(x), Fraction(y)) for x, y in ((0, 0), (3, 0), (3, 3), (0, 3)))
    >>> now_measures(square, inches("1/4"))
    (Length('3 1/2 in'), Length('3 1/2 in'))
    >>> now_measures(square[:3], inches("1/4"))
    (Length('3 1/2 in'), Length('3 1/2 in'))
    """
    if is_box(outline):
        found = [_long(side) + allowance.inches * 2 for side in _sides(outline)[:2]]
        return Length(found[0], unit), Length(found[1], unit)
    points = as_outline([(float(x), float(y)) for x, y in outline])
    grown = grow(points, float(allowance.inches))
    right, down = tape_lies(outline)
    wide, high = np.ptp(grown @ np.array([[right, -down], [down, right]]), axis=0).tolist()
    return Length(_upward(wide), unit), Length(_upward(high), unit)


def is_box(outline: Outline) -> bool:
    """Tell whether an outline is a square or a rectangle, however it lies."""
    sides = _sides(outline)
    return len(sides) == 4 and all(
        abs(float(a[0] * b[0] + a[1] * b[1])) < 1e-6 for a, b in zip(sides, [*sides[1:], sides[0]], strict=True)
    )


def tape_lies(outline: Outline) -> tuple[float, float]:
    """Give the direction in which `now_measures` takes the width, to the right and down; the height is square to it.

    Examples
    --------
    >>> tape_lies(((0, 0), (3, 0), (3, 3)))
    (1.0, 0.0)
    """
    points = as_outline([(float(x), float(y)) for x, y in outline])
    if is_box(outline):
        across, down = (points[1] - points[0]).tolist()
        long = hypot(across, down)
        return (across / long, down / long) if across > 0 else (-across / long, -down / long)
    right, down = _measured_along(np.roll(points, -1, axis=0) - points)
    return (right, down) if right > 0 else (-right, -down)


def _sides(outline: Outline) -> list[Corner]:
    return [(x1 - x0, y1 - y0) for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True)]


def _measured_along(sides: Points) -> tuple[float, float]:
    """The direction along which a tape is laid, to the right: square to the block, unless most of the edge is slanted."""
    lengths = np.hypot(sides[:, 0], sides[:, 1])
    angles = np.arctan2(sides[:, 1], sides[:, 0]) % (np.pi / 2)

    def alike(angle: float) -> float:
        apart = np.abs(angles - angle)
        return float(lengths[np.minimum(apart, np.pi / 2 - apart) < 1e-6].sum())

    square = alike(0.0)
    best = max(angles.tolist(), key=lambda angle: (round(alike(angle), 6), -angle))
    # A triangle is laid with a side that is square to the block along the ruler's edge, where it has one.
    if square and (len(sides) == 3 or square > alike(best) - 1e-6):
        on = np.flatnonzero(np.abs(sides).min(axis=1) < 1e-6)
        longest = max(on.tolist(), key=lambda index: float(lengths[index]))
    else:
        on = np.flatnonzero(np.abs((angles - best + 0.1) % (np.pi / 2) - 0.1) < 1e-6)
        longest = max(on.tolist(), key=lambda index: float(lengths[index]))
    right, down = (sides[longest] / lengths[longest]).tolist()
    return (down, -right) if abs(down) > abs(right) + 1e-9 else (right, down)


def _long(side: tuple[Exact, Exact]) -> Fraction:
    if not side[0] or not side[1]:
        return above(absolute(side[0] or side[1]))
    square = side[0] * side[0] + side[1] * side[1]
    exact = root(square)
    return above(exact) if exact is not None else _upward(float(square) ** 0.5)


def _upward(number: float) -> Fraction:
    """A float as a fraction, its rounding undone: a size that comes out on a tape mark stays there."""
    return Fraction(round(number * 10**9), 10**9)
