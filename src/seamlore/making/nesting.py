"""Triangles and four-sided shapes that lie side by side in a strip, every second one turned about.

A shape with two sides along the strip (a triangle has one) fits its neighbor when that is turned by half a turn:
their slanting cuts are one cut. So a strip holds many more than their boxes would.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import atan2, degrees

import numpy as np

from seamlore.lengths import Length, on_mark, show
from seamlore.making.shapes import Shaped
from seamlore.making.sizes import cutting_line, finished_points
from seamlore.plane.outline import Points, grow

# Where a slanting cut meets the strip's upper and lower edge.
Slant = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Nest:
    """How equal shapes lie in a strip.

    Parameters
    ----------
    depth : Length
        How wide the strip is cut.
    first : (Fraction, Fraction)
        Where the first slanting cut meets the upper and the lower edge of the strip, in inches.
    steps : (Fraction, Fraction)
        How much of the upper and of the lower edge the first shape takes, in inches.
    high : Fraction
        How high the shape itself is cut, in inches: `depth` is that on the next mark of the ruler.
    """

    depth: Length
    first: Slant
    steps: Slant
    high: Fraction

    @property
    def turned(self) -> bool:
        """Whether every second one is turned about."""
        return abs(self.steps[0] - self.steps[1]) > _SAME

    @property
    def pitch(self) -> Length:
        """How much of the strip each further one takes, on the mean."""
        return Length((self.steps[0] + self.steps[1]) / 2, self.depth.unit)

    def slants(self, count: int) -> tuple[Slant, ...]:
        """Every slanting cut of a strip that holds `count`, in inches from the end of the strip."""
        found = [self.first]
        for index in range(count):
            upper, lower = self.steps if index % 2 == 0 else self.steps[::-1]
            found.append((found[-1][0] + upper, found[-1][1] + lower))
        begins = min(min(slant) for slant in found)
        return tuple((upper - begins, lower - begins) for upper, lower in found)

    def run(self, count: int) -> Length:
        """How long a strip `count` of them take, up to a mark of the ruler."""
        return _up(max(max(slant) for slant in self.slants(count)), self.depth)

    def holds(self, width: Length) -> int:
        """How many a strip of this length holds."""
        count = int(width.inches / self.pitch.inches)
        while count and self.run(count) > width:
            count -= 1
        return count

    def how(self) -> str:
        """The cutting in words."""
        if self.turned:
            return f"by template, a cut about every {show(self.pitch)}, every second one turned about"
        leans = self.first[0] - self.first[1]
        if abs(leans) <= _SAME:
            return f"a cut every {show(self.pitch)}"
        angle = degrees(atan2(float(self.high), abs(float(leans))))
        rises = "from lower left to upper right" if leans > 0 else "from upper left to lower right"
        between = Length(
            self.pitch.inches * Fraction(np.sin(np.radians(angle))).limit_denominator(10**9), self.depth.unit
        )
        return f"right side up, at {angle:.0f} degrees to the strip's edge {rises}, {show(between, direction='up')} between the cuts"


# A billionth of an inch is the rounding of floats, and must not become the next mark.
_SAME = Fraction(1, 10**6)


def nest(shaped: Shaped, seam: Length) -> Nest | None:
    """Lay a template into a strip.

    Parameters
    ----------
    shaped : Shaped
        A template with one side along x.
    seam : Length
        Seam allowance; its unit decides the marks.

    Returns
    -------
    Nest or None
        None when the shape has more than four corners, bends inward, or has no two sides along the strip.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> f = Fraction
    >>> spool = Shaped("template", (f(12), f(3)), "", ((f(0), f(0)), (f(12), f(0)), (f(9), f(3)), (f(3), f(3))))
    >>> laid = nest(spool, inches("1/4"))
    >>> laid.depth, laid.run(1), laid.run(2), laid.holds(inches(42)), laid.turned
    (Length('3 1/2 in'), Length('13 1/4 in'), Length('23 in'), 3, True)
    >>> diamond = ((f(0), f(0)), (f(3), f(0)), (f(6), f(3)), (f(3), f(3)))
    >>> nest(Shaped("template", (f(6), f(3)), "", diamond), inches("1/4")).how()
    "right side up, at 45 degrees to the strip's edge from upper left to lower right, 2 5/8 in between the cuts"
    >>> nest(Shaped("square", (f(3), f(3))), inches("1/4")) is None
    True
    """
    if shaped.shape != "template" or not 3 <= len(shaped.outline) <= 4:
        return None
    finished = finished_points(shaped)
    level = [float(abs(side[1])) < 1e-9 for side in np.roll(finished, -1, axis=0) - finished]
    if sum(level) != len(finished) - 2:
        return None
    # The points are trimmed only where the strip's own edges trim them: the slanting cuts are straight.
    full = grow(finished, seam.inches_float, trimmed=False)
    trimmed = cutting_line(shaped, seam.inches)
    top, bottom = float(trimmed[:, 1].min()), float(trimmed[:, 1].max())
    (left0, right0), (left1, right1) = _across(full, top), _across(full, bottom)
    widths = right0 - left0, right1 - left1
    if min(widths) < 0:
        return None
    first, steps = ((_exact(one), _exact(two)) for one, two in ((left0, left1), widths))
    high = _exact(bottom - top)
    return Nest(_up(high, seam), first, steps, high)


def _across(outline: Points, y: float) -> tuple[float, float]:
    """Where the slanting sides of an outline, drawn out, stand at a height."""
    found = []
    for (x0, y0), (x1, y1) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if abs(y1 - y0) > 1e-9:
            found.append(float(x0 + (x1 - x0) * (y - y0) / (y1 - y0)))
    return min(found), max(found)


def _exact(value: float) -> Fraction:
    return Fraction(value).limit_denominator(10**9)


def _up(value: Fraction, like: Length) -> Length:
    return on_mark(Length(max(value - _SAME, value / 2), like.unit), "up")
