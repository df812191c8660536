"""Seams drawn in a block, on its grid or by a free hand."""

from fractions import Fraction

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Quilt
from seamlore.draft.repeated import repeated
from seamlore.draft.text.notation import read_block, write_block
from seamlore.errors import ShapeError
from seamlore.lengths import inches
from seamlore.steps.edit.reseam import read_point, read_seam, reseamed, sewn

F = Fraction
PLAIN = read_block("block Plain\nA light\n\nA")


def test_the_smaller_part_takes_another_place_whichever_way_the_seam_was_drawn():
    ends = (F(1, 4), F(0)), (F(1, 4), F(1))
    one, two = sewn(PLAIN, *ends), sewn(PLAIN, *reversed(ends))
    assert {each.place: each.area for each in one.patches} == {"A": F(3, 4), "B": F(1, 4)}
    assert one.patches == two.patches


def test_on_the_grid_a_seam_that_ends_in_cloth_is_refused():
    with pytest.raises(ShapeError, match="from side to side"):
        sewn(PLAIN, (F(0), F(0)), (F(1, 2), F(1, 2)))


def test_by_a_free_hand_the_same_seam_runs_on_to_the_side():
    made = sewn(PLAIN, (F(0), F(0)), (F(1, 2), F(1, 2)), free=True)
    assert [each.area for each in made.patches] == [F(1, 2), F(1, 2)]


def test_a_seam_drawn_by_a_free_hand_survives_its_block_file():
    fly = find("shoo fly")
    made = sewn(fly, (F(21, 100), F(1, 200)), (F(345, 1000), F(29, 100)), free=True)
    assert len(made.patches) > len(fly.patches)
    assert read_block(write_block(made)).patches == made.patches


def test_seams_drawn_in_a_quilt_are_drawn_in_its_block():
    quilt = repeated("Porch", find("nine patch"), inches(9), inches(9), 3, 3)
    made = reseamed(quilt, ["0,0 1/3,1/3"])
    assert isinstance(made, Quilt)
    assert [len(kind.block.patches) for kind in made.kinds] == [10]


def test_four_seams_make_a_nine_patch_and_it_is_called_so():
    seams = ["1/3,0 1/3,1", "2/3,0 2/3,1", "0,1/3 1,1/3", "0,2/3 1,2/3"]
    block = reseamed(PLAIN, seams)
    assert {each.outline for each in block.patches} == {each.outline for each in find("nine patch").patches}


@pytest.mark.parametrize("text", ["", "0,0", "0,0 1,1 2,2"])
def test_a_seam_without_two_ends_is_refused(text):
    with pytest.raises(ShapeError, match="it has two ends"):
        read_seam(text)


@pytest.mark.parametrize("text", ["1/0,0", "a,b", "1", "-1,0", "1e5,0"])
def test_what_is_no_point_is_refused(text):
    with pytest.raises(ShapeError, match="two points of the block"):
        read_point(text)
