"""Sizes as found, put on the marks of a tape within what the measurement allows."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from seamlore.lengths import Length, Unit, in_unit, inches, on_mark, show
from seamlore.study.measured import Known

# Sizes are looked for on these marks, friendliest first.
_MARKS = {
    Unit.INCH: (inches(1), inches(Fraction(1, 2)), inches(Fraction(1, 4)), inches(Fraction(1, 8))),
    Unit.CM: (in_unit(1, Unit.CM), in_unit(Fraction(1, 2), Unit.CM), in_unit(Fraction(1, 10), Unit.CM)),
}


@dataclass(frozen=True, slots=True)
class Snap:
    """One size, as found and as drafted.

    Parameters
    ----------
    what : str
        "block width", "sashing between columns", "border" and so on.
    found : Length
        What the measurements come to together.
    give_or_take : Length
        Two standard uncertainties of that.
    chosen : Length
        The size drafted.
    reason : str
        Why this one.
    alternatives : tuple of Length
        Other sizes on a tape's marks that the measurements allow, nearest first.
    known : Known
        Computed from the measurements, or as told.
    """

    what: str
    found: Length
    give_or_take: Length
    chosen: Length
    reason: str
    alternatives: tuple[Length, ...] = ()
    known: Known = Known.COMPUTED

    def __str__(self) -> str:
        other = (
            f"; {', '.join(show(each) for each in self.alternatives)} would do as well" if self.alternatives else ""
        )
        return (
            f"{self.what}: found {show(self.found)} ± {show(self.give_or_take)}, "
            f"drafted {show(self.chosen)} ({self.reason}{other})"
        )


def snap(
    what: str, found: Length, give_or_take: Length, likeliest: Length | None, *, told: Length | None = None
) -> Snap:
    """Put a measured size on a tape's mark, within what the measurement allows.

    Parameters
    ----------
    what : str
        The size's name.
    found, give_or_take : Length
        What the measurements come to, and two standard uncertainties.
    likeliest : Length, optional
        A mark already found likeliest; otherwise the friendliest mark within reach is taken.
    told : Length, optional
        The user's own word; it overrules.

    Examples
    --------
    >>> print(snap("block width", inches("7.93"), inches("1/8"), None))
    block width: found 7 15/16 in ± 1/8 in, drafted 8 in (a whole inch within what was measured; 7 7/8 in would do as well)
    >>> snap("block width", inches("7.93"), inches("1/8"), None, told=inches("7.75")).reason
    'as you say; the measurements come to 7 15/16 in ± 1/8 in'
    >>> snap("block width", inches("7.7"), inches(0), None).chosen
    Length('7 3/4 in')
    """
    reach = max(give_or_take, inches(Fraction(1, 16)))
    allowed = allowed_marks(found, reach)
    if told is not None:
        off = abs(told - found) > reach and bool(found)
        reason = "as you say" + (f"; the measurements come to {show(found)} ± {show(give_or_take)}" if off else "")
        others = tuple(each for each in allowed if each != told)[:4]
        return Snap(what, found, give_or_take, told, reason, others, Known.TOLD)
    chosen = likeliest if likeliest is not None else _friendliest(found, allowed)
    others = tuple(each for each in allowed if each != chosen)[:4]
    return Snap(what, found, give_or_take, chosen, _reason(chosen, found, reach), others)


def allowed_marks(found: Length, reach: Length) -> tuple[Length, ...]:
    """Every size on an eighth (or half a centimeter) within reach of what was found, nearest first.

    Examples
    --------
    >>> allowed_marks(inches("7.93"), inches("1/8"))
    (Length('7 7/8 in'), Length('8 in'))
    >>> allowed_marks(inches(0), inches("1/4"))
    ()
    """
    step = inches(Fraction(1, 8)) if found.unit is Unit.INCH else in_unit(Fraction(1, 2), Unit.CM)
    first = on_mark(found - reach, "up", step)
    marks: list[Length] = []
    while found and first <= found + reach:
        if first.inches > 0:
            marks.append(first)
        first = first + step
    return tuple(sorted(marks, key=lambda each: (abs(each.inches - found.inches), each.inches)))


def _friendliest(found: Length, allowed: tuple[Length, ...]) -> Length:
    for mark in _MARKS[found.unit]:
        on = [each for each in allowed if (each.inches / mark.inches).denominator == 1]
        if on:
            return on[0]
    return on_mark(found, "nearest")


def _reason(chosen: Length, found: Length, reach: Length) -> str:
    if not chosen:
        return "there is none"
    within = "within what was measured" if abs(chosen - found) <= reach else "the likeliest mark"
    names = ("a whole inch", "a half inch", "a quarter inch", "an eighth")
    if chosen.unit is Unit.CM:
        names = ("a whole centimeter", "half a centimeter", "a millimeter", "")
    for mark, name in zip(_MARKS[chosen.unit], names, strict=False):
        if (chosen.inches / mark.inches).denominator == 1:
            return f"{name} {within}"
    return f"no friendlier mark is {within}"
