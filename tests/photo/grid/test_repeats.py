import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.photo.cielab import lab_of
from seamlore.photo.grid.combs import combs
from seamlore.photo.grid.network import STRIPS, Strips
from seamlore.photo.grid.repeats import repeats


@pytest.mark.parametrize(("across", "down"), [(0, 0), (24, 0), (0, 40), (31, 17), (-31, 17), (-100, 90)])
def test_likeness_is_that_of_the_two_parts_that_lie_on_each_other(across: int, down: int) -> None:
    # Normalised correlation by its definition, sums written out; the program takes the Fourier way.
    rng = np.random.default_rng(3)
    picture = cv2.resize(rng.integers(0, 255, (32, 32, 3)).astype(np.uint8), (256, 256))
    lab = lab_of(np.asarray(picture, np.uint8)).astype(float)
    fine = lab - cv2.GaussianBlur(lab, (0, 0), 40.0)
    one = fine[: 256 - down, max(0, -across) : 256 - max(0, across)]
    two = fine[down:, max(0, across) : 256 - max(0, -across)]
    wanted = (one * two).sum() / np.sqrt((one**2).sum() * (two**2).sum())
    table = repeats(np.asarray(picture, np.uint8)).table
    assert_allclose(table[down, table.shape[1] // 2 + across], wanted, atol=2e-4)


def test_what_is_not_of_the_field_is_not_compared() -> None:
    picture = np.full((256, 256, 3), 120, np.uint8)
    picture[:, :128] = np.where(np.arange(128) % 32 < 16, 40, 200)[None, :, None]
    picture[:, 128:] = np.random.default_rng(1).integers(0, 255, (256, 128, 3))
    left = np.arange(STRIPS) < STRIPS // 2
    everything = np.ones(STRIPS, bool)
    within, whole = (repeats(picture, field).at(0.125, 0) for field in ((left, everything), None))
    assert within > 0.8
    assert whole < 0.5


@pytest.mark.parametrize("parts", [2, 3, 4, 6])
def test_blocks_are_listed_even_where_their_parts_are_seen_as_plainly(parts: int) -> None:
    begins = np.zeros(STRIPS)
    begins[(np.arange(6 * parts) * STRIPS / (6 * parts)).astype(int)] = 0.95
    listed = combs(Strips(begins, np.roll(begins, -1), np.ones(STRIPS)))
    assert 6 * parts == listed[0].count
    assert any(comb.count == 6 and abs(comb.pitch - 1 / 6) < 0.004 and abs(comb.first) < 0.02 for comb in listed)


def test_larger_blocks_too_are_as_many_as_were_counted() -> None:
    begins = np.zeros(STRIPS)
    begins[(np.arange(12) * STRIPS / 12).astype(int)] = 0.95
    assert {comb.count for comb in combs(Strips(begins, np.roll(begins, -1), np.ones(STRIPS)), count=6)} == {6}
