"""Choosing for many neighbors at once: of each one of a few ways, so that what neighbors cost each other is least.

Neighbors are taken out one after the other: what the best choice for one costs is written down for every choice of those
that it touches (bucket elimination; Bertele and Brioschi, Nonserial Dynamic Programming, 1972). Where few touch at a
time, as in a quilt of a few columns, that gives the least cost there is. Where too many do, bands of rows are settled so one after the
other, the rest staying as it is, and what no choice can better is that of the bands by themselves and of the seams between them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

Costs = NDArray[np.int64]
# Of two neighbors, by their numbers, the lower first: the cost of every choice for the one and for the other.
Pairs = Mapping[tuple[int, int], Costs]
# Entries of a table at most.
_ENTRIES = 1 << 18
_SWEEPS = 6


def settled(counts: Mapping[int, int], pairs: Pairs, order: Sequence[int]) -> tuple[dict[int, int], int]:
    """Choose for all.

    Parameters
    ----------
    counts : dict of int to int
        How many ways there are for each.
    pairs : dict of (int, int) to ndarray
    order : sequence of int
        All of them, row by row; bands follow it.

    Returns
    -------
    dict of int to int, int
        The choice for each, and what no choice for all can better.

    Examples
    --------
    >>> clash = np.array([[1, 0], [0, 1]])
    >>> settled({0: 2, 1: 2, 2: 2}, {(0, 1): clash, (1, 2): clash, (0, 2): clash}, [0, 1, 2])
    ({2: 0, 1: 0, 0: 1}, 1)
    """
    bands = _bands(counts, pairs, order)
    chosen, bound = dict[int, int](), 0
    for band in bands:
        inside = frozenset(band)
        alone, least = _exact(band, counts, _within(pairs, inside), {})
        bound += least
        chosen.update(
            alone
            if len(bands) == 1
            else _exact(band, counts, _within(pairs, inside), _given(pairs, inside, chosen))[0]
        )
    if len(bands) < 2:
        return chosen, bound
    of = {number: place for place, band in enumerate(bands) for number in band}
    bound += sum(int(table.min()) for (one, other), table in pairs.items() if of[one] != of[other])
    best = cost(chosen, pairs)
    # Bands that begin halfway between the others settle what lies on both sides of their seams.
    for sweep in range(_SWEEPS):
        shifted = _bands(counts, pairs, order, len(bands[0]) // 2 if sweep % 2 == 0 else 0)
        for band in shifted:
            inside = frozenset(band)
            chosen.update(_exact(band, counts, _within(pairs, inside), _given(pairs, inside, chosen))[0])
        now = cost(chosen, pairs)
        if now == best and sweep % 2:
            break
        best = now
    return chosen, bound


def cost(chosen: Mapping[int, int], pairs: Pairs) -> int:
    """What the choices cost in all."""
    return sum(int(table[chosen[one], chosen[other]]) for (one, other), table in pairs.items())


def _within(pairs: Pairs, inside: frozenset[int]) -> Pairs:
    return {both: table for both, table in pairs.items() if both[0] in inside and both[1] in inside}


def _given(pairs: Pairs, inside: frozenset[int], chosen: Mapping[int, int]) -> dict[int, Costs]:
    """What each choice costs beside neighbors that have been settled."""
    found: dict[int, Costs] = {}
    for (one, other), table in pairs.items():
        for here, there, costs in ((one, other, table), (other, one, table.T)):
            if here in inside and there not in inside and there in chosen:
                found[here] = found.get(here, 0) + costs[:, chosen[there]]
    return found


def _bands(counts: Mapping[int, int], pairs: Pairs, order: Sequence[int], first: int = 0) -> list[list[int]]:
    """Parts of the order, each as long as it can be settled at once; the first of a given length, if one is given."""
    near = _near(pairs)
    bands, left = [], list(order)
    while first and not _fits(left[:first], counts, near):
        first //= 2
    if first:
        bands, left = [left[:first]], left[first:]
    while left:
        low, high = 1, len(left)
        if _fits(left, counts, near):
            low = high
        while low < high:
            middle = (low + high + 1) // 2
            low, high = (middle, high) if _fits(left[:middle], counts, near) else (low, middle - 1)
        bands.append(left[:low])
        left = left[low:]
    return bands


def _near(pairs: Pairs) -> dict[int, set[int]]:
    near: dict[int, set[int]] = defaultdict(set)
    for one, other in pairs:
        near[one].add(other)
        near[other].add(one)
    return near


def _fits(band: Sequence[int], counts: Mapping[int, int], near: Mapping[int, set[int]]) -> bool:
    return _taken_out(band, counts, near) is not None


def _taken_out(band: Sequence[int], counts: Mapping[int, int], near: Mapping[int, set[int]]) -> list[int] | None:
    """In which order they are taken out, the smallest table first or row by row; None where one would be too large."""
    return _order(band, counts, near, {}) or _order(
        band, counts, near, {number: at for at, number in enumerate(band)}
    )


def _order(
    band: Iterable[int], counts: Mapping[int, int], near: Mapping[int, set[int]], place: Mapping[int, int]
) -> list[int] | None:
    inside = set(band)
    touching = {number: near.get(number, set()) & inside for number in inside}
    order = []

    def size(number: int) -> int:
        entries = counts[number]
        for other in touching[number]:
            entries *= counts[other]
        return entries

    while touching:
        number = min(touching, key=lambda each: (place.get(each, 0), size(each), each))
        if size(number) > _ENTRIES:
            return None
        order.append(number)
        beside = touching.pop(number)
        for other in beside:
            touching[other] |= beside
            touching[other] -= {other, number}
    return order


def _exact(
    band: Sequence[int], counts: Mapping[int, int], pairs: Pairs, given: Mapping[int, Costs]
) -> tuple[dict[int, int], int]:
    """The least cost of a band, and choices that reach it."""
    order = _taken_out(band, counts, _near(pairs))
    assert order is not None  # bands are made so that they fit
    tables: list[tuple[tuple[int, ...], Costs]] = [(both, table) for both, table in pairs.items()]
    tables += [((number,), table) for number, table in given.items()]
    kept: list[tuple[int, tuple[int, ...], Costs]] = []
    least = 0
    for number in order:
        mine = [each for each in tables if number in each[0]]
        tables = [each for each in tables if number not in each[0]]
        names = tuple(sorted({name for held, _ in mine for name in held} - {number}))
        whole = np.zeros([counts[name] for name in (number, *names)], dtype=np.int64)
        for held, table in mine:
            whole += _spread(held, table, (number, *names))
        kept.append((number, names, whole.argmin(axis=0)))
        rest = whole.min(axis=0)
        if names:
            tables.append((names, rest))
        else:
            least += int(rest)
    chosen: dict[int, int] = {}
    for number, names, best in reversed(kept):
        chosen[number] = int(best[tuple(chosen[name] for name in names)])
    return chosen, least


def _spread(held: tuple[int, ...], table: Costs, names: tuple[int, ...]) -> Costs:
    """A table with an axis for each name, of length 1 where it does not depend on it."""
    turned = np.transpose(table, sorted(range(len(held)), key=lambda axis: names.index(held[axis])))
    sides = iter(turned.shape)
    return turned.reshape([next(sides) if name in held else 1 for name in names])
