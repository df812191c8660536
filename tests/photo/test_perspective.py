"""Perspective against scikit-image, and the quilt's proportions against a camera whose place is known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from skimage.transform import ProjectiveTransform

from seamlore.photo.perspective import (
    as_it_lies,
    block_to_quilt,
    blocks_to_quilt,
    proportion,
    through,
    unit_square_to,
)
from seamlore.photo.stack import move_square

jitter = st.floats(-8, 8)


@given(st.lists(st.tuples(jitter, jitter), min_size=4, max_size=4))
def test_square_to_corners_agrees_with_scikit_image(moves):
    # Source: skimage.transform.ProjectiveTransform estimated from the same four pairs.
    corners = np.array([(0, 0), (60, 0), (60, 50), (0, 50)]) + np.array(moves)
    outside = ProjectiveTransform.from_estimate([(0, 0), (1, 0), (1, 1), (0, 1)], corners)
    points = np.random.default_rng(1).uniform(0, 1, (30, 2))
    assert_allclose(through(unit_square_to(corners), points), outside(points), atol=1e-6)


def test_many_blocks_at_once_agree_with_scikit_image():
    # Source: as above, block by block; the first stands on point.
    rng = np.random.default_rng(2)
    corners = np.array([[(10, 0), (20, 10), (10, 20), (0, 10)], [(0, 0), (60, 4), (55, 50), (-3, 44)]], dtype=float)
    points = rng.uniform(0, 1, (20, 2))
    for laid, one in zip(blocks_to_quilt(points, corners), corners, strict=True):
        outside = ProjectiveTransform.from_estimate([(0, 0), (1, 0), (1, 1), (0, 1)], one)
        assert_allclose(laid, outside(points), atol=1e-9)
        assert_allclose(block_to_quilt(points, one), laid, atol=1e-12)


@pytest.mark.parametrize("move", range(8))
def test_a_point_lies_where_the_turned_picture_has_it(move):
    squares = np.zeros((1, 9, 9), dtype=np.float32)
    squares[0, 2, 7] = 1
    _, row, column = np.argwhere(move_square(squares, move))[0]
    lies = as_it_lies([[7.5 / 9, 2.5 / 9]], 90 * (move % 4), move >= 4)
    assert_allclose(lies, [[(column + 0.5) / 9, (row + 0.5) / 9]], atol=1e-12)


def seen_from(width, height, tilt_deg, swing_deg, focal, photo=(4000, 3000)):
    """Corners of a quilt in a pinhole camera: from the definition of one, no library."""
    a, b = np.deg2rad([tilt_deg, swing_deg])
    tilt = np.array([[1, 0, 0], [0, np.cos(a), -np.sin(a)], [0, np.sin(a), np.cos(a)]])
    swing = np.array([[np.cos(b), 0, np.sin(b)], [0, 1, 0], [-np.sin(b), 0, np.cos(b)]])
    flat = np.array([(-1, -1, 0), (1, -1, 0), (1, 1, 0), (-1, 1, 0)]) * [width / 2, height / 2, 1]
    space = flat @ (tilt @ swing).T + [0, 0, 2.2 * max(width, height) * focal]
    return space[:, :2] / space[:, 2:] * focal * max(photo) + (np.array(photo) - 1) / 2


@pytest.mark.parametrize("tilt", [0, 15, 35])
@pytest.mark.parametrize("focal", [0.7, 1.5])
def test_proportion_is_that_of_the_quilt_however_it_is_looked_at(tilt, focal):
    corners = seen_from(74, 88, tilt, tilt / 2, focal)
    assert_allclose(proportion(corners, (4000, 3000)), 74 / 88, rtol=0.03)


def test_proportion_of_a_quilt_seen_straight_on_is_exact():
    assert_allclose(proportion(seen_from(60, 60, 0, 0, 1.0), (4000, 3000)), 1.0, rtol=1e-9)
