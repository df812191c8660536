"""What is bought: more where it shrinks, rounded to what a shop sells, and what it costs where a price was given."""

from __future__ import annotations

from fractions import Fraction

from seamlore.errors import PlanError
from seamlore.fabric.stash import Offer
from seamlore.lengths import INCHES_PER_YARD, Length, Unit, in_unit, inches, on_mark, show

# A shop cuts to the next eighth of a yard, or to the next 10 cm. Common practice, no source.
STEP = {Unit.INCH: inches(Fraction(INCHES_PER_YARD, 8)), Unit.CM: in_unit(10, Unit.CM)}
MOST_SHRINKAGE = Fraction(1, 5)


def checked_shrinkage(share: Fraction) -> Fraction:
    """Give a shrinkage back, as a part of the length, or refuse one that no quilt cotton has.

    Examples
    --------
    >>> checked_shrinkage(Fraction(3, 100))
    Fraction(3, 100)
    >>> checked_shrinkage(Fraction(1, 2))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a shrinkage of 50 %: it is 0 to 20 %; wash and measure a piece of the fabric
    """
    if not 0 <= share <= MOST_SHRINKAGE:
        raise PlanError(
            f"a shrinkage of {float(share * 100):g} %",
            f"it is 0 to {float(MOST_SHRINKAGE * 100):g} %",
            "wash and measure a piece of the fabric",
        )
    return share


def bought(need: Length, *, shrinkage: Fraction = Fraction(0)) -> Length:
    """The length that is bought for a need.

    Parameters
    ----------
    need : Length
        What the pieces take, after washing.
    shrinkage : Fraction
        Which part of its length the fabric loses.

    Examples
    --------
    >>> str(bought(inches("27.5"))), str(bought(inches(36), shrinkage=Fraction(3, 100)))
    ('31 1/2 in', '40 1/2 in')
    >>> str(bought(in_unit(187, Unit.CM))), str(bought(inches(0)))
    ('190 cm', '0 in')
    """
    return on_mark(need / (1 - shrinkage), "up", STEP[need.unit])


def asked_for(length: Length) -> str:
    """Say a bought length as a shop is asked for it.

    Examples
    --------
    >>> asked_for(inches(153)), asked_for(in_unit(190, Unit.CM))
    ('4 1/4 yd', '1.9 m')
    """
    if length.unit is Unit.CM:
        return f"{float(length.measured_in(Unit.CM) / 100):g} m"
    return f"{show(inches(length.yards), mark=inches(Fraction(1, 8)), bare=True)} yd"


def to_buy(need: Length) -> str:
    """Say what to ask for in a shop so that a need is covered.

    Examples
    --------
    >>> to_buy(inches(152)), to_buy(inches(36)), to_buy(in_unit(187, Unit.CM)), to_buy(inches(0))
    ('4 1/4 yd', '1 yd', '1.9 m', '0 yd')
    """
    return asked_for(bought(need))


def cost(length: Length, offer: Offer | None) -> Fraction | None:
    """What a bought length costs, to the cent upward; None where no price was given.

    Examples
    --------
    >>> cost(inches(54), Offer("Red", None, Fraction("12.50"), Unit.INCH))
    Fraction(75, 4)
    """
    if offer is None or offer.price is None:
        return None
    units = length.yards if offer.per is Unit.INCH else length.measured_in(Unit.CM) / 100
    cents = Fraction(units) * offer.price * 100
    return Fraction(-(-cents.numerator // cents.denominator), 100)
