"""What the materials cost, as a range, where she gives prices: the least with nothing spare, the most with it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from seamlore.errors import PlanError
from seamlore.fabric.shop import bought
from seamlore.lengths import INCHES_PER_YARD, Length, Unit, in_unit


@dataclass(frozen=True, slots=True)
class Cost:
    """What one thing costs, in the money of the prices that were given.

    Parameters
    ----------
    called : str
        What is paid for.
    least, most : Fraction
    basis : str
        How it is reckoned.
    """

    called: str
    least: Fraction
    most: Fraction
    basis: str

    def __str__(self) -> str:
        return f"{self.called}: {money(self.least, self.most)} ({self.basis})"


def costs(
    fabrics: Sequence[tuple[Length, Length]], price: Fraction | None, batting: Fraction | None
) -> tuple[Cost, ...]:
    """Reckon what the materials cost; nothing that no price was given for.

    Parameters
    ----------
    fabrics : sequence of (Length, Length)
        Of each fabric what is needed, and that with its spare.
    price : Fraction, optional
        Of a yard, or of a meter where one works in centimeters.
    batting : Fraction, optional
        Of the batting.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> for cost in costs([(inches(58), inches(70)), (inches(20), inches(20))], Fraction(12), Fraction(30)):
    ...     print(cost)
    fabric: 27.00 to 31.50 (2 1/4 to 2 5/8 yd at 12.00)
    batting: 30.00 (as given)
    """
    found = []
    if price is not None and fabrics:
        unit = fabrics[0][0].unit
        least, most = (sum((bought(each[at]) for each in fabrics), in_unit(0, unit)) for at in (0, 1))
        per = Fraction(100) if unit is Unit.CM else Fraction(INCHES_PER_YARD)
        amounts = [each.measured_in(unit) / per for each in (least, most)]
        said = _range(*(_amount(each, unit) for each in amounts))
        basis = f"{said} {'m' if unit is Unit.CM else 'yd'} at {money(price, price)}"
        found.append(Cost("fabric", amounts[0] * price, amounts[1] * price, basis))
    if batting is not None:
        found.append(Cost("batting", batting, batting, "as given"))
    return tuple(found)


def _amount(amount: Fraction, unit: Unit) -> str:
    if unit is Unit.CM:
        return f"{float(amount):.2f}"
    whole, part = divmod(amount, 1)
    return " ".join(each for each in (str(whole) if whole or not part else "", str(part) if part else "") if each)


def _range(least: str, most: str) -> str:
    return least if least == most else f"{least} to {most}"


def money(least: Fraction, most: Fraction) -> str:
    """Print a range of money to the cent.

    Examples
    --------
    >>> money(Fraction(3), Fraction(3)), money(Fraction(10, 3), Fraction(4))
    ('3.00', '3.33 to 4.00')
    """
    return _range(f"{float(least):.2f}", f"{float(most):.2f}")


def checked_price(text: str) -> Fraction | None:
    """Read a price as it is written on a tag; None where none was given.

    Raises
    ------
    PlanError
        When it is no price.

    Examples
    --------
    >>> checked_price("12.50"), checked_price("")
    (Fraction(25, 2), None)
    >>> checked_price("cheap")
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a price of "cheap": it is a number from 0 to 99,999.99; write it as 12.50
    """
    written = text.strip()
    if not written:
        return None
    if not re.fullmatch(r"[0-9]{1,5}([.,][0-9]{1,2})?", written):
        raise PlanError(f'a price of "{written[:40]}"', "it is a number from 0 to 99,999.99", "write it as 12.50")
    return Fraction(written.replace(",", "."))
