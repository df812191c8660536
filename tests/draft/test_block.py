"""The block: patches made canonical, and the cover test."""

from fractions import Fraction
from itertools import product

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shapely import Polygon, union_all

from seamlore.draft.block import Place, block, move, patch
from seamlore.draft.catalogue import all_blocks, find
from seamlore.errors import ShapeError

PLACES = {"A": Place("light"), "B": Place("dark")}


def halves(seam, *, gap=Fraction(0)):
    left = patch([(0, 0), (seam, 0), (seam, 1), (0, 1)], "A")
    right = patch([(seam + gap, 0), (1, 0), (1, 1), (seam + gap, 1)], "B")
    return [left, right]


def test_a_patch_is_the_same_whichever_corner_it_begins_with_and_whichever_way_it_runs():
    corners = [(0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)]
    turned = [corners[at:] + corners[:at] for at in range(6)]
    assert len({patch(each, "A") for each in (*turned, *(each[::-1] for each in turned))}) == 1


def test_corners_on_a_straight_side_and_spikes_are_dropped():
    assert patch([(0, 0), (1, 0), (3, 0), (2, 0), (2, 2), (0, 2), (0, 1)], "A") == patch(
        [(0, 0), (2, 0), (2, 2), (0, 2)], "A"
    )


def test_a_gap_is_refused_with_its_place_and_size():
    with pytest.raises(ShapeError, match=r"at \(2\.\d+, 2\) divisions.*a gap of 0\.25 by 4"):
        block("x", 4, halves(Fraction(1, 2), gap=Fraction(1, 16)), PLACES)


def test_an_overlap_is_refused_with_its_place_and_size():
    with pytest.raises(ShapeError, match=r"patch 1 \(A\) and patch 2 \(B\) overlap by 0\.25 by 4"):
        block("x", 4, halves(Fraction(1, 2), gap=Fraction(-1, 16)), PLACES)


@pytest.mark.parametrize("sign", [1, -1])
def test_a_gap_or_overlap_of_two_millionths_of_the_side_is_refused(sign):
    with pytest.raises(ShapeError, match="cover"):
        block("x", 4, halves(Fraction(1, 2), gap=sign * Fraction(2, 10**6)), PLACES)


@pytest.mark.parametrize("sign", [1, -1])
def test_a_gap_or_overlap_of_half_a_millionth_of_the_side_is_the_rounding_of_numbers(sign):
    made = block("x", 4, halves(Fraction(1, 2), gap=sign * Fraction(1, 2 * 10**6)), PLACES)
    assert len(made.patches) == 2


def test_a_sliver_that_leaves_no_gap_is_refused_with_its_place_and_size():
    with pytest.raises(ShapeError, match=r"at \(0\.001, 2\).*sliver 0\.002 wide and 4 long"):
        block("x", 4, halves(Fraction(1, 2000)), PLACES)


def test_a_patch_outside_the_block_is_refused():
    outside = [patch([(0, 0), (2, 0), (2, 1), (0, 1)], "A")]
    with pytest.raises(ShapeError, match="outside the block"):
        block("x", 1, outside, {"A": PLACES["A"]})


def test_a_patch_that_crosses_itself_is_refused():
    crossed = [patch([(0, 0), (1, 1), (1, 0), (0, Fraction(3, 4))], "A")]
    with pytest.raises(ShapeError, match="crosses itself"):
        block("x", 1, crossed, {"A": PLACES["A"]})


def test_the_same_patch_twice_is_refused():
    whole = patch([(0, 0), (1, 0), (1, 1), (0, 1)], "A")
    with pytest.raises(ShapeError, match="overlap"):
        block("x", 1, [whole, whole], {"A": PLACES["A"]})


@pytest.mark.parametrize("text", ["two\nlines", " spaces ", "a # mark", ""])
def test_a_name_that_cannot_stand_on_one_line_of_a_file_is_refused(text):
    with pytest.raises(ShapeError, match="one line of text"):
        block(text, 1, halves(Fraction(1, 2)), PLACES)


def test_another_name_with_a_comma_is_refused():
    with pytest.raises(ShapeError, match="a comma parts names"):
        block("x", 1, halves(Fraction(1, 2)), PLACES, also=("Salt, Pepper",))


@pytest.mark.parametrize("divisions", [0, 65])
def test_divisions_out_of_range_are_refused(divisions):
    with pytest.raises(ShapeError, match="from 1 to 64"):
        block("x", divisions, halves(Fraction(1, 2)), PLACES)


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_exact_cover_agrees_with_the_geometry_library(each):
    # Outside check: Shapely's union of the same outlines, in floats.
    shapes = [Polygon(one.points) for one in each.patches]
    assert_allclose(union_all(shapes).area, 1, rtol=0, atol=1e-9)
    assert_allclose(sum(shape.area for shape in shapes), 1, rtol=0, atol=1e-9)
    assert sum(one.area for one in each.patches) == 1


def test_turning_and_mirroring_move_corners_as_matrices_do():
    # Outside check: the rotation and reflection matrices of plane geometry, about the middle of the block.
    corner = (Fraction(1, 5), Fraction(1, 3))
    centered = np.array([float(corner[0]) - 0.5, float(corner[1]) - 0.5])
    for turn, mirrored in product((0, 90, 180, 270), (False, True)):
        angle = np.radians(turn)
        # y runs down, so that this matrix turns clockwise as seen.
        matrix = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        expected = matrix @ (centered * [-1 if mirrored else 1, 1]) + 0.5
        assert_allclose([float(number) for number in move(corner, turn, mirrored)], expected, atol=1e-12)


def test_four_quarter_turns_bring_a_block_back():
    given = find("Log Cabin")
    assert given.moved(90).moved(90).moved(180) == given
    assert given.moved(90) != given
