"""Sharing patches out among fabrics exactly, when taking turns, or exchanging two at a time, gets stuck."""

from __future__ import annotations

from itertools import product

import numpy as np

from seamlore.placing.problem import Problem
from seamlore.solving.program import Rows, Whole, solve


def fitted(problem: Problem) -> Whole | None:
    """Find any placing that keeps to the cloth there is, minding nothing else but to vary fabrics within a block.

    Parameters
    ----------
    problem : Problem
        What to place.

    Returns
    -------
    ndarray of int, shape (p,), or None
        A fabric for each patch; None when none was found, which for up to 10,000 nodes of search is a proof.

    Examples
    --------
    A patch of 2 and two of 1, two fabrics of 2: the small ones must go together.

    >>> none = np.zeros((0, 2), int)
    >>> fitted(Problem(np.array([1.0, 1, 2]), np.ones(3, int), np.arange(3), none, none, np.full(2, 2.0),
    ...                np.array([1.0, 2]))).tolist()
    [1, 1, 0]
    >>> fitted(Problem(np.array([3.0]), np.ones(1, int), np.zeros(1, int), none, none, np.ones(1), np.ones(1))) is None
    True
    """
    may = problem.may_take()
    alike = np.column_stack([problem.size, problem.pieces, may])
    sorts, sort, count = np.unique(alike, axis=0, return_inverse=True, return_counts=True)
    many, fabrics = len(sorts), len(problem.cloth)
    # Unknowns: how many patches of each sort come from each fabric.
    at = np.arange(many * fabrics)
    of_sort, of_fabric = at // fabrics, at % fabrics
    allowed = sorts[:, 2:].ravel()
    rows = Rows()
    for number, each in enumerate(count.tolist()):
        rows.add(at[of_sort == number], np.ones(fabrics), each)
    for number in range(fabrics):
        mine = at[of_fabric == number]
        for amount, used in ((problem.cloth, sorts[:, 0]), (problem.number, sorts[:, 1])):
            rows.add(mine, used, -np.inf, float(amount[number]))
    found = solve(rows.program(count[of_sort] * allowed, whole=np.ones(len(at), bool)))
    if found.values is None:
        return None
    left = np.round(found.values).astype(np.int64).reshape(many, fabrics)
    counts = np.zeros((problem.blocks, fabrics), np.int64)
    fabric = np.zeros(len(problem.size), np.int64)
    for patch in range(len(fabric)):
        mine, block = left[sort[patch]], problem.block[patch]
        chosen = int(np.lexsort((-mine, counts[block], mine == 0))[0])
        fabric[patch] = chosen
        mine[chosen] -= 1
        counts[block, chosen] += 1
    return fabric


# More unknowns than this take longer than a search that has stopped at a fault is worth.
_MOST_UNKNOWNS = 20_000
# Up to so many the best of all is found at once.
_FEW_UNKNOWNS = 100


def faultless(problem: Problem) -> Whole | None:
    """Find any placing without a fault, whatever neighboring blocks share.

    Exchanging two patches at a time cannot get round every fault when there is barely enough cloth.

    Parameters
    ----------
    problem : Problem
        What to place.

    Returns
    -------
    ndarray of int, shape (p,), or None
        A fabric for each patch: touching patches apart, none too often in a block, none running out. None when there is
        none, or none was found within 1,000 nodes of search, or there are too many patches and fabrics to try.

    Examples
    --------
    Two blocks of a small and a large patch; the first fabric is just enough for both small ones:

    >>> none = np.zeros((0, 2), int)
    >>> two = Problem(np.array([1.0, 2, 1, 2]), np.ones(4, int), np.array([0, 0, 1, 1]), none, np.array([[0, 1]]),
    ...               np.array([2.0, 4]), np.array([2.0, 3]))
    >>> faultless(two).tolist()
    [0, 1, 0, 1]
    """
    if len(problem.size) * len(problem.cloth) > _MOST_UNKNOWNS:
        return None
    rows, takes = _without_fault(problem)
    program = rows.program(problem.may_take().ravel().astype(float), whole=np.ones(takes.size, bool))
    values = solve(program, nodes=1_000).values
    return None if values is None else np.argmax(values.reshape(takes.shape), axis=1).astype(np.int64)


def least_shared(problem: Problem) -> Whole | None:
    """Find the placing without a fault in which neighboring blocks share least, where there is little to choose from.

    Where there is barely enough cloth, no exchange of two patches may lead to it.

    Parameters
    ----------
    problem : Problem
        What to place.

    Returns
    -------
    ndarray of int, shape (p,), or None
        A fabric for each patch. None when there is none, or it was not found within 1,000 nodes of search, or there
        are too many patches and fabrics to try.

    Examples
    --------
    >>> none = np.zeros((0, 2), int)
    >>> row = Problem(np.ones(3), np.ones(3, int), np.arange(3), none, np.array([[0, 1], [1, 2]]),
    ...               np.full(2, np.inf), np.array([2.0, 1.0]))
    >>> least_shared(row).tolist()
    [0, 1, 0]
    """
    if len(problem.size) * len(problem.cloth) > _FEW_UNKNOWNS:
        return None
    rows, takes = _without_fault(problem)
    shares = takes.size + np.arange(len(problem.neighbors) * takes.shape[1]).reshape(-1, takes.shape[1])
    for pair, (one, two) in enumerate(problem.neighbors):
        for here, there in product(np.flatnonzero(problem.block == one), np.flatnonzero(problem.block == two)):
            for fabric in range(takes.shape[1]):
                rows.add([takes[here, fabric], takes[there, fabric], shares[pair, fabric]], [1, 1, -1], -np.inf, 1.0)
    upper = np.concatenate([problem.may_take().ravel().astype(float), np.ones(shares.size)])
    cost = np.repeat([0.0, 1.0], [takes.size, shares.size])
    solved = solve(rows.program(upper, cost=cost, whole=np.ones(len(upper), bool)), nodes=1_000)
    if solved.status != "optimal" or solved.values is None:
        return None
    chosen: Whole = np.argmax(solved.values[: takes.size].reshape(takes.shape), axis=1).astype(np.int64)
    return chosen


def _without_fault(problem: Problem) -> tuple[Rows, Whole]:
    """What must hold of any placing without a fault, and the unknown of each patch and fabric, shape (p, f)."""
    patches, fabrics = len(problem.size), len(problem.cloth)
    # Unknowns: whether each patch takes each fabric.
    takes = np.arange(patches * fabrics).reshape(patches, fabrics)
    rows = Rows()
    for patch in range(patches):
        rows.add(takes[patch], np.ones(fabrics), 1.0)
    inside = [np.flatnonzero(problem.block == block) for block in np.unique(problem.block)]
    for fabric in range(fabrics):
        rows.add(takes[:, fabric], problem.size, -np.inf, float(problem.cloth[fabric]))
        rows.add(takes[:, fabric], problem.pieces, -np.inf, float(problem.number[fabric]))
        for members in inside:
            rows.add(takes[members, fabric], np.ones(len(members)), -np.inf, float(problem.most))
        for pair in problem.touching:
            rows.add(takes[pair, fabric], np.ones(2), -np.inf, 1.0)
    return rows, takes
