"""Photograph pixels, flattened quilt, block and back lead to each other."""

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from skimage.transform import ProjectiveTransform

from seamlore.errors import PhotoError
from seamlore.photo.frame import Frame, check_corners

ASLANT = ((210.0, 95.0), (1480.0, 160.0), (1390.0, 1130.0), (120.0, 1015.0))
BOWED = ((0.01, 0.03, 0.02), (-0.02,), (), (0.04, -0.01, 0.0, 0.02))
jitter = st.floats(-60, 60)
offset = st.floats(-0.06, 0.06)


@st.composite
def frames(draw, bowed=True):
    corners = tuple((x + draw(jitter), y + draw(jitter)) for x, y in ASLANT)
    bows = tuple(tuple(draw(st.lists(offset, max_size=4))) for _ in range(4)) if bowed else ((),) * 4
    return Frame(corners, (draw(st.floats(1, 300)), draw(st.floats(1, 300))), bows, draw(st.booleans()))


def inside(size):
    u, v = np.meshgrid(np.linspace(-0.05, 1.05, 12), np.linspace(-0.05, 1.05, 12))
    return np.column_stack([u.ravel(), v.ravel()]) * size


@given(frames(bowed=False))
def test_straight_frame_leads_there_and_back_within_a_millionth_of_a_pixel(frame):
    points = frame.to_photo(inside(frame.size))
    assert_allclose(frame.to_photo(frame.to_quilt(points)), points, atol=1e-6)


@given(frames())
def test_bowed_frame_leads_there_and_back_within_a_thousandth_of_a_pixel(frame):
    points = frame.to_photo(inside(frame.size))
    assert_allclose(frame.to_photo(frame.to_quilt(points)), points, atol=1e-3)


@given(frames())
def test_corners_of_the_quilt_are_the_corners_given(frame):
    width, height = frame.size
    here = [(0, 0), (width, 0), (width, height), (0, height)]
    if frame.mirrored:
        here = [(width - x, y) for x, y in here]
    assert_allclose(frame.to_photo(here), frame.corners, atol=1e-6)


def test_perspective_agrees_with_scikit_image():
    # Source: skimage.transform.ProjectiveTransform estimated from the same four corners.
    frame = Frame(ASLANT, (74, 88))
    outside = ProjectiveTransform.from_estimate([(0, 0), (74, 0), (74, 88), (0, 88)], ASLANT)
    points = inside(frame.size)
    assert_allclose(frame.to_photo(points), outside(points), atol=1e-6)


def test_bow_moves_the_middle_of_its_edge_outward():
    frame = Frame(((0, 0), (100, 0), (100, 100), (0, 100)), (10, 10), ((0.05,), (0.05,), (0.05,), (0.05,)))
    middles = frame.to_photo([(5, 0), (10, 5), (5, 10), (0, 5)])
    assert_allclose(middles, [(50, -5), (105, 50), (50, 105), (-5, 50)], atol=1e-9)


def test_bow_at_a_station_is_met_exactly():
    frame = Frame(((0, 0), (100, 0), (100, 100), (0, 100)), (4, 4), ((0.01, 0.03, -0.02), (), (), ()))
    assert_allclose(frame.to_photo([(1, 0), (2, 0), (3, 0)])[:, 1], [-1, -3, 2], atol=1e-9)


@given(frames())
def test_back_mirrors_left_to_right(frame):
    points = inside(frame.size)
    mirrored = np.column_stack([frame.size[0] - points[:, 0], points[:, 1]])
    assert_allclose(frame.back().to_photo(mirrored), frame.to_photo(points), atol=1e-6)
    assert frame.back().back() == frame


@given(frames())
def test_crossings_are_the_points_taken_one_by_one(frame):
    x, y = np.linspace(0, frame.size[0], 5), np.linspace(0, frame.size[1], 7)
    one_by_one = frame.to_photo([(a, b) for b in y for a in x]).reshape(7, 5, 2)
    assert_allclose(frame.crossings_to_photo(x, y), one_by_one, atol=1e-8)


