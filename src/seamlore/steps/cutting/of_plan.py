"""The fabrics of a plan laid out: what a draft takes, cut from the stash and from what is bought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from seamlore.fabric.shop import asked_for, bought
from seamlore.lengths import RULER_MARK, Length, Unit, centimeters, inches, on_mark, show
from seamlore.limits import percent, whole_number
from seamlore.making.cutting import Cut
from seamlore.making.plan import Plan
from seamlore.making.strips import FabricNeed, joined_strips
from seamlore.packing.cuts import LAYERS
from seamlore.packing.plan import QUICK, SHARE
from seamlore.steps.cutting.laying import FabricCut, lay_fabric
from seamlore.steps.cutting.prints import checked_prints, repeat_of, said_of_prints
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
    from seamlore.fabric.stash_text import read_stash  # a stash may be given as it is

    share = percent(making.extra) if making.extra else None
    return wishes_for(
        making.cutting,
        stash=read_stash(making.stash, unit=unit),
        share=SHARE if share is None else share,
        shrinkage=percent(making.shrinkage) or 0,
        layers=(whole_number(making.layers) or 0) if making.layers else LAYERS,
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
        What was added, what is joined, how prints stand.
    joined : int
        So many pieces of the layout, the first ones, are strips that are joined.
    """

    need: FabricNeed
    cut: FabricCut
    sources: tuple[tuple[Cut, ...], ...]
    notes: tuple[str, ...]
    joined: int = 0

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
    best = _best(need, made, wishes)
    free = next((each for each in made.turning if each.fabric == need.fabric), None)
    if free is None:
        return best
    turning = _best(free, made, replace(wishes, stash=replace(wishes.stash, prints=())))
    said = said_of_prints(need, made, wishes.stash, best.cut.buy, turning.cut.buy)
    return replace(best, notes=(*best.notes, *said))


def _best(need: FabricNeed, made: Plan, wishes: Wishes) -> PlanCut:
    offer = wishes.stash.offer(need.fabric)
    width = offer.width.shown_in(need.width.unit) if offer and offer.width else need.width
    width = on_mark(width * (1 - wishes.shrinkage), "down", RULER_MARK[width.unit])
    wishes = replace(wishes, plain=need.length)
    found = [(cut, repeat_of(cut, wishes.stash)) for cut in need.cuts]
    long = [each for each in found if each[0].size[0] > width]
    rest = [each for each in found if each[0].size[0] <= width]
    # What lies across a print that runs one way cannot run along the fabric.
    across = [each for each in long if each[0].lies == "across"]
    along = [each for each in long if each[0].lies != "across"]
    return _shorter(need, rest, along, across, width, made.seam, wishes)


# A line of the cutting list, and how far apart the motifs stand that it is cut around.
_Lines = Sequence[tuple[Cut, tuple[Length, Length] | None]]


def _shorter(
    need: FabricNeed, rest: _Lines, along: _Lines, across: _Lines, width: Length, seam: Length, wishes: Wishes
) -> PlanCut:
    """Long pieces run along the fabric, without joins and with less stretch, unless joined strips save fabric at the shop."""
    free = [(cut, repeat) for cut, repeat in along if not cut.lies and not repeat]
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
    need: FabricNeed, rest: _Lines, along: _Lines, across: _Lines, width: Length, seam: Length, wishes: Wishes
) -> PlanCut:
    """Lay a fabric out, its long pieces along it or out of strips across it that are joined end to end."""
    pieces, sources, notes = [], [], []
    for depth in dict.fromkeys(cut.size[1] for cut, _ in across):
        served = [cut for cut, _ in across if cut.size[1] == depth]
        run = sum((_longer(cut) * cut.count for cut in served), width * 0)
        count = joined_strips(run, width, seam)
        name = few([label for cut in served for label in cut.labels])
        pieces.append(Piece(f"{name}, to join", width, depth, count, False))
        sources.append(tuple(served))
        notes.append(
            f"{name}: join {count} strips of {show(depth)} end to end, then cut each {show(OVERLONG[width.unit])} longer than "
            f"reckoned; {_trim_words(served)}."
        )
    longer: dict[tuple[Length, str], list[str]] = {}
    joined = len(pieces)
    for cut, repeat in (*along, *rest):
        piece = _piece(cut, repeat, width)
        pieces.append(piece)
        sources.append((cut,))
        # Across the fabric no more than its width can be cut.
        spare = max(piece.width, piece.height) - cut.size[0]
        if spare:
            longer.setdefault((spare, _trim_words((cut,))), []).append(piece.name)
    for (spare, trim), names in longer.items():
        notes.append(f"{few(names)}: cut {show(spare)} longer than reckoned; {trim}.")
    cut_so = lay_fabric(need.fabric, pieces, need.width, wishes)
    return PlanCut(need, cut_so, tuple(sources), tuple(notes), joined)


def _trim_words(cuts: Sequence[Cut]) -> str:
    """How strips that are cut longer than reckoned are trimmed: those of a mitered border once their corners are sewn."""
    mitered = [any("mitered" in label for label in cut.labels) for cut in cuts]
    how = [] if all(mitered) else ["trim to the top as you measure it through its middle"]
    how += ["trim what is mitered once its corners are sewn"] if any(mitered) else []
    return "; ".join(how)


def _piece(cut: Cut, repeat: tuple[Length, Length] | None, width: Length) -> Piece:
    long, short = cut.size
    name = few(cut.labels)
    if long > width:
        return Piece(name, short, _longer(cut), cut.count, False, repeat)
    side = _longer(cut) if _trimmed(cut) else long
    if not cut.lies:
        # Squares of one size that are cut from corner to corner either way are told apart by how.
        told = (
            f"{name} {cut.shaped.diagonal}" if cut.shape == "half-square triangle" and cut.shaped.diagonal else name
        )
        return Piece(told, short, min(side, width), cut.count, True, repeat)
    # So are two lines of one piece, by how they lie; a print that runs one way is longer only along the fabric.
    told = f"{name}, {'across' if cut.lies == 'across' else 'upright'}" if cut.lies != "leaning" else name
    runs_along = cut.lies != "across"
    if cut.nest is not None and cut.nest.depth == long:
        # Of a strip of templates it is the strip that lies so, though it is wider than long.
        runs_along = not runs_along
    if runs_along:
        return Piece(told, short, side, cut.count, False, repeat)
    return Piece(told, min(side, width), short, cut.count, False, repeat)


def _trimmed(cut: Cut) -> bool:
    """Whether it is a straight strip that is trimmed to what it is sewn to."""
    return cut.shape == "rectangle" and any(label.startswith(("border", "strip")) for label in cut.labels)


def _longer(cut: Cut) -> Length:
    return cut.size[0] + OVERLONG[cut.size[0].unit] if cut.shape in ("rectangle", "square") else cut.size[0]
