"""Turning, mirroring and laying of test blocks."""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from judging.rendering.blocks import design
from judging.rendering.piecing import ELEMENTS, Lies, after, in_quad, moved
from seamlore.draft.block import move


def test_moving_agrees_with_the_drafts_own_moves() -> None:
    for turn, flip in ELEMENTS:
        for each in design("Schoolhouse").patches:
            exact = [[float(part) for part in move(corner, turn, flip)] for corner in each.outline]
            assert_allclose(moved(each.points, (turn, flip)), exact, atol=1e-12)


def test_two_moves_after_one_another_are_one_of_the_eight() -> None:
    points = np.random.default_rng(1).random((5, 2))
    for one in ELEMENTS:
        for two in ELEMENTS:
            assert_allclose(moved(moved(points, one), two), moved(points, after(one, two)))


def test_symmetries_of_known_blocks() -> None:
    count = {
        "Nine Patch": 8,
        "Friendship Star": 4,
        "Pinwheel": 4,
        "Bow Tie": 4,
        "Birds in the Air": 2,
        "Schoolhouse": 1,
    }
    assert {name: len(Lies(design(name)).symmetry((0, False))) for name in count} == count


def test_the_smallest_turn_that_fits_is_told() -> None:
    lies = Lies(design("Bow Tie"))
    assert lies.smallest((0, False), (270, False)) == (90, False)
    assert lies.smallest((0, False), (180, False)) == (0, False)


def test_the_unit_square_goes_into_a_quadrilateral_corner_by_corner() -> None:
    quad = np.array([[1.0, 2], [5, 1], [6, 7], [0, 8]])
    unit = np.array([[0.0, 0], [1, 0], [1, 1], [0, 1]])
    assert_allclose(in_quad(unit, quad), quad)
