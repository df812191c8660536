"""Outlines: area and growth against closed forms and a second library."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from shapely import Polygon, box

from seamlore.errors import ShapeError
from seamlore.plane.outline import area, as_outline, grow, signed_area

ROOT2 = np.sqrt(2)
sides = st.floats(0.5, 40)
allowances = st.floats(0.01, 0.5)


def regular(corners, radius):
    angles = np.arange(corners) * 2 * np.pi / corners
    return as_outline(np.column_stack([np.cos(angles), np.sin(angles)]) * radius)


@given(st.integers(3, 12), sides)
def test_the_area_of_a_regular_outline_is_the_closed_form(corners, radius):
    assert_allclose(area(regular(corners, radius)), corners / 2 * radius**2 * np.sin(2 * np.pi / corners))


@given(st.integers(4, 12), sides, allowances)
def test_growing_a_regular_outline_adds_its_way_round_and_its_corners(corners, radius, allowance):
    # Closed form: area + perimeter a + a^2 (the sum of tan of half the turns), mitered.
    outline = regular(corners, radius)
    side = 2 * radius * np.sin(np.pi / corners)
    wanted = area(outline) + corners * side * allowance + corners * np.tan(np.pi / corners) * allowance**2
    assert_allclose(area(grow(outline, allowance, trimmed=False)), wanted)


@given(sides, allowances)
def test_a_half_square_triangle_grows_by_two_plus_root_two(leg, allowance):
    # The exact allowance of the trade's 7/8 in rule: SA (2 + sqrt 2); trade facts A1.
    grown = grow(as_outline([(0, 0), (leg, 0), (0, leg)]), allowance, trimmed=False)
    assert_allclose(np.ptp(grown, axis=0), leg + allowance * (2 + ROOT2))


@given(sides, allowances)
def test_trimmed_points_meet_the_raw_edge_of_the_neighbor(leg, allowance):
    # A trimmed half-square triangle is as long as the square that it is sewn to: its leg and two allowances.
    grown = grow(as_outline([(0, 0), (leg, 0), (0, leg)]), allowance)
    assert_allclose(np.ptp(grown, axis=0), leg + 2 * allowance)


@settings(max_examples=60)
@given(st.lists(st.tuples(st.floats(-5, 5), st.floats(-5, 5)), min_size=3, max_size=8), st.floats(0.01, 0.3))
def test_growing_a_convex_outline_agrees_with_a_second_library(points, allowance):
    hull = Polygon(points).convex_hull if len(set(points)) > 2 else box(0, 0, 1, 1)
    if hull.geom_type != "Polygon" or hull.area < 0.5 or hull.minimum_clearance < 0.05:
        hull = box(0, 0, 1, 2)
    outline = as_outline(np.array(hull.exterior.coords)[:-1])
    wanted = hull.buffer(allowance, join_style="mitre", mitre_limit=1e6)
    assert_allclose(area(grow(outline, allowance, trimmed=False)), wanted.area, rtol=1e-6)


@given(st.integers(3, 9), sides, allowances)
def test_a_trimmed_outline_lies_inside_the_full_one_and_holds_the_sewing_line(corners, radius, allowance):
    outline = regular(corners, radius)
    trimmed, full = Polygon(grow(outline, allowance)), Polygon(grow(outline, allowance, trimmed=False))
    assert full.buffer(1e-9).covers(trimmed)
    assert trimmed.buffer(1e-9).covers(Polygon(outline))


def test_corners_may_be_given_either_way_round():
    ring = [(0, 0), (2, 0), (2, 1)]
    assert signed_area(as_outline(ring)) == signed_area(as_outline(ring[::-1])) == 1


def test_an_inward_corner_is_grown_too():
    outline = as_outline([(0, 0), (4, 0), (4, 4), (2, 4), (2, 2), (0, 2)])
    assert_allclose(area(grow(outline, 0.25)), 12 + 16 * 0.25 + 4 * 0.0625)


@pytest.mark.parametrize(
    ("ring", "message"),
    [([(0, 0), (1, 1)], "3 corners"), ([(0, 0), (1, 1), (2, 2)], "encloses nothing"), ([], "0 corners")],
)
def test_what_encloses_nothing_is_refused(ring, message):
    with pytest.raises(ShapeError, match=message):
        as_outline(ring)


def test_a_negative_allowance_is_refused():
    with pytest.raises(ShapeError, match="0 or more"):
        grow(as_outline([(0, 0), (1, 0), (1, 1)]), -0.1)


def test_an_allowance_that_closes_a_notch_is_refused():
    notched = as_outline([(0, 0), (4, 0), (4, 4), (2.2, 4), (2.2, 1), (1.8, 1), (1.8, 4), (0, 4)])
    with pytest.raises(ShapeError, match="must not cross itself"):
        grow(notched, 0.3)
