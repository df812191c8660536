"""Exact inference: the probability of every year for every part, given evidence and what ties the parts together.

In the plain model every part's year is uniform over all joint years that the order allows; where the parts are taken
to belong together (`usual`), they follow one another as quilts usually come together. Either way the sums run over
all joint years, exactly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.evidence import Evidence, likelihood
from seamlore.chronology.network import Solved, Tie, TooTangledError, pushed, solve
from seamlore.chronology.order import Before, check_order, components, needed
from seamlore.chronology.sweep import swept
from seamlore.errors import DateError, nearest

Floats = NDArray[np.float64]
# What is worked out in a second or two; beyond, it is said.
MOST_PARTS = 500
MOST_EVIDENCE = 2000
MOST_TIED = 60
MOST_TANGLED = 12
_MOST_CELLS = 3e7


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """Parts, years, what the evidence says of each part's years, and what ties them.

    Parameters
    ----------
    parts : tuple of str
        Names.
    years : ndarray of int, shape (n,)
        The horizon, one year apart.
    log_weights : ndarray, shape (parts and hidden ones, n)
        Logarithm of what the evidence on each part says of each year; hidden parts, which nobody named but which join
        those that were, come last.
    ties : tuple of Tie
    order : tuple of Before
        What was said to come before what, checked.
    """

    parts: tuple[str, ...]
    years: NDArray[np.int64]
    log_weights: Floats
    ties: tuple[Tie, ...]
    order: tuple[Before, ...]

    @property
    def pairs(self) -> list[tuple[int, int]]:
        """The ties as indices of parts."""
        return [(tie.one, tie.two) for tie in self.ties]


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
    solved : Solved or None
        The sums behind it; None where the order had to be swept.
    """

    problem: Problem
    p: Floats
    evidence_log: float
    solved: Solved | None = None

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


def named_parts(parts: Sequence[str], evidence: Sequence[Evidence], order: Sequence[Before]) -> tuple[str, ...]:
    """Give the parts asked for, or all that evidence or order name; check that each piece of evidence is on one.

    Raises
    ------
    DateError
        For no parts, too many, an unknown part, too much evidence, an order in a circle.
    """
    names = tuple(parts) or tuple(
        dict.fromkeys(
            [each.part for each in evidence] + [name for each in order for name in (each.earlier, each.later)]
        )
    )
    if not names:
        raise DateError("no parts", "at least one part is dated", "add evidence on a part, or an order")
    if len(names) > MOST_PARTS:
        raise DateError(f"{len(names)} parts", f"at most {MOST_PARTS}", "date the quilt in several files")
    if len(evidence) > MOST_EVIDENCE:
        remedy = "leave out what says the same again"
        raise DateError(f"{len(evidence)} pieces of evidence", f"at most {MOST_EVIDENCE}", remedy)
    for each in evidence:
        if each.part not in names:
            raise DateError(
                f'a part named "{each.part}"', "it is not among the parts", nearest(each.part, names),
                where=each.where,
            )  # fmt: skip
    check_order(names, order)
    return names


def horizon_years(horizon: tuple[int, int]) -> NDArray[np.int64]:
    """Give every year of a horizon.

    Raises
    ------
    DateError
        When it ends before it starts.
    """
    first, last = horizon
    if last < first:
        raise DateError(f"horizon {first}/{last}", "it ends before it starts", "write the earlier year first")
    return np.arange(first, last + 1)


def pose(
    horizon: tuple[int, int], evidence: Sequence[Evidence], order: Sequence[Before], *, parts: Sequence[str] = ()
) -> Problem:
    """Put evidence and order together for the plain model, and check them.

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
        For a horizon that ends before it starts, an unknown part, an order in a circle, more than can be worked out.
    """
    names = named_parts(parts, evidence, order)
    years = horizon_years(horizon)
    log_weights = np.zeros((len(names), len(years)))
    for each in evidence:
        row = names.index(each.part)
        with np.errstate(divide="ignore"):
            log_weights[row] += np.log(likelihood(each, years))
        if not np.isfinite(log_weights[row].max()):
            raise DateError(
                f'"{each.says}" on {each.part}',
                "with trust 1 it leaves no year that the other evidence of trust 1 allows",
                "lower the trust of one of them: one must be wrong",
                where=each.where,
            )
    log_weights -= log_weights.max(axis=1, keepdims=True)
    ties = order_ties(names, needed(order), len(years))
    problem = Problem(names, years, log_weights, ties, tuple(order))
    check_size(problem)
    return problem


