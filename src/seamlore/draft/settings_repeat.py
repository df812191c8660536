"""How often the unit of a pieced border goes into a side, and what to do when it does not."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from seamlore.errors import ShapeError
from seamlore.lengths import FINEST_MARK, Length, inches, on_mark, show

# What the tape cannot show, sewing takes up: a side that misses by less than its finest mark divides evenly.
EASE = inches(Fraction(1, 16))


@dataclass(frozen=True, slots=True)
class Fit:
    """One way to make a border's units come out even.

    Parameters
    ----------
    count : int
        Units along the side.
    miss : Length
        What those units are too long (more than 0) or too short by, together.
    unit : Length
        The length of unit that would come out even, on a tape mark when the side is.
    spacer : Length
        The width of a plain border on each side that would make the side long enough; less than 0 when the
        side is already longer than these units.
    """

    count: int
    miss: Length
    unit: Length
    spacer: Length


def fits(side: Length, unit: Length) -> tuple[Fit, ...]:
    """Give the numbers of units next to what would go into a side: one when it divides evenly, else two.

    Parameters
    ----------
    side : Length
        The finished side that the units run along.
    unit : Length
        Finished length of one unit along the border.

    Returns
    -------
    tuple of Fit
        The nearest first.

    Raises
    ------
    ShapeError
        When the unit has no length.

    Examples
    --------
    >>> [(fit.count, str(fit.miss), str(fit.spacer)) for fit in fits(inches("62.5"), inches(3))]
    [(21, '1/2 in', '1/4 in'), (20, '-2 1/2 in', '-1 1/4 in')]
    >>> [(fit.count, str(fit.unit)) for fit in fits(inches(60), inches(3))]
    [(20, '3 in')]
    """
    if unit.inches <= 0 or side.inches <= 0:
        raise ShapeError(
            f"a border unit of {show(unit)} along {show(side)}",
            "both are longer than 0",
            "give the unit's finished length",
        )
    whole = side.inches / unit.inches
    nearest = max(1, int(whole + Fraction(1, 2)))
    counts = [nearest]
    if abs(unit.inches * nearest - side.inches) >= EASE.inches:
        other = nearest + (1 if unit.inches * nearest < side.inches else -1)
        counts += [other] if other else []
    return tuple(Fit(count, unit * count - side, side / count, (unit * count - side) / 2) for count in counts)


def units_along(side: Length, unit: Length, what: str) -> int:
    """Count the units of a pieced border along a side, refusing what does not divide evenly.

    Parameters
    ----------
    side, unit : Length
        Finished length of the side and of one unit along it.
    what : str
        What the side is called in the message.

    Raises
    ------
    ShapeError
        Saying by how much it does not, and offering the nearest sizes that do.

    Examples
    --------
    >>> units_along(inches(60), inches(3), "border 1, sides")
    20
    >>> units_along(inches(61), inches(3), "border 1, sides")
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: border 1, sides: units of 3 in along 61 in: 20 of them are 1 in too short, 21 are 2 in
    too long; make the unit about 3 1/16 in (20 of them) or about 2 7/8 in (21), or sew a plain border of 1 in first
    (21 of them)
    """
    found = fits(side, unit)
    if abs(found[0].miss.inches) < EASE.inches:
        return found[0].count
    ordered = sorted(found, key=lambda fit: fit.count)
    misses = ", ".join(
        f"{fit.count}{' of them' * (number == 0)} are {show(abs(fit.miss))}"
        f" too {'long' if fit.miss.inches > 0 else 'short'}"
        for number, fit in enumerate(ordered)
    )
    sizes = " or ".join(
        f"{_about(fit.unit)} ({fit.count}{' of them' * (number == 0)})" for number, fit in enumerate(ordered)
    )
    wider = [fit for fit in ordered if fit.spacer.inches > 0]
    spacer = f", or sew a plain border of {_about(wider[0].spacer)} first ({wider[0].count} of them)" if wider else ""
    raise ShapeError(
        f"units of {show(unit)} along {show(side)}", misses, f"make the unit {sizes}{spacer}", where=what
    )


def _about(given: Length) -> str:
    """A length on the tape, saying so when it is rounded."""
    exact = on_mark(given, "nearest", FINEST_MARK[given.unit]) == given
    return f"{'' if exact else 'about '}{show(given)}"
