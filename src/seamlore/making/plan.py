"""The plan: everything that a draft takes, each number with how it is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from seamlore.draft.pieces import Piece, pieces, standing
from seamlore.draft.quilt import Quilt
from seamlore.errors import PlanError
from seamlore.fabric.stash import Print
from seamlore.lengths import SEAM_ALLOWANCE, Length, Unit, checked_seam, in_unit, inches
from seamlore.making.batches import Batch, batches, cuts_for
from seamlore.making.buying import checked_margin, checked_spare, checked_width
from seamlore.making.choosing import choose, cuts_counted
from seamlore.making.cutting import Cut, cutting_list
from seamlore.making.finish.backing import EXTRA, Backing, backing
from seamlore.making.finish.edges import Edge
from seamlore.making.finish.edges import edge as finish
from seamlore.making.finish.filling import Filling, filling
from seamlore.making.finish.holding import Holding, holding
from seamlore.making.methods import SINGLY, Choose, Methods, Piecing, checked_piecing
from seamlore.making.notes import notes
from seamlore.making.strips import FabricNeed, needs
from seamlore.making.units import units
from seamlore.making.upright import singly, upright_cuts

# Usable width without selvages: style books reckon with 42 in, careful quilters with 40; 107 cm is 42 in. Custom.
FABRIC_WIDTH = {Unit.INCH: inches(42), Unit.CM: in_unit(107, Unit.CM)}


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
    edge_finish : Edge or None
        None when the edge is left as it is.
    notes : tuple of str
        What is added or not, what is custom, what is awkward.
    methods : Methods
        How units are made.
    batches : tuple of Batch
        What is made several at a time.
    measures : tuple of Length
        Width and height when the edge is finished.
    holding : Holding
        Ties, or lines of quilting.
    cut_count : int
        How many cuts strips reckoned kind by kind take, one layer at a time: by this, methods are compared.
    pace : Fraction
        How long she takes beside the hours of `seamlore.hours`.
    piecing : {"machine", "hand", "papers"}
    price, batting_price : Fraction or None
        Of a yard or meter of fabric, and of the batting.
    turning : tuple of FabricNeed
        What fabrics that are printed one way would take if pieces could turn.
    set_aside : tuple of str
        Such fabrics of which units are made singly, though several at a time were asked for.
    margin : Length or None
        How much wider patches of blocks are cut on every side, for foundations.
    """

    quilt: Quilt
    finished: tuple[Length, Length]
    seam: Length
    fabric_width: Length
    cutting: tuple[Cut, ...]
    fabrics: tuple[FabricNeed, ...]
    backing: Backing
    filling: Filling | None
    edge_finish: Edge | None
    notes: tuple[str, ...]
    methods: Methods
    batches: tuple[Batch, ...]
    measures: tuple[Length, Length]
    holding: Holding
    cut_count: int
    pace: Fraction
    piecing: Piecing
    price: Fraction | None
    batting_price: Fraction | None
    turning: tuple[FabricNeed, ...] = ()
    set_aside: tuple[str, ...] = ()
    margin: Length | None = None


