"""The trained eye against what PyTorch gave when it was written, and against pictures whose lines are known."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.photo.grid.network import EYE, STRIPS, glance
from seamlore.photo.networks import SIDE_PX

# Written by judging/training/train.py: what PyTorch (a general library) gave for one input.
CHECK = Path(__file__).parent / "network.check.npz"


def nine_patches(rows: int, columns: int, side: int = 60) -> np.ndarray:
    """Nine-patch blocks with sashing of a sixth: a pattern drawn here by rule."""
    cell = side // 5
    block = np.full((side, side, 3), (205, 190, 150), np.uint8)
    for r in range(3):
        for c in range(3):
            block[r * cell : (r + 1) * cell, c * cell : (c + 1) * cell] = (
                (40, 60, 110) if (r + c) % 2 == 0 else (230, 226, 215)
            )
    drawn = np.tile(block, (rows, columns, 1))[: rows * side - 2 * cell, : columns * side - 2 * cell]
    # A photograph is neither sharp nor clean.
    seen = cv2.GaussianBlur(drawn, (0, 0), 1.0) + np.random.default_rng(0).normal(0, 6, drawn.shape)
    return np.clip(seen, 0, 255).astype(np.uint8)


def test_the_network_gives_what_it_gave_where_it_was_trained() -> None:
    with np.load(CHECK) as told:
        planes = np.linspace(-1, 1, 4 * SIDE_PX * SIDE_PX, dtype=np.float32).reshape(1, 4, SIDE_PX, SIDE_PX)
        lines, setting = EYE.run(planes)
        assert_allclose(lines, told["lines"], atol=2e-3)
        assert_allclose(setting, told["setting"], atol=2e-3)


@pytest.mark.parametrize(("rows", "columns"), [(4, 5), (7, 6)])
def test_blocks_begin_where_they_were_drawn(rows: int, columns: int) -> None:
    seen = glance(nine_patches(rows, columns))
    assert seen.straight > 0.8
    for strips, count in ((seen.across, columns), (seen.down, rows)):
        pitch = STRIPS / (count - 0.4)
        starts = (pitch * np.arange(1, count)).astype(int)
        near = np.array([strips.begins[s - 2 : s + 3].max() for s in starts])
        between = np.array([strips.begins[s - int(pitch / 2) - 2 : s - int(pitch / 2) + 3].max() for s in starts])
        assert near.min() > 3 * between.max()


def test_a_plain_cloth_has_no_grid() -> None:
    cloth = np.random.default_rng(0).normal(150, 6, (300, 400, 3)).clip(0, 255).astype(np.uint8)
    assert glance(cloth).none > 0.5


def test_the_same_picture_is_seen_the_same() -> None:
    one, two = (glance(nine_patches(3, 3)) for _ in range(2))
    assert np.array_equal(one.across.begins, two.across.begins)


def test_two_pictures_seen_at_once_are_not_mixed_up() -> None:
    pictures = [nine_patches(3, 3), nine_patches(4, 5)]
    alone = [glance(each).across.begins for each in pictures]
    with ThreadPoolExecutor(2) as pool:
        together = list(pool.map(lambda k: glance(pictures[k % 2]).across.begins, range(4)))
    for k, begins in enumerate(together):
        assert_allclose(begins, alone[k % 2], atol=1e-9)


def test_a_picture_of_one_pixel_is_seen_without_harm() -> None:
    assert np.isfinite(glance(np.zeros((1, 1, 3), np.uint8)).across.begins).all()
