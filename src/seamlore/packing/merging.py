"""Blocks joined two by two until one is left: a beam search over which two come next.

Every layout that can be cut edge to edge is such a tree of joins, so each of them can be found, and what is found can
be cut. All states of one step have equally many blocks, so that what they have lost so far can be compared; many states
are kept at once as arrays. In the manner of Wang (1983, Operations Research 31:573), whose joins are pruned by their waste.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.packing.pieces import Block, joined, turned

Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

ENDLESS = 1 << 40


@dataclass(frozen=True, slots=True, eq=False)
class _States:
    """Many ways of having joined, each with the same number of blocks; arrays of shape (states, blocks)."""

    width: Whole
    height: Whole
    turns: Flags

    def at(self, rows: NDArray[np.intp]) -> _States:
        return _States(self.width[rows], self.height[rows], self.turns[rows])


@dataclass(frozen=True, slots=True, eq=False)
class _Joins:
    """Which two blocks each state joined, from which state before it it came, and how."""

    parent: NDArray[np.intp]
    first: NDArray[np.intp]
    other: NDArray[np.intp]
    along: Flags
    turn_first: Flags
    turn_second: Flags

    def at(self, rows: NDArray[np.intp]) -> _Joins:
        return _Joins(
            self.parent[rows],
            self.first[rows],
            self.other[rows],
            self.along[rows],
            self.turn_first[rows],
            self.turn_second[rows],
        )


def join_all(blocks: Sequence[Block], width: int, longest: int, *, work: int, states: int) -> Block | None:
    """Join blocks into one that is at most so wide and so long, with little waste.

    Parameters
    ----------
    blocks : sequence of Block
        At least one.
    width, longest : int
        Of the fabric, in parts; `ENDLESS` when its length does not matter.
    work : int
        How many pairs are looked at in one step, over all states.
    states : int
        Most states that are kept.

    Returns
    -------
    Block or None
        None when no state came to an end within the limits.

    Examples
    --------
    >>> four = [Block(3, 2, 6, False, 0), Block(2, 2, 4, False, 1), Block(2, 3, 6, False, 2), Block(3, 3, 9, False, 3)]
    >>> whole = join_all(four, 5, ENDLESS, work=1000, states=10)
    >>> whole.width, whole.height, whole.waste
    (5, 5, 0)
    """
    state = _States(
        np.array([[each.width for each in blocks]], np.int64),
        np.array([[each.height for each in blocks]], np.int64),
        np.array([[each.may_turn for each in blocks]], np.bool_),
    )
    _settle(state, width, longest)
    lost = np.zeros(1, np.int64)
    total = int((state.width * state.height).sum())
    history: list[_Joins] = []
    for left in range(len(blocks), 1, -1):
        kept = int(max(4, min(states, 2 * work // (left * (left - 1)))))
        joins = _best_joins(state, lost, width, longest, 3 * kept)
        if joins is None:
            return None
        after = _joined(state, joins)
        _settle(after, width, longest)
        waste = (after.width * after.height).sum(1) - total
        _, single = np.unique(_keys(after), return_index=True)
        single.sort()
        best = single[np.argsort(waste[single], kind="stable")[:kept]]
        state, lost = after.at(best), waste[best]
        history.append(joins.at(best))
    upright = np.where(state.width[:, 0] <= width, state.height[:, 0], ENDLESS)
    lying = np.where(state.turns[:, 0] & (state.height[:, 0] <= width), state.width[:, 0], ENDLESS)
    length = np.minimum(upright, lying)
    return _replay(blocks, history, int(np.argmin(length)), width)


def _settle(state: _States, width: int, longest: int) -> None:
    """Turn what can lie in one way only; give the whole width, or length, to a block beside which no other fits."""
    short, long = np.minimum(state.width, state.height), np.maximum(state.width, state.height)
    forced = state.turns & (long > width)
    state.width[...] = np.where(forced, short, state.width)
    state.height[...] = np.where(forced, long, state.height)
    state.turns[forced] = False
    if state.width.shape[1] == 1:
        return
    for side, most in ((state.width, width), (state.height, longest)):
        if most >= ENDLESS:
            continue
        least = np.where(state.turns, short, side)
        two = np.partition(least, 1, axis=1)[:, :2]
        others = np.where(least == two[:, :1], two[:, 1:], two[:, :1])
        side[~state.turns & (side < most) & (most - side < others)] = most


def _best_joins(state: _States, lost: Whole, width: int, longest: int, most: int) -> _Joins | None:
    """Give the joins that lose least, of all states together."""
    first, second = np.triu_indices(state.width.shape[1], 1)
    w1, w2, h1, h2 = (side[:, which] for side in (state.width, state.height) for which in (first, second))
    t1, t2 = state.turns[:, first], state.turns[:, second]
    before = lost[:, None] - w1 * h1 - w2 * h2

    def cost(wide: Whole, long: Whole) -> Whole:
        fits = (wide <= width) & (long <= longest)
        fits |= t1 & t2 & (long <= width) & (wide <= longest)
        return np.where(fits, before + wide * long, ENDLESS)

    costs = [cost(w1 + w2, np.maximum(h1, h2)), cost(np.maximum(w1, w2), h1 + h2)]
    either = t1 | t2
    if either.any():
        # One of the two turned against the other; to turn both is to turn the whole.
        a, b = np.where(t2, w1, h1), np.where(t2, h1, w1)
        c, d = np.where(t2, h2, w2), np.where(t2, w2, h2)
        for turned_cost in (cost(a + c, np.maximum(b, d)), cost(np.maximum(a, c), b + d)):
            costs.append(np.where(either, turned_cost, ENDLESS))
    flat = np.stack(costs).ravel()
    best = np.argpartition(flat, most - 1)[:most] if most < len(flat) else np.arange(len(flat))
    best = best[flat[best] < ENDLESS]
    if not len(best):
        return None
    best = best[np.lexsort((best, flat[best]))]
    how, parent, pair = np.unravel_index(best, (len(costs), *w1.shape))
    turn_second = (how >= 2) & t2[parent, pair]
    turn_first = (how >= 2) & ~turn_second
    return _Joins(parent, first[pair], second[pair], how % 2 == 1, turn_first, turn_second)


def _joined(state: _States, joins: _Joins) -> _States:
    """Make each join: the joined block takes the place of its first, the last block that of its second."""
    row = np.arange(len(joins.parent))
    width, height, turns = state.width[joins.parent], state.height[joins.parent], state.turns[joins.parent]
    w1, h1 = width[row, joins.first], height[row, joins.first]
    w2, h2 = width[row, joins.other], height[row, joins.other]
    w1, h1 = np.where(joins.turn_first, h1, w1), np.where(joins.turn_first, w1, h1)
    w2, h2 = np.where(joins.turn_second, h2, w2), np.where(joins.turn_second, w2, h2)
    width[row, joins.first] = np.where(joins.along, np.maximum(w1, w2), w1 + w2)
    height[row, joins.first] = np.where(joins.along, h1 + h2, np.maximum(h1, h2))
    turns[row, joins.first] &= turns[row, joins.other]
    width[row, joins.other] = width[:, -1]
    height[row, joins.other] = height[:, -1]
    turns[row, joins.other] = turns[:, -1]
    return _States(width[:, :-1].copy(), height[:, :-1].copy(), turns[:, :-1].copy())


def _keys(state: _States) -> Whole:
    """Give states with the same blocks the same number, in whatever order they stand."""
    short, long = np.minimum(state.width, state.height), np.maximum(state.width, state.height)
    wide, high = np.where(state.turns, short, state.width), np.where(state.turns, long, state.height)
    key = (wide * 1_000_003 + high) * 2 + state.turns
    # The finalizer of MurmurHash3 (public domain), so that sums of keys hardly ever meet.
    for factor in (-0x00AE502812AA7333, -0x3B314601E57A13AD):
        key ^= key >> 33
        key = key * np.int64(factor)
    return np.asarray((key ^ (key >> 33)).sum(1))


def _replay(blocks: Sequence[Block], history: Sequence[_Joins], row: int, width: int) -> Block:
    """Build the tree of the state `row` of the last step."""
    steps = []
    for joins in reversed(history):
        steps.append((joins, row))
        row = int(joins.parent[row])
    held = [(_forced(each, width), each.may_turn and max(each.width, each.height) <= width) for each in blocks]
    for joins, at in reversed(steps):
        i, j = int(joins.first[at]), int(joins.other[at])
        (one, one_turns), (two, two_turns) = held[i], held[j]
        one = turned(one) if joins.turn_first[at] else one
        two = turned(two) if joins.turn_second[at] else two
        both = joined(one, two, across=not joins.along[at])
        free = one_turns and two_turns
        if free and max(both.width, both.height) > width:
            both, free = _forced(both, width), False
        held[i] = both, free
        held[j] = held[-1]
        held.pop()
    whole, free = held[0]
    return turned(whole) if free and (whole.width > width or whole.width < whole.height <= width) else whole


def _forced(block: Block, width: int) -> Block:
    lies_wide = block.may_turn and max(block.width, block.height) > width and block.width > block.height
    return turned(block) if lies_wide else block
