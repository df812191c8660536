"""Flattening against scikit-image, on the same corners."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import ndimage
from skimage.data import astronaut
from skimage.transform import ProjectiveTransform, warp

from seamlore.errors import PhotoError
from seamlore.photo.flatten import flatten
from seamlore.photo.frame import Frame
from seamlore.photo.opening import Photo

ASLANT = ((60.0, 45.0), (450.0, 70.0), (430.0, 470.0), (35.0, 440.0))


def smooth_picture(wide=512, tall=512):
    x, y = np.meshgrid(np.arange(wide), np.arange(tall))
    waves = [127 + 100 * np.sin(x / 23 + k) * np.cos(y / 31 - k) for k in range(3)]
    return np.stack(waves, axis=-1).astype(np.uint8)


def test_flattening_agrees_with_scikit_image():
    # Source: skimage.transform.warp, bicubic, on the same four corners.
    picture = smooth_picture()
    flat = flatten(Photo(picture), Frame(ASLANT, (4, 4)), longest_px=400)
    corners = [(-0.5, -0.5), (399.5, -0.5), (399.5, 399.5), (-0.5, 399.5)]
    outside = warp(
        picture, ProjectiveTransform.from_estimate(corners, ASLANT), output_shape=(400, 400), order=3, mode="edge"
    )
    assert_allclose(flat.pixels, outside * 255, atol=2.0)


def test_flattening_a_real_photograph_agrees_with_scikit_image():
    # Source: as above; on detail as fine as a pixel the two kernels differ a little.
    picture = astronaut()
    flat = flatten(Photo(picture), Frame(ASLANT, (4, 4)), longest_px=400)
    corners = [(-0.5, -0.5), (399.5, -0.5), (399.5, 399.5), (-0.5, 399.5)]
    outside = warp(
        picture, ProjectiveTransform.from_estimate(corners, ASLANT), output_shape=(400, 400), order=3, mode="edge"
    )
    gap = np.abs(flat.pixels - outside * 255)
    assert gap.mean() < 1.5
    assert np.quantile(gap, 0.99) < 12


def test_shrinking_does_not_shimmer():
    # A checkerboard of single pixels is gray from afar; picking pixels would leave black and white.
    board = (np.indices((800, 800)).sum(axis=0) % 2 * 255).astype(np.uint8)
    frame = Frame(((100, 100), (700, 100), (700, 700), (100, 700)), (1, 1))
    flat = flatten(Photo(np.dstack([board] * 3)), frame, longest_px=150)
    assert_allclose(flat.pixels, 127.5, atol=8)


def test_a_bowed_edge_comes_out_straight():
    # The quilt is red exactly where its own frame says; flattened, red must fill the picture.
    frame = Frame(ASLANT, (4, 4), ((0.03, 0.05, 0.02), (0.02,), (-0.04, -0.02), (0.03, 0.0, -0.03)))
    y, x = np.mgrid[0:512, 0:512]
    place = frame.to_quilt(np.column_stack([x.ravel(), y.ravel()]))
    inside = ((place >= -0.03) & (place <= 4.03)).all(axis=1).reshape(512, 512)
    picture = np.zeros((512, 512, 3), np.uint8)
    picture[inside] = (255, 0, 0)
    flat = flatten(Photo(picture), frame, longest_px=300)
    assert (flat.pixels[..., 0] > 200).mean() > 0.999
    assert (flatten(Photo(picture), frame.straightened(), longest_px=300).pixels[..., 0] > 200).mean() < 0.985


def test_bowed_and_straight_flattening_agree_when_the_bow_is_nothing():
    picture = smooth_picture()
    straight = flatten(Photo(picture), Frame(ASLANT, (4, 4)), longest_px=300)
    bowed = flatten(Photo(picture), Frame(ASLANT, (4, 4), ((1e-9,), (), (), ())), longest_px=300)
    assert_allclose(straight.pixels.astype(int), bowed.pixels, atol=2)


@pytest.mark.parametrize("longest_px", [150, 401, 799, 1300])
def test_each_pixel_of_a_bowed_quilt_comes_from_where_its_frame_says(longest_px):
    # Against SciPy; a wave of 40 px and 100 of lightness changes by 16 in a pixel.
    y, x = np.mgrid[0:1024, 0:1024]
    wave = 128 + 50 * np.sin(2 * np.pi * x / 40) * np.sin(2 * np.pi * y / 40)
    corners = tuple((2 * x, 2 * y) for x, y in ASLANT)
    frame = Frame(corners, (4, 3), ((0.01, 0.02, 0.0), (0.02,), (-0.01, -0.02), (0.01, 0.0, -0.02)))
    flat = flatten(Photo(np.dstack([np.rint(wave).astype(np.uint8)] * 3)), frame, longest_px=longest_px)
    tall, wide = flat.pixels.shape[:2]
    row, column = np.mgrid[0:tall, 0:wide]
    place = frame.to_photo(flat.to_quilt(np.column_stack([column.ravel(), row.ravel()])))
    expected = ndimage.map_coordinates(wave, [place[:, 1], place[:, 0]], order=3).reshape(tall, wide)
    # Where the result has fewer pixels than the photograph, it was shrunk by area first, which softens the wave.
    assert_allclose(flat.pixels[..., 0], expected, atol=3 if longest_px > 700 else 12)


def test_back_is_the_front_mirrored():
    picture = smooth_picture()
    front = flatten(Photo(picture), Frame(ASLANT, (4, 3)), longest_px=200)
    back = flatten(Photo(picture), Frame(ASLANT, (4, 3)).back(), longest_px=200)
    assert_allclose(back.pixels[:, ::-1].astype(int), front.pixels, atol=2)


def test_places_on_the_flattened_picture_are_places_on_the_quilt():
    flat = flatten(Photo(smooth_picture()), Frame(ASLANT, (74, 88)), longest_px=440)
    assert flat.pixels.shape == (440, 370, 3)
    assert_allclose(flat.to_quilt([[-0.5, -0.5], [369.5, 439.5]]), [[0, 0], [74, 88]])
    assert_allclose(flat.to_flat(flat.to_quilt([[12.0, 300.0]])), [[12.0, 300.0]])


@pytest.mark.parametrize("longest_px", [0, 8, 40_000])
def test_a_picture_of_no_or_monstrous_size_is_refused(longest_px):
    with pytest.raises(PhotoError, match="px"):
        flatten(Photo(smooth_picture()), Frame(ASLANT, (4, 4)), longest_px=longest_px)


def test_corners_outside_the_photograph_are_refused():
    with pytest.raises(PhotoError, match="512 pixels wide and 512 high"):
        flatten(Photo(smooth_picture()), Frame(((-300, 0), (450, 0), (450, 450), (0, 450)), (4, 4)))


def test_a_ribbon_is_refused():
    with pytest.raises(PhotoError, match="50 times"):
        flatten(Photo(smooth_picture()), Frame(ASLANT, (1, 60)))
