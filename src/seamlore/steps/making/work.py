"""The hours that a plan takes, work by work, as ranges with their basis, at her own pace."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from seamlore.hours import Hours, Work, hours
from seamlore.making.plan import Plan
from seamlore.making.records import TaskLine
from seamlore.sewing.batches import batches, sewing_hours
from seamlore.sewing.top import sewn_top

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


def tasks(made: Plan) -> tuple[Task, ...]:
    """List the work of a plan from the first cut to the edge.

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
        Task(called, round(amount), unit, took.at(made.pace)) for called, amount, unit, took in _work(made) if amount
    )


def _work(made: Plan) -> Iterable[tuple[str, float, str, Hours]]:
    width, height = (side.inches_float for side in made.measures)
    area, round_it = width * height, 2 * (width + height)
    top = sewn_top(made.quilt, made.piecing)
    gathered = batches(top, made.seam, made.fabric_width)
    yield "cutting", made.cut_count, "cuts", hours("cut", made.cut_count)
    pieces = sum(cut.needed for cut in made.cutting)
    seams = sum(batch.seams for batch in gathered)
    yield "sewing and pressing the top", seams, "seams", sewing_hours(gathered, pieces, made.piecing)
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


def lines(made: Plan) -> tuple[TaskLine, ...]:
    """Give the work of a plan as its record has it."""
    return tuple(
        TaskLine(
            work=task.called,
            amount=task.amount,
            unit=task.unit,
            hours=(round(task.hours.least, 2), round(task.hours.most, 2)),
            basis="; ".join(task.hours.known),
        )
        for task in tasks(made)
    )
