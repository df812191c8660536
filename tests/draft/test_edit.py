"""Changing a block by hand: what is drawn covers the block, and what is taken out is gone."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.edit import draw_seam, take_out_seam, with_place, with_value
from seamlore.draft.text.notation import read_block
from seamlore.errors import ShapeError

F = Fraction
PLAIN = read_block("block Plain\nA light\n\nA")
ticks = st.integers(0, 8).map(lambda number: F(number, 8))


def test_a_nine_patch_can_be_drawn_on_a_plain_square():
    drawn = PLAIN
    for at in (F(1, 3), F(2, 3)):
        drawn = draw_seam(drawn, (at, F(0)), (at, F(1)))
        drawn = draw_seam(drawn, (F(0), at), (F(1), at))
    assert {each.outline for each in drawn.patches} == {each.outline for each in find("nine patch").patches}


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(st.tuples(ticks, ticks), st.tuples(ticks, ticks)), max_size=6))
def test_any_seams_that_are_taken_leave_a_block_that_covers_its_square(seams):
    drawn = PLAIN
    for start, end in seams:
        try:
            drawn = draw_seam(drawn, start, end)
        except ShapeError:
            continue
    # Making the block has checked that nothing overlaps and nothing is left out; areas once more, exactly.
    assert sum(each.area for each in drawn.patches) == 1


@pytest.mark.parametrize("block", all_blocks()[:40], ids=lambda block: block.name)
def test_a_seam_taken_out_leaves_one_patch_less_and_the_same_area(block):
    for other in range(1, len(block.patches)):
        try:
            made = take_out_seam(block, 0, other)
        except ShapeError:
            continue
        assert len(made.patches) == len(block.patches) - 1
        assert sum(each.area for each in made.patches) == 1


def test_a_seam_drawn_and_taken_out_again_leaves_the_block_as_it_was():
    half = draw_seam(PLAIN, (F(0), F(1)), (F(1), F(0)))
    assert take_out_seam(half, 0, 1).patches == PLAIN.patches


def test_a_seam_that_ends_inside_a_patch_is_refused():
    with pytest.raises(ShapeError, match="from side to side"):
        draw_seam(PLAIN, (F(0), F(0)), (F(1, 2), F(1, 2)))


def test_a_place_that_no_patch_takes_any_more_is_gone():
    half = draw_seam(PLAIN, (F(0), F(1)), (F(1), F(0)))
    assert set(with_place(half, 1, "A").places) == {"A"}


def test_a_value_is_changed_for_all_patches_of_a_place():
    assert with_value(find("shoo fly"), "A", "medium").places["A"].value == "medium"
