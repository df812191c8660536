"""The hours that a plan takes, work by work, as ranges with their basis, at her own pace."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from seamlore.fabric.shop import cost
from seamlore.hours import Hours, Work, hours
from seamlore.making.choosing import DIAGONALS
from seamlore.making.cutting import Cut
from seamlore.making.finish.costs import Cost, costs
from seamlore.making.plan import Plan
from seamlore.making.records import CostLine, TaskLine
from seamlore.packing.cuts import cuts_of, strokes
from seamlore.sewing.seams import seams_of, sewing_hours
from seamlore.steps.cutting.of_plan import PlanCut

_EDGES: dict[str, tuple[str, Work]] = {
    "straight": ("binding", "inch bound"),
    "bias": ("binding", "inch bound"),
    "back to front": ("folding the edge over and sewing it down", "inch folded over"),
    "front to back": ("folding the edge over and sewing it down", "inch folded over"),
    "facing": ("facing the edge", "inch faced"),
    "pillowcase": ("sewing the layers together and turning them", "inch turned"),
    "knife edge": ("turning both edges in and sewing them together", "inch of knife edge"),
}


@dataclass(frozen=True, slots=True)
class Task:
    """One kind of work in a quilt: how much of it there is, and how long it takes."""

    called: str
    amount: int
    unit: str
    hours: Hours

    def __str__(self) -> str:
        return f"{self.called}: {self.hours} ({self.amount:,} {self.unit}; {'; '.join(self.hours.known)})"


def fabrics_said(made: Plan) -> str:
    """Say how many fabrics a plan takes; places that are scrappy take many.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> from seamlore.making.plan import plan
    >>> both = "block Two\\nA {}\\nB {}\\n\\nA|B"
    >>> for values in (("light", "dark"), ("light", "dark scrappy"), ("light scrappy", "dark scrappy")):
    ...     print(fabrics_said(plan(repeated("q", read_block(both.format(*values)), inches(8), inches(8), 7, 6))))
    2 fabrics
    1 fabric and many for scrappy places
    many fabrics
    """
    scrappy = {made.quilt.fabric_of(letter) for letter, place in made.quilt.places.items() if place.scrappy}
    alone = sum(each.fabric not in scrappy for each in made.fabrics)
    if alone == len(made.fabrics):
        return f"{alone} fabric{'s' * (alone != 1)}"
    return f"{alone} fabric{'s' * (alone != 1)} and many for scrappy places" if alone else "many fabrics"


def tasks(made: Plan, cuts: Sequence[PlanCut] = ()) -> tuple[Task, ...]:
    """List the work of a plan from the first cut to the edge.

    Parameters
    ----------
    made : Plan
    cuts : sequence of PlanCut
        How its fabrics are laid out; strips reckoned kind by kind when not given.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.making.plan import plan
    >>> [task.called for task in tasks(plan(repeated("q", find("four patch"), inches(8), inches(8), 7, 6)))]
    ['cutting', 'sewing and pressing the top', 'sewing the backing', 'basting the layers', 'quilting by machine', 'binding']
    """
    return tuple(
        Task(called, round(amount), unit, took.at(made.pace))
        for called, amount, unit, took in _work(made, cuts)
        if amount
    )


def _work(made: Plan, cuts: Sequence[PlanCut]) -> Iterable[tuple[str, float, str, Hours]]:
    width, height = (side.inches_float for side in made.measures)
    area, round_it = width * height, 2 * (width + height)
    cut, layers = cuts_made(made, cuts), cuts[0].cut.wishes.layers if cuts else 1
    yield "cutting", cut, f"cuts, up to {layers} layers at once" if layers > 1 else "cuts", hours("cut", cut)
    pieces = sum(cut.needed for cut in made.cutting)
    seams = seams_of(made.quilt)
    yield "sewing and pressing the top", seams.count, "seams", sewing_hours(seams, pieces, made.piecing)
    if made.backing.panels > 1:
        yield "sewing the backing", area, "square inches", hours("square inch of backing", area)
    yield "basting the layers", area, "square inches", hours("square inch basted", area)
    if made.holding.kind == "ties":
        yield "tying", made.holding.count, "ties", hours("tie", made.holding.count)
    else:
        yield "quilting by machine", area, "square inches", hours("square inch quilted by machine", area)
    if made.edge_finish is not None:
        called, work = _EDGES[made.edge_finish.kind]
        yield called, round_it, "inches of edge", hours(work, round_it)


def in_all(done: Iterable[Task]) -> Hours:
    """Add the hours of all work up."""
    return sum((task.hours for task in done), Hours())


def cuts_made(made: Plan, cuts: Sequence[PlanCut] = ()) -> int:
    """Count how often the blade runs: every cut of the plan that is followed, diagonals and slants, what is cut while units are sewn.

    Parameters
    ----------
    made : Plan
    cuts : sequence of PlanCut
        Parts that lie alike are cut in as many layers as these say; with none, strips reckoned kind by kind, one by one.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.making.plan import plan
    >>> from seamlore.steps.cutting.of_plan import cut_plan
    >>> from seamlore.steps.cutting.wanted import Wishes
    >>> made = plan(repeated("q", find("four patch"), inches(8), inches(8), 7, 6))

    By hand: 84 squares of 4 1/2 in of each fabric take ten strips, nine from each and three from the last; in four layers
    three piles of strips, each cut nine times.

    >>> [cuts_made(made, cut_plan(made, Wishes(layers=layers))) for layers in (1, 4)]
    [188, 74]
    """
    if not cuts:
        return made.cut_count
    total = sum(batch.later for batch in made.batches)
    for each in cuts:
        layers = each.cut.wishes.layers
        for used in each.cut.used:
            total += strokes(cuts_of(used.strips, used.width), 1) * -(-used.times // layers)
        total += each.cut.layout.strokes(layers) if each.cut.layout else 0
        for kind, sources in enumerate(each.sources):
            if len(sources) > 1 or each.cut.pieces[kind].name.endswith(", to join"):
                # Joined strips are cut to their lengths, one by one.
                total += sum(source.count for source in sources)
            else:
                total += sum(_afterwards(source) * -(-source.count // layers) for source in sources)
    return total


def _afterwards(source: Cut) -> int:
    """How often one piece is cut once it lies there: on its diagonals, along the slants of a strip, round a template."""
    if source.nest is not None:
        return source.yields + 1
    if source.shape == "template":
        return len(source.shaped.outline)
    return 0 if source.batch else DIAGONALS.get(source.shape, 0)


def costs_of(made: Plan, cuts: Sequence[PlanCut] = ()) -> tuple[Cost, ...]:
    """Reckon what the materials cost at the prices that were given: nothing spare, and all that is offered."""
    bought = [(need.length, need.length + need.spare) for need in made.fabrics]
    own = []
    if cuts:
        buying = [(each, each.cut.layout) for each in cuts if each.cut.layout]
        bought = [(each.cut.bought(laid), each.bought_with_spare) for each, laid in buying if each.cut.price is None]
        own = [_own_cost(each) for each, _ in buying if each.cut.price is not None]
    edge = made.edge_finish.length if made.edge_finish else None
    bought += [(each, each) for each in (made.backing.length, edge) if each]
    return (*own, *costs(bought, made.price, made.batting_price))


def _own_cost(each: PlanCut) -> Cost:
    """What a fabric costs that has a price of its own in the stash."""
    most = cost(each.bought_with_spare, each.cut.wishes.stash.offer(each.cut.name))
    assert each.cut.price is not None
    assert most is not None
    said = f"{each.cut.buy} to {each.buy_with_spare}" if each.cut.price != most else each.cut.buy
    return Cost(each.cut.name, each.cut.price, most, f"{said} at its own price")


def cost_lines(made: Plan, cuts: Sequence[PlanCut] = ()) -> tuple[CostLine, ...]:
    """Give what the materials cost as the plan's record has it."""
    return tuple(
        CostLine(what=cost.called, cost=(round(float(cost.least), 2), round(float(cost.most), 2)), basis=cost.basis)
        for cost in costs_of(made, cuts)
    )


def lines(made: Plan, cuts: Sequence[PlanCut] = ()) -> tuple[TaskLine, ...]:
    """Give the work of a plan as its record has it."""
    return tuple(
        TaskLine(
            work=task.called,
            amount=task.amount,
            unit=task.unit,
            hours=(round(task.hours.least, 2), round(task.hours.most, 2)),
            basis="; ".join(task.hours.known),
        )
        for task in tasks(made, cuts)
    )
