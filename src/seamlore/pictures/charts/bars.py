"""What a collection comes to: bars over a scale or beside names, one of them marked; spans of years under each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Line, Shape, Text, box
from seamlore.pictures.lettering import words_width
from seamlore.pictures.palette import CLOTHS, FAINT, HAIR, INK, MADDER, QUIET

_TYPE_PT = 7.5
_ROW_MM = 5.2
_FOOT_MM = 8.0
_HEAD_MM = 5.0
# Few bars are no wider for that.
_WIDEST_MM = 12.0


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: what it stands for, how many, whether the quilt in hand is among them."""

    name: str
    count: int
    marked: bool = False


def columns_picture(bars: Sequence[Bar], width_mm: float, height_mm: float, *, title: str, unit: str = "") -> Picture:
    """Draw bars that stand beside each other along a scale.

    Parameters
    ----------
    bars : sequence of Bar
        In the order of the scale, empty ones too.
    unit : str
        What the scale is in, said at its end.

    Examples
    --------
    >>> drawn = columns_picture([Bar("5", 2), Bar("6", 0), Bar("7", 1, True)], 60, 30, title="Blocks", unit="in")
    >>> drawn.description
    'Blocks: 5: 2; 7: 1 (this quilt). In in.'
    >>> columns_picture([], 60, 30, title="Blocks").description
    'Blocks: nothing is known.'
    """
    most = max((bar.count for bar in bars), default=0)
    shapes: list[Shape] = []
    floor = height_mm - _FOOT_MM
    each = min(width_mm / max(len(bars), 1), _WIDEST_MM)
    stride = _stride(bars, each)
    for at, bar in enumerate(bars):
        left = at * each
        tall = (floor - _HEAD_MM) * bar.count / most if most else 0.0
        if bar.count:
            fill = MADDER if bar.marked else CLOTHS["slate"]
            shapes.append(Area((box(left + 0.12 * each, floor - tall, 0.76 * each, tall),), fill))
            count = str(bar.count)
            if words_width(count, _TYPE_PT) < each:
                shapes.append(Text(left + each / 2, floor - tall - 1.2, count, _TYPE_PT, "middle", fill=INK))
        if at % stride == 0:
            shapes.append(Text(left + each / 2, floor + 3.6, bar.name, _TYPE_PT, "middle", fill=QUIET))
    shapes.append(Line((((0.0, floor), (width_mm, floor)),), FAINT, 0.2))
    return picture(width_mm, height_mm, shapes, title=title, description=_said(bars, title, unit))


def _stride(bars: Sequence[Bar], each_mm: float) -> int:
    """Every how many bars there is room for a name."""
    wide = max((words_width(bar.name, _TYPE_PT) for bar in bars), default=0.0) + 1.5
    return max(1, -(-int(wide * 10) // max(1, int(each_mm * 10))))


def rows_picture(bars: Sequence[Bar], width_mm: float, *, title: str) -> Picture:
    """Draw bars that lie under each other, each beside its name.

    Examples
    --------
    >>> rows_picture([Bar("Shoo Fly", 3), Bar("Nine Patch", 1)], 80, title="Blocks").height_mm
    10.4
    """
    names = min(0.55 * width_mm, max((words_width(bar.name, _TYPE_PT) for bar in bars), default=0.0) + 2)
    most = max((bar.count for bar in bars), default=1)
    room = width_mm - names - 8
    shapes: list[Shape] = []
    for at, bar in enumerate(bars):
        top = at * _ROW_MM
        weight = "semibold" if bar.marked else "regular"
        name = _short(bar.name, names)
        shapes.append(Text(0, top + 3.6, name, _TYPE_PT, weight=weight, fill=MADDER if bar.marked else INK))  # type: ignore[arg-type]
        long = room * bar.count / most
        shapes.append(
            Area((box(names, top + 0.9, max(long, 0.3), _ROW_MM - 1.8),), MADDER if bar.marked else CLOTHS["slate"])
        )
        shapes.append(Text(names + long + 1.2, top + 3.6, str(bar.count), _TYPE_PT, fill=INK))
    height = max(len(bars) * _ROW_MM, 2.0)
    return picture(width_mm, round(height, 3), shapes, title=title, description=_said(bars, title, ""))


def _short(name: str, width_mm: float) -> str:
    if words_width(name, _TYPE_PT) <= width_mm:
        return name
    while name and words_width(name + "...", _TYPE_PT) > width_mm:
        name = name[:-1]
    return name.rstrip() + "..."


@dataclass(frozen=True, slots=True)
class YearSpan:
    """A quilt and the years in which it may have been made, its middle year where that is known."""

    name: str
    first: int
    last: int
    middle: int | None = None
    marked: bool = False


def years_picture(spans: Sequence[YearSpan], width_mm: float, *, title: str) -> Picture:
    """Draw the years of quilts under each other, to one scale.

    Examples
    --------
    >>> years_picture([YearSpan("Star", 1880, 1900, 1890)], 100, title="When").description
    'When: Star: 1880 to 1900.'
    """
    if not spans:
        return picture(width_mm, 4.0, [], title=title, description=f"{title}: nothing is known.")
    first = min(each.first for each in spans) // 10 * 10
    last = -(-max(each.last for each in spans) // 10) * 10
    names = min(0.45 * width_mm, max(words_width(each.name, _TYPE_PT) for each in spans) + 2)
    scale = (width_mm - names - 3) / max(last - first, 1)

    def at(year: float) -> float:
        return names + (year - first) * scale

    height = len(spans) * _ROW_MM + _HEAD_MM + 1
    shapes: list[Shape] = []
    step = next(each for each in (10, 20, 50, 100, 200) if each * scale > 12 or each == 200)
    for year in range(first, last + 1, step):
        shapes.append(Line((((at(year), _HEAD_MM), (at(year), height)),), HAIR, 0.15))
        shapes.append(Text(at(year), _HEAD_MM - 1.4, str(year), _TYPE_PT, "middle", fill=QUIET))
    for row, each in enumerate(spans):
        top = _HEAD_MM + row * _ROW_MM
        fill = MADDER if each.marked else CLOTHS["slate"]
        shapes.append(Text(0, top + 3.8, _short(each.name, names), _TYPE_PT, fill=MADDER if each.marked else INK))
        shapes.append(Area((box(at(each.first), top + 1.3, max(at(each.last) - at(each.first), 0.8), 2.8),), fill))
        if each.middle is not None:
            middle = at(each.middle)
            shapes.append(Line((((middle, top + 0.7), (middle, top + 4.7)),), INK, 0.35))
    told = "; ".join(f"{each.name}: {each.first} to {each.last}" for each in spans)
    return picture(width_mm, round(height, 3), shapes, title=title, description=f"{title}: {told}.")


def _said(bars: Sequence[Bar], title: str, unit: str) -> str:
    told = [f"{bar.name}: {bar.count}{' (this quilt)' if bar.marked else ''}" for bar in bars if bar.count]
    if not told:
        return f"{title}: nothing is known."
    return f"{title}: {'; '.join(told)}.{f' In {unit}.' if unit else ''}"
