import cv2
import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.block.registering import set_by_seams
from seamlore.photo.stack import cloth, stack_blocks

SIDE = 80


def quilt_of_squares(off: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A row of nine patches in a light ground, the block grid off by so many pixels; its corners and its picture."""
    fine = 4 * SIDE
    part = np.full((fine, fine, 3), 220, np.uint8)
    part[fine // 3 : 2 * fine // 3, fine // 3 : 2 * fine // 3] = [40, 60, 90]
    block = cv2.resize(part, (SIDE, SIDE), interpolation=cv2.INTER_AREA)
    pixels = np.concatenate([block] * len(off), axis=1)
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]])
    true = (np.stack([np.arange(len(off)), np.zeros(len(off))], axis=-1)[:, None] + unit) * SIDE - 0.5
    picture = np.zeros((96, 96), dtype=np.intp)
    picture[32:64, 32:64] = 1
    return pixels, true, picture


def test_blocks_that_the_grid_has_off_are_set_back_on_their_seams() -> None:
    off = np.array([[0, 0], [1.5, 0], [0, -1.5], [-1, 1], [2, 2.0]])
    pixels, true, picture = quilt_of_squares(off)
    cells = (true + off[:, None])[None]
    stack = stack_blocks(cloth(pixels, cells, 96), cells, 96)
    corners, stray = set_by_seams(stack, picture)
    assert_allclose((corners - true).mean(axis=1), 0, atol=0.25)
    assert stray < 0.01


def test_a_block_of_one_fabric_stays_where_the_grid_has_it() -> None:
    _, true, picture = quilt_of_squares(np.zeros((2, 2)))
    pixels = np.full((SIDE, 2 * SIDE, 3), 130, np.uint8)
    stack = stack_blocks(cloth(pixels, true[None], 96), true[None], 96)
    corners, _ = set_by_seams(stack, picture)
    assert_allclose(corners, true, atol=1e-6)
