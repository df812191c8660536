"""Blocks joined two by two until one is left: a beam search over which two come next.

Every layout that can be cut edge to edge is such a tree of joins, so each of them can be found, and what is found can
be cut. All states of one step have equally many blocks, so that what they have lost so far can be compared; many states
are kept at once as arrays. In the manner of Wang (1983, Operations Research 31:573), whose joins are pruned by their waste.
Like blocks stand beside each other in a state, so that only the first of them, or the first two, are looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from seamlore.packing.pieces import Block, joined, turned

Whole = NDArray[np.signedinteger[Any]]
Flags = NDArray[np.bool_]
Order = NDArray[np.intp]

ENDLESS = 1 << 40
# Every so many costs are looked at to find out which are small; a prime, so that no order in the costs is met.
SAMPLED = 17


@dataclass(frozen=True, slots=True, eq=False)
class _States:
    """Many ways of having joined, each with the same number of blocks; arrays of shape (blocks, states).

    A block that may turn stands with its long side along the fabric.
    """

    width: Whole
    height: Whole
    turns: Flags

    def at(self, states: Order) -> _States:
        return _States(self.width.take(states, 1), self.height.take(states, 1), self.turns.take(states, 1))


@dataclass(frozen=True, slots=True, eq=False)
class _Joins:
    """Which two blocks each state joined, from which state before it it came, and how; arrays of shape (states,).

    `order` has shape (blocks, states): where each block then stood before they were put in order.
    """

    parent: Order
    first: Order
    other: Order
    along: Flags
    turn_first: Flags
    turn_second: Flags
    order: Order

    def at(self, states: Order) -> _Joins:
        return _Joins(
            self.parent[states],
            self.first[states],
            self.other[states],
            self.along[states],
            self.turn_first[states],
            self.turn_second[states],
            self.order[:, states],
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
    held = [_normal(each, width) for each in blocks]
    sides = _number(held, width, longest)
    state = _States(
        np.array([[each.width] for each, _ in held], sides),
        np.array([[each.height] for each, _ in held], sides),
        np.array([[turns] for _, turns in held], np.bool_),
    )
    _settle(state, width, longest)
    state, keys, order = _ordered(state)
    held = [held[k] for k in order[:, 0]]
    lost = np.zeros(1, sides)
    total = int((state.width * state.height).sum())
    history: list[_Joins] = []
    for left in range(len(blocks), 1, -1):
        kept = int(max(4, min(states, 2 * work // (left * (left - 1)))))
        joins = _best_joins(state, keys, lost, width, longest, 3 * kept)
        if joins is None:
            return None
        after = _joined(state, joins)
        _settle(after, width, longest)
        after, keys, order = _ordered(after)
        waste = (after.width * after.height).sum(0, dtype=sides) - sides(total)
        _, single = np.unique(_mixed(keys).sum(0), return_index=True)
        single.sort()
        best = single[np.argsort(waste[single], kind="stable")[:kept]]
        state, keys, lost = after.at(best), keys.take(best, axis=1), waste[best]
        history.append(replace(joins, order=order).at(best))
    length = np.where(state.turns, state.width, np.where(state.width <= width, state.height, np.iinfo(sides).max))[0]
    return _replay(held, history, int(np.argmin(length)), width)


def _number(held: Sequence[tuple[Block, bool]], width: int, longest: int) -> type[np.signedinteger[Any]]:
    """Give the smaller kind of number where every area that can come up has room in it: it is counted twice as fast."""
    high = sum(max(each.width, each.height) for each, _ in held)
    wide = max(width, *(each.width for each, _ in held))
    most = 8 * wide * max(high, longest if longest < ENDLESS else 0)
    return np.int32 if most < np.iinfo(np.int32).max else np.int64


def _normal(block: Block, width: int) -> tuple[Block, bool]:
    """Give a block with its long side along the fabric where it may turn, and whether it may lie in both ways."""
    if not block.may_turn:
        return block, False
    lying = turned(block) if block.width > block.height else block
    return lying, lying.height <= width


def _settle(state: _States, width: int, longest: int) -> None:
    """Turn what can lie in one way only; give the whole width, or length, to a block beside which no other fits."""
    state.turns[...] &= state.height <= width
    if len(state.width) == 1:
        return
    for side, most in ((state.width, width), (state.height, longest)):
        if most >= ENDLESS:
            continue
        # What may turn is as narrow, or as low, as its short side.
        least = np.where(state.turns, state.width, side)
        two = np.partition(least, 1, axis=0)[:2]
        others = np.where(least == two[:1], two[1:], two[:1])
        side[~state.turns & (side < most) & (most - side < others)] = most


def _ordered(state: _States) -> tuple[_States, NDArray[np.int64], Order]:
    """Put like blocks beside each other; give a number for each block, and where it stood."""
    keys = (state.width.astype(np.int64) * 1_000_003 + state.height) * 2 + state.turns
    order = np.argsort(keys, axis=0, kind="stable")
    row = np.arange(keys.shape[1])
    return (
        _States(state.width[order, row], state.height[order, row], state.turns[order, row]),
        keys[order, row],
        order,
    )


def _best_joins(
    state: _States, keys: NDArray[np.int64], lost: Whole, width: int, longest: int, most: int
) -> _Joins | None:
    """Give the joins that lose least, of all states together."""
    first, second = _pairs(len(state.width))
    w1, w2, h1, h2 = (side.take(which, axis=0) for side in (state.width, state.height) for which in (first, second))
    t1, t2 = state.turns.take(first, axis=0), state.turns.take(second, axis=0)
    before = lost - w1 * h1 - w2 * h2
    endless = np.iinfo(before.dtype).max
    longest = min(longest, int(endless))
    both = t1 & t2
    # Of like blocks the first is taken, and the next where two of them are joined.
    like = np.zeros(keys.shape, np.bool_)
    np.equal(keys[1:], keys[:-1], out=like[1:])
    again = like.take(first, axis=0) | (like.take(second, axis=0) & (second - first > 1)[:, None])

    def cost(wide: Whole, long: Whole, out: Flags) -> Whole:
        fits = (wide <= width) & (long <= longest)
        fits |= both & (long <= width) & (wide <= longest)
        fits &= ~out
        return np.where(fits, before + wide * long, endless)

    costs = [cost(w1 + w2, np.maximum(h1, h2), again), cost(np.maximum(w1, w2), h1 + h2, again)]
    # One of the two turned against the other; to turn both is to turn the whole, and a square stays as it is.
    once = again | ~(t1 | t2) | (t1 & (w1 == h1)) | (t2 & (w2 == h2))
    if not once.all():
        a, b = np.where(t2, w1, h1), np.where(t2, h1, w1)
        c, d = np.where(t2, h2, w2), np.where(t2, w2, h2)
        costs += [cost(a + c, np.maximum(b, d), once), cost(np.maximum(a, c), b + d, once)]
    flat = np.stack(costs).ravel()
    best = _smallest(flat, most)
    best = best[flat[best] < endless]
    if not len(best):
        return None
    how, pair, parent = np.unravel_index(best, (len(costs), *w1.shape))
    turn_second = (how >= 2) & t2[pair, parent]
    turn_first = (how >= 2) & ~turn_second
    return _Joins(parent, first[pair], second[pair], how % 2 == 1, turn_first, turn_second, parent[None])


@cache
def _pairs(blocks: int) -> tuple[Order, Order]:
    return np.triu_indices(blocks, 1)


def _smallest(values: Whole, most: int) -> Order:
    """Find the smallest values in their order, of like ones the first."""
    at = np.arange(len(values))
    some = values[::SAMPLED]
    enough = most // SAMPLED + most // (2 * SAMPLED) + 8
    if enough < len(some):
        at = np.flatnonzero(values <= np.partition(some, enough)[enough])
        if len(at) < most:
            at = np.arange(len(values))
    if len(at) > most:
        found = values[at]
        at = at[found <= np.partition(found, most - 1)[most - 1]]
    return at[np.argsort(values[at], kind="stable")[:most]]


def _joined(state: _States, joins: _Joins) -> _States:
    """Make each join: the joined block takes the place of its first, the last block that of its second."""
    row = np.arange(len(joins.parent))
    after = state.at(joins.parent)
    width, height, turns = after.width, after.height, after.turns
    w1, h1 = width[joins.first, row], height[joins.first, row]
    w2, h2 = width[joins.other, row], height[joins.other, row]
    w1, h1 = np.where(joins.turn_first, h1, w1), np.where(joins.turn_first, w1, h1)
    w2, h2 = np.where(joins.turn_second, h2, w2), np.where(joins.turn_second, w2, h2)
    wide = np.where(joins.along, np.maximum(w1, w2), w1 + w2)
    long = np.where(joins.along, h1 + h2, np.maximum(h1, h2))
    free = turns[joins.first, row] & turns[joins.other, row]
    width[joins.first, row] = np.where(free, np.minimum(wide, long), wide)
    height[joins.first, row] = np.where(free, np.maximum(wide, long), long)
    turns[joins.first, row] = free
    width[joins.other, row] = width[-1]
    height[joins.other, row] = height[-1]
    turns[joins.other, row] = turns[-1]
    return _States(width[:-1], height[:-1], turns[:-1])


def _mixed(keys: NDArray[np.int64]) -> NDArray[np.int64]:
    """Mix numbers as the finalizer of MurmurHash3 does (public domain), so that sums of them hardly ever meet."""
    key = keys
    for factor in (-0x00AE502812AA7333, -0x3B314601E57A13AD):
        key = (key ^ (key >> 33)) * np.int64(factor)
    return key ^ (key >> 33)


def _replay(held: Sequence[tuple[Block, bool]], history: Sequence[_Joins], state: int, width: int) -> Block:
    """Build the tree of one state of the last step."""
    steps = []
    for joins in reversed(history):
        steps.append((joins, state))
        state = int(joins.parent[state])
    parts = list(held)
    for joins, at in reversed(steps):
        i, j = int(joins.first[at]), int(joins.other[at])
        (one, one_turns), (two, two_turns) = parts[i], parts[j]
        one = turned(one) if joins.turn_first[at] else one
        two = turned(two) if joins.turn_second[at] else two
        both = joined(one, two, across=not joins.along[at])
        parts[i] = _normal(both, width) if one_turns and two_turns else (both, False)
        parts[j] = parts[-1]
        parts.pop()
        parts = [parts[k] for k in joins.order[:, at]]
    whole, free = parts[0]
    return turned(whole) if free else whole
