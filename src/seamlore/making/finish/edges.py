"""Edge finishes: what each takes, how much wider the layers are cut for it, and how large the quilt then measures."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, get_args

from seamlore.errors import PlanError
from seamlore.fabric.shop import to_buy
from seamlore.lengths import Length, Unit, in_unit, inches, show, show_seam
from seamlore.making.finish.binding import Binding, bias_binding, straight_binding
from seamlore.making.strips import joined_strips

Kind = Literal["straight", "bias", "back to front", "front to back", "facing", "pillowcase", "knife edge", "none"]
KINDS: tuple[Kind, ...] = get_args(Kind)
# Common practice without a source: self-binding shows 1/2 in (1.25 cm); a facing is cut 2 1/2 in (6 cm) wide; layers that are
# turned are left open for 12 in (30 cm).
SHOWS = {Unit.INCH: inches(Fraction(1, 2)), Unit.CM: in_unit(Fraction(5, 4), Unit.CM)}
FACING = {Unit.INCH: inches(Fraction(5, 2)), Unit.CM: in_unit(6, Unit.CM)}
OPENING = {Unit.INCH: inches(12), Unit.CM: in_unit(30, Unit.CM)}

# No edge is folded wider (common practice, no source).
_WIDEST = {Unit.INCH: inches(3), Unit.CM: in_unit(8, Unit.CM)}


@dataclass(frozen=True, slots=True)
class Edge:
    """How the edge is finished.

    Parameters
    ----------
    kind : str
    measures : tuple of Length
        Width and height of the quilt when it is done: for what is folded round the raw edge a seam allowance more on every
        side than the pieced top, for what is turned at the seam as large as that.
    shows : Length
        How much of the finish shows on the front; 0 where none does.
    wider : Length
        How far the layer that is turned over reaches beyond the raw edge of the top (back to front), or beyond the finished
        edge of the pieced top (front to back), on every side; 0 for the others.
    binding : Binding, optional
        Strips of a binding.
    cut_width : Length
        Of facing strips; 0 for the others.
    strips : int
        How many facing strips across the fabric.
    length : Length
        How much fabric binding or facing take.
    buy : str
        What to ask for in a shop; empty where nothing is bought.
    """

    kind: Kind
    measures: tuple[Length, Length]
    shows: Length
    wider: Length
    binding: Binding | None
    cut_width: Length
    strips: int
    length: Length
    buy: str

    def __str__(self) -> str:
        match self.kind:
            case "straight" | "bias":
                return f"binding: {self.binding}"
            case "back to front":
                return f"back to front: trim the backing {show(self.wider)} beyond the top on every side"
            case "front to back":
                return f"front to back: the top reaches {show(self.wider)} beyond its finished edge on every side"
            case "facing":
                return f"facing: {self.strips} strips {show(self.cut_width)} wide across the fabric, joined end to end: {self.buy}"
            case "pillowcase":
                return "pillowcase: layers cut as large as the top, sewn right sides together and turned"
            case "knife edge":
                return "knife edge: top and backing turned in and sewn together"
            case "none":
                return "left as it is"


def edge(
    kind: str,
    width: Length,
    height: Length,
    fabric_width: Length,
    seam: Length,
    *,
    cut_width: Length | None = None,
    shows: Length | None = None,
) -> Edge:
    """Plan an edge finish.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    width, height : Length
        Finished size of the pieced top.
    fabric_width : Length
        Usable width of the fabric of binding or facing.
    seam : Length
        Seam allowance of the top, which its raw edge still has.
    cut_width : Length, optional
        Of binding or facing strips; the usual when not given.
    shows : Length, optional
        How much self-binding shows on the front; 1/2 in (1.25 cm) when not given.

    Raises
    ------
    PlanError
        When there is no such finish, or its width is no width.

    Examples
    --------
    >>> made = edge("back to front", inches(60), inches(72), inches(42), inches("1/4"))
    >>> print(made, made.measures)
    back to front: trim the backing 1 in beyond the top on every side (Length('60 1/2 in'), Length('72 1/2 in'))
    >>> print(edge("facing", inches(60), inches(72), inches(42), inches("1/4")))
    facing: 7 strips 2 1/2 in wide across the fabric, joined end to end: 1/2 yd
    """
    known = next((each for each in KINDS if each == kind), None)
    if known is None:
        raise PlanError(f'an edge finish "{kind}"', f"it is {', '.join(KINDS)}", "choose one of these")
    none = in_unit(0, seam.unit)
    fold = SHOWS[seam.unit] if shows is None else checked_shows(shows)
    wrapped = known in ("straight", "bias", "back to front", "front to back")
    grown = seam * 2 if wrapped and known != "front to back" else none
    measures = (width + grown, height + grown)
    match known:
        case "straight" | "bias":
            made = (straight_binding if known == "straight" else bias_binding)(
                width, height, fabric_width, cut_width=cut_width
            )
            return Edge(known, measures, none, none, made, made.cut_width, made.strips, made.length, made.buy)
        case "back to front" | "front to back":
            # Folded twice: once to the raw edge, once more over it, so that no raw edge is left.
            return Edge(known, measures, fold, fold * 2, None, none, 0, none, "")
        case "facing":
            wide = FACING[seam.unit] if cut_width is None else cut_width
            if wide <= seam * 2:
                raise PlanError(
                    f"facing strips {show(wide)} wide",
                    f"they are cut wider than their two seams, {show_seam(seam * 2)}",
                    "give the cut width of one strip",
                )
            # One along each side, as long as the raw edge.
            run = (width + height + seam * 4) * 2
            strips = joined_strips(run, fabric_width, seam)
            return Edge(known, measures, none, none, None, wide, strips, wide * strips, to_buy(wide * strips))
    return Edge(known, measures, none, none, None, none, 0, none, "")


def checked_shows(shows: Length) -> Length:
    """Give how much of a folded edge shows back, or refuse what no edge shows.

    Examples
    --------
    >>> checked_shows(inches(0))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: an edge that is folded over and shows 0 in: it is more than 0 and at most 3 in; say how ...
    """
    widest = _WIDEST[shows.unit]
    if not 0 < shows.inches <= widest.inches:
        raise PlanError(
            f"an edge that is folded over and shows {show(shows)}",
            f"it is more than 0 and at most {show(widest)}",
            "say how much of it shows on the front",
        )
    return shows
