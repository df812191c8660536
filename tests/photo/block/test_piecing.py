import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.photo.block.piecing import read_piecing
from tests.photo.patterns import SIDE, noise_of, squares, stack


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6, 10])
def test_the_division_of_a_block_of_squares_is_found(count: int) -> None:
    lab = stack(squares(count), 12)
    found = read_piecing(lab, noise_of(lab))
    assert found.cells == (count, count)
    assert len(found.areas) == count * count
    assert_allclose(found.areas, 1 / count**2, rtol=0.15)


def test_a_diagonal_is_a_seam_of_one_division() -> None:
    y, x = np.mgrid[:SIDE, :SIDE]
    lab = stack((x + y >= SIDE).astype(int), 10)
    found = read_piecing(lab, noise_of(lab))
    assert found.cells == (1, 1)
    assert len(found.areas) == 2
    assert found.votes.min() > 0.5


def test_a_seam_between_patches_of_one_fabric_is_not_invented() -> None:
    pattern = squares(3)
    pattern[pattern == 4] = 3
    lab = stack(pattern, 12)
    assert len(read_piecing(lab, noise_of(lab)).areas) == 8


def test_one_piece_of_cloth_has_one_patch() -> None:
    lab = stack(np.zeros((SIDE, SIDE), int), 12)
    assert len(read_piecing(lab, noise_of(lab)).areas) == 1


def test_a_seam_that_shows_in_few_blocks_is_left_out() -> None:
    lab = stack(squares(1), 20)
    lab[:3, :, : SIDE // 2] += [30, 0, 0]
    assert len(read_piecing(lab, noise_of(lab)).areas) == 1


def test_given_divisions_are_kept_though_others_fit_better() -> None:
    lab = stack(squares(3), 10)
    columns, rows = read_piecing(lab, noise_of(lab), given=4).cells
    assert columns % 4 == 0
    assert rows % 4 == 0
