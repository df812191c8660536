"""Programs: solved right, the same every time, and in silence."""

import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from seamlore.solving.program import Program, solve


def dense(cost, matrix, low, high, lower=0.0, upper=10.0, whole=False):
    matrix = np.atleast_2d(np.array(matrix, float))
    rows, columns = np.nonzero(matrix)
    count = len(cost)
    return Program(
        np.array(cost, float), np.full(count, lower), np.full(count, upper), rows, columns, matrix[rows, columns],
        np.array(low, float), np.array(high, float), np.full(count, whole),
    )  # fmt: skip


@given(st.lists(st.integers(1, 9), min_size=2, max_size=4), st.integers(1, 30), st.integers(0, 2**32 - 1))
@settings(max_examples=30, deadline=None)
def test_whole_number_programs_are_as_good_as_trying_everything(weights, need, seed):
    cost = np.random.default_rng(seed).integers(1, 9, len(weights))
    grid = np.stack(np.meshgrid(*[np.arange(5)] * len(weights)), axis=-1).reshape(-1, len(weights))
    enough = grid[grid @ weights >= need]
    found = solve(dense(cost, [weights], [need], [np.inf], upper=4.0, whole=True))
    if len(enough):
        assert_allclose(found.cost, (enough @ cost).min())
        assert_allclose(found.bound, found.cost)
    else:
        assert found.status == "infeasible"


def test_linear_programs_are_optimal_by_strong_duality():
    # Theory, not another solver: a feasible solution and feasible prices of equal cost are both optimal.
    random = np.random.default_rng(5)
    matrix = random.integers(0, 5, (12, 20)).astype(float)
    need, cost = random.integers(5, 20, 12).astype(float), random.integers(1, 9, 20).astype(float)
    found = solve(dense(cost, matrix, need, np.full(12, np.inf), upper=np.inf))
    assert (matrix @ found.values >= need - 1e-7).all()
    assert (found.row_duals @ matrix <= cost + 1e-7).all()
    assert_allclose(found.row_duals @ need, found.cost)


def test_a_limit_gives_a_bound_below_what_was_found():
    random = np.random.default_rng(1)
    matrix = random.integers(1, 30, (30, 90))
    need = matrix.sum(axis=1) / 2 + 0.5
    found = solve(
        dense(random.integers(5, 50, 90), matrix, need, np.full(30, np.inf), upper=1.0, whole=True), nodes=1
    )
    assert found.status == "limit"
    assert 0 < found.bound <= found.cost


def test_the_optimizer_prints_nothing():
    # The demand of `--json`: one JSON object on standard output and nothing else.
    code = (
        "import numpy as np; from seamlore.solving.program import Program, solve; z = np.zeros(1, int);"
        "solve(Program(np.ones(1), np.zeros(1), np.ones(1), z, z, np.ones(1), np.ones(1), np.ones(1)));"
        "print('{}')"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert (out.stdout, out.stderr) == ("{}\n", "")


@pytest.mark.parametrize("method", ["simplex", "ipm"])
def test_both_methods_find_the_same_cost(method):
    found = solve(dense([1, 2], [[1, 1]], [3], [3]), method=method)
    assert_allclose(found.cost, 3.0, atol=1e-6)
