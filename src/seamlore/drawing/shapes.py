"""The shapes of which pictures are made, in millimeters, x right and y down from the top left corner."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from seamlore.lengths import CM_PER_INCH, Length

MM_PER_INCH = float(CM_PER_INCH * 10)
MM_PER_PT = MM_PER_INCH / 72
# Height of a capital in parts of the type size; measured in the outlines of Source Sans 3.
CAP_HEIGHT_EM = 0.66

# A node of two numbers ends a straight side; one of six (two handles, then the end) ends a cubic curve.
Node = tuple[float, ...]
Ring = tuple[Node, ...]
Color = str
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class ImageFile:
    """An encoded image; pictures pass it on and do not open it.

    Parameters
    ----------
    name : str
        A file name, unique in what is printed or published together.
    media : {"image/jpeg", "image/png"}
    data : bytes
    """

    name: str
    media: Literal["image/jpeg", "image/png"]
    data: bytes

    def __repr__(self) -> str:
        return f"ImageFile({self.name!r}, {self.media!r}, {len(self.data)} bytes)"


@dataclass(frozen=True, slots=True)
class Swatch:
    """Cloth as paint: an image of width_mm by height_mm that repeats from the picture's top left corner."""

    file: ImageFile
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Hatch:
    """A cloth drawn without color: lines or dots on a ground, even all over.

    Parameters
    ----------
    ground, ink : str
        Colors as ``#rrggbb``.
    marks : {"rising", "falling", "level", "upright", "checks", "dots"}
    apart_mm : float
        From one line or dot to the next, across and down.
    """

    ground: Color
    ink: Color
    marks: Literal["rising", "falling", "level", "upright", "checks", "dots"]
    apart_mm: float = 1.6


Paint = Color | Swatch | Hatch


@dataclass(frozen=True, slots=True)
class Area:
    """Closed outlines painted alike.

    Parameters
    ----------
    rings : tuple of Ring
        Outlines in millimeters, each closed by its last side. Where one lies in another there is a hole.
    fill : str, Swatch, Hatch or None
        Color as ``#rrggbb``, cloth, or nothing.
    stroke : str or None
        Color of its line.
    stroke_mm : float
        Width of the line.
    dash_mm : tuple of float
        Lengths of dash and gap; empty for a whole line.
    """

    rings: tuple[Ring, ...]
    fill: Paint | None = None
    stroke: Color | None = None
    stroke_mm: float = 0.2
    dash_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Line:
    """Open lines painted alike.

    Parameters
    ----------
    runs : tuple of Ring
        Each a line through its nodes, in millimeters.
    stroke : str
        Color as ``#rrggbb``.
    stroke_mm : float
        Width of the line.
    dash_mm : tuple of float
        Lengths of dash and gap; empty for a whole line.
    cap : {"butt", "round"}
        How its ends are.
    """

    runs: tuple[Ring, ...]
    stroke: Color
    stroke_mm: float = 0.2
    dash_mm: tuple[float, ...] = ()
    cap: Literal["butt", "round"] = "butt"


@dataclass(frozen=True, slots=True)
class Text:
    """One line of words.

    Parameters
    ----------
    x, y : float
        Where it is held, in millimeters: the baseline, or the middle of its capitals.
    words : str
        What it says; a fraction such as 3 1/2 is set as one.
    size_pt : float
        Type size in points.
    anchor : {"start", "middle", "end"}
        Which part of the line stands at x.
    middle : bool
        Whether y is the middle of the capitals and not the baseline.
    weight : {"regular", "semibold", "bold"}
    italic : bool
    fill : str
    turn_deg : float
        Turned clockwise about (x, y).
    halo : str or None
        A color that surrounds the letters, so that they can be read over a picture.
    """

    x: float
    y: float
    words: str
    size_pt: float = 8.0
    anchor: Anchor = "start"
    middle: bool = False
    weight: Literal["regular", "semibold", "bold"] = "regular"
    italic: bool = False
    fill: Color = "#000000"
    turn_deg: float = 0.0
    halo: Color | None = None

    @property
    def drop_mm(self) -> float:
        """How far below (x, y) the baseline runs."""
        return CAP_HEIGHT_EM / 2 * self.size_pt * MM_PER_PT if self.middle else 0.0


