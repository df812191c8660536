"""Exact inference: the probability of every year for every part, given evidence and order.

Every part's year is uniform over all joint years of the horizon that the order allows. Sweeping the years once
forward and once back over the sets that the order closes adds up every joint assignment exactly, without ever
listing one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.evidence import Evidence, likelihood
from seamlore.chronology.order import Before, check_order, closed_sets, components
from seamlore.errors import DateError, nearest

Floats = NDArray[np.float64]
MOST_PARTS = 12


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """Parts, years, what each part's evidence says of each year, and the order.

    Parameters
    ----------
    parts : tuple of str
        Names.
    years : ndarray of int, shape (n,)
        The horizon, one year apart.
    weights : ndarray, shape (parts, n)
        Product of the likelihoods of each part's evidence, its largest value 1.
    order : tuple of Before
        Checked.
    """

    parts: tuple[str, ...]
    years: NDArray[np.int64]
    weights: Floats
    order: tuple[Before, ...]

    @property
    def pairs(self) -> list[tuple[int, int]]:
        """The order as indices of parts."""
        return [(self.parts.index(before.earlier), self.parts.index(before.later)) for before in self.order]


@dataclass(frozen=True, slots=True, eq=False)
class Dates:
    """What is known of the year of every part.

    Parameters
    ----------
    problem : Problem
        What was asked.
    p : ndarray, shape (parts, n)
        Probability of each year for each part; every row adds up to 1.
    evidence_log : float
        Natural logarithm of the probability of the evidence under the order, up to a constant of the problem.
    """

    problem: Problem
    p: Floats
    evidence_log: float

    def of(self, part: str) -> Floats:
        """Probability of each year for one part, shape (n,)."""
        return np.asarray(self.p[self.problem.parts.index(part)])

    def year(self, part: str, share: float) -> int:
        """Give the first year at which the cumulated probability reaches `share`."""
        return quantile(self.problem.years, self.of(part), share)


def quantile(years: NDArray[np.int64], p: Floats, share: float) -> int:
    """Give the first year at which the cumulated probability reaches a share.

    Examples
    --------
    >>> quantile(np.array([1900, 1901]), np.array([0.5, 0.5]), 0.5)
    1900
    """
    # A hair of slack, so that sums of many small floats reach what they add up to.
    return int(years[min(int(np.searchsorted(np.cumsum(p), share - 1e-12)), len(years) - 1)])


def pose(
    horizon: tuple[int, int], evidence: Sequence[Evidence], order: Sequence[Before], *, parts: Sequence[str] = ()
) -> Problem:
    """Put evidence and order together and check them.

    Parameters
    ----------
    horizon : (int, int)
        First and last year that come into question.
    evidence : sequence of Evidence
        In any order.
    order : sequence of Before
        May name parts without evidence only if those are in `parts` or in another order.
    parts : sequence of str
        The parts asked for; when empty, all that evidence or order name.

    Returns
    -------
    Problem

    Raises
    ------
    DateError
        For a horizon that ends before it starts, more than twelve parts tied together, an unknown part, a circle.
    """
    first, last = horizon
    if last < first:
        raise DateError(f"horizon {first}/{last}", "it ends before it starts", "write the earlier year first")
    names = tuple(parts) or tuple(
        dict.fromkeys(
            [each.part for each in evidence] + [name for each in order for name in (each.earlier, each.later)]
        )
    )
    if not names:
        raise DateError("no parts", "at least one part is dated", "add evidence on a part, or an order")
    check_order(names, order)
    years = np.arange(first, last + 1)
    weights = np.ones((len(names), len(years)))
    for each in evidence:
        if each.part not in names:
            raise DateError(
                f'a part named "{each.part}"',
                "it is not among the parts",
                nearest(each.part, names),
                where=each.where,
            )
        row = names.index(each.part)
        weights[row] *= likelihood(each, years)
        # Kept near 1, since the product of many small likelihoods would run out of floats.
        top = weights[row].max()
        if top == 0:
            raise DateError(
                f'"{each.says}" on {each.part}',
                "with trust 1 it leaves no year that the other evidence of trust 1 allows",
                "lower the trust of one of them: one must be wrong",
                where=each.where,
            )
        weights[row] /= top
    problem = Problem(names, years, weights, tuple(order))
    for group in components(len(names), problem.pairs):
        if len(group) > MOST_PARTS:
            raise DateError(
                f"{len(group)} parts tied together by the order",
                f"at most {MOST_PARTS}",
                "date some of them by themselves",
            )
    return problem


def infer(problem: Problem) -> Dates:
    """Give the exact probability of every year for every part.

    Parameters
    ----------
    problem : Problem
        From `pose`.

    Returns
    -------
    Dates

    Raises
    ------
    DateError
        When evidence of trust 1 and the order cannot all be true.

    Examples
    --------
    >>> dates = infer(pose((1900, 1901), [], [Before("top", "finish")]))
    >>> dates.of("top").round(6).tolist()  # of the three allowed pairs, two have the top in 1900
    [0.666667, 0.333333]
    >>> infer(pose((1900, 1901), [], [], parts=["top"])).of("top").tolist()
    [0.5, 0.5]
    """
    p = np.empty_like(problem.weights)
    total_log = 0.0
    for group in components(len(problem.parts), problem.pairs):
        inside = [
            (before, group.index(one), group.index(two))
            for before, (one, two) in zip(problem.order, problem.pairs, strict=True)
            if one in group
        ]
        weights = problem.weights[group]
        if any(before.kept for before, _, _ in inside):
            from seamlore.chronology.kept import tree_marginals  # kept.py needs this module's types

            rows, total = tree_marginals(weights, inside)
        else:
            rows, total = _sweep(weights, [(one, two) for _, one, two in inside])
        if not total > 0:
            names = ", ".join(problem.parts[index] for index in group)
            raise DateError(
                f"the evidence of trust 1 on {names}",
                "it cannot all be true in this order",
                "lower the trust of one piece, or correct the order",
            )
        p[group] = rows
        total_log += float(np.log(total))
    return Dates(problem, p, total_log)


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """How closed sets grow: for each part, from which sets (rows) to which.

    Parts stand in `turn` so that an earlier part is always added first: within a year every growth of a set then
    has exactly one way to happen.
    """

    sets: tuple[int, ...]
    turn: tuple[int, ...]
    before: tuple[NDArray[np.int64], ...]
    after: tuple[NDArray[np.int64], ...]

    @property
    def count(self) -> int:
        """How many closed sets there are."""
        return len(self.sets)


def steps_of(count: int, pairs: Sequence[tuple[int, int]]) -> Steps:
    """Prepare the growth of closed sets for `count` parts under an order of index pairs."""
    sets = closed_sets(count, pairs)
    row = {mask: index for index, mask in enumerate(sets)}
    names = [str(index) for index in range(count)]
    turn = check_order(names, [Before(str(one), str(two)) for one, two in pairs])
    before, after = [], []
    for part in turn:
        grown = [
            (row[mask], row[mask | 1 << part]) for mask in sets if not mask >> part & 1 and mask | 1 << part in row
        ]
        before.append(np.array([one for one, _ in grown], dtype=np.int64))
        after.append(np.array([two for _, two in grown], dtype=np.int64))
    return Steps(tuple(sets), turn, tuple(before), tuple(after))


def forward(steps: Steps, weights: Floats) -> Floats:
    """Sum of all ways to finish each closed set before each year: shape (years + 1, sets)."""
    reached = np.zeros((weights.shape[1] + 1, steps.count))
    reached[0, 0] = 1.0
    for year in range(weights.shape[1]):
        now = reached[year + 1]
        now[:] = reached[year]
        for part, one, two in zip(steps.turn, steps.before, steps.after, strict=True):
            now[two] += weights[part, year] * now[one]
    return reached


def _sweep(weights: Floats, pairs: Sequence[tuple[int, int]]) -> tuple[Floats, float]:
    count, years = weights.shape
    if count == 1:
        total = float(weights.sum())
        return (weights / total if total > 0 else weights), total
    steps = steps_of(count, pairs)
    reached = forward(steps, weights)
    marginal = np.zeros_like(weights)
    ahead = np.zeros(steps.count)
    ahead[-1] = 1.0
    halfway = np.empty((count, steps.count))
    for year in range(years - 1, -1, -1):
        now = reached[year].copy()
        for index, part in enumerate(steps.turn):
            halfway[index] = now
            now[steps.after[index]] += weights[part, year] * now[steps.before[index]]
        for index in range(count - 1, -1, -1):
            part, one, two = steps.turn[index], steps.before[index], steps.after[index]
            marginal[part, year] = weights[part, year] * float(halfway[index][one] @ ahead[two])
            ahead[one] += weights[part, year] * ahead[two]
    total = float(reached[-1, -1])
    return (marginal / total if total > 0 else marginal), total
