"""A layout taken apart in part and joined anew, again and again: large neighborhood search over the tree of joins.

A layout may be followed by a longer one, no longer than the one some rounds ago, so that the search does not stay where it
is: late acceptance, Burke and Bykov 2017, European Journal of Operational Research 258:70. The shortest is kept.
"""

from __future__ import annotations

import numpy as np

from seamlore.packing.merging import join_all
from seamlore.packing.pieces import Block, in_a_row

WORK = 10_000
STATES = 120
# Least blocks that a layout is taken apart into; the most is asked for.
LEAST = 8
# One round in three may give a layout of the same length, so that the search moves on.
SIDEWAYS = 3
LATE = 10
# Strips taken apart together, into how many blocks, and how often before others are.
MOST_STRIPS = 5
AT_ONCE = 20
EACH = 6


def improve(whole: Block, width: int, least: int, *, size: int, rounds: int, seed: int = 0) -> Block:
    """Shorten a layout.

    Parameters
    ----------
    whole : Block
    width : int
        Of the fabric, in parts.
    least : int
        A length that cannot be beaten: reached, the search ends.
    size : int
        Into how many blocks it is taken apart at the most; `LEAST` or more.
    rounds : int
        How often.
    seed : int
        The same one gives the same layout.

    Returns
    -------
    Block
        Not longer than what was given.

    Examples
    --------
    >>> from seamlore.packing.pieces import Block, joined
    >>> one = Block(2, 2, 4, False, 0)
    >>> improve(joined(one, one, across=False), 4, 2, size=8, rounds=5).height
    2
    """
    if whole.height <= least:
        return whole
    chance = np.random.default_rng(seed)
    best, lengths = whole, [whole.height] * LATE
    for turn in range(rounds):
        if best.height <= least:
            break
        most = max(whole.height - (1 if turn % SIDEWAYS else 0), lengths[turn % LATE])
        blocks = _apart(whole, int(chance.integers(LEAST, size + 1)), chance)
        found = join_all(blocks, width, most, work=WORK, states=STATES)
        if found is not None and found.height <= most:
            whole = found
        lengths[turn % LATE] = whole.height
        if whole.height < best.height:
            best = whole
    return best


def improve_strips(whole: Block, width: int, least: int, *, rounds: int, seed: int = 2) -> Block:
    """Shorten a layout of many strips: a few of them, more likely those that lose most, are taken apart at a time.

    Parameters
    ----------
    whole, width, least, rounds, seed
        As for `improve`.

    Examples
    --------
    >>> one = Block(2, 2, 4, False, 0)
    >>> improve_strips(in_a_row([one] * 4, across=False), 4, 4, rounds=5).height
    4
    """
    chance = np.random.default_rng(seed)
    strips = strips_of(whole)
    for turn in range(rounds):
        high = sum(each.height for each in strips)
        if high <= least or len(strips) < 2:
            break
        lost = np.array([each.height * width - each.area + 1 for each in strips], float)
        many = min(len(strips), int(chance.integers(2, MOST_STRIPS + 1)))
        taken = set(chance.choice(len(strips), many, replace=False, p=lost / lost.sum()).tolist())
        some = [each for at, each in enumerate(strips) if at in taken]
        rest = [each for at, each in enumerate(strips) if at not in taken]
        part = in_a_row(some, across=False)
        enough = max(-(-part.area // width), least - sum(each.height for each in rest))
        shorter = improve(part, width, enough, size=AT_ONCE, rounds=EACH, seed=seed + turn)
        strips = rest + strips_of(shorter)
    return in_a_row(strips, across=False)


def strips_of(block: Block) -> list[Block]:
    """Part a layout by its cuts across the whole width.

    Examples
    --------
    >>> one = Block(2, 2, 4, False, 0)
    >>> len(strips_of(in_a_row([one] * 4, across=False))), len(strips_of(in_a_row([one] * 4, across=True)))
    (4, 1)
    """
    todo, strips = [block], []
    while todo:
        each = todo.pop()
        if each.kind < 0 and not each.across and each.blocks:
            todo += reversed(each.blocks)
        else:
            strips.append(each)
    return strips


def _apart(whole: Block, size: int, chance: np.random.Generator) -> list[Block]:
    """Take a layout apart into about so many blocks; more likely there where more is lost."""
    blocks = [whole]
    power = chance.choice([0.3, 0.6, 1.0])
    while len(blocks) < size:
        parted = [at for at, each in enumerate(blocks) if each.blocks]
        if not parted:
            break
        weight = np.array([blocks[at].waste + 0.01 * blocks[at].area for at in parted]) ** power
        at = parted[int(chance.choice(len(parted), p=weight / weight.sum()))]
        blocks[at : at + 1] = blocks[at].blocks
    return blocks
