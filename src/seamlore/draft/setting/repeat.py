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
    """

    count: int
    miss: Length
    unit: Length


@dataclass(frozen=True, slots=True)
class Spacer:
    """A plain border that lets a pieced one come out even: its width, and the units along the top and the side."""

    width: Length
    across: int
    down: int


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
    >>> [(fit.count, str(fit.miss)) for fit in fits(inches("62.5"), inches(3))]
    [(21, '1/2 in'), (20, '-2 1/2 in')]
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
    return tuple(Fit(count, unit * count - side, side / count) for count in counts)


def spacers(width: Length, height: Length, unit: Length, *, widest: Length | None = None) -> tuple[Spacer, ...]:
    """Find plain borders that make a unit go evenly into both sides when they are sewn first.

    Parameters
    ----------
    width, height : Length
        What the pieced border would be sewn round.
    unit : Length
        Finished length of one unit along it.
    widest : Length, optional
        Of the plain border; three units when not given.

    Returns
    -------
    tuple of Spacer
        The narrowest first; empty when no plain border does, since the sides differ by no whole number of units.

    Examples
    --------
    >>> [(str(each.width), each.across, each.down) for each in spacers(inches(61), inches(73), inches(3))][:2]
    [('1 in', 21, 25), ('2 1/2 in', 22, 26)]
    >>> spacers(inches(61), inches(72), inches(3))
    ()
    """
    found = []
    limit = widest or unit * 3
    # On the tape, since that is what she can sew.
    first = max(1, int(width.inches / unit.inches))
    for across in range(first, first + int(limit.inches / unit.inches * 2) + 2):
        plain = on_mark((unit * across - width) / 2, "nearest", FINEST_MARK[width.unit])
        if not 0 < plain.inches <= limit.inches:
            continue
        down = fits(height + plain * 2, unit)[0]
        both = abs(fits(width + plain * 2, unit)[0].miss), abs(down.miss)
        if all(miss < EASE for miss in both):
            found.append(Spacer(plain, across, down.count))
    return tuple(found)


def even_count(side: Length, unit: Length, where: str, plain: tuple[Spacer, ...] = ()) -> int:
    """Count the units of a pieced border along one side, refusing what does not divide evenly.

    Parameters
    ----------
    side, unit : Length
        Finished lengths of the side, and of one unit along it.
    where : str
        What the side is called in the message.
    plain : tuple of Spacer, optional
        Plain borders that would make it even, to be offered.

    Raises
    ------
    ShapeError
        Saying by how much it does not, and offering the nearest sizes that do.

    Examples
    --------
    >>> even_count(inches(60), inches(3), "border 1, sides")
    20
    >>> unit = inches(3)
    >>> even_count(inches(61), unit, "border 1, top and bottom", spacers(inches(61), inches(73), unit))
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: border 1, top and bottom: units of 3 in along 61 in: 20 of them are 1 in too short, 21 are
    2 in too long; make the unit about 3 1/16 in (20 of them) or about 2 7/8 in (21), or sew a plain border of 1 in first
    (21 and 25 of them)
    """
    found = fits(side, unit)
    if abs(found[0].miss) >= EASE:
        raise _uneven(side, unit, found, plain, where)
    return found[0].count


def _uneven(side: Length, unit: Length, found: tuple[Fit, ...], plain: tuple[Spacer, ...], where: str) -> ShapeError:
    ordered = sorted(found, key=lambda fit: fit.count)
    misses = ", ".join(
        f"{fit.count}{' of them' * (number == 0)} are {show(abs(fit.miss))}"
        f" too {'long' if fit.miss.inches > 0 else 'short'}"
        for number, fit in enumerate(ordered)
    )
    sizes = " or ".join(
        f"{_about(fit.unit)} ({fit.count}{' of them' * (number == 0)})" for number, fit in enumerate(ordered)
    )
    first = ""
    if plain:
        first = (
            f", or sew a plain border of {show(plain[0].width)} first ({plain[0].across} and {plain[0].down} of them)"
        )
    return ShapeError(
        f"units of {show(unit)} along {show(side)}", misses, f"make the unit {sizes}{first}", where=where
    )


def _about(given: Length) -> str:
    """A length on the tape, saying so when it is rounded."""
    exact = on_mark(given, "nearest", FINEST_MARK[given.unit]) == given
    return f"{'' if exact else 'about '}{show(given)}"
