"""What the eye is trained on: designs by chance, and pictures whose truth is known."""

import numpy as np
import pytest

from judging.blocks import JUDGING, TUNING, design
from judging.chance import chance_name, chance_text
from judging.piecing import picture, same
from judging.running import runs_together
from judging.training import LIES_PX, SIDE_PX, make_sample
from judging.various import designs


@pytest.mark.parametrize("seed", range(12))
def test_a_design_by_chance_is_a_block(seed: int) -> None:
    block = design(chance_name(seed))
    assert len(block.places) >= 2
    assert len(block.patches) >= 2


def test_the_same_seed_makes_the_same_design() -> None:
    assert chance_text(chance_name(5)) == chance_text(chance_name(5)) != chance_text(chance_name(6))


def test_no_design_of_the_judging_set_is_trained_on() -> None:
    assert not set(designs()) & set(JUDGING)
    held = [_drawn(name) for name in JUDGING]
    assert [name for name in designs() if name not in TUNING and any(same(_drawn(name), one) for one in held)] == []


def _drawn(name: str) -> np.ndarray:
    block = design(name)
    return picture(block, {letter: number + 1 for number, letter in enumerate(block.places)})


# Common practice, no source: edge to edge these are one checkerboard, or stripes.
@pytest.mark.parametrize("name", ["Four Patch", "Sixteen Patch", "Double Four Patch", "Flying Geese", "Rail Fence"])
def test_designs_that_run_together_are_known(name: str) -> None:
    assert runs_together(name)


@pytest.mark.parametrize("name", ["Shoo Fly", "Ohio Star", "Churn Dash", "Log Cabin", "Bow Tie"])
def test_designs_whose_edges_show_do_not_run_together(name: str) -> None:
    assert not runs_together(name)


@pytest.mark.parametrize("number", range(6))
def test_a_sample_is_a_square_picture_with_its_rows_and_columns_in_order(number: int) -> None:
    sample = make_sample(number)
    assert sample.pixels.shape == (SIDE_PX, SIDE_PX, 3)
    assert (len(sample.columns) == 0) == (sample.setting == 2)
    for spans in (sample.columns, sample.rows):
        assert np.all(spans[:, 1] > spans[:, 0])
        assert np.all(spans[1:, 0] >= spans[:-1, 1] - 1e-6)
    assert sample.photo.shape == (SIDE_PX, SIDE_PX, 3)
    # In the middle of a photograph is quilt, and it lies the right way up.
    middle = sample.lies[LIES_PX // 2, LIES_PX // 2]
    assert ((middle > 0) & (middle < 1)).all()
    assert (np.diff(sample.lies[:, :, 0], axis=1) > 0).all()
    assert (np.diff(sample.lies[:, :, 1], axis=0) > 0).all()
