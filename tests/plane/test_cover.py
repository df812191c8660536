"""The cover test: it names the place where patches do not cover their block."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamlore.errors import ShapeError
from seamlore.plane.cover import check_cover

SQUARE = np.array([[0.0, 0], [4, 0], [4, 4], [0, 4]])


def rectangle(left, top, right, bottom):
    return np.array([[left, top], [right, top], [right, bottom], [left, bottom]], dtype=float)


def check(*outlines):
    check_cover(SQUARE, outlines, [f"patch {index + 1}" for index in range(len(outlines))])


def test_two_halves_cover():
    check(rectangle(0, 0, 2, 4), rectangle(2, 0, 4, 4))


@given(st.floats(0.01, 3.99), st.floats(0.01, 3.99))
def test_any_four_rectangles_that_meet_in_a_point_cover(x, y):
    check(rectangle(0, 0, x, y), rectangle(x, 0, 4, y), rectangle(0, y, x, 4), rectangle(x, y, 4, 4))


def test_a_gap_is_named_with_its_place_and_size():
    with pytest.raises(ShapeError, match=r"at \(3, 2\).*gap of 2 by 4"):
        check(rectangle(0, 0, 2, 4))


def test_an_overlap_names_both_patches_and_its_size():
    with pytest.raises(ShapeError, match=r"patch 1 and patch 2 overlap by 0.5 by 4"):
        check(rectangle(0, 0, 2.5, 4), rectangle(2, 0, 4, 4))


def test_what_stands_outside_is_refused():
    with pytest.raises(ShapeError, match="outside"):
        check(rectangle(0, 0, 5, 4))


def test_an_outline_that_crosses_itself_is_refused():
    with pytest.raises(ShapeError, match="crosses itself"):
        check(np.array([[0.0, 0], [4, 4], [4, 0], [0, 4]]))


@pytest.mark.parametrize(("gap", "taken"), [(1e-7, True), (1e-5, False)])
def test_the_test_holds_to_a_millionth_of_the_side(gap, taken):
    halves = rectangle(0, 0, 2 - 4 * gap, 4), rectangle(2, 0, 4, 4)
    if taken:
        check(*halves)
    else:
        with pytest.raises(ShapeError, match="gap"):
            check(*halves)
