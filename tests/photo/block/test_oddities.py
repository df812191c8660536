import numpy as np
from numpy.testing import assert_array_equal

from seamlore.photo.block.oddities import lie_of_blocks, plain_blocks

from .l_shapes import SIDE, stack_of


def test_evidence_of_seams_turns_back_a_wrong_first_guess() -> None:
    lies = [0] * 11 + [1]
    picture = np.zeros((SIDE, SIDE), dtype=np.intp)
    picture[8:40, 8:16] = 1
    picture[32:40, 8:30] = 1
    guess = np.zeros(12, dtype=np.intp)
    lab = stack_of(lies)
    lie = lie_of_blocks(
        lab,
        np.ones(lab.shape[:3], np.float32),
        picture,
        np.array([0, 1]),
        np.full(12, 20.0),
        guess,
        np.ones(12, bool),
    )
    assert_array_equal(lie.moves, [0] * 11 + [3])
    assert lie.margin[11] > 8


def test_a_block_that_looks_the_same_turned_has_no_turn() -> None:
    rng = np.random.default_rng(3)
    lab = np.zeros((8, SIDE, SIDE, 3), dtype=np.float32)
    lab[:, 12:36, 12:36, 0] = 60
    lab += rng.normal(0, 2, lab.shape).astype(np.float32)
    picture = np.zeros((SIDE, SIDE), dtype=np.intp)
    picture[12:36, 12:36] = 1
    guess = np.array([0, 1, 2, 3, 4, 5, 6, 7])
    lie = lie_of_blocks(
        lab, np.ones(lab.shape[:3], np.float32), picture, np.array([0, 1]), np.full(8, 20.0), guess, np.ones(8, bool)
    )
    assert_array_equal(lie.moves, 0)


def test_plain_blocks_in_chessboard_order_are_found_though_their_print_is_bold() -> None:
    board = np.indices((4, 5)).reshape(2, -1).T
    odd = board.sum(axis=1) % 2 == 1
    stepped = np.where(odd, 0.18, 0.4)
    stepped[np.flatnonzero(odd)[0]] = 0.35
    assert_array_equal(plain_blocks(stepped, board), odd)


def test_no_block_is_plain_where_all_are() -> None:
    assert not plain_blocks(np.full(9, 0.01), np.indices((3, 3)).reshape(2, -1).T).any()


def test_turns_are_seen_where_all_patches_seem_to_take_one_place() -> None:
    picture = np.zeros((SIDE, SIDE), dtype=np.intp)
    picture[8:40, 8:16] = 1
    picture[32:40, 8:30] = 1
    lab = stack_of([0] * 11 + [1])
    shown = np.ones(lab.shape[:3], np.float32)
    start = np.zeros(12, dtype=np.intp)
    lie = lie_of_blocks(lab, shown, picture, np.array([0, 0]), np.full(12, 20.0), start, np.ones(12, bool))
    assert_array_equal(lie.moves, [0] * 11 + [3])


def test_a_patch_too_narrow_to_be_shown_says_nothing() -> None:
    picture = np.zeros((SIDE, SIDE), dtype=np.intp)
    picture[8:40, 8:16] = 1
    picture[32:40, 8:30] = 1
    picture[0, 0] = 2
    lab = stack_of([0] * 11 + [1])
    shown = np.ones(lab.shape[:3], np.float32)
    shown[:, ::47, ::47] = 0  # the corners, wherever a move takes that patch
    start = np.zeros(12, dtype=np.intp)
    lie = lie_of_blocks(lab, shown, picture, np.array([0, 1, 0]), np.full(12, 20.0), start, np.ones(12, bool))
    assert_array_equal(lie.moves, [0] * 11 + [3])
