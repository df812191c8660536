"""The fabrics of a plan laid out: what a draft takes, cut from the stash and from what is bought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from seamlore.fabric.shop import asked_for, bought
from seamlore.fabric.stash_text import read_stash
from seamlore.lengths import RULER_MARK, Length, Unit, centimeters, inches, on_mark, show
from seamlore.limits import percent
from seamlore.making.cutting import Cut
from seamlore.making.plan import Plan
from seamlore.making.strips import FabricNeed, joined_strips
from seamlore.packing.plan import QUICK
from seamlore.steps.cutting.laying import FabricCut, lay_fabric
from seamlore.steps.cutting.prints import Lot, checked_prints, lots, said_of_prints
from seamlore.steps.cutting.wanted import Piece, Wishes, wishes_for
from seamlore.steps.words import few

if TYPE_CHECKING:
    # What a study keeps is not needed to lay fabrics out.
    from seamlore.steps.study.sections import Making

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
        return "nothing" if self.cut.layout is None else asked_for(self.bought_with_spare)

    @property
    def bought_with_spare(self) -> Length:
        """The length that a shop cuts for the plan and the spare."""
        return bought(self.cut.length + self.need.spare, shrinkage=self.cut.wishes.shrinkage)

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
    checked_prints({need.fabric: need.cuts for need in made.fabrics}, wishes.stash)
    return tuple(_cut(need, made, wishes) for need in made.fabrics)


def _cut(need: FabricNeed, made: Plan, wishes: Wishes) -> PlanCut:
    offer = wishes.stash.offer(need.fabric)
    width = offer.width.shown_in(need.width.unit) if offer and offer.width else need.width
    width = on_mark(width * (1 - wishes.shrinkage), "down", RULER_MARK[width.unit])
    wishes = replace(wishes, plain=need.length)
    found = [(cut, lot) for cut in need.cuts for lot in lots(cut, made.quilt, wishes.stash)]
    long = [each for each in found if each[0].size[0] > width]
    rest = [each for each in found if each[0].size[0] <= width]
    # What lies across a print that runs one way cannot run along the fabric.
    across = [each for each in long if each[1].upright is False]
    along = [each for each in long if each[1].upright is not False]
    best = _shorter(need, rest, along, across, width, made.seam, wishes)
    said = said_of_prints(need.cuts, wishes.stash)
    return replace(best, notes=(*best.notes, said)) if said else best


# A line of the cutting list, and what of it is laid alike.
_Lots = Sequence[tuple[Cut, Lot]]


def _shorter(
    need: FabricNeed, rest: _Lots, along: _Lots, across: _Lots, width: Length, seam: Length, wishes: Wishes
) -> PlanCut:
    """Long pieces run along the fabric, without joins and with less stretch, unless joined strips save fabric at the shop."""
    free = [each for each in along if each[1].upright is None and not each[1].repeat]
    if not free or not all(cut.size[1] <= width for cut, _ in free):
        return _laid(need, rest, along, across, width, seam, wishes)
    kept = [each for each in along if each not in free]
    joined = _laid(need, rest, kept, [*across, *free], width, seam, wishes)
    # What runs along the fabric takes as much as the longest of it.
    least = bought(max(_longer(cut) for cut, _ in free), shrinkage=wishes.shrinkage)
    if _bought(joined) < least and not wishes.stash.of(need.fabric):
        return joined
    return min(_laid(need, rest, along, across, width, seam, wishes), joined, key=_bought)


def _bought(way: PlanCut) -> Length:
    """What a shop cuts for it."""
    return way.cut.bought(way.cut.layout) if way.cut.layout else way.need.width * 0


def _laid(
    need: FabricNeed, rest: _Lots, along: _Lots, across: _Lots, width: Length, seam: Length, wishes: Wishes
) -> PlanCut:
    """Lay a fabric out, its long pieces along it or out of strips across it that are joined end to end."""
    pieces, sources, notes = [], [], []
    for depth in dict.fromkeys(cut.size[1] for cut, _ in across):
        served = [(cut, lot) for cut, lot in across if cut.size[1] == depth]
        run = sum((_longer(cut) * lot.count for cut, lot in served), width * 0)
        count = joined_strips(run, width, seam)
        name = few([label for _, lot in served for label in lot.labels])
        pieces.append(Piece(f"{name}, to join", width, depth, count, False))
        sources.append(tuple(cut for cut, _ in served))
        notes.append(
            f"{name}: join {count} strips of {show(depth)} end to end, then cut each {show(OVERLONG[width.unit])} longer than "
            "reckoned; trim to the top as you measure it through its middle."
        )
    longer = []
    for cut, lot in (*along, *rest):
        piece = _piece(cut, lot, width)
        pieces.append(piece)
        sources.append((cut,))
        longer += [piece.name] if max(piece.width, piece.height) > cut.size[0] else []
    if longer:
        spare = show(OVERLONG[width.unit])
        notes.append(
            f"{few(longer)}: cut {spare} longer than reckoned; trim to the top as you measure it through its middle."
        )
    cut_so = lay_fabric(need.fabric, pieces, need.width, wishes)
    return PlanCut(need, cut_so, tuple(sources), tuple(notes))


def _piece(cut: Cut, lot: Lot, width: Length) -> Piece:
    long, short = cut.size
    if long > width:
        return Piece(lot.name, short, _longer(cut), lot.count, False, lot.repeat)
    side = _longer(cut) if _trimmed(cut) else long
    # Two lots of one line are told apart by how they lie; a print that runs one way is longer only along the fabric.
    told = (
        f"{lot.name}, {'upright' if lot.upright else 'across'}"
        if lot.upright is not None and _oblong(cut)
        else lot.name
    )
    if lot.upright is False:
        return Piece(told, min(side, width), short, lot.count, False, lot.repeat)
    return Piece(told, short, side if lot.upright else min(side, width), lot.count, lot.upright is None, lot.repeat)


def _oblong(cut: Cut) -> bool:
    return cut.shape == "rectangle" and cut.size[0] != cut.size[1]


def _trimmed(cut: Cut) -> bool:
    """Whether it is a straight strip that is trimmed to what it is sewn to."""
    return cut.shape == "rectangle" and any(label.startswith(("border", "strip")) for label in cut.labels)


def _longer(cut: Cut) -> Length:
    return cut.size[0] + OVERLONG[cut.size[0].unit] if cut.shape in ("rectangle", "square") else cut.size[0]
