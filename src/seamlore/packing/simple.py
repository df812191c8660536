"""A plan with few settings of the ruler: strips chosen by a whole-number program that counts settings, not fabric.

Every strip that could be cut has its own settings (how far across, how far back); strips of one depth share the setting of
their depth. Fabric is only limited: so much more than the frugal plan takes. The frugal plan's own strips may be chosen
too, so that there is always an answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from seamlore.packing.cuts import cuts_of, in_order, settings
from seamlore.packing.pieces import Block, Kind, in_a_row, piece
from seamlore.packing.strips import held_by, whole_strips
from seamlore.solving.program import INFINITY, Rows, solve

Whole = NDArray[np.int64]

NODES = 4
ITERATIONS = 8_000
GAP = 0.1
# So many strips that hold two kinds are tried, so many of each pair; and so many others are offered to the program.
PAIRS = 60
WAYS = 4
BANDS = 60
OTHERS = 30


def simplest(
    kinds: Sequence[Kind], width: int, frugal: Sequence[Block], offered: Sequence[Block], longest: int
) -> tuple[Block, ...]:
    """Lay all pieces out in strips that need few settings of the ruler.

    Parameters
    ----------
    kinds : sequence of Kind
        Each lies in some way within the width.
    width : int
        In parts.
    frugal : sequence of Block
        Strips of a plan that is not longer than `longest`.
    offered : sequence of Block
        Other strips that are worth looking at.
    longest : int
        How long the plan may be, in parts.

    Returns
    -------
    tuple of Block
        The frugal strips where nothing simpler was found.

    Examples
    --------
    Squares beside each other need two depths, oblongs cut from what is left of their strips one more setting; apart, in
    strips of their own, they take four settings as well but more fabric.

    >>> kinds = [Kind(5, 5, 16, False), Kind(5, 2, 8, False)]
    >>> rows = [in_a_row([piece(kinds, 0)] * 8, across=True)] * 2 + [in_a_row([piece(kinds, 1)] * 8, across=True)]
    >>> sum(each.height for each in simplest(kinds, 42, rows, [], 13))
    12
    """
    pool = _pool(kinds, width, frugal, offered)
    held = np.array([held_by(block, len(kinds)) for block in pool], np.int64)
    kept = _worth_having(pool, held, width)
    pool, held = [pool[k] for k in kept], held[kept]
    need = np.array([kind.count for kind in kinds], np.int64)
    chosen = _chosen(pool, held, need, width, longest)
    plans = [in_order(frugal)]
    if chosen is not None:
        plans.append(in_order(whole_strips(kinds, [(b, n) for b, n in zip(pool, chosen, strict=True) if n])))
    fitting = [plan for plan in plans if sum(each.height for each in plan) <= longest]
    return min(fitting, key=lambda plan: (settings(cuts_of(plan, width)), sum(each.height for each in plan)))


def _pool(kinds: Sequence[Kind], width: int, frugal: Sequence[Block], offered: Sequence[Block]) -> list[Block]:
    """Every strip that may be chosen: of one kind, of two of one depth, the frugal plan's, and others with few settings."""
    found: dict[Block, None] = {}
    by_depth: dict[int, list[Block]] = {}
    for index, kind in enumerate(kinds):
        for lies in kind.lies(width):
            one = piece(kinds, index, turned=lies[2])
            found[in_a_row([one] * min(width // one.width, kind.count), across=True)] = None
            by_depth.setdefault(one.height, []).append(one)
    pairs: list[Block] = []
    for ones in by_depth.values():
        for one, other in combinations(ones, 2):
            if one.kind != other.kind:
                pairs += _both(one, other, kinds, width)
    pairs.sort(key=lambda block: width - block.width)
    found |= dict.fromkeys(pairs[:PAIRS])
    found |= dict.fromkeys(_bands(kinds, width))
    few = sorted(dict.fromkeys(offered), key=lambda block: (settings(cuts_of([block], width)), block.waste))
    return list(dict.fromkeys([*found, *frugal, *few[:OTHERS]]))


def _bands(kinds: Sequence[Kind], width: int) -> list[Block]:
    """Strips as deep as what is longer than the fabric is wide, with rows of one other kind beside it."""
    long = [k for k, kind in enumerate(kinds) if all(high > width for _, high, _ in kind.lies(width))]
    columns = [piece(kinds, k, turned=kinds[k].lies(width)[0][2]) for k in long for _ in range(kinds[k].count)]
    columns.sort(key=lambda one: (-one.height, -one.width, one.kind))
    found: list[Block] = []
    while columns and len(found) < BANDS:
        taken: list[Block] = []
        while columns and sum(one.width for one in taken) + columns[0].width <= width:
            taken.append(columns.pop(0))
        beside, deep = width - sum(one.width for one in taken), taken[0].height
        for k, kind in enumerate(kinds):
            for wide, high, lies_turned in () if k in long else kind.lies(beside):
                row = in_a_row([piece(kinds, k, turned=lies_turned)] * (beside // wide), across=True)
                rows = min(deep // high, -(-kind.count // (beside // wide)))
                if rows:
                    found.append(in_a_row([*taken, in_a_row([row] * rows, across=False)], across=True))
        found.append(in_a_row(taken, across=True))
    return found


def _both(one: Block, other: Block, kinds: Sequence[Kind], width: int) -> list[Block]:
    """The fullest strips that hold some of one kind and some of another."""
    ways = []
    for many in range(1, min(width // one.width, kinds[one.kind].count) + 1):
        rest = min((width - many * one.width) // other.width, kinds[other.kind].count)
        if rest > 0:
            ways.append((width - many * one.width - rest * other.width, many, rest))
    return [in_a_row([one] * many + [other] * rest, across=True) for _, many, rest in sorted(ways)[:WAYS]]


def _worth_having(pool: Sequence[Block], held: Whole, width: int) -> list[int]:
    """Leave out a strip where another of its depth holds as much of every kind with no more settings."""
    deep = np.array([block.height for block in pool])
    own = np.array([settings(cuts_of([block], width)) for block in pool])
    kept = []
    for k in range(len(pool)):
        as_good = (deep == deep[k]) & (own <= own[k]) & (held >= held[k]).all(1)
        better = as_good & ((own < own[k]) | (held > held[k]).any(1) | (np.arange(len(pool)) < k))
        if not better.any():
            kept.append(k)
    return kept


def _chosen(pool: Sequence[Block], held: Whole, need: Whole, width: int, longest: int) -> list[int] | None:
    """Solve: how often each strip is cut, whether it is, and whether a strip of its depth is."""
    strips = len(pool)
    depths = {depth: at for at, depth in enumerate(dict.fromkeys(block.height for block in pool))}
    own = np.array([settings(cuts_of([block], width)) - 1 for block in pool], float)
    deep = np.array([block.height for block in pool], float)
    with np.errstate(divide="ignore"):
        often = np.ceil(np.where(held > 0, need / np.maximum(held, 1), 0)).max(1)
    often = np.minimum(often, longest // deep)
    total = 2 * strips + len(depths)
    rows = Rows()
    for kind in range(len(need)):
        at = np.flatnonzero(held[:, kind])
        rows.add(at, held[at, kind].astype(float), float(need[kind]), INFINITY)
    rows.add(np.arange(strips), deep, 0.0, float(longest))
    for k, block in enumerate(pool):
        rows.add([k, strips + k], [-1.0, max(1.0, often[k])], 0.0, INFINITY)
        rows.add([strips + k, 2 * strips + depths[block.height]], [-1.0, 1.0], 0.0, INFINITY)
    # Among plans with equally many settings the shorter; so much less than one setting that it decides nothing else.
    cost = np.concatenate([0.5 * deep / longest, own, np.ones(len(depths))])
    most = np.concatenate([often, np.ones(strips + len(depths))])
    found = solve(
        rows.program(most, cost=cost, whole=np.ones(total, np.bool_)), nodes=NODES, iterations=ITERATIONS, gap=GAP
    )
    return None if found.values is None else [int(each) for each in np.rint(found.values[:strips])]
