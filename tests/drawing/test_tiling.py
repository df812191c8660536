"""Tiles at true scale."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from seamlore.drawing.picture import picture
from seamlore.drawing.shapes import Area, Group, box, walk
from seamlore.drawing.tiling import OVERLAP_MM, tiles
from seamlore.errors import PageError


def _sheet(width, height):
    return picture(width, height, [Area((box(0, 0, width, height),), "#34466b")], title="Sheet", description="d")


# How long one case takes says nothing on a busy machine.
@settings(deadline=None)
@given(st.floats(20, 2000), st.floats(20, 2000), st.floats(60, 400), st.floats(60, 400))
def test_tiles_together_cover_the_picture_and_none_is_larger_than_the_page(width, height, page_w, page_h):
    found = tiles(_sheet(width, height), page_w, page_h, most=10_000)
    assert all(t.picture.width_mm <= page_w + 1e-6 and t.picture.height_mm <= page_h + 1e-6 for t in found)
    rights = {t.column: t.left_mm + t.picture.width_mm for t in found}
    lefts = {t.column: t.left_mm for t in found}
    for column in range(1, max(rights) + 1):
        assert_allclose(rights[column - 1] - lefts[column], OVERLAP_MM, atol=1e-6)
    assert_allclose(max(rights.values()), width, atol=1e-6)
    assert_allclose(max(t.top_mm + t.picture.height_mm for t in found), height, atol=1e-6)


def test_each_tile_shows_the_whole_moved_and_clipped():
    for tile in tiles(_sheet(500, 300), 180, 250):
        outer, inner = [shape for shape in walk(tile.picture.shapes) if isinstance(shape, Group)]
        assert outer.clip == (0, 0, tile.picture.width_mm, tile.picture.height_mm)
        assert (inner.dx, inner.dy, inner.turn_deg) == (-tile.left_mm, -tile.top_mm, 0)
        assert inner.shapes == _sheet(500, 300).shapes


def test_matching_lines_of_neighbors_lie_on_each_other():
    left, right = tiles(_sheet(300, 100), 160, 160)
    assert_allclose(left.left_mm + left.picture.width_mm - OVERLAP_MM / 2, right.left_mm + OVERLAP_MM / 2)


def test_too_many_pages_are_refused_with_the_sizes():
    with pytest.raises(PageError, match=r"2000 by 2000 mm, on 121 pages: at true scale at most 64"):
        tiles(_sheet(2000, 2000), 200, 200)


def test_a_page_smaller_than_the_overlap_is_refused():
    with pytest.raises(PageError, match="choose a larger page"):
        tiles(_sheet(200, 200), 8, 200)
