"""Edges followed in a picture, and a frame laid through them."""

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.ndimage import map_coordinates

from seamlore.photo.bows import bow_at
from seamlore.photo.edges.framing import as_corners, fit_curve, grown, refit
from seamlore.photo.edges.tracing import (
    Trace,
    length_across,
    outer_line,
    sampled,
    trace_by_sight,
    trace_by_steps,
    unit_points,
)
from seamlore.photo.frame import Frame

# Pictures drawn by the tests, so that their truth is exact: custom, no source.
SQUARE = Frame(((50, 40), (249, 40), (249, 189), (50, 189)), (1.0, 1.0))


BOW = (0.004, 0.008, 0.008, 0.006, 0.002)


def picture(bow: tuple[float, ...] = ()) -> tuple[np.ndarray, np.ndarray]:
    """A light quilt on a dark ground whose upper edge bows outward: CIELAB, and the upper edge as it may be seen."""
    x, y = np.meshgrid(np.arange(300), np.arange(230))
    top = 40 - bow_at(bow, (x - 50) / 199) * 149
    inside = (x >= 50) & (x <= 249) & (y >= top) & (y <= 189)
    lab = np.zeros((230, 300, 3), dtype=np.float32)
    lab[..., 0] = np.where(inside, 80, 25)
    lab += np.random.default_rng(1).normal(0, 1.5, lab.shape).astype(np.float32)
    seen = np.exp(-0.5 * (y - top) ** 2) * ((x >= 50) & (x <= 249))
    return lab, seen.astype(np.float32)


@pytest.mark.parametrize("side", range(4))
def test_places_run_clockwise_and_inward(side: int) -> None:
    corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]])
    ends = unit_points(side, np.array([0.0, 1.0]), np.array([0.0, 0.0]))
    assert_allclose(ends, [corners[side], corners[(side + 1) % 4]])
    inward = (
        unit_points(side, np.array([0.5]), np.array([0.1]))[0]
        - unit_points(side, np.array([0.5]), np.array([0.0]))[0]
    )
    assert_allclose(inward @ (np.array([0.5, 0.5]) - ends.mean(axis=0)), 0.05)


def test_a_picture_is_sampled_between_its_pixels_as_a_general_library_does() -> None:
    grid = np.random.default_rng(2).uniform(0, 9, (12, 15)).astype(np.float32)
    places = np.random.default_rng(3).uniform(1, 10, (40, 1, 2))
    # Checked against scipy; OpenCV rounds places to 1/32 of a pixel.
    expected = map_coordinates(grid, [places[..., 1], places[..., 0]], order=1)
    assert_allclose(sampled(grid, places), expected, atol=0.4)


def test_a_bowed_edge_is_followed_as_it_is_seen() -> None:
    lab, seen = picture(BOW)
    # The network's picture is squeezed.
    small = cv2.resize(seen, (256, 256), interpolation=cv2.INTER_AREA)
    trace = trace_by_sight(SQUARE, 0, small, lab.shape, 0.04)
    middle = (trace.along > 0.05) & (trace.along < 0.95)
    assert_allclose(trace.inward[middle], -bow_at(BOW, trace.along)[middle], atol=0.006)
    assert trace.strength[middle].min() > 0.3


def test_an_edge_near_where_it_was_seen_is_followed_by_its_steps() -> None:
    lab, _ = picture()
    off = Frame(((50, 40.2), (249, 40.2), (249, 189), (50, 189)), (1.0, 1.0))
    trace = trace_by_steps(off, 0, lab, 0.03)
    # The step lies between the rows 39 and 40.
    assert_allclose(np.median(trace.inward), (39.5 - 40.2) / 148.8, atol=0.003)


def test_a_frame_laid_anew_takes_the_bow_and_keeps_straight_edges_straight() -> None:
    lab, seen = picture(BOW)
    traces: list[Trace | None] = [trace_by_sight(SQUARE, 0, seen, lab.shape, 0.04)]
    traces += [trace_by_steps(SQUARE, side, lab, 0.03) for side in (1, 2, 3)]
    found = refit(SQUARE, traces, 1.5)
    assert_allclose(np.asarray(found.corners), np.asarray(SQUARE.corners), atol=2.0)
    assert_allclose(bow_at(found.bows[0], [0.25, 0.5, 0.75]), [0.007, 0.008, 0.005], atol=0.003)
    for bow in found.bows[1:]:
        assert np.abs(bow).max(initial=0.0) < 0.01


def test_edges_that_were_not_followed_stay() -> None:
    assert_allclose(np.asarray(refit(SQUARE, [None] * 4, 1.5).corners), np.asarray(SQUARE.corners), atol=1e-6)


def test_what_lies_over_an_edge_does_not_bend_it() -> None:
    along = (np.arange(200) + 0.5) / 200
    inward = 0.01 + 0.02 * along + np.random.default_rng(4).normal(0, 0.0005, 200)
    inward[80:95] += 0.05
    curve, trust = fit_curve(Trace(along, inward, np.ones(200)), 0.002)
    assert_allclose(curve.at(along), 0.01 + 0.02 * along, atol=0.003)
    assert trust[80:95].max() < 0.1 < np.median(trust)


def test_a_binding_fainter_than_its_inner_edge_is_taken_in() -> None:
    large = Frame(((100, 80), (499, 80), (499, 379), (100, 379)), (1.0, 1.0))
    lab = np.zeros((460, 600, 3), dtype=np.float32)
    lab[..., 0] = 25
    lab[77:383, 97:503, 0] = 50
    lab[80:380, 100:500, 0] = 80
    assert_allclose(outer_line(large, 0, lab) * length_across(large, 0), 3.5, atol=0.5)
    lab[:80] = lab[0, 0]
    assert outer_line(large, 0, lab) == 0.0


def test_a_frame_grows_outward_by_parts_of_itself() -> None:
    found = grown(SQUARE, [0.1, 0.0, 0.0, 0.2])
    assert_allclose(
        np.asarray(found.corners), [(50 - 39.8, 40 - 14.9), (249, 40 - 14.9), (249, 189), (50 - 39.8, 189)]
    )


def test_length_across_an_edge_is_that_of_the_two_sides_beside_it() -> None:
    slanted = Frame(as_corners(np.array([[0, 0], [100, 0], [100, 60], [0, 40.0]])), (1.0, 1.0))
    assert_allclose(length_across(slanted, 0), 50)
