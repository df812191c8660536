"""Fabric as shops sell it: its width, what a shop cuts for a need, how many pieces come from a given cloth."""

from __future__ import annotations

from fractions import Fraction
from math import floor

from seamlore.errors import PlanError
from seamlore.lengths import INCHES_PER_YARD, Length, Unit, in_unit, inches, on_mark, show


def pieces_from(cut: tuple[Length, Length], width: Length, length: Length) -> int:
    """How many equal pieces come from a cloth, all laid the same way, the better of the two.

    Examples
    --------
    >>> pieces_from((inches("2.5"), inches("2.5")), inches(42), inches(36))
    224
    >>> pieces_from((inches(50), inches(2)), inches(42), inches(36))
    0
    """
    one, two = cut
    ways = [(one, two), (two, one)]
    return max(floor(width.inches / wide.inches) * floor(length.inches / high.inches) for wide, high in ways)


def checked_width(width: Length) -> Length:
    """Give the usable width of a fabric back, or refuse one that has none.

    Examples
    --------
    >>> checked_width(inches(42))
    Length('42 in')
    >>> checked_width(inches(0))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a fabric 0 in wide: fabric is wider than that; give its width without the selvages
    """
    if width.inches <= 0:
        raise PlanError(
            f"a fabric {show(width)} wide", "fabric is wider than that", "give its width without the selvages"
        )
    return width


def checked_spare(spare: Length) -> Length:
    """Give a spare back, or refuse one of less than 0.

    Examples
    --------
    >>> checked_spare(inches(-1))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a spare of -1 in: it is 0 or more; say how much of each fabric is bought beyond its need
    """
    if spare.inches < 0:
        raise PlanError(
            f"a spare of {show(spare)}", "it is 0 or more", "say how much of each fabric is bought beyond its need"
        )
    return spare


def to_buy(length: Length) -> str:
    """Say what to ask for in a shop: yards to the next eighth, or meters to the next 5 cm.

    Examples
    --------
    >>> to_buy(inches(152)), to_buy(inches(36)), to_buy(in_unit(187, Unit.CM)), to_buy(inches(0))
    ('4 1/4 yd', '1 yd', '1.9 m', '0 yd')
    """
    bought = bought_length(length)
    if length.unit is Unit.CM:
        return f"{float(bought.measured_in(Unit.CM) / 100):g} m"
    return f"{show(inches(bought.yards), mark=inches(Fraction(1, 8)), bare=True)} yd"


def bought_length(length: Length) -> Length:
    """The length that a shop cuts for a need: up to the next 1/8 yd (4 1/2 in) or 5 cm.

    Examples
    --------
    >>> bought_length(inches("27.5"))
    Length('31 1/2 in')
    """
    step = in_unit(5, Unit.CM) if length.unit is Unit.CM else inches(Fraction(INCHES_PER_YARD, 8))
    return on_mark(length, "up", step)
