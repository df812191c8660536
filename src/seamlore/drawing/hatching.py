"""One cell of a hatched cloth, which repeats across and down."""

from __future__ import annotations

from seamlore.drawing.shapes import Area, Hatch, Line, Shape, box, circle

_LINE_MM = 0.18
_DOT_MM = 0.26


def cell(hatch: Hatch) -> tuple[Shape, ...]:
    """Draw the cell of a hatched cloth, a square of `apart_mm`; what stands out of it is cut off.

    Examples
    --------
    >>> ground, lines = cell(Hatch("#ffffff", "#000000", "level", 2.0))
    >>> lines.runs
    (((0.0, 1.0), (2.0, 1.0)),)
    """
    side = hatch.apart_mm
    half = side / 2
    ground = Area((box(-0.1, -0.1, side + 0.2, side + 0.2),), hatch.ground)
    if hatch.marks == "dots":
        return ground, Area((circle(half, half, _DOT_MM),), hatch.ink)
    rising = (((0.0, side), (side, 0.0)), ((-half, half), (half, -half)), ((half, side + half), (side + half, half)))
    level, upright = ((0.0, half), (side, half)), ((half, 0.0), (half, side))
    runs = {
        "rising": rising,
        "falling": tuple(tuple((side - x, y) for x, y in run) for run in rising),
        "level": (level,),
        "upright": (upright,),
        "checks": (level, upright),
    }[hatch.marks]
    return ground, Line(runs, hatch.ink, _LINE_MM)
