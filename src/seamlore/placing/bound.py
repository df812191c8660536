"""What no placing of fabrics can better: by counting, and by linear programming.

The relaxation lets a fabric be in a block by halves. Fabrics of which there is equally much are alike, so one unknown
stands for all of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from seamlore.placing.problem import Problem
from seamlore.solving.program import Program, Rows, Whole, solve

_SLACK = 1e-6


def pair_bound(problem: Problem) -> int:
    """Count what neighboring blocks must share since there are too few fabrics for the two of them.

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
    if not len(problem.neighbors):
        return 0
    one, two = problem.neighbors.T
    return int(np.maximum(needed[one] + needed[two] - len(problem.cloth), 0).sum())


def shared_bound(problem: Problem) -> int:
    """Count what neighboring blocks must share, by a relaxation that also minds how much cloth there is.

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
    """Unknowns: for each group of fabrics, how many patches of each sort (per fabric), and what each pair shares.

    Where a fabric may come in a block more than once, whether it is there at all is one more unknown.
    """
    kinds, most = _kinds(problem), problem.most
    sorts, blocks = len(kinds.count), np.unique(kinds.block)
    pairs = problem.neighbors
    pairs = np.sort(pairs[np.isin(pairs, blocks).all(axis=1)], axis=1) if len(pairs) else np.zeros((0, 2), np.int64)
    rings = _rings(pairs)
    inside = [np.flatnonzero(kinds.block == block) for block in blocks]
    at = {int(block): index for index, block in enumerate(blocks)}
    extra = len(blocks) if most > 1 else 0
    each = sorts + extra + len(pairs)
    rows = Rows()

    def add(entries: Sequence[tuple[int, float]], low: float, high: float | None = None) -> None:
        columns, values = zip(*entries, strict=True)
        rows.add(columns, values, low, high)

    for sort in range(sorts):
        add([(group * each + sort, float(len(same))) for group, same in enumerate(kinds.fabrics)], kinds.count[sort])
    for number, members in enumerate(inside if extra else []):
        # So few fabrics cannot fill the block.
        enough = float(-(-int(kinds.count[members].sum()) // most))
        there = [(group * each + sorts + number, float(len(same))) for group, same in enumerate(kinds.fabrics)]
        add(there, enough, np.inf)
    for group, same in enumerate(kinds.fabrics):
        first = group * each
        present: list[list[tuple[int, float]]] = [
            [(first + sorts + number, 1.0)] if extra else [(first + int(sort), 1.0) for sort in members]
            for number, members in enumerate(inside)
        ]
        for number, members in enumerate(inside):
            # A fabric comes in a block no more often than it may.
            patches = [(first + int(sort), 1.0) for sort in members]
            if not extra:
                add(patches, -np.inf, 1.0)
                continue
            add([*patches, (first + sorts + number, -float(most))], -np.inf, 0.0)
            # It is not there unless some patch is cut from it.
            add([*patches, (first + sorts + number, -1.0)], 0.0, np.inf)
        for amount, used in ((problem.cloth, kinds.size), (problem.number, kinds.pieces)):
            if np.isfinite(amount[same[0]]):
                add([(first + sort, float(used[sort])) for sort in range(sorts)], -np.inf, float(amount[same[0]]))
        shared = first + sorts + extra
        for pair, (one, two) in enumerate(pairs.tolist()):
            # A pair of blocks shares a fabric by as much as it is in both.
            add([*present[at[one]], *present[at[two]], (shared + pair, -1.0)], -np.inf, 1.0)
        for around, sides in rings:
            # Of three blocks that all lie side by side, each may not have the fabric by half for nothing.
            ends = [entry for block in around for entry in present[at[block]]]
            add([*ends, *[(shared + side, -1.0) for side in sides]], -np.inf, 1.0)
    cost = np.zeros((len(kinds.fabrics), each))
    upper = np.full(cost.shape, np.inf)
    for group, same in enumerate(kinds.fabrics):
        cost[group, sorts + extra :] = len(same)
        upper[group, sorts : sorts + extra] = 1.0
    return rows.program(upper.ravel(), cost=cost.ravel())


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
