"""Dimensions and labels."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shapely import Point, Polygon, maximum_inscribed_circle

from seamlore.drawing.shapes import Area, Line, Text
from seamlore.pictures.lettering import across, arrow, down, heart


@pytest.mark.parametrize(
    "outline",
    [
        [(0, 0), (4, 0), (4, 2), (0, 2)],
        [(0, 0), (3, 0), (0, 3)],
        [(0, 0), (6, 0), (6, 1), (1, 1), (1, 6), (0, 6)],
        [(0, 0), (10, 0), (5, 0.8)],
    ],
)
def test_the_roomiest_spot_is_as_roomy_as_the_largest_circle(outline):
    # Checked against Shapely's maximum_inscribed_circle (a general library).
    points = np.array(outline, dtype=float)
    x, y, clearance = heart(points)
    assert Polygon(points).contains(Point(x, y))
    assert_allclose(clearance, maximum_inscribed_circle(Polygon(points)).length, rtol=0.03)
    assert_allclose(Polygon(points).exterior.distance(Point(x, y)), clearance, rtol=1e-9)


def test_a_dimension_line_is_as_long_as_what_it_measures():
    line, text = across(3, 45, 10, "42 in")
    assert isinstance(line, Line)
    assert line.runs[0] == ((3, 10), (45, 10))
    assert isinstance(text, Text)
    assert text.x == 24
    assert text.y < 10
    line, text = down(3, 45, 10, "42 in", left=False)
    assert isinstance(line, Line)
    assert line.runs[0] == ((10, 3), (10, 45))
    assert isinstance(text, Text)
    assert text.x > 10


def test_an_arrow_ends_where_it_points():
    shaft, head = arrow(0, 0, 10, 0, "#000000")
    assert isinstance(head, Area)
    assert head.rings[0][0] == (10, 0)
    assert isinstance(shaft, Line)


def test_an_arrow_of_no_length_is_a_dot():
    (dot,) = arrow(1, 1, 1.01, 1, "#000000")
    assert isinstance(dot, Area)
