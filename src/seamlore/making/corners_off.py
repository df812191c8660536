"""Patches that are a square or rectangle with corners cut off: how they are cut with a ruler and no template."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor

from seamlore.draft.block import Corner
from seamlore.draft.exact.roots import Exact, absolute
from seamlore.lengths import RULER_MARK, Length
from seamlore.making.shapes import Shaped, root_up
from seamlore.making.sizes import cut_size


@dataclass(frozen=True, slots=True)
class Off:
    """One corner that is cut off: which, and how far from it the marks stand along the raw edges across and down."""

    corner: str
    across: Length
    down: Length


@dataclass(frozen=True, slots=True)
class CornersOff:
    """A rectangle to cut, its width and height, and the corners to cut off it."""

    size: tuple[Length, Length]
    off: tuple[Off, ...]


_CALLED = ("top left", "top right", "bottom right", "bottom left")


def corners_off(shaped: Shaped, seam: Length) -> CornersOff | None:
    """Tell how a template is cut with a ruler: a rectangle, then corners cut off from mark to mark.

    Parameters
    ----------
    shaped : Shaped
        A template.
    seam : Length
        Seam allowance; its unit decides the marks.

    Returns
    -------
    CornersOff or None
        None when more than its corners is missing from its box. Marks are rounded toward the corner, so that a patch
        comes out a trifle large and never small.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches, show
    >>> from seamlore.making.shapes import shape_of
    >>> octagon = max(find("snowball").patches, key=lambda each: each.area)
    >>> large = shape_of(tuple((x * 18, y * 18) for x, y in octagon.outline))
    >>> cut = corners_off(large, inches("1/4"))
    >>> [show(side) for side in cut.size], len(cut.off), show(cut.off[0].across)
    (['18 1/2 in', '18 1/2 in'], 4, '6 1/8 in')
    >>> corners_off(shape_of(((Fraction(0), Fraction(0)), (Fraction(5), Fraction(0)), (Fraction(1), Fraction(2)))), inches("1/4"))
    """
    outline = shaped.outline
    if shaped.shape != "template" or len(outline) < 5:
        return None
    wide, high = shaped.sides
    corners: tuple[Corner, ...] = (
        (Fraction(0), Fraction(0)),
        (wide, Fraction(0)),
        (wide, high),
        (Fraction(0), high),
    )
    missing = [corner for corner in corners if corner not in outline]
    if len(outline) != 4 + len(missing):
        return None
    found = []
    for corner in missing:
        legs = _legs(outline, corner)
        if legs is None or legs[0] >= wide or legs[1] >= high:
            return None
        across, down = _marks(*legs, seam)
        found.append(Off(_CALLED[corners.index(corner)], across, down))
    if any(side.across.inches <= 0 or side.down.inches <= 0 for side in found):
        return None
    one, two = cut_size(Shaped("rectangle", (max(wide, high), min(wide, high))), seam)
    return CornersOff((one, two) if wide >= high else (two, one), tuple(found))


def _legs(outline: tuple[Corner, ...], corner: Corner) -> tuple[Exact, Exact] | None:
    """How much of the box's two sides a missing corner takes: across and down."""
    x, y = corner
    across = sorted(absolute(each - x) for each, other in outline if other == y)
    down = sorted(absolute(other - y) for each, other in outline if each == x)
    return (across[0], down[0]) if across and down else None


def _marks(across: Exact, down: Exact, seam: Length) -> tuple[Length, Length]:
    """The slanted side is moved out by the allowance, and the marks are counted from the raw corner, one allowance out."""
    allowance = seam.inches
    slant = root_up(across * across + down * down)
    step = RULER_MARK[seam.unit].inches
    return tuple(  # type: ignore[return-value]
        Length(floor((leg - allowance * (slant - leg) / other + allowance) / step) * step, seam.unit)
        for leg, other in ((across, down), (down, across))
    )
