"""What to bear in mind about a plan: what is added or not, what is custom, what is awkward."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from fractions import Fraction

from seamlore.draft.quilt import Quilt
from seamlore.draft.unread import left_out_words
from seamlore.lengths import Length, Unit, in_unit, inches, show, show_seam
from seamlore.making.buying import pieces_from
from seamlore.making.cutting import Cut
from seamlore.making.finish.filling import distances_said
from seamlore.making.strips import SHRINKAGE, SQUARING

# A fat quarter, 18 by 21 in (allpeoplequilt.com 2017-02-13); in centimeters 50 by 55 is cut (custom).
FAT_QUARTER = {
    Unit.INCH: (inches(18), inches(21)),
    Unit.CM: (in_unit(50, Unit.CM), in_unit(55, Unit.CM)),
}


def notes(
    quilt: Quilt, cuts: tuple[Cut, ...], wide: Length, seam: Length, *, spare: Length | None, label: bool
) -> tuple[str, ...]:
    """Say what to bear in mind.

    Parameters
    ----------
    quilt : Quilt
    cuts : tuple of Cut
    wide, seam : Length
        Usable width of the fabrics, and seam allowance.
    spare : Length, optional
        As it was given.
    label : bool
        Whether it is known how far apart the batting may be held, or there is none.
    """
    batting = [] if label else _batting(quilt.unit)
    return (*_customs(wide, seam, spare), *batting, *_unread(quilt), *awkward(cuts), *_scrappy(quilt, cuts))


def _customs(wide: Length, seam: Length, spare: Length | None) -> list[str]:
    added = (
        f"The spare offered beside it is {float(SHRINKAGE):.0%} for shrinking, {show(SQUARING[wide.unit])} for squaring up and "
        "one strip for a slip (the usual)."
        if spare is None
        else f"The spare offered beside it is {show(spare)} of each fabric."
    )
    return [
        f"Seam allowance {show_seam(seam)} is in every cut size; cut sizes are rounded up, never down (computed).",
        f"Fabric is reckoned {show(wide)} wide without its selvages; what the pieces take is given first. {added}",
    ]


def _batting(unit: Unit) -> list[str]:
    return [
        f"How far apart quilting or ties may be stands on the batting's label. As printed: {distances_said(unit)}."
    ]


def _unread(quilt: Quilt) -> list[str]:
    said = left_out_words(quilt, "cut or bought")
    return [said] if said else []


def _scrappy(quilt: Quilt, cuts: tuple[Cut, ...]) -> list[str]:
    """For each scrappy fabric, how many fat quarters would do."""
    scrappy = {quilt.fabric_of(letter) for letter, place in quilt.places.items() if place.scrappy}
    quarters: dict[str, Fraction] = defaultdict(Fraction)
    for cut in cuts:
        if cut.fabric in scrappy:
            each = pieces_from(cut.size, *FAT_QUARTER[quilt.unit])
            if not each:
                scrappy.discard(cut.fabric)
            else:
                quarters[cut.fabric] += Fraction(cut.count, each)
    one, two = FAT_QUARTER[quilt.unit]
    return [
        f"{fabric} is scrappy: the length given is the sum over all its fabrics, at least "
        f"{-(-quarters[fabric].numerator // quarters[fabric].denominator)} fat quarters of {show(one, bare=True)} x {show(two)}."
        for fabric in sorted(scrappy)
        if quarters[fabric]
    ]


def awkward(cuts: Iterable[Cut]) -> tuple[str, ...]:
    """Name the patches whose finished size no ruler shows well.

    Examples
    --------
    >>> from seamlore.making.shapes import Shaped
    >>> from seamlore.making.sizes import cut_size
    >>> square = Shaped("square", (Fraction(9, 8), Fraction(9, 8)))
    >>> size = cut_size(square, inches("1/4"))
    >>> fin = (inches("9/8"), inches("9/8"))
    >>> awkward([Cut("A", "square", size, 1, 1, 1, fin, ("A1",), "", Fraction(1), square)])
    ('A1 finishes at 1 1/8 in, an odd eighth: mark it on your ruler.',)
    """
    found = []
    for cut in cuts:
        if cut.shape == "template" or cut.labels == ("side triangle",) or cut.labels == ("corner triangle",):
            continue
        for side in dict.fromkeys(cut.finished):
            text = _awkward(side)
            if text:
                found.append(f"{' and '.join(cut.labels)} finishes at {show(side)}{text}")
                break
    return tuple(found)


def _awkward(side: Length) -> str:
    if side.unit is Unit.CM:
        marks = side.measured_in(Unit.CM) * 10
        return "" if marks.denominator == 1 else ", between two millimeters: the cut size is rounded up."
    eighths = side.inches * 8
    if eighths.denominator != 1:
        return " about, between two eighths: the cut size is rounded up; trim to size after sewing."
    return ", an odd eighth: mark it on your ruler." if eighths.numerator % 2 else ""
