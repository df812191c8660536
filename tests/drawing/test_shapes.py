"""Shapes."""

from fractions import Fraction
from itertools import pairwise

import numpy as np
from numpy.testing import assert_allclose

from seamlore.drawing.shapes import (
    MM_PER_INCH,
    box,
    circle,
    gathered,
    mm,
)
from seamlore.lengths import centimeters, inches


def test_an_inch_is_drawn_25_4_mm_long():
    # International yard and pound agreement, 1959: 1 in = 25.4 mm exactly.
    assert_allclose(mm(inches(1)), 25.4, rtol=0, atol=0)
    assert_allclose(mm(centimeters(5)), 50, rtol=1e-15)
    assert_allclose(mm(inches(Fraction(1, 3))), MM_PER_INCH / 3, rtol=1e-15)


def test_a_circle_keeps_its_radius_all_round():
    # The error of the four-curve circle is 0.027 % at most (closed form; computed here at 400 points of each curve).
    nodes = circle(3, 4, 10)
    t = np.linspace(0, 1, 400)[:, None]
    for before, node in pairwise(nodes):
        p0, (p1, p2, p3) = np.array(before[-2:]), np.array(node).reshape(3, 2)
        points = (1 - t) ** 3 * p0 + 3 * (1 - t) ** 2 * t * p1 + 3 * (1 - t) * t**2 * p2 + t**3 * p3
        assert_allclose(np.hypot(*(points - [3, 4]).T), 10, rtol=2.8e-4)


def test_outlines_of_one_color_become_one_area():
    painted = [(box(x, 0, 1, 1), "#101010" if x % 2 else "#e0e0e0") for x in range(10)]
    areas = gathered(painted)
    assert [(area.fill, len(area.rings)) for area in areas] == [("#e0e0e0", 5), ("#101010", 5)]
