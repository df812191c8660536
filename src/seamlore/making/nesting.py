"""Triangles and four-sided shapes that lie side by side in a strip, every second one turned about.

A shape with two sides along the strip (a triangle has one) fits its neighbor when that is turned by half a turn:
their slanting cuts are one cut. So a strip holds many more than their boxes would.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor

import numpy as np

from seamlore.lengths import Length, on_mark, show
from seamlore.making.shapes import Shaped, cutting_line, finished_points
from seamlore.plane.outline import Points, grow


@dataclass(frozen=True, slots=True)
class Nest:
    """How equal shapes lie in a strip.

    Parameters
    ----------
    depth : Length
        How wide the strip is cut.
    reach : Length
        How much of the strip the first takes, from tip to tip and, if it leans, what its neighbor adds.
    pitch : Length
        How much each further one takes.
    turned : bool
        Whether every second one is turned about.
    """

    depth: Length
    reach: Length
    pitch: Length
    turned: bool

    def holds(self, width: Length) -> int:
        """How many a strip of this length holds."""
        return 0 if self.reach > width else 1 + floor((width - self.reach).inches / self.pitch.inches)

    def run(self, count: int) -> Length:
        """How long a strip `count` of them take."""
        return self.reach + self.pitch * (count - 1)

    def how(self) -> str:
        """The cutting in words."""
        about = ", every second one turned about" if self.turned else ""
        return f"a cut every {show(self.pitch)}{about}"


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
    >>> nest(spool, inches("1/4"))
    Nest(depth=Length('3 1/2 in'), reach=Length('13 1/4 in'), pitch=Length('9 3/4 in'), turned=True)
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
    mean = (widths[0] + widths[1]) / 2
    # Of a shape that leans, an even number ends further out than an odd one would.
    reach = max(right0, right1, max(left0, left1) + mean) - min(left0, left1)
    depth, whole, pitch = (_up(value, seam) for value in (bottom - top, reach, mean))
    return Nest(depth, whole, pitch, turned=abs(widths[0] - widths[1]) > 1e-6)


def _across(outline: Points, y: float) -> tuple[float, float]:
    """Where the slanting sides of an outline, drawn out, stand at a height."""
    found = []
    for (x0, y0), (x1, y1) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if abs(y1 - y0) > 1e-9:
            found.append(float(x0 + (x1 - x0) * (y - y0) / (y1 - y0)))
    return min(found), max(found)


def _up(value: float, seam: Length) -> Length:
    # A billionth of an inch is the rounding of floats, and must not become the next mark.
    return on_mark(Length(Fraction(value - 1e-9).limit_denominator(10**12), seam.unit), "up")
