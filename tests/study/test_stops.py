"""Where a fabric stops: exact where all shuffles can be counted, rarely wrong where nothing stops, found where it does."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from scipy.stats import binom, chi2_contingency

from seamlore.study import stops
from seamlore.study.stops import _sharpness, find_stop

ROWS, COLUMNS = np.divmod(np.arange(56), 7)


def test_sharpness_is_the_likelihood_ratio_of_a_general_library():
    """scipy.stats.chi2_contingency with lambda_="log-likelihood", no continuity correction."""
    draw = np.random.default_rng(3)
    before = (draw.random((1, 4, 40)) < 0.5).astype(float)
    held = (draw.random((40, 3)) < 0.3).astype(float)
    found = _sharpness(before, held)[0]
    for line in range(4):
        for fabric in range(3):
            table = [
                [np.sum((before[0, line] == side) & (held[:, fabric] == has)) for has in (1, 0)] for side in (1, 0)
            ]
            expected = chi2_contingency(table, correction=False, lambda_="log-likelihood").statistic
            assert found[line, fabric] == pytest.approx(expected)


def test_the_chance_is_that_of_counting_every_shuffle(monkeypatch):
    monkeypatch.setattr(stops, "LEAST", 2)
    rows, columns = [0, 0, 1, 1, 2, 2, 3], [0, 1, 0, 1, 0, 1, 0]
    fabrics = np.array([0, 0, 0, 1, 2, 2, 2])
    before = np.array([np.array(rows) < k for k in (1, 2, 3)] + [np.array(columns) < 1], dtype=float)
    before = before[(before.sum(axis=1) >= 2) & ((1 - before).sum(axis=1) >= 2)]
    often = [f for f in range(3) if np.sum(fabrics == f) >= 2]

    def most(dealt):
        return _sharpness(before[None], (np.array(dealt)[:, None] == often).astype(float)).max()

    seen = most(fabrics)
    exact = np.mean([most(dealt) >= seen - 1e-9 for dealt in permutations(fabrics)])
    found = find_stop(rows, columns, fabrics)
    assert found.p == pytest.approx(exact, abs=4 * np.sqrt(exact * (1 - exact) / 1000))


def test_shuffled_quilts_are_said_to_stop_no_more_often_than_one_in_a_hundred():
    draw = np.random.default_rng(11)
    told = 0
    for _ in range(120):
        found = find_stop(ROWS, COLUMNS, draw.integers(0, 6, 56), shuffles=499)
        told += found is not None and found.p < 0.01
    # With a true rate of 1 in 100 more than 5 of 120 would come once in a thousand times.
    assert binom.sf(5, 120, 0.01) < 0.002
    assert told <= 5


@pytest.mark.parametrize("along", ["rows", "columns"])
@pytest.mark.parametrize("before", [True, False])
def test_a_fabric_that_ran_out_is_found_with_what_took_its_place(along, before):
    draw = np.random.default_rng(2)
    where = ROWS if along == "rows" else COLUMNS
    first, second = (0, 1) if before else (1, 0)
    fabrics = np.where(where < 4, first, second)
    # A third of the blocks are of other cloths, dealt anyhow.
    other = draw.random(56) < 0.34
    fabrics = np.where(other, draw.integers(2, 6, 56), fabrics)
    found = find_stop(ROWS, COLUMNS, fabrics)
    assert (found.along, found.at) == (along, 4)
    assert {found.fabric, found.substitute} == {0, 1}
    assert found.before == (found.fabric == (0 if before else 1))
    assert found.p < 0.01
    assert found.strays == 0


def test_a_fabric_that_only_thins_out_does_not_stop():
    draw = np.random.default_rng(5)
    fabrics = np.where(draw.random(56) < np.where(ROWS < 4, 0.8, 0.25), 0, draw.integers(1, 5, 56))
    found = find_stop(ROWS, COLUMNS, fabrics)
    assert found is None or found.fabric != 0 or found.p >= 0.01


@pytest.mark.parametrize("fabrics", [np.arange(56), np.zeros(56, int)])
def test_cloths_that_stand_once_each_or_everywhere_tell_nothing(fabrics):
    found = find_stop(ROWS, COLUMNS, fabrics, shuffles=99)
    assert found is None or found.p >= 0.01
