"""Strips between and round the blocks, and the largest sound areas, against counting by hand and trying every rectangle."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely

from seamlore.condition.ground import Ground
from seamlore.saving.backing import areas
from seamlore.saving.between import strips
from seamlore.saving.cloth import Cloth


def block(x, y, side=8.0):
    return [[x, y], [x + side, y], [x + side, y + side], [x, y + side]]


def quilt():
    """2 x 2 blocks of 8 in, sashing of 2 in, a border of 3 in: 24 in square."""
    at = [(row, column) for row in range(2) for column in range(2)]
    return Ground((24.0, 24.0), tuple(at), np.array([block(3 + 10 * column, 3 + 10 * row) for row, column in at]))


def test_every_strip_is_a_piece_of_its_own():
    found = strips(quilt())
    assert [each.kind for each in found] == [
        "short sashing", "short sashing", "long sashing", "top border", "bottom border", "left border", "right border",
    ]  # fmt: skip
    assert [round(each.long, 6) for each in found] == [8, 8, 18, 24, 24, 18, 18]
    assert all(each.whole for each in found)


def test_damage_bars_the_whole_width_beside_it_and_only_the_strip_that_it_lies_on():
    """A hole at 6 to 9 in of the long strip (from 3 to 21 in): 3 in are sound before it, 12 after."""
    found = {each.kind: each for each in strips(quilt(), shapely.box(6, 11.4, 9, 12))}
    assert not found["long sashing"].whole
    ends = [(a * 18, b * 18) for a, b in found["long sashing"].sound]
    assert np.allclose(ends, [(6, 18), (0, 3)])
    assert all(each.whole for kind, each in found.items() if kind != "long sashing")
    # What is only drawn a hair over a seam is not on the strip.
    assert all(each.whole for each in strips(quilt(), shapely.box(4, 4, 11.01, 6)))
    upright = next(each for each in strips(quilt(), shapely.box(11, 3, 13, 5)) if not each.whole)
    assert np.allclose(upright.sound, [(0.25, 1.0)])


def test_a_strip_with_writing_is_kept_whole():
    named = [each for each in strips(quilt(), None, [shapely.box(5, 0.5, 9, 2)]) if each.bears]
    assert [(each.kind, each.sound, each.whole) for each in named] == [("top border", (), False)]


def test_on_point_each_side_that_two_blocks_share_has_a_strip():
    """Four whole blocks round one between them, a finger apart: four strips, along both diagonals."""
    middles = {(0, 0): (6, 6), (0, 1): (18, 6), (1, 0): (12, 12), (2, 0): (6, 18), (2, 1): (18, 18)}
    corners = np.array([[[x, y - 5], [x + 5, y], [x, y + 5], [x - 5, y]] for x, y in middles.values()])
    found = strips(Ground((24.0, 24.0), tuple(middles), corners.astype(float)), on_point=True)
    short = [each for each in found if each.kind == "short sashing"]
    assert len(short) == 4
    assert np.allclose([each.long for each in short], 5 * np.sqrt(2))


@pytest.mark.parametrize("seed", range(5))
def test_the_largest_sound_area_is_the_largest_of_all_rectangles_on_whole_marks(seed):
    rng = np.random.default_rng(seed)
    holes = [(int(x), int(y), int(w), int(h)) for x, y, w, h in rng.integers(1, 7, (3, 4))]
    cloth = shapely.box(0, 0, 12, 10)
    for x, y, w, h in holes:
        cloth = cloth.difference(shapely.box(x, y, x + w, y + h))
    pieces = tuple(each for each in shapely.get_parts(cloth) if each.area > 0)
    clear = [
        (x1 - x0) * (y1 - y0)
        for x0 in range(12) for x1 in range(x0 + 1, 13) for y0 in range(10) for y1 in range(y0 + 1, 11)
        if not any(x0 < x + w and x < x1 and y0 < y + h and y < y1 for x, y, w, h in holes)
    ]  # fmt: skip
    found = areas(Cloth("backing", pieces, 120.0), 1.0)
    assert found[0][0] * found[0][1] == pytest.approx(max(clear))
    # One is cut after the other: none that comes later is larger.
    assert all(a * b >= c * d for (a, b), (c, d) in pairwise(found))
