import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from scipy.ndimage import gaussian_filter
from skimage.color import rgb2lab
from skimage.transform import ProjectiveTransform, downscale_local_mean, warp

from seamlore.photo.stack import blurred, cloth, move_corners, move_square, shrunk, stack_blocks, steps, turned, undo


def picture(height: int = 120, width: int = 160) -> np.ndarray:
    """A smooth picture of many colors."""
    y, x = np.mgrid[:height, :width]
    channels = [128 + 100 * np.sin(x / 17 + k) * np.cos(y / 23 - k) for k in range(3)]
    return np.stack(channels, axis=-1).astype(np.uint8)


def test_colors_of_the_stack_agree_with_a_second_library() -> None:
    # Source: scikit-image, rgb2lab (sRGB, D65, 2 degrees).
    pixels = picture()
    found = cloth(pixels, np.array([[[[0, 0], [100, 0], [100, 100], [0, 100.0]]]]), 100)
    assert_allclose(found.lab, rgb2lab(pixels), atol=0.5)


def test_a_leaning_block_is_resampled_as_a_second_library_does() -> None:
    # Source: scikit-image, warp with a projective transform on the same corners.
    pixels = picture()
    quad = np.array([[20.0, 15], [110, 25], [105, 100], [14, 96]])
    size = 90
    source = cloth(pixels, quad[None, None], size)
    stack = stack_blocks(source, quad[None, None], size)
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * size - 0.5
    transform = ProjectiveTransform.from_estimate(unit, (quad + 0.5) * source.scale - 0.5)
    other = np.stack(
        [warp(source.lab[..., k], transform, output_shape=(size, size), mode="edge") for k in range(3)], axis=-1
    )
    assert_allclose(stack.lab[0, 2:-2, 2:-2], other[2:-2, 2:-2], atol=0.5)


def test_blocks_stand_in_reading_order_and_missing_ones_are_left_out() -> None:
    square = np.array([[0, 0], [40, 0], [40, 40], [0, 40.0]])
    right, down = np.array([40.0, 0]), np.array([0, 40.0])
    cells = np.array([[square, square + right], [square + down, square + right + down]])
    cells[0, 1] = np.nan
    stack = stack_blocks(cloth(picture(), cells, 32), cells, 32)
    assert_array_equal(stack.places, [[0, 0], [1, 0], [1, 1]])


def test_what_the_edge_cuts_is_not_shown() -> None:
    square = np.array([[-20, 0], [20, 0], [20, 40], [-20, 40.0]])
    stack = stack_blocks(cloth(picture(), square[None, None], 40), square[None, None], 40)
    assert_allclose(stack.shown[0].mean(), 0.5, atol=0.03)
    assert not stack.whole[0]


@pytest.mark.parametrize("move", range(8))
def test_a_move_and_its_undoing_leave_a_block_as_it_was(move: int) -> None:
    block = np.arange(48, dtype=np.float32).reshape(1, 4, 4, 3)
    assert_array_equal(move_square(move_square(block, move), undo(move)), block)


@pytest.mark.parametrize("move", range(8))
def test_corners_move_with_the_square(move: int) -> None:
    corners = np.array([[[0, 0], [50, 0], [50, 50], [0, 50.0]]])
    stack = stack_blocks(cloth(picture(), corners[None], 50), corners[None], 50)
    again = stack_blocks(cloth(picture(), corners[None], 50), move_corners(corners, move)[None], 50)
    moved = turned(stack, np.array([move]))
    assert_allclose(moved.corners, again.corners)
    assert_allclose(moved.lab, again.lab, atol=1e-3)


def test_steps_are_felt_across_a_seam_and_not_along_it() -> None:
    block = np.zeros((1, 20, 20, 3), dtype=np.float32)
    block[:, 10:, :, 0] = 50
    across, down = steps(block)
    assert_allclose(across, 0, atol=1e-6)
    assert down[:, 9:11].min() > 0.4
    assert_allclose(down[:, :5], 0, atol=1e-6)


def test_many_blocks_are_blurred_and_reduced_as_one_is_by_general_libraries() -> None:
    # Checked against scipy's Gaussian filter and scikit-image's block means.
    squares = np.random.default_rng(8).uniform(0, 100, (90, 24, 24, 3)).astype(np.float32)
    expected = gaussian_filter(squares[-1], (1.0, 1.0, 0), mode="mirror", truncate=4)
    assert_allclose(blurred(squares, 1.0)[-1], expected, atol=0.1)
    assert_allclose(shrunk(squares, 8)[41], downscale_local_mean(squares[41], (3, 3, 1)), rtol=1e-5)
    assert_allclose(shrunk(squares[..., 0], 8)[41], downscale_local_mean(squares[41, ..., 0], (3, 3)), rtol=1e-5)


def test_reducing_the_picture_does_not_shift_the_blocks() -> None:
    # A seam at x = 200 of 400 stands in the middle of the block at any size of the stack.
    pixels = np.zeros((400, 400, 3), np.uint8)
    pixels[:, 200:] = 255
    cells = np.array([[[[0, 0], [400, 0], [400, 400], [0, 400.0]]]]) - 0.5
    for size in (32, 48, 96):
        light = stack_blocks(cloth(pixels, cells, size), cells, size).lab[0, :, :, 0]
        assert_allclose((light > 50).mean(), 0.5, atol=0.6 / size)


def test_the_image_library_still_converts_white_to_one_hundred() -> None:
    # CIE: the reference white has lightness 100 (definition of CIELAB).
    white = cv2.cvtColor(np.ones((1, 1, 3), np.float32), cv2.COLOR_RGB2LAB)
    assert_allclose(white[0, 0], [100, 0, 0], atol=0.05)


def test_a_reduced_cloth_gives_the_same_blocks_where_they_lie() -> None:
    lines = np.linspace(10, 500, 4)
    corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]])
    cells = np.array(
        [[[(lines[c + x], lines[r + y]) for x, y in corners.astype(int)] for c in range(3)] for r in range(3)]
    )
    soft = cv2.GaussianBlur(cv2.resize(picture(), (520, 520)), (0, 0), 6)
    whole = cloth(soft, cells, 96)
    small = whole.reduced(cells, 48)
    assert small.lab.shape[1] == round(1.15 * 48 / (490 / 3) * 520)
    # Within half a step of lightness: a shift by half a pixel would show as several.
    found, expected = stack_blocks(small, cells, 48).lab, stack_blocks(whole, cells, 48).lab
    assert np.abs(found - expected).mean() < 0.25
    # What is small enough already stays as it is.
    assert small.reduced(cells, 64) is small
