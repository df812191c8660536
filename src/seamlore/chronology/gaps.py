"""How many years lie between two parts: the exact joint distribution, and statements about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.inference import Dates, Problem, Steps, forward, infer, steps_of
from seamlore.chronology.order import components
from seamlore.errors import DateError, nearest

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Gap:
    """Years from one part to another.

    Parameters
    ----------
    earlier, later : str
        The two parts.
    years : ndarray of int, shape (2n - 1,)
        Year of `later` less year of `earlier`.
    p : ndarray, shape (2n - 1,)
        Probability of each.
    """

    earlier: str
    later: str
    years: NDArray[np.int64]
    p: Floats

    def at_least(self, years: int) -> float:
        """Probability that `later` is at least so many years after `earlier`."""
        return float(self.p[self.years >= years].sum())


def gap(dates: Dates, earlier: str, later: str) -> Gap:
    """Give the exact distribution of the years between two parts.

    Parameters
    ----------
    dates : Dates
        From `infer`.
    earlier, later : str
        Any two parts.

    Returns
    -------
    Gap

    Raises
    ------
    DateError
        When a part is not known, the nearest offered; when both are the same.

    Examples
    --------
    >>> from seamlore.chronology.inference import pose
    >>> from seamlore.chronology.order import Before
    >>> dates = infer(pose((1900, 1901), [], [Before("top", "finish")]))
    >>> round(gap(dates, "top", "finish").at_least(1), 6)
    0.333333
    """
    joint_p = joint(dates, earlier, later)
    size = len(dates.problem.years)
    differences = np.arange(-(size - 1), size)
    first, last = np.indices(joint_p.shape)
    p: Floats = np.bincount(
        (last - first + size - 1).ravel(), weights=joint_p.ravel(), minlength=2 * size - 1
    ).astype(np.float64)
    return Gap(earlier, later, differences.astype(np.int64), p)


def joint(dates: Dates, one: str, two: str) -> Floats:
    """Give the joint probability of the years of two parts, shape (n, n): rows are years of `one`."""
    problem = dates.problem
    for name in (one, two):
        if name not in problem.parts:
            raise DateError(f'a part named "{name}"', "it is not among the parts", nearest(name, problem.parts))
    if one == two:
        raise DateError(f'"{one}" twice', "a gap lies between two parts", "name another part")
    first, second = problem.parts.index(one), problem.parts.index(two)
    group = next(group for group in components(len(problem.parts), problem.pairs) if first in group)
    if second not in group:
        return np.outer(dates.p[first], dates.p[second])
    if any(before.kept for before, (low, _) in zip(problem.order, problem.pairs, strict=True) if low in group):
        return _by_year(problem, first, two)
    pairs = [(group.index(low), group.index(high)) for low, high in problem.pairs if low in group]
    weights = problem.weights[group]
    steps = steps_of(len(group), pairs)
    reached = forward(steps, weights)
    ahead = _backward(steps, weights)
    a, b = group.index(first), group.index(second)
    both = _placed(steps, weights, reached, ahead, a, b) + _placed(steps, weights, reached, ahead, b, a).T
    return np.asarray(both / both.sum())


def _by_year(problem: Problem, first: int, two: str) -> Floats:
    """Joint of parts tied in a tree: the second part's years for each year of the first in turn."""
    size = len(problem.years)
    rows = np.zeros((size, size))
    for year in np.flatnonzero(problem.weights[first]):
        weights = problem.weights.copy()
        weights[first] = 0
        weights[first, year] = problem.weights[first, year]
        try:
            dates = infer(replace(problem, weights=weights))
        except DateError:
            continue  # A year that the order forbids has probability 0.
        rows[year] = dates.of(two) * np.exp(dates.evidence_log)
    return np.asarray(rows / rows.sum())


def _backward(steps: Steps, weights: Floats) -> Floats:
    """Sum of all ways to go on from each closed set after each part of each year: (years, parts, sets)."""
    count, years = weights.shape
    ahead = np.zeros((years, count, steps.count))
    now = np.zeros(steps.count)
    now[-1] = 1.0
    for year in range(years - 1, -1, -1):
        for index in range(count - 1, -1, -1):
            ahead[year, index] = now
            part, one, two = steps.turn[index], steps.before[index], steps.after[index]
            now[one] += weights[part, year] * now[two]
    return ahead


def _placed(steps: Steps, weights: Floats, reached: Floats, ahead: Floats, a: int, b: int) -> Floats:
    """Weight of part `a` in each year and part `b` in the same or a later one, `a` being added first."""
    years = weights.shape[1]
    out = np.zeros((years, years))
    at_a, at_b = steps.turn.index(a), steps.turn.index(b)
    # Row s holds the closed sets with a (added in year s) and without b.
    live = np.array(
        [row for row, mask in enumerate(steps.sets) if mask >> a & 1 and not mask >> b & 1], dtype=np.int64
    )
    place = np.full(steps.count, -1)
    place[live] = np.arange(len(live))
    moves = _inner_moves(steps, place, skip=(at_a, at_b))
    finish = [
        (place[one], two) for one, two in zip(steps.before[at_b], steps.after[at_b], strict=True) if place[one] >= 0
    ]
    from_rows, to_sets = (
        (np.array(side, dtype=np.int64) for side in zip(*finish, strict=True)) if finish else ((), ())
    )
    held = np.zeros((len(live), years))
    for year in range(years):
        now = reached[year].copy()
        for index, part in enumerate(steps.turn):
            one, two = steps.before[index], steps.after[index]
            if index == at_a:
                entering = place[two]
                kept = entering >= 0
                held[entering[kept], year] += weights[a, year] * now[one[kept]]
            elif index == at_b:
                if len(from_rows):
                    out[: year + 1, year] += weights[b, year] * (
                        ahead[year, index][to_sets] @ held[from_rows, : year + 1]
                    )
            else:
                low, high = moves[index]
                if len(low):
                    held[high, : year + 1] += weights[part, year] * held[low, : year + 1]
            if index != len(steps.turn) - 1:
                now[two] += weights[part, year] * now[one]
    return out


def _inner_moves(
    steps: Steps, place: NDArray[np.int64], *, skip: Sequence[int]
) -> list[tuple[NDArray[np.int64], NDArray[np.int64]]]:
    moves = []
    for index, (one, two) in enumerate(zip(steps.before, steps.after, strict=True)):
        low, high = place[one], place[two]
        kept = (low >= 0) & (high >= 0) if index not in skip else np.zeros(len(one), dtype=bool)
        moves.append((low[kept], high[kept]))
    return moves
