"""A frame keeps what it is given as numbers, and takes points one by one or together."""

import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.frame import Frame
from seamlore.photo.perspective import as_it_lies, blocks_to_quilt

CORNERS = [[10, 10], [110, 10], [110, 60], [10, 60]]


def test_corners_and_bows_are_kept_as_numbers_whatever_they_were():
    given = Frame(np.array(CORNERS), [100, 50], ([0], [], [np.float32(0.125)], ()))
    plain = Frame(tuple((float(x), float(y)) for x, y in CORNERS), (100.0, 50.0), ((0.0,), (), (0.125,), ()))
    assert given == plain
    assert hash(given) == hash(plain)
    assert type(given.corners[0][0]) is float


def test_the_same_frame_for_another_size_takes_the_same_pixels_to_it():
    frame = Frame(CORNERS, (100, 50))
    assert frame.resized(50, 25).size == (50.0, 25.0)
    assert_allclose(frame.resized(50, 25).to_quilt([[60, 35]]), [[25, 12.5]])


def test_many_points_lie_as_each_alone_and_whole_numbers_as_others():
    points = [[0, 0], [1, 0], [0.25, 0.5]]
    for turn in (0, 90, 180, 270):
        for mirrored in (False, True):
            alone = [as_it_lies([each], turn, mirrored)[0] for each in points]
            assert_allclose(as_it_lies(points, turn, mirrored), alone)
    corners = np.array([[0, 0], [3, 1], [4, 5], [-1, 4]])
    assert_allclose(blocks_to_quilt([[0, 1], [1, 1]], corners[None]), [[[-1, 4], [4, 5]]], atol=1e-12)
    halves = blocks_to_quilt([[0.5, 0.5]], corners[None])
    assert_allclose(blocks_to_quilt(np.array([[1, 1]]) / 2, corners[None].astype(float)), halves)
