"""A free hand is put where a seam can begin and end, exactly."""

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.freehand import carried, snapped
from seamlore.draft.text.notation import read_block

F = Fraction
PLAIN = read_block("block Plain\nA light\n\nA")
anywhere = st.integers(0, 997).map(lambda number: F(number, 997))
points = st.tuples(anywhere, anywhere)
blocks = st.sampled_from(all_blocks())


def on_a_side(block, point):
    x, y = point
    return any(
        (x1 - x0) * (y - y0) == (y1 - y0) * (x - x0)
        and min(x0, x1) <= x <= max(x0, x1)
        and min(y0, y1) <= y <= max(y0, y1)
        for each in block.patches
        for (x0, y0), (x1, y1) in zip(each.outline, each.outline[1:] + each.outline[:1], strict=True)
    )


def test_near_a_corner_of_a_patch_the_corner_is_meant():
    fly = find("shoo fly")
    assert snapped(fly, (F(33, 100), F(34, 100))) == (F(1, 3), F(1, 3))


def test_near_a_slanting_seam_the_hand_lies_exactly_on_it():
    half = read_block("block Half\nA light\nB dark\n\nA\\B")
    x, y = snapped(half, (F(30, 100), F(29, 100)))
    assert x == y
    assert x.denominator in (1, 2, 3, 4, 6, 8, 12, 24)


def test_the_middle_of_a_seam_can_be_hit():
    fly = find("shoo fly")
    assert snapped(fly, (F(1, 3) + F(1, 200), F(1, 2) - F(1, 300))) == (F(1, 3), F(1, 2))


def test_far_from_all_seams_the_finer_grid_holds():
    assert snapped(PLAIN, (F(31, 100), F(44, 100))) == (F(2, 8), F(4, 8))


@settings(max_examples=200, deadline=None)
@given(blocks, points)
def test_what_was_put_down_once_stays_where_it_is(block, point):
    once = snapped(block, point)
    assert all(0 <= part <= 1 for part in once)
    assert snapped(block, once) == once


@settings(max_examples=200, deadline=None)
@given(blocks, points, points)
def test_a_carried_seam_ends_on_sides_and_runs_on_the_same_line(block, start, end):
    one, two = carried(block, start, end)
    if start == end:
        assert (one, two) == (start, end)
        return
    assert on_a_side(block, one)
    assert on_a_side(block, two)
    dx, dy = end[0] - start[0], end[1] - start[1]
    for x, y in (one, two):
        assert dx * (y - start[1]) == dy * (x - start[0])
    # Carried outward, never back.
    assert (two[0] - one[0]) * dx + (two[1] - one[1]) * dy >= dx * dx + dy * dy


def test_ends_on_seams_are_left_alone():
    nine = find("nine patch")
    ends = (F(1, 3), F(1, 6)), (F(2, 3), F(1, 6))
    assert carried(nine, *ends) == ends
