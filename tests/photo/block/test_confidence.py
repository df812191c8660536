from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.photo.block.confidence import Signs, confidence
from seamlore.photo.block.piecing import read_piecing
from seamlore.photo.triangles import by_pixel, print_noise

GOOD = Signs(weakest=0.9, mean=0.95, left=0.1, misfit=0.005, blocks=4.0, side=5.0, patches=2.2, stray=0.006)


@pytest.mark.parametrize(
    ("sign", "worse"),
    [("weakest", 0.0), ("mean", 0.5), ("left", 0.5), ("misfit", 0.05), ("stray", 0.015), ("side", 3.4)],
)
def test_every_bad_sign_makes_the_reading_less_sure(sign: str, worse: float) -> None:
    assert confidence(replace(GOOD, **{sign: worse})) < confidence(GOOD)


def test_sureness_is_a_probability() -> None:
    worst = Signs(weakest=-1, mean=-1, left=1, misfit=1, blocks=0, side=2, patches=0, stray=0.015)
    assert 0 <= confidence(worst) < 0.01
    assert 0.9 < confidence(GOOD) <= 1


def test_signs_are_read_off_a_piecing() -> None:
    rng = np.random.default_rng(1)
    lab = np.zeros((6, 48, 48, 3), np.float32)
    lab[:, :, 24:, 0] = 50
    lab += rng.normal(0, 2, lab.shape).astype(np.float32)
    signs = Signs.of(read_piecing(lab, print_noise(by_pixel(lab), 48)), 6, 48.0, 0.005)
    assert signs is not None
    assert_allclose([signs.mean, signs.weakest], 1)
    assert_allclose([signs.blocks, signs.patches], np.log([6, 2]))
    assert Signs.of(None, 6, 48.0, 0.005) is None
