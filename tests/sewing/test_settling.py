"""Choices for many neighbors at once: against every choice tried, and bounds that hold where not all can be settled at once."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.lengths import inches
from seamlore.sewing import settling
from seamlore.sewing.settling import cost, settled
from seamlore.sewing.top import sewn_top


def grid(seed, rows, columns, ways):
    """Random costs between the cells of a grid that touch along a side."""
    dice = np.random.default_rng(seed)
    at = {(r, c): r * columns + c for r in range(rows) for c in range(columns)}
    beside = [((r, c), (r + dr, c + dc)) for r, c in at for dr, dc in ((0, 1), (1, 0)) if (r + dr, c + dc) in at]
    counts = {number: int(dice.integers(1, ways + 1)) for number in at.values()}
    pairs = {(at[a], at[b]): dice.integers(0, 5, (counts[at[a]], counts[at[b]])) for a, b in beside}
    return counts, pairs, list(at.values())


def least(counts, pairs):
    names = list(counts)
    return min(
        cost(dict(zip(names, way, strict=True)), pairs) for way in product(*(range(counts[name]) for name in names))
    )


@pytest.mark.parametrize("seed", range(6))
def test_no_choice_for_all_costs_less(seed):
    counts, pairs, order = grid(seed, 3, 3, 3)
    chosen, bound = settled(counts, pairs, order)
    assert cost(chosen, pairs) == bound == least(counts, pairs)


@pytest.mark.parametrize("seed", range(6))
def test_where_bands_are_settled_one_by_one_the_bound_still_holds(seed, monkeypatch):
    counts, pairs, order = grid(seed, 4, 3, 3)
    exact, best = settled(counts, pairs, order)
    monkeypatch.setattr(settling, "_ENTRIES", 30)
    chosen, bound = settled(counts, pairs, order)
    assert set(chosen) == set(exact)
    assert bound <= best <= cost(chosen, pairs) <= best + 6


def test_nothing_to_choose_costs_nothing():
    assert settled({}, {}, []) == ({}, 0)
    assert settled({3: 2}, {}, [3]) == ({3: 0}, 0)


# Blocks whose neighbors cannot all nest: of many columns too, no way of laying and pressing them is better.
@pytest.mark.parametrize(
    ("name", "rows", "columns"), [("54-40 or Fight", 5, 4), ("54-40 or Fight", 7, 8), ("Sawtooth Star", 8, 8)]
)
def test_a_large_quilt_is_nested_as_well_as_can_be(name, rows, columns):
    top = sewn_top(repeated("q", find(name), inches(12), inches(12), rows, columns))
    assert len(top.lying.clashes) == top.lying.bound
