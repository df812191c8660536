import numpy as np
import pytest
from numpy.testing import assert_array_equal

from seamlore.photo.block.likeness import lay_alike, most_unmoved, own_symmetry, then
from seamlore.photo.stack import move_square, undo

from .l_shapes import SIDE, l_shape, stack_of


def test_turned_and_mirrored_blocks_are_laid_like_the_rest() -> None:
    lies = [0] * 9 + [1, 2, 3, 4, 6]
    moves, likeness = lay_alike(stack_of(lies))
    assert_array_equal(moves, [undo(each) for each in lies])
    assert likeness.min() > 0.8 * likeness.max()


def test_of_two_equally_common_ways_that_of_the_first_block_stands() -> None:
    moves, _ = lay_alike(stack_of([0, 1, 0, 1, 0, 1]))
    assert_array_equal(moves, [0, 3, 0, 3, 0, 3])


def test_blocks_turned_by_chance_are_all_laid_one_way() -> None:
    lies = [0, 1, 2, 3, 0, 1, 0, 3, 2, 0]
    moves, _ = lay_alike(stack_of(lies, seed=5))
    assert_array_equal(moves, [undo(each) for each in lies])


@pytest.mark.parametrize("first", range(8))
@pytest.mark.parametrize("second", range(8))
def test_two_moves_one_after_the_other_are_one(first: int, second: int) -> None:
    block = np.arange(16, dtype=np.float32).reshape(1, 4, 4)
    assert_array_equal(move_square(move_square(block, first), second), move_square(block, then(first, second)))


def test_most_blocks_end_unmoved() -> None:
    assert_array_equal(most_unmoved(np.array([1, 1, 1, 0])), [0, 0, 0, 3])


def test_a_block_in_swapped_values_is_unlike_the_rest() -> None:
    rng = np.random.default_rng(2)
    lab = np.stack([l_shape(rng, swap=index == 4) for index in range(9)])
    _, likeness = lay_alike(lab)
    assert likeness.argmin() == 4
    assert likeness[4] < 0.42 * np.quantile(likeness, 0.8)


def test_a_lone_block_of_four_equal_sides_is_its_own_mirror_image() -> None:
    block = np.zeros((SIDE, SIDE, 3), dtype=np.float32)
    block[12:36, 12:36, 0] = 60
    assert own_symmetry(block) == list(range(8))


def test_a_symmetrical_block_is_not_turned_by_its_print() -> None:
    rng = np.random.default_rng(4)
    lab = np.zeros((40, SIDE, SIDE, 3), dtype=np.float32)
    lab[..., 0] = 40
    lab[:, 12:36, 12:36, 0] = 60
    coarse = rng.normal(0, 8, (40, 8, 8, 3)).astype(np.float32)
    lab += coarse.repeat(6, axis=1).repeat(6, axis=2)
    moves, _ = lay_alike(lab)
    assert_array_equal(moves, 0)
