"""When the parts of a quilt were made: bands over the years, with the usual years of what was seen under them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.evidence import Evidence, Fashion, describe, shape
from seamlore.chronology.inference import Dates, quantile
from seamlore.drawing.metrics import broken
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import MM_PER_PT, Area, Line, Ring, Shape, Text
from seamlore.pictures.lettering import words_width
from seamlore.pictures.palette import CLOTHS, FAINT, HAIR, INK, MADDER, QUIET

_BAND_MM = 9.0
_LINE_MM = 4.6
_GAP_MM = 5.0
_HEAD_MM = 9.0
_TYPE_PT = 8.5
_SMALL_PT = 7.0
# Below this width, as on a telephone, names stand over their bands and words over their lines.
_NARROW_MM = 130.0
_NARROW_TYPE_PT = 10.0
_NARROW_SMALL_PT = 8.5
_WORDS_MM = 4.0


def bands_picture(dates: Dates, evidence: Sequence[Evidence], width_mm: float) -> Picture:
    """Draw each part's years as a hill over a common scale, with what speaks for them under it.

    Parameters
    ----------
    dates : Dates
        From `chronology.inference.infer`.
    evidence : sequence of Evidence
        All of it; each line stands under its part: thin over the years that it allows, thick over its usual years.
    width_mm : float
        Width of the picture; its height follows from what there is to show.

    Returns
    -------
    Picture

    Examples
    --------
    >>> from seamlore.chronology.inference import infer, pose
    >>> from seamlore.chronology.spans import Span
    >>> seen = [Evidence("backing", "printed sacks", Span(1924, None), 0.95)]
    >>> drawn = bands_picture(infer(pose((1850, 2000), seen, [])), seen, 150)
    >>> drawn.description
    'Years of each part. backing: 1926 to 1997 (9 in 10), middle 1961.'
    """
    narrow = width_mm < _NARROW_MM
    years = dates.problem.years
    first, last = _window(dates, evidence)
    label_mm = 3.0 if narrow else max([24.0, *(words_width(part, _TYPE_PT) + 4 for part in dates.problem.parts)])
    scale = (width_mm - label_mm - 4) / (last - first + 1)

    def at(year: float) -> float:
        return label_mm + (min(max(year, first), last + 1) - first) * scale

    shapes: list[Shape] = []
    y = _HEAD_MM
    told = []
    for row, part in enumerate(dates.problem.parts):
        p = dates.p[row]
        low, middle, high = (quantile(years, p, share) for share in (0.05, 0.5, 0.95))
        told.append(f"{part}: {low} to {high} (9 in 10), middle {middle}")
        if narrow:
            name = f"{part}: {low} to {high}"
            shapes.append(Text(label_mm, y + 3.4, name, _NARROW_TYPE_PT, "start", weight="semibold", fill=INK))
            y += 4.4
        else:
            shapes.append(Text(label_mm - 3, y + _BAND_MM - 1.2, part, _TYPE_PT, "end", weight="semibold", fill=INK))
        shapes += _hill(years, p, at, y + _BAND_MM, (low, middle, high))
        y += _BAND_MM + 1.4
        for each in (each for each in evidence if each.part == part):
            if narrow:
                drawn, used = _reason_under(each, years, at, y, width_mm, label_mm)
                shapes += drawn
                y += used
            else:
                shapes += _reason(each, years, at, y, width_mm, label_mm)
                y += _LINE_MM
        y += _GAP_MM
    height = y - _GAP_MM + 2
    return picture(
        width_mm,
        height,
        [*_scale(first, last, at, height, narrow=narrow), *shapes],
        title="When its parts were made",
        description="Years of each part. " + "; ".join(told) + ".",
    )


def _window(dates: Dates, evidence: Sequence[Evidence]) -> tuple[int, int]:
    """The decades that matter: where nearly all the probability and the usual years of the evidence lie."""
    years = dates.problem.years
    ends = [quantile(years, p, share) for p in dates.p for share in (0.02, 0.98)]
    for each in evidence:
        ends += [year for year in _usual(each, years) if years[0] < year < years[-1]]
    return max(int(years[0]), min(ends) // 10 * 10), min(int(years[-1]), -(-(max(ends) + 1) // 10) * 10)


def _usual(each: Evidence, years: NDArray[np.int64]) -> tuple[int, int]:
    """The usual years of a clue, or the years of a claim, within the horizon."""
    when = each.when
    if isinstance(when, Fashion):
        low = when.usual_from if when.usual_from is not None else when.earliest
        high = when.usual_to if when.usual_to is not None else when.latest
        low = int(years[0]) if low is None else low
        high = int(years[-1]) if high is None else high
        return max(low, int(years[0])), min(high, int(years[-1]))
    inside = years[shape(each, years) > 0]
    return int(inside[0]), int(inside[-1])


def _hill(
    years: NDArray[np.int64],
    p: NDArray[np.float64],
    at: Callable[[float], float],
    base: float,
    ends: tuple[int, int, int],
) -> list[Shape]:
    low, middle, high = ends
    top = float(p.max())

    def outline(start: int, stop: int) -> Ring:
        """Steps, a year wide each, from one year's index up to another's."""
        upper: list[tuple[float, float]] = []
        for index in range(start, stop):
            height = base - float(p[index]) / top * (_BAND_MM - 1)
            upper += [(at(years[index]), height), (at(years[index] + 1), height)]
        return ((upper[0][0], base), *upper, (upper[-1][0], base))

    seen = np.flatnonzero(p > top / 400)
    begin = int(years[0])
    return [
        Area((outline(int(seen[0]), int(seen[-1]) + 1),), fill=CLOTHS["shirting"]),
        Area((outline(low - begin, high - begin + 1),), fill=CLOTHS["slate"]),
        Line((((at(low), base), (at(high + 1), base)),), INK, 0.5),
        Line((((at(middle + 0.5), base - _BAND_MM + 0.6), (at(middle + 0.5), base)),), MADDER, 0.45),
    ]


def _lines(each: Evidence, years: NDArray[np.int64], at: Callable[[float], float], y: float) -> list[Shape]:
    """The years that a piece of evidence allows, thin, and its usual years, thick."""
    inside = years[shape(each, years) > 0]
    low, high = _usual(each, years)
    color = FAINT if each.trust < 0.3 else QUIET
    return [
        Line((((at(inside[0]), y), (at(inside[-1] + 1), y)),), color, 0.25, cap="round"),
        Line((((at(low), y), (at(high + 1), y)),), color, 0.3 + 0.9 * each.trust, cap="round"),
    ]


def _words(each: Evidence) -> str:
    if not isinstance(each.when, Fashion):
        return f"{each.says} ({describe(each.when)})"
    when = each.when
    low = when.usual_from if when.usual_from is not None else when.earliest
    high = when.usual_to if when.usual_to is not None else when.latest
    if low is None and high is None:
        return each.says
    return f"{each.says} ({low if low is not None else 'up'} to {high if high is not None else 'now'})"


def _reason(
    each: Evidence, years: NDArray[np.int64], at: Callable[[float], float], y: float, width_mm: float, label_mm: float
) -> list[Shape]:
    """One line of evidence, and its words beside it where there is room."""
    inside = years[shape(each, years) > 0]
    left, right = at(inside[0]), at(inside[-1] + 1)
    words = _words(each)
    drawn = _lines(each, years, at, y + 1.2)
    room = words_width(words, _SMALL_PT)
    if right + 2 + room < width_mm:
        drawn.append(Text(right + 2, y + 1.2, words, _SMALL_PT, middle=True, fill=QUIET))
    elif left - 2 - room > label_mm - 8:
        drawn.append(Text(left - 2, y + 1.2, words, _SMALL_PT, "end", middle=True, fill=QUIET))
    else:
        # Where the line fills the picture the words lie on it, cleared by a halo, beside the thick part if they can.
        low, high = (at(year) for year in _usual(each, years))
        middle = (low + high) / 2
        for place in (high + 2 + room / 2, low - 2 - room / 2):
            if label_mm + room / 2 <= place <= width_mm - room / 2:
                middle = place
                break
        middle = min(max(middle, label_mm + room / 2), width_mm - room / 2)
        drawn.append(Text(middle, y + 1.2, words, _SMALL_PT, "middle", middle=True, fill=QUIET, halo="#ffffff"))
    return drawn


def _reason_under(
    each: Evidence, years: NDArray[np.int64], at: Callable[[float], float], y: float, width_mm: float, label_mm: float
) -> tuple[list[Shape], float]:
    """One line of evidence with its words over it, broken to the width; and how high all of it is."""
    lines = broken(_words(each), (width_mm - label_mm - 3) / (_NARROW_SMALL_PT * MM_PER_PT))
    drawn: list[Shape] = [
        Text(label_mm, y + 2.6 + index * _WORDS_MM, line, _NARROW_SMALL_PT, "start", fill=QUIET)
        for index, line in enumerate(lines)
    ]
    bottom = y + len(lines) * _WORDS_MM + 0.6
    return drawn + _lines(each, years, at, bottom), bottom - y + 2.2


def _scale(first: int, last: int, at: Callable[[float], float], height: float, *, narrow: bool) -> list[Shape]:
    most = 6 if narrow else 12
    step = next(step for step in (5, 10, 20, 25, 50, 100, 200, 500) if (last - first) / step <= most)
    size = _NARROW_SMALL_PT if narrow else _SMALL_PT
    marks = range(-(-first // step) * step, last + 1, step)
    lines = Line(tuple(((at(year), _HEAD_MM - 2), (at(year), height)) for year in marks), HAIR, 0.15)
    # A number at the very edge stays inside the picture.
    inside = [year for year in marks if words_width("0000", size) / 2 <= at(year)] if narrow else list(marks)
    return [lines, *(Text(at(year), 4.5, str(year), size, "middle", fill=QUIET) for year in inside)]
