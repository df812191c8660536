"""Which cautions stand on which page: where she handles the quilt, before she does."""

from __future__ import annotations

from seamlore import hazards
from seamlore.hazards import Hazard

_AT: dict[str, tuple[Hazard, ...]] = {
    "begin": hazards.AT_FIRST,
    "look": hazards.AT_THE_READING,
    "date": hazards.AT_THE_DATES,
    "assess": hazards.AT_THE_CONDITION,
    "decide": hazards.BEFORE_THE_CHOICE,
}


def cautions(place: str) -> tuple[Hazard, ...]:
    """Give the cautions of a page.

    Parameters
    ----------
    place : str
        A step, or "begin" where the first photograph is asked for.

    Examples
    --------
    >>> [each.name for each in cautions("look")], cautions("make")
    (['Pins and needles inside', 'Weak cloth carries no load'], ())
    """
    return _AT.get(place, ())
