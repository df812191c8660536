"""Searching for a placing of fabrics: a first one made in order, then bettered by exchanges."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from seamlore.placing.problem import EXCESS, TOUCH, Numbers, Placed, Problem, Whole, adjacency, judge

_STEPS = 12_000
# A search that has not bettered its best for so long seldom does.
_PATIENCE = 2_000
_STARTS = 3


def search(problem: Problem, *, target: int, steps: int = _STEPS, start: Whole | None = None) -> Placed | None:
    """Look for a placing that costs no more than a target.

    A first placing, in which blocks take from other fabrics than the blocks between them, is bettered by
    exchanging two patches' fabrics at a time, the best exchange for a patch that is at fault, never at once back.

    Parameters
    ----------
    problem : Problem
        What to place.
    target : int
        A cost that cannot be bettered, or is good enough.
    steps : int
        Most exchanges for each of three starts.
    start : ndarray of int, shape (p,), optional
        A placing to begin with; it must keep to the cloth there is.

    Returns
    -------
    Placed or None
        None when no placing was found that keeps to the cloth there is.
    """
    best: Placed | None = None
    for number in range(_STARTS if start is None else 1):
        first = first_placing(problem, number) if start is None else start
        if first is None:
            continue
        found = _Search(problem, first, number).run(steps, target)
        if best is None or found.cost < best.cost:
            best = found
        if best.cost <= target:
            break
    return best


def sides(problem: Problem) -> Whole:
    """Part the blocks so that neighbors are apart: a number from 0 for each block, two of them on a checkerboard.

    The block next to most numbers already given comes next, as is usual in coloring maps.
    """
    near = adjacency(problem.blocks, problem.neighbors)
    side = np.full(problem.blocks, -1)
    beside: list[set[int]] = [set() for _ in near]
    left = set(range(problem.blocks))
    while left:
        block = max(left, key=lambda each: (len(beside[each]), len(near[each]), -each))
        left.remove(block)
        side[block] = next(number for number in range(problem.blocks) if number not in beside[block])
        for other in near[block]:
            beside[other].add(int(side[block]))
    return side


def first_placing(problem: Problem, number: int) -> Whole | None:
    """Make a placing that keeps to the cloth there is, the sides of the checkerboard apart; None when stuck."""
    random = np.random.default_rng(number)
    side = sides(problem)[problem.block]
    quota = _quotas(problem, side, random)
    cloth, pieces = problem.cloth.copy(), problem.number.copy()
    fabric = np.full(len(problem.size), -1)
    counts = np.zeros((problem.blocks, len(cloth)), np.int64)
    near = adjacency(len(problem.size), problem.touching)
    may = problem.may_take()
    # Large patches first, since small ones fit what is left; then block by block.
    order = np.lexsort((np.arange(len(fabric)), problem.block, -problem.size))
    for patch in order.tolist():
        block = problem.block[patch]
        worth = np.minimum(quota[side[patch]], 1e6) - 1e7 * np.maximum(counts[block] + 1 - problem.most, 0)
        for other in near[patch]:
            if fabric[other] >= 0:
                worth[fabric[other]] -= 1e8
        fits = may[patch] & (cloth >= problem.size[patch] - 1e-9) & (pieces >= problem.pieces[patch])
        if not fits.any():
            return None
        chosen = int(np.argmax(np.where(fits, worth + random.random(len(worth)) * 0.5, -np.inf)))
        fabric[patch] = chosen
        counts[block, chosen] += 1
        cloth[chosen] -= problem.size[patch]
        pieces[chosen] -= problem.pieces[patch]
        quota[side[patch], chosen] -= problem.size[patch] / problem.size.mean()
    return fabric


def _quotas(problem: Problem, side: Whole, random: np.random.Generator) -> Numbers:
    """How many patches of average size each fabric should give to each side, shape (sides, f)."""
    mean = problem.size.mean()
    need = np.bincount(side, weights=problem.size) / mean
    supply = np.minimum(problem.cloth / mean, problem.number * len(problem.size) / problem.pieces.sum())
    level = _level(supply, need.sum())
    supply = np.minimum(supply, level)
    quota = np.zeros((len(need), len(supply)))
    left = need.copy()
    # The largest first, each wholly to the side that lacks most; what is over goes to the next.
    for fabric in np.lexsort((random.random(len(supply)), -supply)).tolist():
        rest = supply[fabric]
        for which in np.argsort(-left, kind="stable").tolist():
            quota[which, fabric] = min(rest, max(left[which], 0.0))
            left[which] -= quota[which, fabric]
            rest -= quota[which, fabric]
    return quota


def _level(supply: Numbers, need: float) -> float:
    """The most that any fabric should give, so that all together give what is needed as evenly as can be."""
    ordered = np.sort(supply)
    given = 0.0
    for index, each in enumerate(ordered):
        rest = len(ordered) - index
        if given + each * rest >= need:
            return (need - given) / rest
        given += each
    return float("inf")


class _Search:
    """One search: the placing, and for every patch and fabric what it would cost there."""

    def __init__(self, problem: Problem, fabric: Whole, seed: int) -> None:
        self.problem, self.fabric = problem, fabric.copy()
        self.random = np.random.default_rng(seed)
        patches, fabrics, blocks = len(fabric), len(problem.cloth), problem.blocks
        self.everyone = np.arange(patches)
        self.may = problem.may_take()
        self.touches = [np.array(each, np.int64) for each in adjacency(patches, problem.touching)]
        self.beside = [np.array(each, np.int64) for each in adjacency(blocks, problem.neighbors)]
        self.adjacent = np.zeros((blocks, blocks), bool)
        for one, two in problem.neighbors.tolist():
            self.adjacent[one, two] = self.adjacent[two, one] = True
        self.cloth, self.number = problem.cloth.copy(), problem.number.copy()
        self.counts = np.zeros((blocks, fabrics), np.int64)
        # How many touching patches, and how many neighboring blocks, hold each fabric.
        self.touch = np.zeros((patches, fabrics), np.int64)
        self.near = np.zeros((blocks, fabrics), np.int64)
        for patch in range(patches):
            self._put(patch, int(fabric[patch]))
        self.barred_until = np.zeros((patches, fabrics), np.int64)

    def _put(self, patch: int, fabric: int, sign: int = 1) -> None:
        block = self.problem.block[patch]
        self.cloth[fabric] -= sign * self.problem.size[patch]
        self.number[fabric] -= sign * self.problem.pieces[patch]
        self.touch[self.touches[patch], fabric] += sign
        before = self.counts[block, fabric]
        self.counts[block, fabric] = before + sign
        if (sign > 0 and before == 0) or (sign < 0 and before == 1):
            self.near[self.beside[block], fabric] += sign
        self.fabric[patch] = fabric

    def run(self, steps: int, target: int) -> Placed:
        best = judge(self.problem, self.fabric)
        cost, last = best.cost, 0
        for step in range(1, steps + 1):
            if best.cost <= target or step > last + _PATIENCE:
                break
            patch = self._at_fault()
            if patch is None:
                break
            move = self._best_move(patch, step, cost - best.cost)
            if move is None:
                continue
            change, other, fabric = move
            old = int(self.fabric[patch])
            wait = step + 8 + int(self.random.integers(10))
            self.barred_until[patch, old] = wait
            self._put(patch, old, -1)
            if other >= 0:
                self._put(other, fabric, -1)
                self._put(other, old)
                self.barred_until[other, fabric] = wait
            self._put(patch, fabric)
            cost += change
            if cost < best.cost:
                best, last = judge(self.problem, self.fabric), step
        return best

    def _at_fault(self) -> int | None:
        block = self.problem.block
        fault = (
            TOUCH * self.touch[self.everyone, self.fabric]
            + EXCESS * np.maximum(self.counts[block, self.fabric] - self.problem.most, 0)
            + self.near[block, self.fabric]
        )
        found = np.flatnonzero(fault >= TOUCH)
        if not len(found):
            found = np.flatnonzero(fault)
        return int(found[self.random.integers(len(found))]) if len(found) else None

    def _best_move(self, patch: int, step: int, above: int) -> tuple[int, int, int] | None:
        """The best exchange with another patch, or the best other fabric: change of cost, patch or -1, fabric."""
        problem, own, block = self.problem, int(self.fabric[patch]), self.problem.block
        here = block[patch]
        gain = self._leaving(here, own) - TOUCH * self.touch[patch, own]
        arriving = self._arriving(here, np.arange(len(self.cloth))) + TOUCH * self.touch[patch]
        size, pieces = problem.size[patch], problem.pieces[patch]

        theirs = self.fabric
        more = problem.size - size
        more_pieces = problem.pieces - pieces
        ok = (
            (theirs != own)
            & (self.cloth[own] >= more - 1e-9)
            & (self.cloth[theirs] >= -more - 1e-9)
            & (self.number[own] >= more_pieces)
            & (self.number[theirs] >= -more_pieces)
            & self.may[patch, theirs]
            & self.may[:, own]
        )
        change = (
            gain
            + arriving[theirs]
            + self._leaving(block, theirs)
            - TOUCH * self.touch[self.everyone, theirs]
            + self._arriving(block, np.full(len(theirs), own))
            + TOUCH * self.touch[:, own]
        )
        change[self.touches[patch]] -= 2 * TOUCH
        self._correct(change, here, own, block, theirs)
        late = (self.barred_until[patch, theirs] > step) | (self.barred_until[:, own] > step)
        ok &= ~late | (change < -above)
        swap = self._pick(change, ok)

        free = self.may[patch] & (self.cloth >= size - 1e-9) & (self.number >= pieces)
        free[own] = False
        alone = gain + arriving
        free &= (self.barred_until[patch] <= step) | (alone < -above)
        change_to = self._pick(alone, free)
        if swap is None and change_to is None:
            return None
        if swap is None or (change_to is not None and alone[change_to] <= change[swap]):
            assert change_to is not None
            return int(alone[change_to]), -1, change_to
        return int(change[swap]), swap, int(theirs[swap])

    def _pick(self, change: Whole, ok: NDArray[np.bool_]) -> int | None:
        found = np.flatnonzero(ok)
        if not len(found):
            return None
        values = change[found]
        best = found[values == values.min()]
        return int(best[self.random.integers(len(best))])

    def _leaving(self, block: Whole | int, fabric: Whole | int) -> Whole:
        counts = self.counts[block, fabric]
        given: Whole = -((counts == 1) * self.near[block, fabric] + EXCESS * (counts > self.problem.most))
        return given

    def _arriving(self, block: Whole | int, fabric: Whole | int) -> Whole:
        counts = self.counts[block, fabric]
        given: Whole = (counts == 0) * self.near[block, fabric] + EXCESS * (counts >= self.problem.most)
        return given

    def _correct(self, change: Whole, here: int, own: int, block: Whole, theirs: Whole) -> None:
        """Both ends of an exchange move at once: what one sees of the other is no longer there."""
        apart = self.adjacent[here, block]
        gone = (self.counts[block, theirs] == 1) & (self.counts[here, theirs] == 0)
        left = (self.counts[here, own] == 1) & (self.counts[block, own] == 0)
        change -= apart * (gone.astype(np.int64) + left)
        # Within one block only touching changes.
        inside = np.flatnonzero(block == here)
        change[inside] -= (
            self._leaving(here, own)
            + self._arriving(here, theirs[inside])
            + self._leaving(here, theirs[inside])
            + self._arriving(here, own)
        )
