"""The plan: everything that a draft takes, each number with how it is known."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from seamlore.draft.pieces import pieces
from seamlore.draft.quilt import Quilt
from seamlore.draft.unread import not_read_words
from seamlore.errors import PlanError
from seamlore.lengths import SEAM_ALLOWANCE, Length, Unit, checked_seam, in_unit, inches, show, show_seam
from seamlore.making.backing import Backing, backing
from seamlore.making.batches import Batch, batches, cuts_for
from seamlore.making.binding import Binding, bias_binding, straight_binding
from seamlore.making.buying import checked_spare, checked_width, pieces_from
from seamlore.making.choosing import choose, cuts_counted
from seamlore.making.cutting import Cut, awkward, cutting_list
from seamlore.making.filling import Filling, filling
from seamlore.making.methods import SINGLY, Choose, Methods
from seamlore.making.strips import SHRINKAGE, SQUARING, FabricNeed, needs
from seamlore.making.units import units

# Usable width without selvages: style books reckon with 42 in, careful quilters with 40; 107 cm is 42 in. Custom.
FABRIC_WIDTH = {Unit.INCH: inches(42), Unit.CM: in_unit(107, Unit.CM)}
# A fat quarter, 18 by 21 in (allpeoplequilt.com 2017-02-13); in centimeters 50 by 55 is cut (custom).
FAT_QUARTER = {
    Unit.INCH: (inches(18), inches(21)),
    Unit.CM: (in_unit(50, Unit.CM), in_unit(55, Unit.CM)),
}


@dataclass(frozen=True, slots=True)
class Plan:
    """What a draft takes.

    Parameters
    ----------
    quilt : Quilt
        The draft.
    finished : tuple of Length
        Width and height.
    seam : Length
        Seam allowance.
    fabric_width : Length
        Usable width of the top's fabrics.
    cutting : tuple of Cut
        What to cut.
    fabrics : tuple of FabricNeed
        How much of each fabric, and in which strips.
    backing : Backing
    filling : Filling or None
    edge_finish : Binding or None
        None when the edge is finished without a binding.
    notes : tuple of str
        What is added or not, what is custom, what is awkward.
    methods : Methods
        How units are made.
    batches : tuple of Batch
        What is made several at a time.
    """

    quilt: Quilt
    finished: tuple[Length, Length]
    seam: Length
    fabric_width: Length
    cutting: tuple[Cut, ...]
    fabrics: tuple[FabricNeed, ...]
    backing: Backing
    filling: Filling | None
    edge_finish: Binding | None
    notes: tuple[str, ...]
    methods: Methods
    batches: tuple[Batch, ...]


def plan(
    quilt: Quilt,
    *,
    fabric_width: Length | None = None,
    seam_allowance: Length | None = None,
    binding: Literal["straight", "bias", "none"] = "straight",
    binding_width: Length | None = None,
    backing_width: Length | None = None,
    backing_extra: Length | None = None,
    filled_with: str = "batting",
    spare: Length | None = None,
    methods: Methods = SINGLY,
    choose_by: Choose = "as said",
) -> Plan:
    """Plan everything that a draft takes.

    Parameters
    ----------
    quilt : Quilt
        The draft.
    fabric_width : Length, optional
        Usable width of the fabrics: 42 in or 107 cm when not given.
    seam_allowance : Length, optional
        1/4 in or 0.75 cm when not given.
    binding : {"straight", "bias", "none"}
        How the edge is finished.
    binding_width : Length, optional
        Cut width of binding strips: 2 1/2 in or 6 cm when not given.
    backing_width : Length, optional
        Usable width of the backing fabric; that of the others when not given.
    backing_extra : Length, optional
        How far backing stands out on each side: 4 in or 10 cm when not given.
    filled_with : {"batting", "blanket", "older quilt", "none"}
        What lies between top and backing.
    spare : Length, optional
        What may be bought of each fabric beyond its need: for shrinking, squaring up and one slip when not given.

    methods : Methods
        Which units are made several at a time; each patch by itself when not given.
    choose_by : {"as said", "least fabric", "fewest cuts"}
        Whether other methods are taken where they take less.

    Returns
    -------
    Plan

    Raises
    ------
    PlanError
        When a seam is wider than a patch, a piece larger than the fabric, or a binding or filling is unknown.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> made = plan(repeated("q", four, inches(8), inches(8), 7, 6))
    >>> [(need.fabric, need.buy) for need in made.fabrics]
    [('Fabric A', '1 1/4 yd'), ('Fabric B', '1 1/4 yd')]
    >>> print(made.edge_finish)
    6 strips 2 1/2 in wide across the fabric, joined at 45 degrees: 1/2 yd
    >>> plan(made.quilt, seam_allowance=inches(5))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a seam allowance of 5 in on a patch of 4 in: ...
    """
    unit = quilt.unit
    wide = FABRIC_WIDTH[unit] if fabric_width is None else checked_width(fabric_width).shown_in(unit)
    seam = SEAM_ALLOWANCE[unit] if seam_allowance is None else checked_seam(seam_allowance).shown_in(unit)
    width, height = quilt.finished_size
    more = None if spare is None else checked_spare(spare).shown_in(unit)
    found, listed = units(quilt), pieces(quilt)

    def reckoned(by: Methods) -> tuple[tuple[Batch, ...], tuple[FabricNeed, ...]]:
        made = batches(found, by, seam, wide)
        together, taken = cuts_for(made)
        return made, needs(cutting_list(listed, seam, wide, together=together, taken=taken), wide, seam, spare=more)

    def cost(by: Methods) -> tuple[Fraction | int, ...]:
        made, fabrics = reckoned(by)
        taken = sum((need.length.inches for need in fabrics), Fraction(0))
        cut = cuts_counted(fabrics, made)
        return (taken, cut) if choose_by == "least fabric" else (cut, taken)

    chosen = choose(found, choose_by, methods, cost)
    made, fabrics = reckoned(chosen)
    cuts = tuple(cut for need in fabrics for cut in need.cuts)
    back_wide = wide if backing_width is None else checked_width(backing_width).shown_in(unit)
    edge = _edge(binding, width, height, wide, binding_width)
    return Plan(
        quilt,
        (width, height),
        seam,
        wide,
        cuts,
        fabrics,
        backing(width, height, back_wide, extra=backing_extra),
        None if filled_with == "none" else filling(width, height, kind=filled_with),
        edge,
        (*_customs(wide, seam, spare), *_unread(quilt), *awkward(cuts), *_scrappy(quilt, cuts)),
        chosen,
        made,
    )


def _edge(kind: str, width: Length, height: Length, fabric: Length, cut_width: Length | None) -> Binding | None:
    match kind:
        case "none":
            return None
        case "straight":
            return straight_binding(width, height, fabric, cut_width=cut_width)
        case "bias":
            return bias_binding(width, height, fabric, cut_width=cut_width)
    raise PlanError(f'a binding called "{kind}"', "it is straight, bias or none", "choose one of these")


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


def _unread(quilt: Quilt) -> list[str]:
    said = not_read_words(quilt)
    return [f"{said} Nothing is cut or bought for {'it' if len(quilt.not_read) == 1 else 'them'}."] if said else []


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
