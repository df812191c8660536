"""A layout taken apart in part and joined anew, again and again: large neighborhood search over the tree of joins."""

from __future__ import annotations

import numpy as np

from seamlore.packing.merging import join_all
from seamlore.packing.pieces import Block

ROUNDS = 70
WORK = 20_000
STATES = 120
# One round in three may give a layout of the same length, so that the search moves on.
SIDEWAYS = 3
SPREAD = 6


def improve(whole: Block, width: int, least: int, *, size: int, seed: int = 0, rounds: int = ROUNDS) -> Block:
    """Shorten a layout.

    Parameters
    ----------
    whole : Block
    width : int
        Of the fabric, in parts.
    least : int
        A length that cannot be beaten: reached, the search ends.
    size : int
        Into about how many blocks it is taken apart at a time.
    seed, rounds : int
        The same ones give the same layout.

    Returns
    -------
    Block
        Not longer than what was given.

    Examples
    --------
    >>> from seamlore.packing.pieces import Block, joined
    >>> one = Block(2, 2, 4, False, 0)
    >>> improve(joined(one, one, across=False), 4, 2, size=8).height
    2
    """
    chance = np.random.default_rng(seed)
    for turn in range(rounds):
        if whole.height <= least:
            break
        most = whole.height - (1 if turn % SIDEWAYS else 0)
        blocks = _apart(whole, size + int(chance.integers(-SPREAD, SPREAD + 1)), chance)
        found = join_all(blocks, width, most, work=WORK, states=STATES)
        if found is not None and found.height <= most:
            whole = found
    return whole


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
