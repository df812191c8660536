"""What must be cut for a finished shape so that it can be sewn.

Every allowance follows from growing the finished shape by the seam allowance on each side:
a square or rectangle grows by 2 SA; a right triangle is as large as before times (r + SA) / r, r being the radius
of the circle inside it, which for half a square is SA (2 + sqrt 2) and for a quarter square, along its long side,
SA (2 + 2 sqrt 2). With 1/4 in these are 0.854 and 1.207 in, which handbooks round up to 7/8 and 1 1/4 in.
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from math import ceil, hypot

import numpy as np

from seamlore.draft.exact.roots import SQRT2, Exact, above
from seamlore.draft.setting.parts import Ring
from seamlore.errors import PlanError
from seamlore.lengths import RULER_MARK, Length, Unit, show, show_seam
from seamlore.making.shapes import Shaped, root_up
from seamlore.plane.outline import Points, area, as_outline, grow


def mark_up(inches: Exact, unit: Unit) -> Length:
    """Put a size on the ruler's next mark: the one place where an exact size is rounded, and only upward.

    Parameters
    ----------
    inches : Exact
        The size.
    unit : Unit
        Which marks: 1/8 in or 1 mm.

    Examples
    --------
    >>> from fractions import Fraction
    >>> mark_up(3 * SQRT2, Unit.INCH), mark_up(Fraction(4), Unit.INCH)
    (Length('4 1/4 in'), Length('4 in'))
    """
    step = RULER_MARK[unit].inches
    return Length(ceil(inches / step) * step, unit)


def exact_allowance(shaped: Shaped, seam: Fraction) -> tuple[Exact, Exact]:
    """How much larger than finished a cut must be, to each side, before any rounding.

    Parameters
    ----------
    shaped : Shaped
        The finished shape.
    seam : Fraction
        Seam allowance in inches.

    Examples
    --------
    >>> half = Shaped("half-square triangle", (Fraction(3), Fraction(3)))
    >>> [round(float(each), 5) for each in exact_allowance(half, Fraction(1, 4))]
    [0.85355, 0.85355]
    >>> exact_allowance(Shaped("square", (Fraction(3), Fraction(3))), Fraction(0))
    (Fraction(0, 1), Fraction(0, 1))
    """
    width, height = shaped.sides
    match shaped.shape:
        case "square" | "rectangle":
            return 2 * seam, 2 * seam
        case "half-square triangle":
            each = seam * (2 + SQRT2)
            return each, each
        case "quarter-square triangle":
            each = seam * (2 + 2 * SQRT2)
            return each, each
        case "half-rectangle triangle":
            inside = (width + height - root_up(width * width + height * height)) / 2
            return seam * width / inside, seam * height / inside
        case "template":
            grown = cutting_line(shaped, seam)
            span = np.ptp(grown, axis=0)
            # A billionth of an inch is the rounding of floats, and must not become the next mark.
            wide, high = (Fraction(float(each)).limit_denominator(10**9) - Fraction(1, 10**9) for each in span)
            return wide - width, high - height


def cut_size(shaped: Shaped, seam: Length, beyond: Length | None = None) -> tuple[Length, Length]:
    """The size to cut, on the ruler's marks: 1/8 in, or 1 mm with a metric seam allowance.

    The allowance is rounded up to a mark, as in handbooks, then the sum is. So 1/4 in gives finished + 7/8 for
    half squares and finished + 1 1/4 for quarter squares.

    Parameters
    ----------
    shaped : Shaped
        The finished shape.
    seam : Length
        Seam allowance; its unit decides the marks.
    beyond : Length, optional
        How much wider still it is cut on every side, for foundations.

    Returns
    -------
    tuple of Length
        Width and height, the longer first.

    Raises
    ------
    PlanError
        When the seam allowance is less than 0, or wider than the finished patch.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> cut_size(Shaped("half-square triangle", (Fraction(3), Fraction(3))), inches("1/4"))
    (Length('3 7/8 in'), Length('3 7/8 in'))
    >>> cut_size(Shaped("square", (Fraction(1, 8), Fraction(1, 8))), inches("1/4"))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a seam allowance of 1/4 in on a patch of 1/8 in: ...
    """
    if seam.inches < 0:
        raise PlanError(f"a seam allowance of {show_seam(seam)}", "it is 0 or more", "give the width of the seam")
    narrow = min(shaped.sides)
    if narrow < seam.inches:
        raise PlanError(
            f"a seam allowance of {show_seam(seam)} on a patch of {show(Length(above(narrow), seam.unit))}",
            "a seam is no wider than its patch",
            "make the block larger or the seam narrower",
        )
    wide = seam.inches if beyond is None else seam.inches + beyond.inches
    sizes = []
    for finished, more in zip(shaped.sides, exact_allowance(shaped, wide), strict=True):
        # A template's box has no rule to remember; only its sum is rounded.
        added = more if shaped.shape == "template" else mark_up(more, seam.unit).inches
        sizes.append(mark_up(finished + added, seam.unit))
    return (sizes[0], sizes[1]) if sizes[0] >= sizes[1] else (sizes[1], sizes[0])


def finished_points(shaped: Shaped) -> Points:
    """The finished outline of a template, in inches, shape (n, 2)."""
    return as_outline([(float(x), float(y)) for x, y in shaped.outline])


def cutting_line(shaped: Shaped, seam: Fraction) -> Points:
    """The cutting line of a template, its points trimmed, in inches, shape (n, 2)."""
    return grow(finished_points(shaped), float(seam))


def cloth_area(shaped: Shaped, size: tuple[Length, Length], seam: Fraction) -> Fraction:
    """The cloth that one cut uses, in square inches: of a template only what lies inside its cutting line.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> square = Shaped("square", (Fraction(3), Fraction(3)))
    >>> cloth_area(square, (inches("3.5"), inches("3.5")), Fraction(1, 4))
    Fraction(49, 4)
    """
    if shaped.shape == "template":
        return Fraction(area(cutting_line(shaped, seam))).limit_denominator(10**9)
    return size[0].inches * size[1].inches


def mitered_size(shaped: Shaped, seam: Length) -> tuple[Length, Length]:
    """The size of the straight strip that a mitered border is cut as, out to its points; `cut_size` has the marks."""
    long, wide = shaped.sides
    more = sum((_past_miter(over, wide) for over in _overhangs(shaped.outline)), start=Fraction(0)) * seam.inches
    return mark_up(long + more, seam.unit), mark_up(wide + 2 * seam.inches, seam.unit)


def _overhangs(outline: Ring) -> tuple[Exact, Exact]:
    """How far a mitered strip's outer edge reaches past its inner one, at both ends."""
    at = (
        0
        if max(x for x, _ in outline) - min(x for x, _ in outline)
        >= max(y for _, y in outline) - min(y for _, y in outline)
        else 1
    )
    edges: dict[Exact, list[Exact]] = defaultdict(list)
    for corner in outline:
        edges[corner[1 - at]].append(corner[at])
    outer, inner = sorted(edges.values(), key=lambda ends: max(ends) - min(ends), reverse=True)
    return min(inner) - min(outer), max(outer) - max(inner)


def _past_miter(over: Exact, wide: Exact) -> Exact:
    """How far the point of a miter reaches past the finished one, in seam allowances."""
    if over == wide:
        # As that of a quarter-square triangle.
        return 1 + SQRT2
    # Irrational where the sides differ in width; a millionth of an inch upward is on the safe side.
    slant = Fraction(ceil(hypot(float(over), float(wide)) * 10**6), 10**6)
    return (slant + over) / wide
