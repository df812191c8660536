"""What no placing of fabrics can better: by counting, and by linear programming.

The relaxation lets a fabric be in a block by halves. Fabrics of which there is equally much are alike, so one unknown
stands for all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from seamlore.solving.placing import Problem
from seamlore.solving.program import Program, Whole, solve

_SLACK = 1e-6


def pair_bound(problem: Problem) -> int:
    """Count what neighbouring blocks must share since there are too few fabrics for the two of them.

    Examples
    --------
    Two blocks of three patches each, five fabrics:

    >>> block = np.array([0, 0, 0, 1, 1, 1])
    >>> none = np.zeros((0, 2), int)
    >>> pair_bound(Problem(np.ones(6), np.ones(6, int), block, none, np.array([[0, 1]]), np.full(5, np.inf),
    ...                    np.full(5, np.inf)))
    1
    """
    counts = np.bincount(problem.block, minlength=problem.blocks)
    needed = -(-counts // problem.most)
    if not len(problem.neighbours):
        return 0
    one, two = problem.neighbours.T
    return int(np.maximum(needed[one] + needed[two] - len(problem.cloth), 0).sum())


def shared_bound(problem: Problem) -> int:
    """Count what neighbouring blocks must share, by a relaxation that also minds how much cloth there is.

    Parameters
    ----------
    problem : Problem
        One that can be placed.

    Returns
    -------
    int
        No placing in which no fabric comes too often in a block shares less. 0 when the relaxation has no
        solution, which `placing_why` tells of.
    """
    found = solve(_program(problem), method="ipm")
    if found.status == "infeasible":
        return 0
    return max(ceil(found.bound - _SLACK), 0) if found.status == "optimal" else pair_bound(problem)


@dataclass(frozen=True, slots=True, eq=False)
class _Kinds:
    """Patches of one size in one block are alike; so are fabrics of which there is equally much."""

    block: Whole
    size: NDArray[np.float64]
    pieces: NDArray[np.float64]
    count: NDArray[np.float64]
    fabrics: list[Whole]


def _kinds(problem: Problem) -> _Kinds:
    alike = np.column_stack([problem.block, problem.size, problem.pieces])
    rows, count = np.unique(alike, axis=0, return_counts=True)
    amounts = np.column_stack([problem.cloth, problem.number])
    _, group = np.unique(amounts, axis=0, return_inverse=True)
    fabrics = [np.flatnonzero(group == number) for number in range(group.max(initial=-1) + 1)]
    return _Kinds(rows[:, 0].astype(np.int64), rows[:, 1], rows[:, 2], count.astype(np.float64), fabrics)


def _program(problem: Problem) -> Program:
    """Unknowns: for each group of fabrics, how many patches of each sort (per fabric), and what each pair shares."""
    kinds = _kinds(problem)
    sorts, groups = len(kinds.count), len(kinds.fabrics)
    blocks, pairs = np.unique(kinds.block), problem.neighbours
    pairs = np.sort(pairs[np.isin(pairs, blocks).all(axis=1)], axis=1) if len(pairs) else np.zeros((0, 2), np.int64)
    rings = _rings(pairs)
    each = sorts + len(pairs)
    times = np.array([len(group) for group in kinds.fabrics], float)
    entries = _Entries()
    at = np.arange(sorts)
    for number, group in enumerate(kinds.fabrics):
        first = number * each
        # Every patch takes one fabric.
        entries.add(at, first + at, np.full(sorts, times[number]))
        # A fabric comes in a block no more often than it may.
        row = sorts + number * (len(blocks) + len(pairs) + len(rings) + 2)
        entries.add(row + np.searchsorted(blocks, kinds.block), first + at, np.ones(sorts))
        row += len(blocks)
        for amount, used in ((problem.cloth, kinds.size), (problem.number, kinds.pieces)):
            if np.isfinite(amount[group[0]]):
                entries.add(np.full(sorts, row), first + at, used)
            row += 1
        # A pair of blocks shares a fabric by as much as it is in both.
        for pair, (one, two) in enumerate(pairs.tolist()):
            inside = np.flatnonzero((kinds.block == one) | (kinds.block == two))
            entries.add(np.full(len(inside), row + pair), first + inside, np.full(len(inside), 1.0 / problem.most))
            entries.add(np.array([row + pair]), np.array([first + sorts + pair]), np.array([-1.0]))
        # Of three blocks that all lie side by side, two sharing a fabric by halves with the third is not enough.
        row += len(pairs)
        for ring, (around, sides) in enumerate(rings):
            inside = np.flatnonzero(np.isin(kinds.block, around))
            entries.add(np.full(len(inside), row + ring), first + inside, np.full(len(inside), 1.0 / problem.most))
            entries.add(np.full(3, row + ring), first + sorts + np.array(sides), np.full(3, -1.0))
    high = [kinds.count]
    for group in kinds.fabrics:
        limits = [problem.cloth[group[0]], problem.number[group[0]]]
        high += [np.full(len(blocks), float(problem.most)), np.array(limits), np.ones(len(pairs) + len(rings))]
    row_upper = np.concatenate(high)
    row_lower = np.full(len(row_upper), -np.inf)
    row_lower[:sorts] = kinds.count
    cost = np.zeros(groups * each)
    for number in range(groups):
        cost[number * each + sorts : (number + 1) * each] = times[number]
    rows, columns, values = entries.all()
    unknowns = len(cost)
    return Program(cost, np.zeros(unknowns), np.full(unknowns, np.inf), rows, columns, values, row_lower, row_upper)


def _rings(pairs: Whole) -> list[tuple[list[int], list[int]]]:
    """Every three blocks that all lie side by side: the blocks, and which pairs they make."""
    number = {(one, two): index for index, (one, two) in enumerate(pairs.tolist())}
    after: dict[int, set[int]] = {}
    for one, two in number:
        after.setdefault(one, set()).add(two)
    return [
        ([one, two, three], [index, number[two, three], number[one, three]])
        for (one, two), index in number.items()
        for three in sorted(after[one] & after.get(two, set()))
    ]


class _Entries:
    """The entries of a matrix, gathered piece by piece."""

    def __init__(self) -> None:
        self.rows: list[Whole] = []
        self.columns: list[Whole] = []
        self.values: list[NDArray[np.float64]] = []

    def add(self, rows: Whole, columns: Whole, values: NDArray[np.float64]) -> None:
        self.rows.append(rows)
        self.columns.append(columns)
        self.values.append(values)

    def all(self) -> tuple[Whole, Whole, NDArray[np.float64]]:
        return np.concatenate(self.rows), np.concatenate(self.columns), np.concatenate(self.values)
