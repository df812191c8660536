"""Edges of the geometry: a limit itself is inside, and a step beyond is not. Closed forms; no outside source."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.errors import MeasureError, PhotoError
from seamlore.photo.alignment import align, even_grid
from seamlore.photo.bows import bow_at, bow_slope_at, bow_through
from seamlore.photo.edges.framing import Curve, as_corners, fit_curve, grown, is_quilt, meeting, refit
from seamlore.photo.edges.tracing import Trace
from seamlore.photo.flatten import flatten
from seamlore.photo.frame import Frame, check_corners
from seamlore.photo.opening import Photo

RECTANGLE = ((10.0, 20.0), (210.0, 20.0), (210.0, 120.0), (10.0, 120.0))
FRAME = Frame(RECTANGLE, (2.0, 1.0))


def test_a_bow_of_just_a_quarter_is_still_flattened():
    assert Frame(RECTANGLE, (2, 1), ((0.25,), (), (-0.25,), ())).bows == ((0.25,), (), (-0.25,), ())
    for bow in (0.2501, -0.2501, float("nan"), float("inf")):
        with pytest.raises(PhotoError, match="at most 25%"):
            Frame(RECTANGLE, (2, 1), ((), (bow,), (), ()))
    with pytest.raises(PhotoError, match="bows of 3 edges"):
        Frame(RECTANGLE, (2, 1), ((), (), ()))


@pytest.mark.parametrize("size", [(0, 1), (1, 0), (-1, 1), (1, float("inf")), (float("nan"), 1)])
def test_a_quilt_has_two_sides(size):
    with pytest.raises(PhotoError, match="above 0"):
        Frame(RECTANGLE, size)
    assert Frame(RECTANGLE, (0.5, 0.001)).size == (0.5, 0.001)


def test_a_corner_lies_at_most_half_the_picture_beyond_its_rim():
    # A picture of 211 by 121 pixels: centers from 0 to 210 and 120.
    beyond = {0: (0, -105.5), 1: (1, -60.5), 2: (0, 210 + 105.5), 3: (1, 120 + 60.5)}
    for number, name in enumerate(("top left", "top right", "bottom right", "bottom left")):
        axis, limit = beyond[number]
        corners = [list(corner) for corner in RECTANGLE]
        corners[number][axis] = limit
        check_corners(corners, (211, 121))
        corners[number][axis] = limit + (0.01 if limit > 0 else -0.01)
        with pytest.raises(
            PhotoError, match=f"the {name} corner: it lies far outside the upright photograph, which is 211"
        ):
            check_corners(corners, (211, 121))


def test_corners_are_apart_and_turn_by_more_than_a_few_degrees():
    check_corners([(0, 0), (2, 0), (2, 2), (0, 2)])
    with pytest.raises(PhotoError, match="two corners in one place"):
        check_corners([(0, 0), (1.99, 0), (1.99, 2), (0, 2)])
    # The lower right corner d beyond the line between its neighbors turns by a sine of d / 25: 0.06 is the least.
    check_corners([(0, 0), (100, 0), (51.55, 51.55), (0, 100)])
    flat = [(0, 0), (100, 0), (51.45, 51.45), (0, 100)]
    with pytest.raises(PhotoError, match="nearly on one line"):
        check_corners(flat)
    assert not is_quilt(np.array(flat))
    assert is_quilt(np.array(RECTANGLE))


@pytest.mark.parametrize("corners", [3, [1, 2, 3, 4], [(0, 0, 0)] * 4])
def test_what_is_no_list_of_points_is_refused(corners):
    with pytest.raises(PhotoError, match="corners"):
        check_corners(corners)


def test_edges_are_drawn_from_left_and_from_top():
    top, right, bottom, left = FRAME.edges_px(4)
    assert_allclose(top, [[10, 20], [60, 20], [110, 20], [160, 20], [210, 20]])
    assert_allclose(right[[0, -1]], [[210, 20], [210, 120]])
    assert_allclose(bottom[[0, -1]], [[10, 120], [210, 120]])
    assert_allclose(left[[0, -1]], [[10, 20], [10, 120]])
    assert len(FRAME.edges_px()[0]) == 33
    bowed = Frame(RECTANGLE, (2, 1), ((0.1,), (0.05,), (0.2,), (-0.05,)))
    top, right, bottom, left = (edge[2] for edge in bowed.edges_px(4))
    # A tenth of the height up, a twentieth of the width to the right, a fifth down, a twentieth inward from the left.
    assert_allclose([top, right, bottom, left], [[110, 10], [220, 70], [110, 140], [20, 70]], atol=1e-9)


def test_a_frame_of_a_picture_twice_as_wide_keeps_pixel_centers():
    assert_allclose(FRAME.scaled(2).corners[0], (20.5, 40.5))
    assert FRAME.scaled(2).size == FRAME.size
    assert FRAME.resized(4, 3).size == (4, 3)
    assert FRAME.back().back() == FRAME
    assert Frame(RECTANGLE, (2, 1), ((0.1,), (), (), ())).straightened() == FRAME


def test_a_flattened_quilt_has_as_many_pixels_as_asked_and_its_own_proportions():
    photo = Photo(np.full((140, 230, 3), 90, np.uint8))
    assert flatten(photo, FRAME, longest_px=16).pixels.shape == (8, 16, 3)
    for wrong in (15, 30_001):
        with pytest.raises(PhotoError, match="16 to 30000 px"):
            flatten(photo, FRAME, longest_px=wrong)
    assert flatten(photo, Frame(RECTANGLE, (50, 1)), longest_px=100).pixels.shape == (2, 100, 3)
    assert flatten(photo, Frame(RECTANGLE, (1, 50)), longest_px=100).pixels.shape == (100, 2, 3)
    with pytest.raises(PhotoError, match="at most 50 times"):
        flatten(photo, Frame(RECTANGLE, (50.1, 1)))
    usual = flatten(photo, FRAME)
    assert usual.pixels.shape == (800, 1600, 3)
    assert not usual.pixels.flags.writeable
    assert (usual.scale, usual.px_per_unit) == ((800.0, 800.0), 800.0)


def test_places_on_a_flattened_quilt_of_unlike_scales():
    flat = flatten(Photo(np.full((140, 230, 3), 90, np.uint8)), Frame(RECTANGLE, (3.02, 1.0)), longest_px=16)
    assert flat.pixels.shape[:2] == (5, 16)
    assert_allclose(flat.scale, (16 / 3.02, 5))
    assert_allclose(flat.px_per_unit, np.sqrt(16 / 3.02 * 5))
    assert_allclose(flat.to_quilt([[-0.5, -0.5], [15.5, 4.5]]), [[0, 0], [3.02, 1]], atol=1e-12)
    assert_allclose(flat.to_flat(flat.to_quilt([[3, 4]])), [[3, 4]])


@pytest.mark.parametrize("mirrored", [False, True])
def test_each_quarter_of_a_quilt_comes_out_where_it_lies(mirrored):
    pixels = np.zeros((140, 230, 3), np.uint8)
    pixels[20:70, 10:110], pixels[20:70, 110:211] = 50, 100
    pixels[70:121, 10:110], pixels[70:121, 110:211] = 150, 200
    for bows in (((), (), (), ()), ((0.001,), (0.001,), (), ())):
        flat = flatten(Photo(pixels), Frame(RECTANGLE, (2, 1), bows, mirrored), longest_px=100).pixels[..., 0]
        found = [[flat[12, 25], flat[12, 75]], [flat[37, 25], flat[37, 75]]]
        wanted = [[50, 100], [150, 200]]
        assert_allclose(found, [row[::-1] for row in wanted] if mirrored else wanted, atol=2)


def test_a_bow_has_its_offsets_at_its_stations_and_no_slope_beyond_its_ends():
    bow = (0.01, 0.03, -0.02)
    assert_allclose(bow_at(bow, [0, 0.25, 0.5, 0.75, 1]), [0, 0.01, 0.03, -0.02, 0], atol=1e-15)
    assert_allclose(bow_at(bow, [-0.2, 1.2]), 0, atol=1e-15)
    assert_allclose(bow_slope_at(bow, [-0.2, 1.2]), 0)
    step = 1e-6
    for at in (0.0, 0.1, 0.5, 0.9):
        rise = (bow_at(bow, [at + step]) - bow_at(bow, [at])) / step
        assert_allclose(bow_slope_at(bow, [at]), rise, atol=1e-5)
    assert bow_through([0.5], [0.02], 1) == (pytest.approx(0.02, rel=1e-5),)
    assert bow_through([0.1, 0.2], [0.0, 0.0], 3)[2] == pytest.approx(0, abs=1e-9)


def square_cells(rows, columns, side=100.0):
    row, column = np.indices((rows, columns))
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * side
    return np.stack([column, row], axis=-1)[:, :, None] * side + square


def test_crossings_say_which_seam_lies_how_far_of_the_other():
    cells = square_cells(2, 2)
    cells[1] += [3.0, 0.0]
    cells[:, 1] += [0.0, -4.0]
    (found,) = align(cells, px_per_unit=2).crossings
    # The seam below lies 3 px to the right, that on the right 4 px higher; 2 px to a unit.
    assert (found.row, found.column, found.across, found.down) == (0, 0, 1.5, -2.0)
    assert found.miss == 2.5
    assert align(cells, px_per_unit=2).typical_miss == 2.5
    assert align(square_cells(1, 3), px_per_unit=2).crossings == ()
    assert align(square_cells(3, 1), px_per_unit=2).typical_miss is None


def test_shift_is_to_the_right_and_down_in_the_records_unit():
    cells = square_cells(5, 5)
    cells[2, 3] += [6.0, -8.0]
    found = align(cells, px_per_unit=2)
    assert_allclose(found.shift[2, 3], [3.0, -4.0], atol=0.1)
    others = np.delete(found.shift.reshape(-1, 2), 13, axis=0)
    assert np.abs(others).max() < 0.1
    with pytest.raises(MeasureError, match="more than 0"):
        align(cells, px_per_unit=0)


def test_every_other_row_on_point_may_lie_half_a_step_along():
    diamond = np.array([[0, -50], [50, 0], [0, 50], [-50, 0.0]])
    row, column = np.indices((4, 3))
    middles = np.stack([column * 100 + row % 2 * 50, row * 50], axis=-1)
    cells = middles[:, :, None] + diamond
    assert_allclose(even_grid(cells), middles, atol=1e-6)
    assert align(cells, px_per_unit=1).crossings == ()


def test_a_frame_grows_by_parts_of_itself_on_each_side():
    unit = Frame(RECTANGLE, (1.0, 1.0), ((0.01,), (), (), ()))
    for side, moved in enumerate(
        [
            ((10, 10), (210, 10), (210, 120), (10, 120)),
            ((10, 20), (230, 20), (230, 120), (10, 120)),
            ((10, 20), (210, 20), (210, 130), (10, 130)),
            ((-10, 20), (210, 20), (210, 120), (-10, 120)),
        ]
    ):
        found = grown(unit.straightened(), [0.1 * (side == each) for each in range(4)])
        assert_allclose(np.asarray(found.corners), moved, atol=1e-9)
    assert grown(unit, [0.0] * 4).bows == unit.bows


def test_two_lines_meet_where_they_meet():
    one, two = np.array([[0, 0], [4, 4.0]]), np.array([[0, 6], [3, 3.0]])
    assert_allclose(meeting(one, two), [3, 3])
    assert_allclose(meeting(two, one), [3, 3])
    assert_allclose(meeting(np.array([[1, 0], [1, 9.0]]), np.array([[0, 2], [5, 4.5]])), [1, 2.5])


def trace(inward, strength=1.0):
    along = (np.arange(len(inward)) + 0.5) / len(inward)
    return Trace(along, np.asarray(inward, dtype=np.float64), np.full(len(inward), strength))


def test_a_curve_is_a_line_and_a_bow_on_it():
    curve = Curve(0.01, 0.02, (0.0, 0.0, 0.03, 0.0, 0.0))
    assert_allclose(curve.at(np.array([0.0, 0.5, 1.0])), [0.01, 0.05, 0.03], atol=1e-12)
    assert_allclose(curve.at(np.array([1.5])), [0.04])


def test_an_edge_that_was_followed_moves_as_far_as_it_was_seen_and_the_others_stay():
    unit = Frame(RECTANGLE, (1.0, 1.0))
    for side, moved in enumerate([(0, 1), (1, 0), (0, -1), (-1, 0)]):
        traces = [trace(np.full(100, 0.02)) if each == side else None for each in range(4)]
        found = np.asarray(refit(unit, traces, 0.5).corners) - np.asarray(RECTANGLE)
        by = np.array(moved) * np.array([-4.0, 2.0])
        ends = [side, (side + 1) % 4]
        assert_allclose(found[ends], [by, by], atol=0.05)
        rest = [each for each in range(4) if each not in ends]
        assert_allclose(found[rest], 0, atol=1e-9)


def test_edges_that_make_no_quilt_leave_the_frame_as_it_was():
    unit = Frame(RECTANGLE, (1.0, 1.0))
    far = [trace(np.full(100, 0.51)), None, trace(np.full(100, 0.51)), None]
    assert refit(unit, far, 0.5) == unit


def test_a_few_wild_places_count_little_and_an_edge_of_nothing_else_has_no_bow():
    inward = np.full(100, 0.02)
    inward[40:50] = 0.2
    curve, weight = fit_curve(trace(inward), 0.002)
    assert_allclose(curve.at(np.linspace(0, 1, 11)), 0.02, atol=0.001)
    assert weight[40:50].max() < 0.01
    assert weight[:30].min() > 0.9
    # Where a trace is weak it is followed less.
    strength = np.ones(100)
    strength[50:] = 0.0
    mixed = trace(np.where(np.arange(100) < 50, 0.0, 0.01))
    weak, _ = fit_curve(Trace(mixed.along, mixed.inward, strength), 0.01)
    strong, _ = fit_curve(mixed, 0.01)
    assert weak.at(np.array([0.3])) < strong.at(np.array([0.3])) + 1e-6


def test_corners_are_kept_as_pairs():
    assert as_corners(np.arange(8.0).reshape(4, 2)) == ((0.0, 1.0), (2.0, 3.0), (4.0, 5.0), (6.0, 7.0))
