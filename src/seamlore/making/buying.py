"""Fabric by its width: what is refused, and how many pieces come from a given cloth. What shops cut: `fabric.shop`."""

from __future__ import annotations

from math import floor

from seamlore.errors import PlanError
from seamlore.lengths import Length, inches, show


def pieces_from(cut: tuple[Length, Length], width: Length, length: Length) -> int:
    """How many equal pieces come from a cloth, all laid the same way, the better of the two.

    Examples
    --------
    >>> from seamlore.lengths import inches
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
    >>> from seamlore.lengths import inches
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


# A patch on a foundation is laid by eye and trimmed once it is sewn: a margin of a quarter of an inch or more all round is common
# practice, no source; 2 in is a limit of our own.
MOST_MARGIN = inches(2)


def checked_margin(margin: Length) -> Length:
    """Give back how much wider patches are cut for foundations, or refuse what is no margin.

    Examples
    --------
    >>> checked_margin(inches("1/4"))
    Length('1/4 in')
    >>> checked_margin(inches(3))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: foundation pieces 3 in wider: it is more than 0 and at most 2 in on every side; 1/4 in is usual
    """
    if not 0 < margin.inches <= MOST_MARGIN.inches:
        most = show(MOST_MARGIN.shown_in(margin.unit), direction="down")
        raise PlanError(
            f"foundation pieces {show(margin)} wider",
            f"it is more than 0 and at most {most} on every side",
            "1/4 in is usual",
        )
    return margin


def checked_spare(spare: Length) -> Length:
    """Give a spare back, or refuse one of less than 0.

    Examples
    --------
    >>> from seamlore.lengths import inches
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
