"""Placing fabrics in patches: what is asked, what was found, and how it is searched for.

Every patch takes one fabric of its own kind (light, medium, dark). Patches that touch take different ones; a block
takes no fabric more often than it must; no fabric runs out; and neighboring blocks share as few fabrics as possible.
Fabrics of different kinds never meet, so each kind is a problem of its own (`Problem`).
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Whole = NDArray[np.int64]

# Touching patches of one fabric, and a fabric too often in a block, are put right before blocks that share.
TOUCH, EXCESS = 1000, 200


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """Patches of one kind and the fabrics for them; what takes one fabric throughout counts as one patch.

    Parameters
    ----------
    size : ndarray, shape (p,)
        How much cloth each patch takes, in the unit of `cloth`.
    pieces : ndarray of int, shape (p,)
        How many pieces it counts as; 1, but a place cut from one fabric throughout its block counts as many.
    block : ndarray of int, shape (p,)
        Which block it lies in, from 0.
    touching : ndarray of int, shape (t, 2)
        Pairs of patches that share an edge.
    neighbors : ndarray of int, shape (n, 2)
        Pairs of blocks that lie side by side.
    cloth : ndarray, shape (f,)
        How much cloth there is of each fabric; may be infinite.
    number : ndarray, shape (f,)
        How many pieces each fabric gives; may be infinite.
    most : int
        How often a fabric may come in one block.
    barred : ndarray of bool, shape (p, f), optional
        Which patches may not take which fabrics.
    """

    size: Numbers
    pieces: Whole
    block: Whole
    touching: Whole
    neighbors: Whole
    cloth: Numbers
    number: Numbers
    most: int = 1
    barred: NDArray[np.bool_] = field(default_factory=lambda: np.zeros((0, 0), bool))

    @property
    def blocks(self) -> int:
        """How many blocks there are."""
        last = [self.block.max(initial=-1), self.neighbors.max(initial=-1)]
        return int(max(last)) + 1

    def may_take(self) -> NDArray[np.bool_]:
        """Which patches may take which fabrics, shape (p, f)."""
        return ~self.barred if self.barred.size else np.ones((len(self.size), len(self.cloth)), bool)


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """One way to place the fabrics.

    Parameters
    ----------
    fabric : ndarray of int, shape (p,)
        Which fabric each patch takes.
    touching : int
        Pairs of touching patches that take the same fabric.
    excess : int
        How often a fabric comes in a block more often than it may, counted over all.
    shared : int
        Over all neighboring blocks, how many fabrics they share.
    """

    fabric: Whole
    touching: int
    excess: int
    shared: int

    @property
    def cost(self) -> int:
        """All in one number, the worst faults weighing most."""
        return TOUCH * self.touching + EXCESS * self.excess + self.shared


def judge(problem: Problem, fabric: Whole) -> Placed:
    """Count the faults of one way to place the fabrics.

    Examples
    --------
    Two blocks side by side, two patches each, all of one fabric, then of two:

    >>> pairs = np.array([[0, 1]])
    >>> both = Problem(np.ones(4), np.ones(4, int), np.array([0, 0, 1, 1]), np.array([[1, 2]]), pairs,
    ...                np.full(2, np.inf), np.full(2, np.inf))
    >>> found = judge(both, np.zeros(4, int))
    >>> found.touching, found.excess, found.shared
    (1, 2, 1)
    >>> judge(both, np.array([0, 1, 0, 1])).shared
    2
    """
    counts = np.zeros((problem.blocks, len(problem.cloth)), np.int64)
    np.add.at(counts, (problem.block, fabric), 1)
    there = counts > 0
    one, two = problem.neighbors.T if len(problem.neighbors) else (np.zeros(0, int), np.zeros(0, int))
    touching = (
        int((fabric[problem.touching[:, 0]] == fabric[problem.touching[:, 1]]).sum()) if len(problem.touching) else 0
    )
    return Placed(
        fabric.copy(), touching, int(np.maximum(counts - problem.most, 0).sum()), int((there[one] & there[two]).sum())
    )


def adjacency(count: int, pairs: Whole) -> list[list[int]]:
    """List for each of `count` things those that it is paired with."""
    near: list[list[int]] = [[] for _ in range(count)]
    for one, two in pairs.tolist():
        near[one].append(two)
        near[two].append(one)
    return near
