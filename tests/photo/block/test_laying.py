import numpy as np
from numpy.testing import assert_allclose, assert_array_equal
from scipy.ndimage import mean

from seamlore.photo.block.laying import areas, lay_blocks, patch_means, some_of, stack_size
from seamlore.photo.stack import cloth, stack_blocks

SIDE, ROWS, COLUMNS = 60, 4, 5
# Quilts drawn by the tests, so that their truth is exact: custom, no source.


def nine_patches() -> np.ndarray:
    rng = np.random.default_rng(6)
    y, x = np.mgrid[0 : ROWS * SIDE, 0 : COLUMNS * SIDE]
    third = ((x % SIDE) * 3 // SIDE + (y % SIDE) * 3 // SIDE) % 2
    light, dark = rng.uniform(170, 230, (ROWS, COLUMNS, 3)), rng.uniform(20, 90, (ROWS, COLUMNS, 3))
    pixels = np.where(third[..., None] == 0, dark[y // SIDE, x // SIDE], light[y // SIDE, x // SIDE])
    pixels = np.pad(pixels + rng.normal(0, 5, pixels.shape), ((20, 20), (20, 20), (0, 0)), constant_values=120)
    return np.clip(pixels, 0, 255).astype(np.uint8)


def cells() -> np.ndarray:
    row, column = np.indices((ROWS, COLUMNS))
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]])
    return (square + np.stack([column, row], axis=-1)[:, :, None]) * SIDE + 19.5


def test_blocks_are_laid_and_pieced_though_the_grid_lies_off_as_a_whole() -> None:
    size = stack_size(cells())
    source = cloth(nine_patches(), cells(), size)
    laid = lay_blocks(source, cells() + 1.5, None, None)
    assert laid.divisions == 3
    assert len(laid.outlines) == 9
    assert not laid.differs.any()
    assert_array_equal(laid.moves, 0)
    assert_allclose(laid.as_found, cells().reshape(-1, 4, 2), atol=0.9)


def test_some_of_many_blocks_come_from_all_over() -> None:
    assert_array_equal(some_of(np.arange(9), 3), [0, 4, 8])
    assert_array_equal(some_of(np.arange(2), 3), [0, 1])
    assert some_of(np.zeros(0, dtype=np.intp), 3).size == 0


def test_patch_colors_and_areas_are_those_of_a_general_library() -> None:
    size = stack_size(cells())
    stack = stack_blocks(cloth(nine_patches(), cells(), size), cells(), size)
    picture = np.zeros((size, size), dtype=np.intp)
    picture[:, size // 4 :] = 1
    # Checked against scipy's mean over labels.
    expected = [mean(stack.lab[7, ..., 1].astype(float), picture, index) for index in (0, 1)]
    assert_allclose(patch_means(stack, picture)[:, 7, 1], expected, rtol=1e-4)
    assert_allclose(areas(picture), [0.25, 0.75])
