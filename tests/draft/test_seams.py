"""Seams of a block: lengths and neighbors against the geometry library."""

from math import hypot

import pytest
from numpy.testing import assert_allclose
from shapely import LineString, Polygon, union_all

from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.seams import SIDE, difference, ends, length, moved, seams, stretches


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_seams_are_as_long_as_the_sides_of_all_patches_less_the_edge_halved(each):
    # Outside check: lengths of outlines from the geometry library; each seam is the side of two patches.
    around = sum(Polygon(one.points).length for one in each.patches)
    found = seams(each)
    assert_allclose(
        sum(hypot(*(b - a for a, b in zip(*seam.segment, strict=True))) for seam in found), (around - 4) / 2
    )
    assert_allclose(sum(length(stretch) for stretch in stretches(found)), (around - 4) / 2)


@pytest.mark.parametrize(
    "name", ["Card Trick", "Log Cabin", "Snail's Trail", "Maple Leaf", "Fifty-Four Forty or Fight"]
)
def test_a_seam_lies_on_the_edge_of_both_of_its_patches(name):
    block = find(name)
    outlines = [Polygon(each.points).exterior for each in block.patches]
    for seam in seams(block):
        line = LineString(seam.segment)
        for index in seam.patches:
            assert_allclose(line.difference(outlines[index].buffer(1e-6)).length, 0, atol=1e-9)


def test_stretches_moved_four_quarter_turns_come_back():
    drawn = stretches(seams(find("Card Trick")))
    turned = drawn
    for _ in range(4):
        turned = moved(turned, 90, False)
    assert turned == drawn
    assert moved(moved(drawn, 0, True), 0, True) == drawn


def test_stretches_of_a_moved_block_are_the_moved_stretches_of_the_block():
    for each in all_blocks():
        there = stretches(seams(each.moved(270, mirrored=True)))
        assert moved(stretches(seams(each)), 270, True) == there


def test_what_is_left_of_seams_is_as_long_as_the_geometry_library_finds():
    one, two = (stretches(seams(find(name))) for name in ("Ohio Star", "Churn Dash"))
    left = difference(one, two)
    lines = [union_all([LineString(ends(each)) for each in drawn]) for drawn in (one, two)]
    assert_allclose(sum(length(each) for each in left), lines[0].difference(lines[1].buffer(1e-9)).length, atol=1e-6)


def test_the_fine_grid_holds_every_division_from_1_to_16():
    assert all(SIDE % division == 0 for division in range(1, 17))
