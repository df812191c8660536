"""Cutting diagrams: a strip of fabric, or a thing at hand, with every piece in its place and every cut numbered, to scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import cos, pi, sin
from typing import Literal

from seamlore.drawing.metrics import broken
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import MM_PER_PT, Area, Hatch, Line, Paint, Ring, Shape, Text, box
from seamlore.lengths import Length, show
from seamlore.pictures.lettering import across, down, words_width
from seamlore.pictures.palette import CLOTHS, FAINT, QUIET, WASH, written_on

_LEFT_MM, _TOP_MM, _FOOT_MM = 11.0, 8.5, 5.5
_TYPE_PT, _NUMBER_PT, _LEAST_TYPE_PT = 7.5, 6.0, 4.0
_LINE_MM = 3.1
_DISC_MM = 1.55
_INK = "#27211a"
_SPOILT = Hatch("#f3ead9", "#8a7a66", "rising", 1.2)
# The deepest strip is drawn no higher than this, so that it stands on a page with its words.
_HIGHEST_MM = 150.0

Slash = Literal["", "/", "\\", "x"]


@dataclass(frozen=True, slots=True)
class LaidPiece:
    """One piece where it lies, in inches from the upper left corner.

    Parameters
    ----------
    x, y, width, height : float
    label : str
        What it is, such as "A1".
    then : {"", "/", "\\", "x"}
        How it is then cut from corner to corner as it lies here, right side up.
    slants : tuple of (float, float)
        Where slanting cuts meet its two long edges, in inches from its beginning.
    upright : bool
        Whether these cross it from left to right, its long edges running down.
    """

    x: float
    y: float
    width: float
    height: float
    label: str
    then: Slash = ""
    slants: tuple[tuple[float, float], ...] = ()
    upright: bool = False


@dataclass(frozen=True, slots=True)
class NumberedLine:
    """Where a cut runs, in inches, its number in the order of cutting, and which sound rectangle of a scrap it is in."""

    number: int
    x0: float
    y0: float
    x1: float
    y1: float
    within: int = 0


@dataclass(frozen=True, slots=True)
class Laid:
    """A strip of fabric, or a thing at hand, and all that is cut from it.

    Parameters
    ----------
    width, height : Length
        Across the fabric and along it.
    pieces : tuple of LaidPiece
    lines : tuple of NumberedLine
    said : str
        The line below it: how many are cut like it, what each holds.
    outline : tuple of (float, float)
        Of an odd scrap, in inches.
    spoilt : tuple of outlines
        Where nothing may be cut.
    """

    width: Length
    height: Length
    pieces: tuple[LaidPiece, ...]
    lines: tuple[NumberedLine, ...]
    said: str
    outline: Ring = ()
    spoilt: tuple[Ring, ...] = ()


def laid_scale(laid: Sequence[Laid], width_mm: float) -> float:
    """Millimeters on paper to an inch of fabric: one scale for all that is cut from one fabric.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> round(laid_scale([Laid(inches(42), inches(3), (), (), "")], 95.4), 2)
    2.0
    >>> laid_scale([], 95.4)
    1.0
    """
    if not laid:
        return 1.0
    wide = max(each.width.inches_float for each in laid)
    high = max(each.height.inches_float for each in laid)
    return min((width_mm - _LEFT_MM - 0.4) / wide, _HIGHEST_MM / high)


def laid_picture(
    laid: Laid, scale: float, width_mm: float, paint: Paint = CLOTHS["muslin"], *, title: str
) -> Picture:
    """Draw one strip or thing at hand to scale.

    Parameters
    ----------
    laid : Laid
    scale : float
        Millimeters to an inch, from `laid_scale`.
    width_mm : float
        Width on paper.
    paint : str or Swatch
        What the pieces are filled with.
    title : str
    """
    wide, high = laid.width.inches_float * scale, laid.height.inches_float * scale
    shapes: list[Shape] = []
    if laid.outline:
        shapes.append(Area((_moved(laid.outline, scale),), WASH, FAINT, 0.2))
        if laid.spoilt:
            shapes.append(Area(tuple(_moved(each, scale) for each in laid.spoilt), _SPOILT, FAINT, 0.2))
    else:
        shapes.append(Area((box(_LEFT_MM, _TOP_MM, wide, high),), WASH, FAINT, 0.15, (1.2, 0.9)))
    ink = written_on(paint)[0]
    boxes = tuple(
        box(_LEFT_MM + each.x * scale, _TOP_MM + each.y * scale, each.width * scale, each.height * scale)
        for each in laid.pieces
    )
    if boxes:
        shapes += [Area(boxes, paint), Area(boxes, None, ink, 0.18)]
    slashes = tuple(line for each in laid.pieces for line in _slashes(each, scale))
    if slashes:
        shapes.append(Line(slashes, ink, 0.18))
    labels = [label for each in laid.pieces for label in _labels(each, scale, paint)]
    shapes += labels
    shapes += _sizes(laid, scale)
    shapes += down(_TOP_MM, _TOP_MM + high, _LEFT_MM - 2.4, show(laid.height, bare=True), size_pt=_TYPE_PT)
    shapes += _numbers(laid.lines, scale)
    foot = _TOP_MM + high + 4.2
    # A strip of many kinds of pieces says more than a line holds.
    below = broken(laid.said, (width_mm - _LEFT_MM) / (_TYPE_PT * MM_PER_PT))
    shapes += [
        Text(_LEFT_MM, foot + number * _LINE_MM, line, _TYPE_PT, fill=QUIET) for number, line in enumerate(below)
    ]
    deep = max(len(below) - 1, 0) * _LINE_MM
    return picture(width_mm, foot + deep + _FOOT_MM - 3.6, shapes, title=title, description=f"{title}: {laid.said}.")


def _moved(ring: Ring, scale: float) -> Ring:
    return tuple((_LEFT_MM + x * scale, _TOP_MM + y * scale) for x, y in ring)


def _slashes(piece: LaidPiece, scale: float) -> list[Ring]:
    left, top = _LEFT_MM + piece.x * scale, _TOP_MM + piece.y * scale
    right, bottom = left + piece.width * scale, top + piece.height * scale
    found: list[Ring] = []
    if piece.then in ("/", "x"):
        found.append(((left, bottom), (right, top)))
    if piece.then in ("\\", "x"):
        found.append(((left, top), (right, bottom)))
    for one, two in piece.slants:
        # Turned by a quarter to the left, the upper edge of a strip becomes its left one.
        found.append(
            ((left, bottom - one * scale), (right, bottom - two * scale))
            if piece.upright
            else ((left + one * scale, top), (left + two * scale, bottom))
        )
    return found


def _labels(piece: LaidPiece, scale: float, paint: Paint) -> list[Shape]:
    left, top = _LEFT_MM + piece.x * scale, _TOP_MM + piece.y * scale
    wide, high = piece.width * scale, piece.height * scale
    if not piece.slants:
        return _label(piece.label, left, top, wide, high, piece.then, paint)
    found: list[Shape] = []
    for one, two in pairwise(piece.slants):
        begins, long = sum(one) / 2 * scale, (sum(two) - sum(one)) / 2 * scale
        if piece.upright:
            found += _label(piece.label, left, top + high - begins - long, wide, long, "", paint)
        else:
            found += _label(piece.label, left + begins, top, long, high, "", paint)
    return found


def _label(words: str, left: float, top: float, wide: float, high: float, then: Slash, paint: Paint) -> list[Shape]:
    """Write what a piece is into it, clear of where it is cut corner to corner; nothing where there is no room."""
    part_x, part_y, share = {
        "": (0.5, 0.5, 0.8),
        "/": (0.3, 0.28, 0.5),
        "\\": (0.7, 0.28, 0.5),
        "x": (0.5, 0.19, 0.5),
    }[then]
    span = max(0.1, words_width(words, 9.0) + 1)
    size = min(9.0, 1.9 * high * share, 9.0 * wide * share / span)
    upright = min(9.0, 1.9 * wide * 0.8, 9.0 * high / span) if not then else 0.0
    turn, size = (-90.0, upright) if size < 6 and upright > size else (0.0, size)
    if size < _LEAST_TYPE_PT:
        return []
    ink, halo = written_on(paint)
    return [
        Text(
            left + part_x * wide, top + part_y * high, words, size, "middle", True, fill=ink, turn_deg=turn, halo=halo
        )
    ]


def _sizes(laid: Laid, scale: float) -> list[Shape]:
    """Letter the width of what stands at the upper edge, each width once."""
    found: list[Shape] = []
    said: set[float] = set()
    for piece in laid.pieces:
        if piece.y > 1e-6 or round(piece.width, 4) in said:
            continue
        said.add(round(piece.width, 4))
        size = show(Length(Fraction(piece.width).limit_denominator(10**6), laid.width.unit), bare=True)
        left, right = _LEFT_MM + piece.x * scale, _LEFT_MM + (piece.x + piece.width) * scale
        if words_width(size, _TYPE_PT) <= right - left + 1:
            found += across(left, right, _TOP_MM - 2.6, size, size_pt=_TYPE_PT)
    return found


def _numbers(lines: Sequence[NumberedLine], scale: float) -> list[Shape]:
    """Draw each cut, and its number on the first that is made with that setting."""
    if not lines:
        return []
    drawn = tuple(
        (
            (_LEFT_MM + line.x0 * scale, _TOP_MM + line.y0 * scale),
            (_LEFT_MM + line.x1 * scale, _TOP_MM + line.y1 * scale),
        )
        for line in lines
    )
    found: list[Shape] = [Line(drawn, _INK, 0.3)]
    discs: list[tuple[float, float]] = []
    said: set[tuple[int, int]] = set()
    for line, ((x0, y0), (x1, y1)) in zip(lines, drawn, strict=True):
        if (line.number, line.within) in said:
            continue
        said.add((line.number, line.within))
        level = abs(y1 - y0) < 1e-6
        for part in (0.0, 1.0, 2.0, 3.0):
            move = 2.7 * _DISC_MM * part
            x, y = (x1 - _DISC_MM * 1.6 - move, y1) if level else (x0, y0 + min((y1 - y0) / 2, 4.0) + move)
            if not any(abs(x - a) < 2.2 * _DISC_MM and abs(y - b) < 2.2 * _DISC_MM for a, b in discs):
                break
        discs.append((x, y))
        found.append(Area((_disc(x, y),), "#ffffff", _INK, 0.2))
        found.append(
            Text(x, y, str(line.number), _NUMBER_PT if line.number < 100 else 4.5, "middle", True, fill=_INK)
        )
    return found


def _disc(x: float, y: float) -> Ring:
    return tuple((x + _DISC_MM * cos(k * pi / 8), y + _DISC_MM * sin(k * pi / 8)) for k in range(16))
