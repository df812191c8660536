"""Exact sums under an order too tangled for messages: a sweep over the years and the sets that the order closes.

Sweeping the years once forward and once back adds up every joint assignment, without ever listing one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.network import log_sum
from seamlore.chronology.order import Before, check_order, closed_sets

Floats = NDArray[np.float64]


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


def swept(log_weights: Floats, pairs: Sequence[tuple[int, int]]) -> tuple[Floats, float]:
    """Give the logarithm of every part's years and of the sum over all joint years.

    Parameters
    ----------
    log_weights : ndarray, shape (parts, years)
    pairs : sequence of (int, int)
        Earlier and later index: "no later than".

    Examples
    --------
    >>> log_p, total = swept(np.zeros((2, 2)), [(0, 1)])
    >>> np.exp(log_p[0]).round(6).tolist(), round(float(np.exp(total)))
    ([0.666667, 0.333333], 3)
    """
    count, years = log_weights.shape
    steps = steps_of(count, pairs)
    reached = np.full((years + 1, steps.count), -np.inf)
    reached[0, 0] = 0.0
    for year in range(years):
        now = reached[year + 1]
        now[:] = reached[year]
        for part, one, two in zip(steps.turn, steps.before, steps.after, strict=True):
            now[two] = np.logaddexp(now[two], log_weights[part, year] + now[one])
    log_p = np.full_like(log_weights, -np.inf)
    ahead = np.full(steps.count, -np.inf)
    ahead[-1] = 0.0
    halfway = np.empty((count, steps.count))
    for year in range(years - 1, -1, -1):
        now = reached[year].copy()
        for index, part in enumerate(steps.turn):
            one, two = steps.before[index], steps.after[index]
            halfway[index] = now
            now[two] = np.logaddexp(now[two], log_weights[part, year] + now[one])
        for index in range(count - 1, -1, -1):
            part, one, two = steps.turn[index], steps.before[index], steps.after[index]
            both = halfway[index][one] + ahead[two]
            log_p[part, year] = log_weights[part, year] + log_sum(both[None, :], 1)[0]
            ahead[one] = np.logaddexp(ahead[one], log_weights[part, year] + ahead[two])
    total = float(reached[-1, -1])
    return (log_p - total if np.isfinite(total) else log_p), total


def swept_pair(log_weights: Floats, pairs: Sequence[tuple[int, int]], a: int, b: int) -> Floats:
    """Give the joint probability of two parts' years, shape (n, n); rows are years of `a`."""
    weights = np.exp(log_weights - log_weights.max(axis=1, keepdims=True))
    steps = steps_of(len(weights), pairs)
    reached = _forward(steps, weights)
    ahead = _backward(steps, weights)
    both = _placed(steps, weights, reached, ahead, a, b) + _placed(steps, weights, reached, ahead, b, a).T
    return np.asarray(both / both.sum())


def _forward(steps: Steps, weights: Floats) -> Floats:
    """Sum of all ways to finish each closed set before each year: shape (years + 1, sets)."""
    reached = np.zeros((weights.shape[1] + 1, steps.count))
    reached[0, 0] = 1.0
    for year in range(weights.shape[1]):
        now = reached[year + 1]
        now[:] = reached[year]
        for part, one, two in zip(steps.turn, steps.before, steps.after, strict=True):
            now[two] += weights[part, year] * now[one]
    return reached


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
