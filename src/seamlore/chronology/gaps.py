"""How many years lie between two parts: the exact joint distribution, and statements about it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.inference import Dates, plain_groups
from seamlore.chronology.network import Solved, TooTangledError, conditional, joint_of
from seamlore.chronology.order import components
from seamlore.chronology.sweep import swept_pair
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
    >>> from seamlore.chronology.inference import infer, pose
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
    if dates.solved is None:
        return _tangled(dates, first, second)
    path = _path(dates, first, second)
    if path is None:
        return np.outer(dates.p[first], dates.p[second])
    if _is_tree(dates, path):
        both = _along(dates.solved, path)
    else:
        try:
            both = joint_of(problem.log_weights, problem.ties, first, second)
        except TooTangledError:
            # The two of them, held back together, can close a ring that the parts alone do not.
            raise DateError(
                f"the years between {one} and {two}",
                "they are tied in rings that cannot be worked out exactly",
                "leave out an order that follows from the others",
            ) from None
    return np.asarray(both / both.sum())


def _path(dates: Dates, first: int, second: int) -> list[int] | None:
    came, walk = {first: -1}, [first]
    for node in walk:
        for one, two in dates.problem.pairs:
            for here, there in ((one, two), (two, one)):
                if here == node and there not in came:
                    came[there] = node
                    walk.append(there)
    if second not in came:
        return None
    path = [second]
    while path[-1] != first:
        path.append(came[path[-1]])
    return path[::-1]


def _is_tree(dates: Dates, path: list[int]) -> bool:
    """Whether the parts tied to a path, directly or through others, are tied in one way only."""
    pairs = {tuple(sorted(pair)) for pair in dates.problem.pairs}
    group = next(
        group for group in components(len(dates.problem.log_weights), dates.problem.pairs) if path[0] in group
    )
    return sum(pair[0] in group for pair in pairs) == len(group) - 1


def _along(solved: Solved, path: list[int]) -> Floats:
    """Joint along the only path between two parts."""
    chain: Floats = np.diag(np.exp(solved.log_p[path[0]]))
    for here, there in pairwise(path):
        chain = chain @ conditional(solved, here, there)
    return chain


def _tangled(dates: Dates, first: int, second: int) -> Floats:
    for group, pairs in plain_groups(dates.problem):
        if first in group and second in group:
            weights = dates.problem.log_weights[group]
            return swept_pair(weights, pairs, group.index(first), group.index(second))
    return np.outer(dates.p[first], dates.p[second])