def test_edges_run_through_the_corners():
    top, right, bottom, left = Frame(ASLANT, (2, 3), BOWED).edges_px(10)
    assert_allclose([top[0], top[-1], bottom[-1], bottom[0]], ASLANT, atol=1e-9)
    assert_allclose([left[0], right[0], right[-1], left[-1]], ASLANT, atol=1e-9)


def test_half_size_photograph_has_the_same_quilt():
    frame = Frame(ASLANT, (74, 88), BOWED)
    half = frame.scaled(0.5)
    points = inside(frame.size)
    # A pixel center at x lies at (x + 1/2) / 2 - 1/2 in the picture of half the size.
    assert_allclose(half.to_photo(points), (frame.to_photo(points) + 0.5) / 2 - 0.5, atol=1e-9)


def test_frame_goes_through_json_and_comes_back_the_same():
    frame = Frame(ASLANT, (74, 88), BOWED)
    frame.to_quilt([[5, 5]])
    assert msgspec.json.decode(msgspec.json.encode(frame), type=Frame) == frame
    assert set(msgspec.json.decode(msgspec.json.encode(frame))) == {"corners", "size", "bows", "mirrored"}


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        ([(0, 0), (90, 60), (90, 0), (0, 60)], "cross"),
        ([(0, 0), (0, 60), (90, 60), (90, 0)], "anticlockwise"),
        ([(0, 0), (50, 1), (100, 0), (50, 60)], "one line"),
        ([(0, 0), (10, 0), (20, 0), (30, 0)], "one line"),
        ([(0, 0), (90, 0), (30, 20), (0, 60)], "inside the other three"),
        ([(0, 0), (0, 0), (90, 60), (0, 60)], "one place"),
        ([(0, 0), (90, 0), (90, 60)], "3 corners"),
        ([(0, 0), (90, 0), (90, 60), (0, float("nan"))], "without a place"),
        ([("a", 0), (90, 0), (90, 60), (0, 60)], "not numbers"),
    ],
)
def test_corners_that_cannot_be_a_quilts_are_refused_in_one_line(corners, words):
    with pytest.raises(PhotoError, match=words) as caught:
        check_corners(corners)
    assert "\n" not in str(caught.value)


_CORNERS = ((10, 10), (700, 10), (700, 500), (10, 500))


@pytest.mark.parametrize(("at", "corner"), [(0, (-401, 10)), (0, (10, -301)), (1, (1201, 10)), (3, (10, 901))])
def test_a_corner_farther_beyond_the_rim_than_half_the_photograph_is_refused(at, corner):
    with pytest.raises(PhotoError, match="800 pixels wide and 600 high"):
        check_corners([*_CORNERS[:at], corner, *_CORNERS[at + 1 :]], (800, 600))


@pytest.mark.parametrize(("at", "corner"), [(0, (-400, 10)), (0, (10, -300)), (1, (1199, 10)), (3, (10, 899))])
def test_a_corner_may_lie_beyond_the_rim_where_the_quilt_runs_out_of_the_picture(at, corner):
    corners = [*_CORNERS[:at], corner, *_CORNERS[at + 1 :]]
    assert_allclose(check_corners(corners, (800, 600)), corners)


def test_corners_on_the_very_rim_are_accepted():
    rim = [(0, 0), (800, 0), (800, 600), (0, 600)]
    assert_allclose(check_corners(rim, (800, 600)), rim)


def test_size_of_zero_is_refused():
    with pytest.raises(PhotoError, match="above 0"):
        Frame(ASLANT, (0, 88))


def test_bow_of_a_third_of_the_quilt_is_refused():
    with pytest.raises(PhotoError, match="33%"):
        Frame(ASLANT, (74, 88), ((0.33,), (), (), ()))