def plan(
    quilt: Quilt,
    *,
    fabric_width: Length | None = None,
    seam_allowance: Length | None = None,
    binding: str = "straight",
    binding_width: Length | None = None,
    backing_width: Length | None = None,
    backing_extra: Length | None = None,
    filled_with: str = "batting",
    spare: Length | None = None,
    methods: Methods = SINGLY,
    choose_by: Choose = "as said",
    edge_shows: Length | None = None,
    backing_repeat: Length | None = None,
    off_middle: bool = False,
    held_by: str = "quilting",
    gap: Length | None = None,
    pace: Fraction = Fraction(1),
    price: Fraction | None = None,
    batting_price: Fraction | None = None,
    piecing: str = "machine",
    prints: Sequence[Print] = (),
    foundation: Length | None = None,
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
    binding : str
        How the edge is finished: one of `edges.KINDS`.
    binding_width : Length, optional
        Cut width of binding or facing strips: 2 1/2 in or 6 cm when not given.
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
    edge_shows : Length, optional
        How much self-binding shows on the front: 1/2 in or 1.25 cm when not given.
    backing_repeat : Length, optional
        How long the pattern of the backing is until it comes again; nothing is matched when not given.
    off_middle : bool
        Keep the seams of the backing away from its middle.
    held_by : {"quilting", "ties"}
    gap : Length, optional
        How far apart at most, as the batting's label says; the usual without a label when not given.
    pace : Fraction
        How long she takes beside the hours of `seamlore.hours`.
    price, batting_price : Fraction, optional
        Of a yard or meter of fabric, and of the batting.
    piecing : {"machine", "hand", "papers"}
        How the top is sewn; what is made several at a time is made by machine.
    prints : sequence of Print
        How fabrics are printed: what must stand upright is cut as it stands in the quilt.
    foundation : Length, optional
        How much wider patches of pieced blocks are cut on every side, to be sewn on foundations one by one.

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
    binding: 6 strips 2 1/2 in wide across the fabric, joined at 45 degrees: 1/2 yd
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
    edge = finish(binding, width, height, wide, seam, cut_width=_in(binding_width, unit), shows=_in(edge_shows, unit))
    sewn = _turned_over(quilt, edge, seam)
    every, listed = units(sewn), pieces(sewn)
    margin = None if foundation is None else checked_margin(foundation).shown_in(unit)
    found = singly(every, prints) if margin is None else {}
    upright, done = upright_cuts(standing(sewn), listed, prints, seam, wide, margin) if prints else ((), frozenset())

    def reckoned(by: Methods) -> tuple[tuple[Batch, ...], tuple[FabricNeed, ...]]:
        made = batches(found, by, seam, wide)
        together, taken = cuts_for(made)
        cuts = cutting_list(
            listed, seam, wide, together=(*upright, *together), taken=taken, elsewhere=done, margin=margin
        )
        return made, needs(cuts, wide, seam, spare=more)

    def cost(by: Methods) -> tuple[Fraction | int, ...]:
        made, fabrics = reckoned(by)
        taken = sum((need.length.inches for need in fabrics), Fraction(0))
        cut = cuts_counted(fabrics, made)
        return (taken, cut) if choose_by == "least fabric" else (cut, taken)

    chosen = choose(found, choose_by, methods, cost)
    made, fabrics = reckoned(chosen)
    cuts = tuple(cut for need in fabrics for cut in need.cuts)
    as_wished = batches(every, chosen, seam, wide) if margin is None else ()
    turning, aside = _turning(listed, as_wished, prints, seam, wide, more, margin) if upright else ((), ())
    back_wide = wide if backing_width is None else checked_width(backing_width).shown_in(unit)
    beyond, allowance = _layers(edge, seam, unit, backing_extra)
    back = backing(width, height, back_wide, extra=beyond, repeat=_in(backing_repeat, unit), off_middle=off_middle)
    held = holding(width, height, held_by, gap=gap)
    return Plan(
        quilt,
        (width, height),
        seam,
        wide,
        cuts,
        fabrics,
        back,
        None if filled_with == "none" else filling(width, height, kind=filled_with, allowance=allowance),
        None if edge.kind == "none" else edge,
        notes(quilt, cuts, wide, seam, spare=spare, label=filled_with != "batting" or gap is not None),
        chosen,
        made,
        edge.measures,
        held,
        cuts_counted(fabrics, made),
        pace,
        checked_piecing(piecing),
        price,
        batting_price if filled_with == "batting" else None,
        turning,
        aside,
        margin,
    )


def _turning(
    listed: Sequence[Piece],
    wished: Sequence[Batch],
    prints: Sequence[Print],
    seam: Length,
    wide: Length,
    more: Length | None,
    margin: Length | None,
) -> tuple[tuple[FabricNeed, ...], tuple[str, ...]]:
    """What printed fabrics would take if pieces could turn; and of which of them units were to be made several at a time."""
    one_way = {each.fabric.casefold() for each in prints if each.one_way}
    together, taken = cuts_for(wished)
    cuts = cutting_list(listed, seam, wide, together=together, taken=taken, margin=margin)
    free = needs(cuts, wide, seam, spare=more)
    aside = {cut.fabric: None for batch in wished for cut in batch.cuts if cut.fabric.casefold() in one_way}
    return tuple(need for need in free if need.fabric.casefold() in one_way), tuple(aside)


def _in(given: Length | None, unit: Unit) -> Length | None:
    return None if given is None else given.shown_in(unit)


def _layers(edge: Edge, seam: Length, unit: Unit, extra: Length | None) -> tuple[Length | None, Length | None]:
    """How far backing stands out on each side, and how much larger than the top the filling is in all, where not as usual."""
    if edge.kind == "pillowcase":
        # All layers are cut as large as the raw top.
        return seam, seam * 2
    if edge.kind == "back to front":
        return max(EXTRA[unit] if extra is None else extra, seam + edge.wider), None
    return extra, None


def _turned_over(quilt: Quilt, edge: Edge, seam: Length) -> Quilt:
    """What is cut and sewn: where the top is turned to the back, its outermost border is that much wider."""
    if edge.kind != "front to back":
        return quilt
    last = quilt.borders[-1] if quilt.borders else None
    if last is None or any(side.pieced or not side.width for side in last.sides):
        raise PlanError(
            "an edge turned front to back",
            "it is turned from a plain border on all four sides, and this top ends in pieced blocks",
            "add a plain border, or choose another edge finish",
        )
    sides = tuple(replace(side, width=side.width + edge.wider - seam) for side in last.sides)
    return replace(quilt, borders=(*quilt.borders[:-1], last.with_sides(sides)))