def order_ties(names: Sequence[str], order: Sequence[Before], size: int) -> tuple[Tie, ...]:
    """Give an order as ties: 0 for the pairs of years that it allows, -inf for the others."""
    made: dict[tuple[int, int | None], Floats] = {}
    gap = np.arange(size)[None, :] - np.arange(size)[:, None]
    ties = []
    for before in order:
        least, most = before.kept or (0, None)
        if (least, most) not in made:
            allowed = (gap >= least) & (gap <= (size if most is None else most))
            made[least, most] = np.where(allowed, 0.0, -np.inf)
        ties.append(Tie(names.index(before.earlier), names.index(before.later), made[least, most]))
    return tuple(ties)


def check_size(problem: Problem) -> None:
    """Refuse what would take too long.

    Raises
    ------
    DateError
        Naming the limit.
    """
    size = len(problem.years)
    for group in components(len(problem.log_weights), problem.pairs):
        most = int(min(MOST_TIED, _MOST_CELLS // size**2))
        if len(group) > max(most, 1):
            raise DateError(
                f"{len(group)} parts tied together over {size} years",
                f"at most {most} can be worked out exactly",
                "date some of them by themselves, or shorten the horizon",
            )


def infer(problem: Problem) -> Dates:
    """Give the exact probability of every year for every part.

    Parameters
    ----------
    problem : Problem
        From `pose` or `usual.pose_usual`.

    Returns
    -------
    Dates

    Raises
    ------
    DateError
        When evidence of trust 1 and the order cannot all be true, or the order is too tangled for exact sums.

    Examples
    --------
    >>> dates = infer(pose((1900, 1901), [], [Before("top", "finish")]))
    >>> dates.of("top").round(6).tolist()  # of the three allowed pairs, two have the top in 1900
    [0.666667, 0.333333]
    >>> infer(pose((1900, 1901), [], [], parts=["top"])).of("top").tolist()
    [0.5, 0.5]
    """
    solved: Solved | None
    try:
        solved = solve(problem.log_weights, problem.ties)
        log_p, total = solved.log_p, solved.log_total
    except TooTangledError:
        solved = None
        log_p, total = _tangled(problem)
    if not np.isfinite(total):
        names = ", ".join(problem.parts)
        raise DateError(
            f"the evidence of trust 1 on {names}",
            "it cannot all be true in this order",
            "lower the trust of one piece, or correct the order",
        )
    p = np.exp(log_p[: len(problem.parts)])
    return Dates(problem, p / p.sum(axis=1, keepdims=True), total, solved)


def plain_groups(problem: Problem) -> list[tuple[list[int], list[tuple[int, int]]]]:
    """Give each group of tied parts with its pairs, where all ties are a plain "no later than".

    Raises
    ------
    DateError
        When they are not, or more parts are tied than can be swept.
    """
    groups = []
    plain = len(problem.ties) == len(needed(problem.order)) and not any(each.kept for each in problem.order)
    for group in components(len(problem.log_weights), problem.pairs):
        if len(group) > MOST_TANGLED or not plain:
            raise DateError(
                f"{len(group)} parts tied in rings through one another",
                f"at most {MOST_TANGLED}, and without years kept or a usual order, can be worked out exactly",
                "leave out an order that follows from the others",
            )
        pairs = [(group.index(one), group.index(two)) for one, two in problem.pairs if one in group]
        groups.append((group, pairs))
    return groups


def _tangled(problem: Problem) -> tuple[Floats, float]:
    log_p = np.empty_like(problem.log_weights)
    total = 0.0
    for group, pairs in plain_groups(problem):
        rows, log = swept(problem.log_weights[group], pairs)
        log_p[group] = rows
        total += log
    return log_p, total


def reweighed(dates: Dates, row: int, columns: Floats, *, most_again: int = 40) -> dict[int, Floats] | None:
    """Say how the parts would stand if one part's years were others.

    Parameters
    ----------
    dates : Dates
    row : int
        The part.
    columns : ndarray, shape (n, m)
        Each column what that part's probabilities would be multiplied by; one that leaves nothing changes nothing.
    most_again : int
        Where parts are tied in rings, how many columns are worked out anew; beyond, None.

    Returns
    -------
    dict of int to ndarray, shape (n, m), or None
        For every part that is tied to it, itself included.
    """
    problem = dates.problem
    count, many = len(problem.parts), columns.shape[1]
    own = dates.p[row][:, None] * columns
    sums = own.sum(axis=0)
    own = np.where(sums > 0, own / np.where(sums > 0, sums, 1), dates.p[row][:, None])
    moved = pushed(dates.solved, row, own) if dates.solved is not None else None
    if moved is not None:
        return {part: values for part, values in moved.items() if part < count}
    if many > most_again:
        return None
    again = np.repeat(dates.p[:, :, None], many, axis=2)
    for column in range(many):
        weights = problem.log_weights.copy()
        with np.errstate(divide="ignore"):
            weights[row] = weights[row] + np.log(columns[:, column])
        try:
            again[:, :, column] = infer(replace(problem, log_weights=weights)).p
        except DateError:
            continue  # What cannot be leaves the answer as it was.
    return {part: again[part] for part in range(count)}
