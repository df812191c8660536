"""Pictures of what is cut from what: strips across the fabric, pieces along them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Line, Paint, Ring, Shape, Text, box
from seamlore.errors import PlanError
from seamlore.lengths import Length, show
from seamlore.pictures.lettering import across, down, words_width
from seamlore.pictures.palette import CLOTHS, FAINT, QUIET, WASH, written_on

_LEFT_MM, _TOP_MM, _GAP_MM = 11.0, 8.5, 12.5
_TYPE_PT = 7.5
_LEAST_DRAWN_MM = 3.0
_LEAST_TYPE_PT = 4.0

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class StripPiece:
    """What takes one length of a strip: a piece, several one behind the other, or a run of slanting ones.

    Parameters
    ----------
    along : Length
        How much of the strip it takes.
    label : str
        What it is, such as "A1".
    then : {"", "/", "\\", "x"}
        How it is then cut from corner to corner as it lies here, right side up: once, rising or falling, or twice.
    deep : Length, optional
        How much of the strip's width each takes; all of it when not given.
    stacked : int
        How many lie one behind the other.
    slants : tuple of (float, float)
        Where slanting cuts meet the upper and the lower edge, in inches from its beginning: there lies one piece less
        than there are cuts.
    """

    along: Length
    label: str
    then: Literal["", "/", "\\", "x"] = ""
    deep: Length | None = None
    stacked: int = 1
    slants: tuple[tuple[float, float], ...] = ()

    @property
    def count(self) -> int:
        """How many pieces it holds."""
        return len(self.slants) - 1 if self.slants else self.stacked


@dataclass(frozen=True, slots=True)
class Strip:
    """One strip across the width of the fabric, and how many are cut like it.

    Parameters
    ----------
    width : Length
        Cut width of the strip.
    pieces : tuple of StripPiece
        From the left selvage.
    times : int
        How many strips are cut like this.
    """

    width: Length
    pieces: tuple[StripPiece, ...]
    times: int = 1


def strips_picture(
    strips: Sequence[Strip], fabric_width: Length, width_mm: float, paint: Paint = CLOTHS["muslin"], *, title: str
) -> Picture:
    """Draw strips one under the other, all to one scale, with their sizes and what is left over.

    Parameters
    ----------
    strips : sequence of Strip
        At least one.
    fabric_width : Length
        Usable width of the fabric.
    width_mm : float
        Width on paper.
    paint : str or Swatch
        What the pieces are filled with.
    title : str

    Raises
    ------
    PlanError
        When there is no strip, or pieces are longer than their strip.
    """
    if not strips:
        raise PlanError("no strips", "a cutting diagram shows at least one", "leave the diagram out")
    scale = (width_mm - _LEFT_MM - 0.4) / fabric_width.inches_float
    shapes: list[Shape] = []
    y = _TOP_MM
    for strip in strips:
        used = sum((piece.along.inches for piece in strip.pieces), start=fabric_width.inches * 0)
        if used > fabric_width.inches:
            raise PlanError(
                f"pieces {show(Length(used, fabric_width.unit))} long along a strip",
                f"the fabric is {show(fabric_width)} wide",
                "cut fewer from each strip",
                where=title,
            )
        # A very narrow strip is still drawn wide enough to be seen; its size is lettered.
        high = max(_LEAST_DRAWN_MM, strip.width.inches_float * scale)
        shapes += _strip(strip, fabric_width, scale, y, high, paint)
        y += high + _GAP_MM
    height = y - _GAP_MM + 5.5
    listed = "; ".join(_said(strip) for strip in strips)
    return picture(width_mm, height, shapes, title=title, description=f"{title}: {listed}.")


def _said(strip: Strip) -> str:
    counts = ", ".join(f"{_count(strip, label)} of {label}" for label in _labels(strip))
    return f"{strip.times} strip{'s' if strip.times != 1 else ''} {show(strip.width)} wide, each {counts or 'whole'}"


def _count(strip: Strip, label: str) -> int:
    return sum(piece.count for piece in strip.pieces if piece.label == label)


def _labels(strip: Strip) -> list[str]:
    return list(dict.fromkeys(piece.label for piece in strip.pieces))


def _strip(strip: Strip, fabric: Length, scale: float, y: float, high: float, paint: Paint) -> list[Shape]:
    wide = fabric.inches_float * scale
    found: list[Shape] = [Area((box(_LEFT_MM, y, wide, high),), WASH, FAINT, 0.15, (1.2, 0.9))]
    x = _LEFT_MM
    outlines: list[Ring] = []
    cuts: list[Ring] = []
    labels: list[Shape] = []
    said: set[tuple[str, Length]] = set()
    for piece in strip.pieces:
        long = piece.along.inches_float * scale
        deep = high * (piece.deep.inches_float / strip.width.inches_float if piece.deep else 1.0)
        if (piece.label, piece.along) not in said:
            said.add((piece.label, piece.along))
            size = show(piece.along, bare=True)
            fits = words_width(size, _TYPE_PT) <= long + 1
            labels += across(x, x + long, y - 2.6, size, size_pt=_TYPE_PT) if fits else []
        for index in range(piece.stacked):
            top = y + index * deep
            outlines.append(box(x, top, long, deep))
            if piece.then in ("/", "x"):
                cuts.append(((x, top + deep), (x + long, top)))
            if piece.then in ("\\", "x"):
                cuts.append(((x, top), (x + long, top + deep)))
            if not piece.slants:
                labels += _label(piece.label, (x, top), long, deep, piece.then, paint)
        for upper, lower in piece.slants:
            cuts.append(((x + upper * scale, y), (x + lower * scale, y + deep)))
        for one, two in pairwise(piece.slants):
            begins, wide_mm = x + sum(one) / 2 * scale, (sum(two) - sum(one)) / 2 * scale
            labels += _label(piece.label, (begins, y), wide_mm, deep, "", paint, room=0.6)
        x += long
    line = written_on(paint)[0]
    if outlines:
        found += [Area(tuple(outlines), paint), Area(tuple(outlines), None, line, 0.18)]
    if cuts:
        found.append(Line(tuple(cuts), line, 0.18))
    found += labels
    rest = _LEFT_MM + wide - x
    if rest > 14:
        found.append(Text(x + rest / 2, y + high / 2, "left over", _TYPE_PT, "middle", True, italic=True, fill=QUIET))
    found += down(y, y + high, _LEFT_MM - 2.4, show(strip.width, bare=True), size_pt=_TYPE_PT)
    counts = [f"{_count(strip, label)} {label}" for label in _labels(strip)]
    times = f"cut {strip.times} strip{'s' if strip.times != 1 else ''} like this"
    times += f": {' and '.join(counts)}" + " from each" * (strip.times != 1) if counts else ""
    return [*found, Text(_LEFT_MM, y + high + 3.6, times, _TYPE_PT, fill=QUIET)]


def _label(
    words: str, corner: Point, long: float, high: float, then: str, paint: Paint, *, room: float = 1.0
) -> list[Shape]:
    """Write what a piece is into it, clear of where it is cut corner to corner; nothing where there is no room."""
    # Above a cut that rises there is room at the upper left, above one that falls at the upper right.
    part_x, part_y, share = {
        "": (0.5, 0.5, room),
        "/": (0.3, 0.28, 0.5),
        "\\": (0.7, 0.28, 0.5),
        "x": (0.5, 0.19, 0.5),
    }[then]
    wide = max(0.1, words_width(words, 9.0) + 1)
    size = min(9.0, 1.9 * high * share, 9.0 * long * share / wide)
    # A tall narrow piece is lettered along its length.
    upright = min(9.0, 1.9 * long, 9.0 * high / wide) if not then and room == 1.0 else 0.0
    turn, size = (-90.0, upright) if size < 6 and upright > size else (0.0, size)
    if size < _LEAST_TYPE_PT:
        return []
    ink, halo = written_on(paint)
    x, y = corner[0] + part_x * long, corner[1] + part_y * high
    return [Text(x, y, words, size, "middle", True, fill=ink, turn_deg=turn, halo=halo)]
