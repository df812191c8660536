"""What the eye is trained on: designs by chance, and pictures whose truth is known."""

from typing import Any, cast

import numpy as np
import pytest

from judging.rendering.blocks import JUDGING, TUNING, design
from judging.rendering.chance import chance_name, chance_text
from judging.rendering.piecing import Made, Points, picture, rect, same
from judging.rendering.running import runs_together
from judging.training.samples import LIES_PX, SIDE_PX, make_sample
from judging.training.trimmings import piece_borders, piece_sashing
from judging.training.units import Units, designs


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
    flat = make_sample(number, photographed=False)
    assert np.array_equal(flat.pixels, sample.pixels)
    assert flat.photo.size == 0
    assert sample.photo.shape == (SIDE_PX, SIDE_PX, 3)
    # In the middle of a photograph is quilt, and it lies the right way up.
    middle = sample.lies[LIES_PX // 2, LIES_PX // 2]
    assert ((middle > 0) & (middle < 1)).all()
    assert (np.diff(sample.lies[:, :, 0], axis=1) > 0).all()
    assert (np.diff(sample.lies[:, :, 1], axis=0) > 0).all()


class _Cloths:
    """A bag without cloth in it: it gives numbers only."""

    def __init__(self) -> None:
        self.count = 0

    def cut(self) -> int:
        self.count += 1
        return self.count - 1


# Every kind of unit has at least one piece over the whole of it, and none reaches far beyond the block.
@pytest.mark.parametrize(
    "kind",
    ["plain", "half", "quarters", "picture", "strips", "slants", "design", "chance", "motif", "crazy", "window",
     "circle", "curve"],
)  # fmt: skip
@pytest.mark.parametrize("seed", range(4))
def test_every_kind_of_unit_covers_its_block_and_stays_in_it(kind: str, seed: int) -> None:
    made = Made()
    Units(np.random.default_rng(seed), list(range(6)), (1.0, 1.0)).lay(made, rect(10, 20, 14, 24), kind, 1, 2)
    every = np.concatenate(made.outlines)
    assert every.min(axis=0) == pytest.approx([10, 20], abs=0.7)
    assert every.max(axis=0) == pytest.approx([14, 24], abs=0.7)


def test_string_piecing_covers_its_block_once() -> None:
    for seed in range(20):
        made = Made()
        units = Units(np.random.default_rng(seed), list(range(6)), (1.0, 1.0))
        units.lay(made, rect(0, 0, 1, 1), "slants", seed % 3, seed % 2)
        assert sum(_area(ring) for ring in made.outlines[1:]) == pytest.approx(1, abs=1e-9)


def _area(ring: Points) -> float:
    x, y = ring.T
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2


@pytest.mark.parametrize("seed", range(8))
def test_pieced_borders_stay_in_their_border(seed: int) -> None:
    made = Made(size=(40.0, 50.0))
    piece_borders(made, cast("Any", _Cloths()), (2.0, 3.0), np.random.default_rng(seed))
    for ring in made.outlines:
        middle = ring.mean(axis=0)
        assert np.all(ring > -1e-9)
        assert np.all(ring < np.array([40, 50]) + 1e-9)
        inside = np.minimum(middle, np.array([40, 50]) - middle).min()
        assert inside < 5


def test_pieced_sashing_stays_between_the_blocks() -> None:
    xs, ys = np.array([0.0, 12.0]), np.array([0.0, 12.0, 24.0])
    for seed in range(8):
        made = Made(size=(22.0, 34.0))
        rng = np.random.default_rng(seed)
        piece_sashing(made, cast("Any", _Cloths()), (xs, ys), (np.full(2, 10.0), np.full(3, 10.0)), 2.0, False, rng)
        for ring in made.outlines:
            x, y = ring.mean(axis=0)
            assert 10 < x < 12 or y % 12 > 10
