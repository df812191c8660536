"""The second-best grid: another answer than the first, likelier than the rest, and what comes of taking it."""

import numpy as np
import pytest

from seamlore.photo.grid.grid import find_grid, survey

SQUARES = np.indices((6, 5)).sum(axis=0) % 2 * 160 + 40
PICTURE = np.kron(SQUARES, np.ones((40, 40)))[..., None].repeat(3, axis=2).astype(np.uint8)


@pytest.fixture(scope="module")
def seen():
    return survey(PICTURE)


def test_the_second_answer_is_another_and_less_likely(seen):
    grid = find_grid(PICTURE, seen=seen)
    second = grid.second
    assert (second.setting, second.rows, second.columns) != (grid.setting, grid.rows, grid.columns)
    assert 0 <= second.confidence <= grid.confidence
    assert second.confidence + grid.confidence <= 1 + 1e-9


def test_whoever_takes_the_second_is_offered_the_first(seen):
    first = find_grid(PICTURE, seen=seen)
    second = first.second
    taken = find_grid(
        PICTURE, seen=seen, setting=second.setting, rows=second.rows or None, columns=second.columns or None
    )
    assert (taken.setting, taken.rows, taken.columns) == (second.setting, second.rows, second.columns)
    assert (taken.second.setting, taken.second.rows, taken.second.columns) == (
        first.setting,
        first.rows,
        first.columns,
    )
    assert taken.second.confidence == pytest.approx(first.confidence)
