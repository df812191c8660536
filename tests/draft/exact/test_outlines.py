"""Exact outlines: the cover test against the geometry library on random cuts and on spoilt ones."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from shapely import Polygon, coverage_is_valid, union_all

from seamlore.draft.catalogue import find
from seamlore.draft.exact.outlines import fills_square, join, tidy, twice_area, whole_numbers


def cut(polygons, line):
    """Cut convex outlines by a line, exactly."""
    a, b, c = line
    parts = []
    for ring in polygons:
        sides = [a * x + b * y - c for x, y in ring]
        for sign in (1, -1):
            kept = []
            for index, (corner, here) in enumerate(zip(ring, sides, strict=True)):
                before, there = ring[index - 1], sides[index - 1]
                if here * there < 0:
                    share = Fraction(there, there - here)
                    kept.append(tuple(p + share * (q - p) for p, q in zip(before, corner, strict=True)))
                if here * sign >= 0:
                    kept.append(corner)
            if len(set(kept)) >= 3 and tidy(whole_numbers([kept])[1][0]):
                parts.append(kept)
    return parts


LINES = st.tuples(st.integers(-4, 4), st.integers(-4, 4), st.integers(-4, 12)).filter(lambda line: line[0] or line[1])


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.lists(LINES, min_size=1, max_size=5), st.data())
def test_any_square_cut_by_lines_is_filled_and_is_not_when_a_part_is_lost_or_doubled(lines, data):
    square = [
        [
            (Fraction(0), Fraction(0)),
            (Fraction(4), Fraction(0)),
            (Fraction(4), Fraction(4)),
            (Fraction(0), Fraction(4)),
        ]
    ]
    for line in lines:
        square = cut(square, line)
    scale, rings = whole_numbers(square)
    rings = [tidy(ring) for ring in rings]
    assert fills_square(4 * scale, rings)
    # Outside check: the geometry library's own test of a coverage, and the area of the union.
    shapes = [Polygon(np.array(ring) / scale) for ring in rings]
    assert_allclose(union_all(shapes).area, 16, rtol=1e-9)
    at = data.draw(st.integers(0, len(rings) - 1))
    assert not fills_square(4 * scale, rings[:at] + rings[at + 1 :])
    assert not fills_square(4 * scale, [*rings, rings[at]])


def test_two_patches_that_make_up_for_each_other_in_area_do_not_fill_a_square():
    # One is missing at the left and one lies twice at the right: the areas sum up all the same.
    left, right = [(0, 0), (1, 0), (1, 2), (0, 2)], [(1, 0), (2, 0), (2, 2), (1, 2)]
    assert twice_area(right) + twice_area(right) == 8
    assert not fills_square(2, [right, right])
    assert fills_square(2, [left, right])
    assert coverage_is_valid([Polygon(left), Polygon(right)])


@pytest.mark.parametrize(
    "ring",
    [
        [(0, 0), (2, 2), (2, 0), (0, 2)],
        [(0, 0), (4, 0), (4, 4), (2, 0), (0, 4)],
        [(0, 0), (4, 0), (2, 2), (4, 4), (0, 4), (2, 2)],
    ],
    ids=["crossing", "touching a side", "touching a corner"],
)
def test_an_outline_that_touches_itself_fills_nothing(ring):
    assert not Polygon(ring).is_valid
    assert not fills_square(4, [ring])


def test_a_ring_round_a_hole_is_not_one_piece():
    squares = [[(x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1)] for x in range(3) for y in range(3)]
    assert join([square for square in squares if square[0] != (1, 1)]) is None
    assert tidy(join(squares)) == [(0, 0), (3, 0), (3, 3), (0, 3)]


def test_pieces_that_touch_at_a_point_are_not_one_piece():
    assert join([[(0, 0), (1, 0), (1, 1), (0, 1)], [(1, 1), (2, 1), (2, 2), (1, 2)]]) is None


def test_an_eight_pointed_star_fills_its_square_and_does_not_when_a_corner_is_off_by_a_trillionth():
    scale, rings = whole_numbers([each.outline for each in find("LeMoyne Star").patches])
    assert fills_square(scale, rings)
    (x, y), *others = rings[3]
    assert not fills_square(scale, [*rings[:3], [(x + Fraction(1, 10**12), y), *others], *rings[4:]])


def test_parts_of_an_eight_pointed_star_are_joined_across_shared_and_broken_sides():
    star = find("LeMoyne Star")
    _, rings = whole_numbers([each.outline for each in star.patches])
    diamonds = [ring for ring, each in zip(rings, star.patches, strict=True) if each.place in "BC"]
    outline = join(diamonds)
    # Eight points and eight corners between them.
    assert outline is not None
    assert len(tidy(outline)) == 16
    assert twice_area(outline) == sum(twice_area(ring) for ring in diamonds)
