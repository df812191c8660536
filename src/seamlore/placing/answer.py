"""From a problem of placing fabrics to an answer: placed, with what is proved about it, or why it cannot be."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from seamlore.placing.apart import most_apart
from seamlore.placing.bound import pair_bound, shared_bound
from seamlore.placing.fit import faultless, fitted, least_shared
from seamlore.placing.problem import Placed, Problem, judge
from seamlore.placing.search import search
from seamlore.placing.why import Reason, why_not

# A first look is short; only what a bound shows to be worth it is searched for longer.
_FIRST_STEPS = 500
_STEPS = 5_000


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What came of a problem.

    Parameters
    ----------
    placed : Placed or None
        The best placing found.
    most : int
        How often a fabric was let into one block; as seldom as was found possible.
    bound : int
        No placing that lets a fabric into a block `most` times, keeps to the cloth there is, and has no touching
        patches of one fabric, has neighboring blocks share less.
    reason : Reason or None
        Why there is no placing without fault, when that was proved.
    """

    placed: Placed | None
    most: int
    bound: int
    reason: Reason | None


def place(problem: Problem, *, highest: int | None = None) -> Answer:
    """Place fabrics: no two that touch alike, none too often in a block, neighbors sharing as little as possible.

    Parameters
    ----------
    problem : Problem
        What to place; its `most` is tried first.
    highest : int, optional
        How often a fabric may come in a block at worst; as often as a block has patches when not given.

    Returns
    -------
    Answer
        The same for the same problem.

    Examples
    --------
    >>> def row(amount):
    ...     return Problem(np.ones(3), np.ones(3, int), np.arange(3), np.array([[0, 1], [1, 2]]),
    ...                    np.array([[0, 1], [1, 2]]), np.full(2, np.inf), np.full(2, amount))
    >>> answer = place(row(2.0))
    >>> answer.placed.shared, answer.bound, answer.placed.fabric[0] == answer.placed.fabric[2]
    (0, 0, np.True_)
    >>> place(row(1.0)).reason.patches.tolist()
    [0, 1, 2]
    """
    largest = int(np.bincount(problem.block, minlength=1).max()) if len(problem.block) else 1
    top = max(min(highest or largest, largest), problem.most)
    answer = _at_most(problem)
    if answer.reason and top > problem.most:
        # What cannot be done even with the most repeats need not be tried with fewer.
        loosest = replace(problem, most=top)
        reason = shortage(loosest) or crowding(loosest) or why_not(loosest)
        if reason:
            return Answer(answer.placed, top, 0, _closer(loosest, reason))
    for most in range(problem.most + 1, top + 1):
        if answer.reason is None and answer.placed and answer.placed.touching + answer.placed.excess == 0:
            break
        answer = _at_most(replace(problem, most=most))
    if answer.reason:
        return replace(answer, reason=_closer(replace(problem, most=answer.most), answer.reason))
    return answer


def _closer(problem: Problem, reason: Reason) -> Reason:
    """Plain sums name more patches than it takes when what a block may hold is part of the matter."""
    if reason.kind == "apart":
        return reason
    other = why_not(problem)
    return other if other and len(other.patches) < len(reason.patches) else reason


def _at_most(problem: Problem) -> Answer:
    short = shortage(problem) or crowding(problem)
    if short:
        return Answer(None, problem.most, 0, short)
    bound = pair_bound(problem)
    placed = search(problem, target=bound, steps=_FIRST_STEPS)
    if placed is None:
        start = fitted(problem)
        if start is None:
            everyone, fabrics = np.arange(len(problem.size)), np.arange(len(problem.cloth))
            return Answer(None, problem.most, bound, why_not(problem) or Reason("amount", everyone, fabrics, fabrics))
        placed = search(problem, target=bound, steps=_FIRST_STEPS, start=start)
    if placed and placed.cost <= bound:
        return Answer(placed, problem.most, bound, None)
    assert placed is not None
    if placed.touching + placed.excess:
        reason = why_not(problem)
        if reason:
            return Answer(placed, problem.most, bound, reason)
        start = faultless(problem)
        placed = placed if start is None else search(problem, target=bound, steps=_FIRST_STEPS, start=start)
        assert placed is not None
    bound = max(bound, shared_bound(problem))
    if placed.cost > bound:
        further = search(problem, target=bound, steps=_STEPS, start=placed.fabric)
        placed = further if further and further.cost < placed.cost else placed
    if placed.cost > bound:
        best = least_shared(problem)
        placed = placed if best is None else min(judge(problem, best), placed, key=lambda each: each.cost)
    return Answer(placed, problem.most, bound, None)


def shortage(problem: Problem) -> Reason | None:
    """Tell whether all fabrics together are too little, by plain sums; the patches named are as few as can be.

    Examples
    --------
    Five patches, two fabrics of two pieces each:

    >>> none = np.zeros((0, 2), int)
    >>> few = Problem(np.ones(5), np.ones(5, int), np.arange(5), none, none, np.full(2, np.inf), np.full(2, 2.0))
    >>> len(shortage(few).patches)
    5
    >>> shortage(replace(few, number=np.full(2, 3.0))) is None
    True
    """
    blocks = len(np.unique(problem.block))
    once = blocks * problem.most if (problem.pieces == 1).all() else np.inf
    give = np.minimum(problem.number, once)
    everything = np.arange(len(problem.cloth))
    for used, there, limited in (
        (problem.pieces.astype(float), give, problem.number <= give),
        (problem.size, problem.cloth, np.isfinite(problem.cloth)),
    ):
        if used.sum() > there.sum() + 1e-9:
            # The largest first, so that the fewest patches already ask for too much.
            order = np.lexsort((np.arange(len(used)), -used))
            enough = int(np.searchsorted(np.cumsum(used[order]), there.sum() + 1e-9, side="right")) + 1
            return Reason("amount", np.sort(order[:enough]), everything, np.flatnonzero(limited))
    return None


def crowding(problem: Problem) -> Reason | None:
    """Tell whether fabrics are enough by number, but not when no two patches of one fabric may touch.

    Examples
    --------
    A row of four patches; three of the first fabric would have to touch:

    >>> none, ones = np.zeros((0, 2), int), np.ones(4)
    >>> row = Problem(ones, np.ones(4, int), np.zeros(4, int), np.array([[0, 1], [1, 2], [2, 3]]), none,
    ...               np.full(2, np.inf), np.array([3.0, 1.0]), 4)
    >>> crowding(row).most
    2
    >>> crowding(replace(row, number=np.array([2.0, 2.0]))) is None
    True
    """
    # Of one fabric any pair that touches says it better.
    if (problem.pieces != 1).any() or not len(problem.size) or len(problem.cloth) < 2:
        return None
    count = len(problem.size)
    apart = most_apart(count, problem.touching)
    by_cloth = np.floor(problem.cloth / problem.size.min() + 1e-9)
    there = np.minimum(problem.number, by_cloth)
    if np.minimum(there, apart).sum() >= count:
        return None
    everyone, fabrics = np.arange(count), np.arange(len(there))
    return Reason("apart", everyone, fabrics, np.flatnonzero(there < apart), apart)