@dataclass(frozen=True, slots=True)
class Image:
    """An image stretched over a box, in millimeters."""

    file: ImageFile
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Group:
    """Shapes moved, turned, clipped or faded together. Nothing makes them larger or smaller.

    Parameters
    ----------
    shapes : tuple of Shape
    dx, dy : float
        How far they are moved, in millimeters.
    turn_deg : float
        How far they are first turned clockwise about their own 0, 0.
    clip : x, y, width and height, or None
        The box of which something is seen, in the group's own coordinates; all when None.
    opacity : float
        0 to 1; each shape is faded by itself. Images are not: lay a veil over them.
    name : str
        For who reads the SVG; not shown.
    """

    shapes: tuple[Shape, ...]
    dx: float = 0.0
    dy: float = 0.0
    turn_deg: float = 0.0
    clip: tuple[float, float, float, float] | None = None
    opacity: float = 1.0
    name: str = ""


Shape = Area | Line | Text | Image | Group


def walk(shapes: Iterable[Shape], *, once: bool = False) -> Iterator[Shape]:
    """Go through shapes and all that groups hold, a group before what it holds.

    With `once`, what several groups share is gone through in the first of them.
    """
    seen: set[int] = set()

    def through(some: Iterable[Shape]) -> Iterator[Shape]:
        for shape in some:
            yield shape
            if isinstance(shape, Group) and not (once and id(shape.shapes) in seen):
                seen.add(id(shape.shapes))
                yield from through(shape.shapes)

    return through(shapes)


def mm(given: Length) -> float:
    """Give a length in millimeters, for drawing it.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> mm(inches("1/2")), mm(inches(0))
    (12.7, 0.0)
    """
    return float(given.inches * CM_PER_INCH * 10)


def ring(points: ArrayLike) -> Ring:
    """Make an outline or a line of corners, shape (n, 2), in millimeters.

    Examples
    --------
    >>> ring([(0, 0), (1, 0), (1, 1)])
    ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))
    >>> ring([])
    ()
    """
    return tuple((x, y) for x, y in np.asarray(points, dtype=np.float64).reshape(-1, 2).tolist())


def box(x: float, y: float, width: float, height: float) -> Ring:
    """Outline a box by its top left corner and its size, in millimeters.

    Examples
    --------
    >>> box(1, 2, 3, 4)
    ((1, 2), (4, 2), (4, 6), (1, 6))
    """
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def circle(x: float, y: float, radius: float) -> Ring:
    """Outline a circle by its middle and radius, in millimeters.

    Its four curves depart from the circle by less than 0.03 % of the radius.

    Examples
    --------
    >>> len(circle(0, 0, 1))
    5
    """
    # 4/3 (sqrt 2 - 1): the handle with which a cubic passes through the middle of a quarter circle.
    handle = 4 / 3 * (math.sqrt(2) - 1) * radius
    left, right, top, bottom = x - radius, x + radius, y - radius, y + radius
    return (
        (right, y),
        (right, y + handle, x + handle, bottom, x, bottom),
        (x - handle, bottom, left, y + handle, left, y),
        (left, y - handle, x - handle, top, x, top),
        (x + handle, top, right, y - handle, right, y),
    )


def gathered(painted: Iterable[tuple[Ring, Paint]], *, seam_mm: float = 0.0) -> tuple[Area, ...]:
    """Gather outlines that do not overlap into one area for each color.

    Parameters
    ----------
    painted : iterable of (Ring, str or Swatch)
        Outlines and their colors.
    seam_mm : float
        Width of a line of its own color round each, which closes the hair of light between neighbors.

    Examples
    --------
    >>> two = [(box(0, 0, 1, 1), "#000000"), (box(1, 0, 1, 1), "#000000")]
    >>> [len(area.rings) for area in gathered(two)], gathered([])
    ([2], ())
    """
    by_color: dict[Paint, list[Ring]] = {}
    for outline, color in painted:
        by_color.setdefault(color, []).append(outline)
    return tuple(
        Area(tuple(rings), paint, paint if seam_mm and isinstance(paint, str) else None, seam_mm)
        for paint, rings in by_color.items()
    )


def moved(shapes: Iterable[Shape], dx: float, dy: float, *, name: str = "") -> Group:
    """Group shapes and move them by dx, dy millimeters."""
    return Group(tuple(shapes), dx, dy, name=name)
