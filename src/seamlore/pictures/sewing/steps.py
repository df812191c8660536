"""Pictures of one step of sewing: what is joined, a little apart; and what comes of it, its seams and their pressing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import cos, hypot, radians, sin

import numpy as np

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Hatch, Line, Paint, Shape, Text, circle, gathered, moved, ring
from seamlore.lengths import Length, show
from seamlore.pictures.lettering import arrow, depth, words_width
from seamlore.pictures.palette import INK, PAPER, QUIET, SEAM
from seamlore.pictures.sewing.measured import measured
from seamlore.pictures.sewing.names import lettered, name_on
from seamlore.plane.outline import Points
from seamlore.sewing.measuring import now_measures
from seamlore.sewing.steps import Outline, Seam, Step

# A unit is drawn no larger than this, a part of the top than that, a whole block or row than the last.
_UNIT_MM, _PART_MM, _WHOLE_MM = 30.0, 36.0, 46.0
_APART_MM = 3.6
# Parts of very different sizes are not blown apart for the least of them.
_MOST_SPREAD = 0.45
_BETWEEN_MM = 14.0
_LETTERED_MM = (4.0, 9.0)
_LETTERS = 14
_ARROW_MM = (2.0, 3.0)
# The ring round a point where seams do not nest.
_CLASH_MM = 1.5
Vector = tuple[float, float]
# For each piece what is seen of it: outlines in inches and their cloths.
Insides = Mapping[int, Sequence[tuple[Points, Paint]]]
_PATCHED = Hatch(PAPER, INK, "dots")


def step_picture(
    step: Step,
    outlines: Sequence[Outline],
    labels: Sequence[str],
    paints: Sequence[Paint],
    width_mm: float,
    *,
    allowance: Length,
    title: str,
    sized: bool = True,
    insides: Insides | None = None,
) -> Picture:
    """Draw a step: its parts apart at the left, and joined at the right.

    Parameters
    ----------
    step : Step
    outlines : sequence of outlines
        Of all pieces that the steps number, finished, in inches.
    labels, paints : sequence
        What each piece is called, and its cloth.
    width_mm : float
        The room there is; the picture takes no more.
    allowance : Length
        Seam allowance, in the unit that sizes are lettered in.
    title : str
    sized : bool
        Whether sizes are lettered.
    insides : mapping of int to patches, optional
        What is seen of a piece that is itself sewn, such as a block: outlines in inches and their cloths.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.steps import sewing_steps
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> outlines = [tuple((x * 6, y * 6) for x, y in each.outline) for each in four.patches]
    >>> row, whole = sewing_steps(outlines, ["A1", "B1", "B1", "A1"])
    >>> cloths = ["#33456a", "#efe7d7", "#efe7d7", "#33456a"]
    >>> step_picture(row, outlines, ["A1", "B1", "B1", "A1"], cloths, 118, allowance=inches("1/4"), title="Row 1").description
    'Row 1: A1 and B1 side by side, then joined along 1 seam; it should now measure 6 1/2 x 3 1/2 in.'
    """
    points = _seen(step, outlines, paints, insides)
    extent = np.ptp(_points(step.outline), axis=0)
    room = (width_mm - _BETWEEN_MM - 2 * _APART_MM * 3 - sum(_LETTERED_MM)) / 2
    # What is joined of blocks is seen too small where a unit of a block is not.
    unit = _UNIT_MM if insides is None else _PART_MM
    largest = min(unit if step.made == "unit" else _WHOLE_MM, room)
    scale = largest / float(extent.max())
    left = _parts(step, points, labels, scale)
    right = _joined(step, points, scale, allowance if sized else None)
    (left_low, left_high), (right_low, right_high) = _box(left), _box(right)
    high = max(left_high[1] - left_low[1], right_high[1] - right_low[1])
    width_left, width_right = left_high[0] - left_low[0], right_high[0] - right_low[0]
    middle = high / 2
    shapes: list[Shape] = [
        moved(left, -left_low[0], middle - (left_low[1] + left_high[1]) / 2),
        *arrow(width_left + 4, middle, width_left + _BETWEEN_MM - 4, middle, QUIET, stroke_mm=0.5),
        moved(right, width_left + _BETWEEN_MM - right_low[0], middle - (right_low[1] + right_high[1]) / 2),
    ]
    return picture(
        width_left + _BETWEEN_MM + width_right,
        high,
        shapes,
        title=title,
        description=describe(step, allowance, title),
    )


def result_picture(
    step: Step,
    outlines: Sequence[Outline],
    paints: Sequence[Paint],
    side_mm: float,
    *,
    title: str,
    insides: Insides | None = None,
) -> Picture:
    """Draw what comes of a step alone, in a square: its seams, and the way they are pressed.

    Parameters
    ----------
    step, outlines, paints, title, insides : as in `step_picture`
    side_mm : float
        Side of the square.
    """
    points = _seen(step, outlines, paints, insides)
    extent = np.ptp(_points(step.outline), axis=0)
    scale = (side_mm - 2.0) / float(extent.max())
    drawn = _joined(step, points, scale, None)
    low, high = _points(step.outline).min(axis=0) * scale, _points(step.outline).max(axis=0) * scale
    middle = (low + high) / 2
    shapes = [moved(drawn, side_mm / 2 - float(middle[0]), side_mm / 2 - float(middle[1]))]
    return picture(side_mm, side_mm, shapes, title=title, description=f"{title}, sewn.")


def describe(step: Step, allowance: Length, title: str) -> str:
    """Say what a picture of a step shows, for who cannot see it."""
    names = [part.shown for part in step.parts]
    joined = [f"{names.count(name)} {name}" if names.count(name) > 1 else name for name in dict.fromkeys(names)]
    listed = joined[0] if len(joined) == 1 else f"{', '.join(joined[:-1])} and {joined[-1]}"
    seams = f"{len(step.seams)} seam{'s' * (len(step.seams) != 1)}"
    wide, high = now_measures(step.outline, allowance, allowance.unit)
    size = f"{show(wide, bare=True)} x {show(high)}"
    return f"{title}: {listed} side by side, then joined along {seams}; it should now measure {size}."


def _seen(step: Step, outlines: Sequence[Outline], paints: Sequence[Paint], insides: Insides | None) -> Insides:
    """What is drawn of each piece of a step: what is seen of it, or one patch of its cloth."""
    shown = insides or {}
    return {piece: shown.get(piece) or [(_points(outlines[piece]), paints[piece])] for piece in step.pieces}


def _points(outline: Outline) -> Points:
    return np.array([(float(x), float(y)) for x, y in outline])


def _parts(step: Step, points: Insides, labels: Sequence[str], scale: float) -> list[Shape]:
    """The parts of a step, each moved away from the middle of all until there is room between them."""
    middles = [_centroid(_points(part.outline)) for part in step.parts]
    center = _centroid(_points(step.outline))
    spread = _spread(step, middles, scale)
    shapes: list[Shape] = []
    for part, middle in zip(step.parts, middles, strict=True):
        aside = (middle - center) * spread * scale
        inside = [(each * scale + aside, paint) for piece in part.pieces for each, paint in points[piece]]
        shapes += gathered([(ring(each), paint) for each, paint in inside])
        shapes.append(Area(tuple(ring(each) for each, _ in inside), None, SEAM, 0.12))
        outline = _points(part.outline) * scale + aside
        shapes.append(Area((ring(outline),), None, SEAM, 0.3))
        if len(part.pieces) == 1:
            # Over the patches of what is itself sewn words need a ground of their own.
            paint = inside[0][1] if len(inside) == 1 else _PATCHED
            shapes += lettered(outline, labels[part.pieces[0]], paint)
        elif len(part.shown) <= _LETTERS:
            # A long name would run over the picture; it stands in the words beside it.
            shapes += name_on(outline, part.shown)
    return shapes


def _centroid(points: Points) -> Points:
    x, y = points[:, 0], points[:, 1]
    cross = x * np.roll(y, -1) - np.roll(x, -1) * y
    whole = cross.sum()
    middle_x = ((x + np.roll(x, -1)) * cross).sum() / (3 * whole)
    middle_y = ((y + np.roll(y, -1)) * cross).sum() / (3 * whole)
    return np.array([middle_x, middle_y])


def _spread(step: Step, middles: Sequence[Points], scale: float) -> float:
    """By how much of their distance from the middle the parts are moved apart, so that every seam opens wide enough."""
    least: list[float] = []
    for seam in step.seams:
        for one in seam.first:
            for other in seam.second:
                between = middles[other] - middles[one]
                start, end = np.array(seam.path[0], dtype=float), np.array(seam.path[-1], dtype=float)
                along = (end - start) / (hypot(*(end - start)) or 1.0)
                # Across the seam; of one that turns a corner, from middle to middle.
                opened = (
                    abs(between[0] * along[1] - between[1] * along[0]) if len(seam.path) == 2 else hypot(*between)
                )
                if opened > 1e-6:
                    least.append(float(opened))
    return min(_APART_MM / scale / min(least), _MOST_SPREAD) if least else 0.0


def _joined(step: Step, points: Insides, scale: float, allowance: Length | None) -> list[Shape]:
    """What comes of a step; with an allowance its size is lettered."""
    rings = [(ring(each * scale), paint) for inside in points.values() for each, paint in inside]
    whole = _points(step.outline) * scale
    shapes: list[Shape] = [
        *gathered(rings),
        Area(tuple(outline for outline, _ in rings), None, SEAM, 0.12),
        Area((ring(whole),), None, SEAM, 0.3),
    ]
    for number, seam in enumerate(step.seams, start=1):
        shapes += _seam(step, seam, number, scale)
    for x, y in step.clashes:
        around = (circle(float(x) * scale, float(y) * scale, _CLASH_MM),)
        shapes += [Area(around, None, PAPER, 1.2), Area(around, None, INK, 0.4)]
    if allowance is not None:
        shapes += measured(step.outline, whole, allowance)
    return shapes


def _seam(step: Step, seam: Seam, number: int, scale: float) -> list[Shape]:
    """A seam that this step sews: heavier than the rest, with the way it is pressed, and its number where order matters."""
    path = [(float(x) * scale, float(y) * scale) for x, y in seam.path]
    open_end = (1.2, 0.9) if seam.manner == "begun" else ()
    shapes: list[Shape] = [Line((tuple(path),), INK, 0.45, open_end)]
    legs = list(pairwise(path))
    start, end = max(legs, key=lambda leg: hypot(leg[1][0] - leg[0][0], leg[1][1] - leg[0][1]))
    length = hypot(end[0] - start[0], end[1] - start[1])
    ordered = step.manner != "straight"
    at = 0.5 if not ordered else 0.72
    middle = (start[0] + (end[0] - start[0]) * at, start[1] + (end[1] - start[1]) * at)
    normal = ((start[1] - end[1]) / length, (end[0] - start[0]) / length)
    shapes += _pressed(step, seam, middle, normal, scale)
    if ordered:
        spot = (start[0] + (end[0] - start[0]) * 0.28, start[1] + (end[1] - start[1]) * 0.28)
        shapes += [
            Area((circle(*spot, 1.9),), PAPER, INK, 0.2),
            Text(*spot, str(number), 6.5, "middle", True, "semibold", fill=INK),
        ]
    return shapes


def _pressed(step: Step, seam: Seam, middle: Vector, normal: Vector, scale: float) -> list[Shape]:
    """An arrow over the seam toward the side on which its allowances lie; both ways where it is pressed open."""
    back, reach = _ARROW_MM

    def one(sign: float, foot: float) -> list[Shape]:
        ends = [(middle[0] + normal[0] * sign * each, middle[1] + normal[1] * sign * each) for each in (-foot, reach)]
        return [Line((tuple(ends),), PAPER, 1.3, cap="round"), *arrow(*ends[0], *ends[1], INK, stroke_mm=0.32)]

    if seam.press == "open":
        return [*one(1.0, 0.0), *one(-1.0, 0.0)]
    if seam.press == "fanned":
        return [Area((circle(*middle, 1.6),), PAPER, INK, 0.3), Area((circle(*middle, 0.5),), INK)]
    if not seam.press:
        return []
    side = seam.first if seam.press == "first" else seam.second
    near = np.array([[middle[0] + normal[0] * 0.3, middle[1] + normal[1] * 0.3]]) / scale
    toward = any(float(depth(_points(step.parts[index].outline), near)[0]) > 0 for index in side)
    return one(1.0 if toward else -1.0, back)


def _box(shapes: Sequence[Shape]) -> tuple[Vector, Vector]:
    """The box of drawn shapes, words reckoned with."""
    xs: list[float] = []
    ys: list[float] = []
    for shape in shapes:
        if isinstance(shape, Area | Line):
            for outline in shape.rings if isinstance(shape, Area) else shape.runs:
                xs += [value for node in outline for value in node[::2]]
                ys += [value for node in outline for value in node[1::2]]
        elif isinstance(shape, Text):
            half = words_width(shape.words, shape.size_pt) / 2
            level, upright = abs(cos(radians(shape.turn_deg))), abs(sin(radians(shape.turn_deg)))
            thick = shape.size_pt * 0.18
            wide, tall = half * level + thick * upright, half * upright + thick * level
            xs += [shape.x - wide, shape.x + wide]
            ys += [shape.y - tall, shape.y + tall]
    edge = 0.4
    return (min(xs) - edge, min(ys) - edge), (max(xs) + edge, max(ys) + edge)
