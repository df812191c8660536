"""The binding: strips to cut, how long they become, how much fabric."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Literal

from seamlore.draft.exact.roots import above
from seamlore.errors import PlanError
from seamlore.fabric.shop import to_buy
from seamlore.lengths import SEAM_ALLOWANCE, Length, Unit, in_unit, inches, on_mark, show, show_seam
from seamlore.making.shapes import root_up

# Double binding: 2 1/2 in is the wider of the two common widths (2 1/4 and 2 1/2; quiltsbyjen.ca); 6 cm metric, custom.
WIDTH = {Unit.INCH: inches(Fraction(5, 2)), Unit.CM: in_unit(6, Unit.CM)}
# A strip as wide as this finishes 2 in at front and back or more; no edge is bound wider (common practice, no source).
WIDEST = {Unit.INCH: inches(12), Unit.CM: in_unit(30, Unit.CM)}
# Hand room: to turn the corners and to close the ring; published figures run from 0 to 24 in, 10 is the commonest.
JOINING = {Unit.INCH: inches(10), Unit.CM: in_unit(25, Unit.CM)}


@dataclass(frozen=True, slots=True)
class Binding:
    """A binding.

    Parameters
    ----------
    kind : {"straight", "bias"}
        Strips across the fabric, or cut on the bias from a square.
    cut_width : Length
        How wide the strips are cut.
    run : Length
        How long the joined binding must be: once round, and the hand room.
    joining : Length
        That hand room, out of which the ends are closed to a ring.
    strips : int
        How many strips across the fabric; 0 on the bias.
    square : Length
        The side of the square for bias; 0 when straight.
    length : Length
        How much fabric.
    buy : str
        What to ask for in a shop.
    fabric_width : Length
        Usable width.
    """

    kind: Literal["straight", "bias"]
    cut_width: Length
    run: Length
    joining: Length
    strips: int
    square: Length
    length: Length
    buy: str
    fabric_width: Length

    def __str__(self) -> str:
        if self.kind == "bias":
            return f"bias strips {show(self.cut_width)} wide from a square of {show(self.square)}: {self.buy}"
        joined = ", joined at 45 degrees" if self.strips > 1 else ""
        plural = "s" * (self.strips != 1)
        return f"{self.strips} strip{plural} {show(self.cut_width)} wide across the fabric{joined}: {self.buy}"


def straight_binding(
    width: Length,
    height: Length,
    fabric_width: Length,
    *,
    cut_width: Length | None = None,
    joining: Length | None = None,
) -> Binding:
    """Plan a binding of strips cut across the fabric and joined at 45 degrees.

    Two strips are laid across each other at a right angle and sewn from corner to corner of the square in which they
    cross: along its middle the binding loses half a strip's width of each, once the strip's cut width at every join.

    Parameters
    ----------
    width, height : Length
        Finished size of the quilt.
    fabric_width : Length
        Usable width of the fabric.
    cut_width : Length, optional
        2 1/2 in or 6 cm when not given.
    joining : Length, optional
        Hand room, added to the way round: 10 in or 25 cm when not given.

    Raises
    ------
    PlanError
        When a join would take a whole strip.

    Examples
    --------
    >>> print(straight_binding(inches(60), inches(72), inches(42)))
    7 strips 2 1/2 in wide across the fabric, joined at 45 degrees: 1/2 yd
    >>> print(straight_binding(inches(100), inches(105), inches(42)))  # ten make 397 1/2 in, and 410 is the way round
    11 strips 2 1/2 in wide across the fabric, joined at 45 degrees: 7/8 yd
    """
    wide, more = _checked(fabric_width, cut_width, joining)
    if fabric_width <= wide:
        raise PlanError(
            f"binding strips {show(wide)} wide from fabric {show(fabric_width)} wide",
            "a join at 45 degrees would take a whole strip",
            "use wider fabric or narrower strips",
        )
    run = (width + height) * 2 + more
    strips = max(1, ceil((run - wide).inches / (fabric_width - wide).inches))
    length = wide * strips
    return Binding("straight", wide, run, more, strips, in_unit(0, wide.unit), length, to_buy(length), fabric_width)


def bias_binding(
    width: Length,
    height: Length,
    fabric_width: Length,
    *,
    cut_width: Length | None = None,
    joining: Length | None = None,
) -> Binding:
    """Plan a bias binding from one square, by its area.

    The area method counts no loss at the seams of the tube; small squares give 83 to 89 in 100 of it (timed
    yields of 12 to 15 in squares), so the square is found for a tenth more than the run.

    Raises
    ------
    PlanError
        When the square is wider than the fabric.

    Examples
    --------
    >>> bias_binding(inches(60), inches(72), inches(42)).square
    Length('28 in')
    >>> bias_binding(inches(100), inches(100), inches(18))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a square of 34 in for bias strips: the fabric is 18 in wide; ...
    """
    wide, more = _checked(fabric_width, cut_width, joining)
    run = (width + height) * 2 + more
    square = bias_square(run * Fraction(11, 10), wide)
    if square > fabric_width:
        raise PlanError(
            f"a square of {show(square)} for bias strips",
            f"the fabric is {show(fabric_width)} wide",
            "use wider fabric or a straight binding",
        )
    return Binding("bias", wide, run, more, 0, square, square, to_buy(square), fabric_width)


def bias_square(run: Length, cut_width: Length) -> Length:
    """The side of the square whose area is that of the binding, up to a whole inch or centimeter.

    Examples
    --------
    >>> bias_square(inches(250), inches(2)), bias_square(inches(0), inches(2))
    (Length('23 in'), Length('0 in'))
    """
    side = Length(above(root_up(run.inches * cut_width.inches)), run.unit)
    return on_mark(side, "up", in_unit(1, run.unit))


def _checked(fabric_width: Length, cut_width: Length | None, joining: Length | None) -> tuple[Length, Length]:
    wide = WIDTH[fabric_width.unit] if cut_width is None else cut_width
    more = JOINING[fabric_width.unit] if joining is None else joining
    if fabric_width.inches <= 0 or wide.inches <= 0 or more.inches < 0:
        raise PlanError(
            f"binding {show(wide)} wide from fabric {show(fabric_width)} wide",
            "both are more than 0",
            "give the width of the strips and of the fabric",
        )
    return checked_strip(wide), more


def checked_strip(wide: Length) -> Length:
    """Give the cut width of binding strips back, or refuse one that nothing could be bound with.

    Examples
    --------
    >>> checked_strip(inches("2.5"))
    Length('2 1/2 in')
    >>> checked_strip(inches(300))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: binding strips 300 in wide: they are cut wider than their two seams, 1/2 in, and ...
    """
    least, most = SEAM_ALLOWANCE[wide.unit] * 2, WIDEST[wide.unit]
    if not least < wide <= most:
        raise PlanError(
            f"binding strips {show(wide)} wide",
            f"they are cut wider than their two seams, {show_seam(least)}, and at most {show(most)} wide",
            "give the cut width of one strip",
        )
    return wide
