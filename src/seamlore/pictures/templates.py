"""Patch templates at true scale."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import cos, hypot, radians, sin

import numpy as np

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import MM_PER_INCH, MM_PER_PT, Area, Group, Line, Ring, Shape, Text, circle, moved, ring
from seamlore.lengths import Length, show, show_seam
from seamlore.pictures.lettering import arrow, heart, words_width
from seamlore.pictures.palette import INK, QUIET
from seamlore.plane.outline import Points, as_outline, grow

_MARGIN_MM = 0.5
_UNDER_MM = 3.6


def template_picture(
    outline_in: Points,
    allowance: Length,
    label: str,
    lines: Sequence[str] = (),
    *,
    grain_deg: float = 90.0,
    folded: bool = False,
    within: Points | None = None,
) -> Picture:
    """Draw the template of a patch at true scale.

    Parameters
    ----------
    outline_in : ndarray, shape (n, 2)
        The finished patch (the sewing line) in inches.
    allowance : Length
        Seam allowance; none draws the patch at its finished size alone.
    label : str
        What the patch is called, such as "A1".
    lines : sequence of str
        What more is written on it: how many are cut from which fabric, its finished size.
    grain_deg : float
        Direction of the straight grain, clockwise from x; 90 runs up and down.
    folded : bool
        Draw the left half alone, up to the fold of the sheet from which both halves are cut: the patch is its own
        mirror image from left to right.
    within : ndarray, shape (n, 2), optional
        The part of the patch in which words are written, in mm on the picture: one that is not cut where tiles are joined.

    Returns
    -------
    Picture
        Cutting line whole, sewing line dashed with a dot at each corner, a notch at the middle of each side,
        the grain as an arrow. What has no room inside is written underneath.

    Raises
    ------
    ShapeError
        When the patch is no patch, or the allowance too wide for it.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> square = np.array([[0.0, 0], [3, 0], [3, 3], [0, 3]])
    >>> drawn = template_picture(square, inches("1/4"), "A1", ["cut 8"])
    >>> round(drawn.width_mm - 1, 6)  # 3 1/2 in
    88.9
    """
    sewing = as_outline(outline_in) * MM_PER_INCH
    cutting = grow(sewing, allowance.inches_float * MM_PER_INCH)
    low, high = cutting.min(axis=0), cutting.max(axis=0)
    shapes: list[Shape] = [Area((ring(cutting),), None, INK, 0.3)]
    if allowance:
        shapes += [
            Area((ring(sewing),), None, QUIET, 0.2, (1.6, 1.0)),
            Area(tuple(circle(x, y, 0.45) for x, y in sewing.tolist()), INK),
            Line(tuple(_notches(sewing, allowance.inches_float * MM_PER_INCH)), INK, 0.25),
        ]
    if folded:
        fold = float(low[0] + high[0]) / 2
        shapes = [*_to_the_fold(shapes, low, high, fold)]
        sewing, high = left_of(sewing, fold), np.array([fold, high[1]])
        lines = (*lines, "half: cut on a fold of the paper")
    room = sewing if within is None else within - _MARGIN_MM + low
    words, under = _words(room, label, lines, grain_deg)
    shapes += words
    width, height = (high - low).tolist()
    if under:
        at = (float(low[0]), float(high[1]) + _UNDER_MM)
        shapes += [Text(at[0], at[1] + index * 3.4, each, 7.5, fill=INK) for index, each in enumerate(under)]
        height += _UNDER_MM + 3.4 * (len(under) - 1) + 1.2
        width = max(width, *(words_width(each, 7.5) * 1.1 for each in under))
    whole = np.ptp(np.asarray(outline_in, dtype=np.float64), axis=0).tolist()
    finished = " by ".join(show(Length(Fraction(side), allowance.unit), bare=True) for side in whole)
    return picture(
        width + 2 * _MARGIN_MM,
        height + 2 * _MARGIN_MM,
        [moved(shapes, _MARGIN_MM - float(low[0]), _MARGIN_MM - float(low[1]))],
        title=f"Template {label}",
        description=(
            f"Template of patch {label} at true scale, {finished} {allowance.unit} finished, {_with(allowance)}"
            + "".join(f"; {line}" for line in lines)
            + "."
        ),
    )


def _with(allowance: Length) -> str:
    return f"with {show_seam(allowance)} seam allowance" if allowance else "without seam allowance"


def left_of(outline: Points, x: float) -> Points:
    """Cut an outline down to what lies left of an upright line.

    Examples
    --------
    >>> left_of(np.array([[0.0, 0], [4, 0], [4, 2], [0, 2]]), 2).tolist()
    [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]
    """
    kept: list[Points] = []
    for start, end in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if start[0] <= x:
            kept.append(start)
        if (start[0] < x) != (end[0] < x) and start[0] != x != end[0]:
            kept.append(start + (end - start) * ((x - start[0]) / (end[0] - start[0])))
    return np.array(kept)


def _to_the_fold(shapes: Sequence[Shape], low: Points, high: Points, fold: float) -> list[Shape]:
    """Show what lies left of the fold, and the fold."""
    edge = 1.0
    seen = (
        float(low[0]) - edge,
        float(low[1]) - edge,
        fold - float(low[0]) + edge,
        float(np.ptp([low[1], high[1]])) + 2 * edge,
    )
    top, bottom = float(low[1]), float(high[1])
    # Off the middle, where tiles may be joined.
    middle = top + (bottom - top) * 0.3
    return [
        Group(tuple(shapes), clip=seen),
        Line((((fold, top), (fold, bottom)),), INK, 0.3, (4.0, 1.0, 0.6, 1.0)),
        Text(fold - 3.0, middle, "on the fold of the paper", 8, "middle", fill=INK, turn_deg=-90),
    ]


def _notches(sewing: Points, allowance: float) -> list[Ring]:
    """Give a tick across the seam allowance at the middle of every side that is long enough to want one."""
    found: list[Ring] = []
    for start, end in zip(sewing, np.roll(sewing, -1, axis=0), strict=True):
        side = end - start
        length = float(hypot(*side))
        # A side of just four allowances gets its tick, whatever the last digit of its length.
        if length < 4 * allowance - 1e-6:
            continue
        middle, outward = (start + end) / 2, np.array([side[1], -side[0]]) / length
        found.append(ring(np.stack([middle + outward * allowance * 0.45, middle + outward * allowance])))
    return found


def _words(sewing: Points, label: str, lines: Sequence[str], grain_deg: float) -> tuple[list[Shape], tuple[str, ...]]:
    """Place label, grain arrow and lines inside a patch; what does not go in is given back."""
    x, y, clear = heart(sewing)
    size = min(22.0, clear * 1.5)
    along = (cos(radians(grain_deg)), sin(radians(grain_deg)))
    if size < 7:
        return _grain(sewing, (x, y), along), (label, *lines)
    cap = 0.66 * size * MM_PER_PT
    widest = max((words_width(each, 7.5) for each in lines), default=0.0)
    tall = cap + 4.2 * len(lines)
    inside = bool(lines) and hypot(widest / 2, tall / 2) < clear * 0.95
    top = y - tall / 2 if inside else y - cap / 2
    found: list[Shape] = [Text(x, top + cap, label, size, "middle", weight="semibold", fill=INK)]
    if inside:
        found += [
            Text(x, top + cap + 4.2 * (index + 1), each, 7.5, "middle", fill=INK) for index, each in enumerate(lines)
        ]
    # The arrow stands beside the words, as long as the patch has room there.
    half = max(widest if inside else 0.0, words_width(label, size)) / 2
    high = tall / 2 if inside else cap / 2
    across = (-along[1], along[0])
    # As far aside as the corner of the words that reaches farthest that way.
    away = abs(across[0]) * half + abs(across[1]) * high + 2.5
    base = (x + across[0] * away, y + across[1] * away)
    found += _grain(sewing, base, along)
    return found, () if inside or not lines else tuple(lines)


def _grain(sewing: Points, base: tuple[float, float], along: tuple[float, float]) -> list[Shape]:
    """Draw the arrow of the straight grain both ways from a spot, as long as there is room."""
    reach = min(_room(sewing, base, along) * 0.8, 18.0)
    if reach <= 3:
        return []
    return [
        shape
        for sign in (1, -1)
        for shape in arrow(
            *base, base[0] + sign * along[0] * reach, base[1] + sign * along[1] * reach, QUIET, stroke_mm=0.25
        )
    ]


def _room(outline: Points, base: tuple[float, float], along: tuple[float, float]) -> float:
    """Give the distance from a point to the nearest side both ways along a direction; 0 when it is outside."""
    ahead: list[float] = []
    back: list[float] = []
    for start, end in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        side = end - start
        cross = along[0] * side[1] - along[1] * side[0]
        if abs(cross) < 1e-12:
            continue
        offset = start - np.array(base)
        part = (along[0] * offset[1] - along[1] * offset[0]) / -cross
        distance = (offset[0] * side[1] - offset[1] * side[0]) / cross
        if -1e-9 <= part <= 1 + 1e-9:
            (ahead if distance >= 0 else back).append(abs(distance))
    # An odd number of sides ahead: the point is inside.
    return float(min(min(ahead), min(back))) if len(ahead) % 2 and back else 0.0
