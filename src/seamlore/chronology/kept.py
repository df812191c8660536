"""Inference where cloth was kept for years: exact message passing, which needs an order that is a tree."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.order import Before
from seamlore.errors import DateError

Floats = NDArray[np.float64]
Tie = tuple[Before, int, int]


def check_tree(count: int, ties: Sequence[Tie]) -> None:
    """Refuse ties that do not form a tree.

    Raises
    ------
    DateError
        Naming the order that closes a ring.
    """
    group = list(range(count))
    for before, one, two in ties:
        if group[one] == group[two]:
            raise DateError(
                f"{before.earlier} before {before.later}",
                "with years kept, two parts may be tied in one way only",
                "leave out the order that follows from the others, or the years kept",
                where=before.where,
            )
        old, new = group[two], group[one]
        group = [new if mark == old else mark for mark in group]


def tree_marginals(weights: Floats, ties: Sequence[Tie]) -> tuple[Floats, float]:
    """Give the marginals of parts tied in a tree, each tie with its years between.

    Parameters
    ----------
    weights : ndarray, shape (parts, years)
        Product of each part's likelihoods.
    ties : sequence of (Before, int, int)
        Each with the indices of its earlier and later part.

    Returns
    -------
    marginals : ndarray, shape (parts, years)
    total : float
        Sum over all joint years.

    Examples
    --------
    >>> rows, total = tree_marginals(np.ones((2, 3)), [(Before("a", "b", (1, 1)), 0, 1)])
    >>> rows.tolist(), total  # b exactly one year after a
    ([[0.5, 0.5, 0.0], [0.0, 0.5, 0.5]], 2.0)
    """
    count = len(weights)
    check_tree(count, ties)
    around: list[list[tuple[int, int]]] = [[] for _ in range(count)]
    for index, (_, one, two) in enumerate(ties):
        around[one].append((index, two))
        around[two].append((index, one))
    walk, parent = [0], {0: (-1, -1)}
    for node in walk:
        for index, other in around[node]:
            if other not in parent:
                parent[other] = (index, node)
                walk.append(other)
    inward: dict[int, Floats] = {}
    for node in reversed(walk[1:]):
        gathered = weights[node].copy()
        for _, other in around[node]:
            if parent.get(other, (-1, -1))[1] == node:
                gathered *= inward[other]
        inward[node] = _across(gathered, ties[parent[node][0]], towards=parent[node][1])
    whole: dict[int, Floats] = {}
    outward: dict[int, Floats] = {0: np.ones(weights.shape[1])}
    for node in walk:
        children = [other for _, other in around[node] if parent.get(other, (-1, -1))[1] == node and other != 0]
        whole[node] = weights[node] * outward[node]
        for child in children:
            whole[node] = whole[node] * inward[child]
        for child in children:
            gathered = weights[node] * outward[node]
            for other in children:
                if other != child:
                    gathered = gathered * inward[other]
            outward[child] = _across(gathered, ties[parent[child][0]], towards=child)
    total = float(whole[0].sum())
    rows = np.array([whole[node] for node in range(count)])
    return (rows / total if total > 0 else rows), total


def _across(values: Floats, tie: Tie, *, towards: int) -> Floats:
    """Carry a message over one tie: for each year, the sum over the years it allows at the other end."""
    before, _, later = tie
    least, most = before.kept or (0, None)
    size = len(values)
    sums = np.concatenate([[0.0], np.cumsum(values)])
    year = np.arange(size)
    if towards == later:
        low, high = (year - most if most is not None else np.zeros(size, dtype=np.int64)), year - least
    else:
        low, high = year + least, (year + most if most is not None else np.full(size, size - 1))
    low, high = np.clip(low, 0, size), np.clip(high, -1, size - 1)
    return np.asarray(np.where(high >= low, sums[np.maximum(high + 1, low)] - sums[low], 0.0))
