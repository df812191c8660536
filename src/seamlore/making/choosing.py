"""Which methods take least fabric, or fewest cuts."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, fields
from fractions import Fraction

from seamlore.making.batches import Batch
from seamlore.making.methods import ABOUT, WAYS, Choose, Methods, checked_methods
from seamlore.making.strips import FabricNeed
from seamlore.making.units import Found, SewnUnit

# How often a square or rectangle is cut from corner to corner.
DIAGONALS = {"half-square triangle": 1, "half-rectangle triangle": 1, "quarter-square triangle": 2}


def choose(
    found: Mapping[SewnUnit, Found], by: Choose, start: Methods, cost: Callable[[Methods], tuple[Fraction | int, ...]]
) -> Methods:
    """Choose the methods that cost least, one kind of unit after the other.

    Parameters
    ----------
    found : mapping of SewnUnit to Found
    by : {"as said", "least fabric", "fewest cuts"}
    start : Methods
        What is taken where nothing costs less, and as it is when nothing is chosen.
    cost : callable
        What a whole cutting list by these methods costs: the first number decides, then the next.
    """
    best = start
    if by == "as said":
        return best
    kinds = {unit.kind for unit in found}
    for each in fields(Methods):
        if ABOUT[each.name] in kinds:
            ways = [checked_methods({**asdict(best), each.name: way}) for way in WAYS[each.name]]
            costs = [(*cost(way), way != best) for way in ways]
            best = ways[costs.index(min(costs))]
    return best


def cuts_counted(fabrics: Sequence[FabricNeed], made: Sequence[Batch]) -> int:
    """Count the cuts of a plan: strips, pieces off them, diagonals, and what is cut while units are sewn."""
    strips = sum(
        lay.times * (1 + sum(column.number * column.stacked for column in lay.columns))
        for need in fabrics
        for run in need.strips
        for lay in run.lays
    )
    diagonals = sum(cut.count * DIAGONALS.get(cut.shape, 0) for need in fabrics for cut in need.cuts)
    return strips + diagonals + sum(batch.later for batch in made)
