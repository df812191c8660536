"""The fabrics of a plan laid out: what a draft takes, cut from the stash and from what is bought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from seamlore.fabric.shop import asked_for, bought
from seamlore.fabric.stash_text import read_stash
from seamlore.lengths import RULER_MARK, Length, Unit, centimeters, inches, on_mark, show
from seamlore.limits import percent
from seamlore.making.cutting import Cut
from seamlore.making.plan import Plan
from seamlore.making.strips import FabricNeed, joined_strips
from seamlore.packing.plan import QUICK
from seamlore.steps.cutting.laying import FabricCut, lay_fabric
from seamlore.steps.cutting.wanted import Piece, Wishes, wishes_for
from seamlore.steps.study.sections import Making
from seamlore.steps.words import few

# Borders and long sashing are cut longer than reckoned, and trimmed to the top as it is measured through its middle.
# Common practice, no source.
OVERLONG = {Unit.INCH: inches(2), Unit.CM: centimeters(5)}


def wishes_of(making: Making, unit: Unit) -> Wishes:
    """Read how cutting is wanted from what a study keeps.

    Examples
    --------
    >>> from seamlore.steps.study.sections import Making
    >>> wishes_of(Making(stash="Red: 2 fat quarters", shrinkage="3%"), Unit.INCH).stash.fabrics
    ('Red',)
    """
    return wishes_for(
        making.cutting, stash=read_stash(making.stash, unit=unit), shrinkage=percent(making.shrinkage) or 0
    )


@dataclass(frozen=True, slots=True)
class PlanCut:
    """How one fabric of a plan is cut.

    Parameters
    ----------
    need : FabricNeed
        What the plan asks of it.
    cut : FabricCut
    sources : tuple of tuple of Cut
        Of each piece of the layout, the lines of the cutting list that it serves; several where they are joined.
    notes : tuple of str
        What was added, what is joined.
    """

    need: FabricNeed
    cut: FabricCut
    sources: tuple[tuple[Cut, ...], ...]
    notes: tuple[str, ...]

    @property
    def buy_with_spare(self) -> str:
        """What to ask for with the spare that the plan offers."""
        if self.cut.layout is None:
            return "nothing"
        return asked_for(bought(self.cut.length + self.need.spare, shrinkage=self.cut.wishes.shrinkage))

    def numbers(self, source: Cut) -> list[int]:
        """Which numbered cuts of what is bought set this line of the cutting list free."""
        kinds = {kind for kind, served in enumerate(self.sources) if source in served}
        found: list[int] = []
        todo = list(self.cut.layout.cuts) if self.cut.layout else []
        while todo:
            cut = todo.pop(0)
            if cut.gives in kinds:
                found.append(cut.number)
            todo[:0] = cut.inside
        return found


def cut_plan(made: Plan, wishes: Wishes | None = None) -> tuple[PlanCut, ...]:
    """Lay out every fabric of a plan.

    Parameters
    ----------
    made : Plan
    wishes : Wishes, optional
        Looked for quickly, whatever they say: a draft has many like pieces.

    Returns
    -------
    tuple of PlanCut
        In the order of the plan's fabrics.

    Raises
    ------
    PlanError
        When a piece lies in no turn within the fabric.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.making.plan import plan
    >>> made = plan(repeated("q", find("shoo fly"), inches(9), inches(9), 8, 7))
    >>> [(each.cut.name, each.cut.buy) for each in cut_plan(made)]
    [('Fabric A', '3 1/8 yd'), ('Fabric B', '1 3/4 yd')]
    """
    wishes = replace(wishes or Wishes(), effort=QUICK)
    return tuple(_cut(need, made.seam, wishes) for need in made.fabrics)


def _cut(need: FabricNeed, seam: Length, wishes: Wishes) -> PlanCut:
    offer = wishes.stash.offer(need.fabric)
    width = offer.width.shown_in(need.width.unit) if offer and offer.width else need.width
    width = on_mark(width * (1 - wishes.shrinkage), "down", RULER_MARK[width.unit])
    wishes = replace(wishes, plain=need.length)
    long = [cut for cut in need.cuts if cut.size[0] > width]
    rest = [cut for cut in need.cuts if cut.size[0] <= width]
    if not long or not all(cut.size[1] <= width for cut in long):
        return _along(need, rest, long, width, wishes)
    # Long pieces run along the fabric, without joins and with less stretch, unless joined strips save fabric at the shop.
    joined = _joined(need, rest, long, width, seam, wishes)
    if _bought(joined) < _least_bought_along(long, width, wishes) and not wishes.stash.of(need.fabric):
        return joined
    return min(_along(need, rest, long, width, wishes), joined, key=_bought)


def _bought(way: PlanCut) -> Length:
    """What a shop cuts for it."""
    return way.cut.bought(way.cut.layout) if way.cut.layout else way.need.width * 0


def _least_bought_along(long: Sequence[Cut], width: Length, wishes: Wishes) -> Length:
    """What is bought at least for pieces that run along the fabric: as much as the longest of them."""
    return bought(max(_piece(cut, width).height for cut in long), shrinkage=wishes.shrinkage)


def _along(need: FabricNeed, rest: Sequence[Cut], long: Sequence[Cut], width: Length, wishes: Wishes) -> PlanCut:
    pieces = [_piece(cut, width) for cut in (*long, *rest)]
    longer = [piece for piece, cut in zip(pieces, (*long, *rest), strict=True) if piece.height > cut.size[0]]
    notes = []
    if longer:
        spare = show(OVERLONG[width.unit])
        notes.append(
            f"{few([each.name for each in longer])}: cut {spare} longer than reckoned; trim to the top as you measure it "
            "through its middle."
        )
    cut = lay_fabric(need.fabric, pieces, need.width, wishes)
    return PlanCut(need, cut, tuple((each,) for each in (*long, *rest)), tuple(notes))


def _piece(cut: Cut, width: Length) -> Piece:
    long, short = cut.size
    name = few(cut.labels)
    if long > width:
        return Piece(name, short, _longer(cut), cut.count, False)
    return Piece(name, short, min(_longer(cut), width) if _trimmed(cut) else long, cut.count, True)


def _trimmed(cut: Cut) -> bool:
    """Whether it is a straight strip that is trimmed to what it is sewn to."""
    return cut.shape == "rectangle" and any(label.startswith(("border", "strip")) for label in cut.labels)


def _longer(cut: Cut) -> Length:
    return cut.size[0] + OVERLONG[cut.size[0].unit] if cut.shape in ("rectangle", "square") else cut.size[0]


def _joined(
    need: FabricNeed, rest: Sequence[Cut], long: Sequence[Cut], width: Length, seam: Length, wishes: Wishes
) -> PlanCut:
    """Long pieces out of strips across the fabric, joined end to end."""
    pieces, sources, notes = [], [], []
    for depth in dict.fromkeys(cut.size[1] for cut in long):
        served = tuple(cut for cut in long if cut.size[1] == depth)
        run = sum((_longer(cut) * cut.count for cut in served), width * 0)
        count = joined_strips(run, width, seam)
        name = few([label for cut in served for label in cut.labels])
        pieces.append(Piece(f"{name}, to join", width, depth, count, False))
        sources.append(served)
        notes.append(
            f"{name}: join {count} strips of {show(depth)} end to end, then cut each {show(OVERLONG[width.unit])} longer than "
            "reckoned; trim to the top as you measure it through its middle."
        )
    pieces += [_piece(cut, width) for cut in rest]
    cut = lay_fabric(need.fabric, pieces, need.width, wishes)
    return PlanCut(need, cut, (*sources, *((each,) for each in rest)), tuple(notes))
