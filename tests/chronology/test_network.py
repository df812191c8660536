"""Messages and matrix products against sums over every assignment; what cannot be taken apart is said."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.chronology.network import Tie, TooTangledError, joint_of, log_product, pushed, solve


def drawn(seed):
    rng = np.random.default_rng(seed)
    size, count = int(rng.integers(2, 5)), int(rng.integers(1, 6))
    weights = rng.normal(size=(count, size)) * 3
    ties = []
    for one, two in itertools.combinations(range(count), 2):
        if rng.random() < 0.5:
            log = rng.normal(size=(size, size))
            log[rng.random((size, size)) < 0.2] = -np.inf
            ties.append(Tie(one, two, log))
    return weights, ties


def enumerated(weights, ties):
    count, size = weights.shape
    table = np.empty((size,) * count)
    for at in itertools.product(range(size), repeat=count):
        log = sum(weights[row, year] for row, year in enumerate(at))
        table[at] = np.exp(log + sum(tie.log[at[tie.one], at[tie.two]] for tie in ties))
    return table


@pytest.mark.parametrize("seed", range(150))
def test_sums_over_trees_and_rings_agree_with_every_assignment(seed):
    weights, ties = drawn(seed)
    table = enumerated(weights, ties)
    count = len(weights)
    try:
        solved = solve(weights, ties)
    except TooTangledError:
        assert count >= 4  # four parts all tied to one another are the least that cannot be taken apart
        return
    if table.sum() == 0:
        assert solved.log_total == -np.inf
        return
    assert_allclose(solved.log_total, np.log(table.sum()))
    table /= table.sum()
    for part in range(count):
        others = tuple(axis for axis in range(count) if axis != part)
        assert_allclose(np.exp(solved.log_p[part]), table.sum(axis=others), atol=1e-12)
    for (one, two), joint in solved.joints.items():
        others = tuple(axis for axis in range(count) if axis not in (one, two))
        assert_allclose(np.exp(joint), table.sum(axis=others), atol=1e-12)


@pytest.mark.parametrize("seed", range(60))
def test_years_of_two_parts_that_are_not_tied_agree_with_every_assignment(seed):
    weights, ties = drawn(seed)
    table = enumerated(weights, ties)
    if len(weights) < 3 or table.sum() == 0:
        return
    try:
        joint = joint_of(weights, ties, 0, 2)
    except TooTangledError:
        return
    others = tuple(axis for axis in range(len(weights)) if axis not in (0, 2))
    assert_allclose(joint, (table / table.sum()).sum(axis=others), atol=1e-12)


def test_products_of_far_apart_weights_keep_their_digits():
    one = np.array([[0.0, -900.0], [-np.inf, -1500.0]])
    two = np.array([[-np.inf, -5.0], [-3.0, -np.inf]])
    assert_allclose(log_product(one, two), [[-903.0, -5.0], [-1503.0, -np.inf]])


def test_other_years_for_one_part_are_carried_to_all_that_are_tied_to_it():
    weights, ties = np.zeros((3, 4)), []
    rng = np.random.default_rng(5)
    ties = [Tie(0, 1, rng.normal(size=(4, 4))), Tie(1, 2, rng.normal(size=(4, 4)))]
    solved = solve(weights, ties)
    fixed = np.zeros((4, 1))
    fixed[2] = 1.0
    moved = pushed(solved, 0, fixed)
    known = weights.copy()
    known[0] = [-np.inf, -np.inf, 0.0, -np.inf]
    again = solve(known, ties)
    for part in range(3):
        assert_allclose(moved[part][:, 0], np.exp(again.log_p[part]), atol=1e-12)
