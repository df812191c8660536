"""Edits of the draft: what each keeps, what it says, and that the draft made from it is the one wanted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.text.quilt_file import read_quilt, write_quilt
from seamlore.errors import LengthError, NotationError, SeamloreError, ShapeError
from seamlore.lengths import inches
from seamlore.steps.edit import draft as edits
from seamlore.steps.edit.redraft import fields_of
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import About, Choice
from seamlore.steps.study.tape import Tape

TAPE = Tape(width="74 in", height="74 in", block="8 in", sashing="3 in", columns=7, rows=7)


@pytest.fixture
def job():
    return Job(Inputs(about=About(name="Attic find"), tape=TAPE, choice=Choice(block="shoo fly")))


def after(job, edited):
    """The job as it is once an edit was kept."""
    assert not edited.slips
    return Job(replace(job.inputs, choice=edited.choice))


def block_of(job):
    return job.quilt.kinds[0].block


def test_fields_that_differ_change_the_draft_and_the_same_fields_change_nothing(job):
    shown = fields_of(job.quilt)
    same = edits.set_fields(job, shown)
    assert (same.choice, same.says) == (job.inputs.choice, "changed the setting")
    edited = edits.set_fields(job, {**shown, "rows": "5", "sashing": "2"})
    quilt = after(job, edited).quilt
    assert (quilt.rows, quilt.columns, quilt.gaps) == (5, 7, (inches(2), inches(2)))
    assert edited.says == "changed the setting"


def test_a_field_that_cannot_be_read_is_said_and_the_rest_is_kept(job):
    edited = edits.set_fields(job, {**fields_of(job.quilt), "rows": "many", "block_width": "9"})
    assert list(edited.slips) == ["rows"]
    assert edited.choice.sizes == {"block": "9 in"}


def test_one_size_is_taken_in_the_unit_of_the_study_and_said(job):
    edited = edits.set_size(job, "block", "9")
    assert (edited.choice.sizes, edited.says) == ({"block": "9 in"}, "set the block to 9 in")
    assert after(job, edited).quilt.block_width == inches(9)
    assert edits.set_size(job, "sashing", "2 1/2").choice.sizes == {"sashing": "2 1/2 in"}
    with pytest.raises(LengthError):
        edits.set_size(job, "block", "nine")


def test_going_back_takes_the_block_alone_or_all():
    choice = Choice(block="pinwheel", sizes={"block": "9 in"}, cloths={"A": "#102030"}, fabrics={"A": "muslin"})
    job = Job(Inputs(tape=TAPE, choice=choice))
    block = edits.go_back(job, block_only=True)
    assert block.choice == Choice(sizes={"block": "9 in"}, fabrics={"A": "muslin"})
    assert block.says == "went back to the block that was found"
    whole = edits.go_back(job, block_only=False)
    assert whole.choice == Choice(fabrics={"A": "muslin"})
    assert whole.says == "went back to the draft that was found"


def test_a_draft_is_begun_from_a_block_a_size_and_counts():
    empty = Job(Inputs(about=About(name="Attic find")))
    edited = edits.begin(empty, "churn dash", size="9", rows="4", columns="5")
    quilt = after(empty, edited).quilt
    assert (quilt.name, quilt.rows, quilt.columns) == ("Attic find", 4, 5)
    assert (quilt.block_width, quilt.block_height) == (inches(9), inches(9))
    assert quilt.kinds[0].block == find("churn dash")
    assert edited.says == "began a draft by hand"


def test_the_block_alone_begins_a_draft_that_follows_the_tape(job):
    edited = edits.begin(job, "pinwheel")
    assert (edited.choice, edited.says) == (Choice(block="Pinwheel"), "chose the block Pinwheel")
    quilt = after(job, edited).quilt
    assert (quilt.rows, quilt.columns, quilt.block_width) == (7, 7, inches(8))


@pytest.mark.parametrize(
    ("given", "slips"),
    [
        ({"size": "9"}, ["columns", "rows"]),
        ({"rows": "4"}, ["columns", "size"]),
        ({"columns": "4"}, ["rows", "size"]),
        ({"size": "wide", "rows": "0", "columns": "61"}, ["columns", "rows", "size"]),
        ({"size": "9", "rows": "60", "columns": "61"}, ["columns"]),
    ],
)
def test_what_a_begun_draft_lacks_is_said_by_its_field_and_nothing_is_kept(job, given, slips):
    edited = edits.begin(job, "pinwheel", **given)
    assert sorted(edited.slips) == slips
    assert edited.choice == job.inputs.choice
    missing = [name for name in slips if not given.get(name)]
    assert all(edited.slips[name] == "nothing was given: a draft needs it; write it in" for name in missing)


def test_another_block_is_put_in_and_said(job):
    edited = edits.put_block(job, "ohio star")
    assert (edited.choice.block, edited.choice.draft) == ("Ohio Star", None)
    assert edited.says == "put Ohio Star into the draft"
    with pytest.raises(SeamloreError):
        edits.put_block(job, "no such block at all")


def test_a_seam_that_is_drawn_and_taken_out_again_leaves_the_block_as_it_was(job):
    drawn = edits.draw_seam(job, "1/3,1/3", "2/3,2/3")
    assert drawn.says == "drew a seam: 14 patches now"
    then = after(job, drawn)
    assert len(block_of(then).patches) == 14
    assert block_of(then).name == "Shoo Fly variation"
    middle = [
        index
        for index, each in enumerate(block_of(then).patches)
        if all(1 / 3 - 1e-9 <= float(part) <= 2 / 3 + 1e-9 for corner in each.outline for part in corner)
    ]
    assert len(middle) == 2
    back = edits.take_out(then, *middle)
    assert back.says == "took out a seam: 13 patches now"
    assert len(block_of(after(then, back)).patches) == 13


def test_a_free_hand_need_not_hit_the_corner(job):
    free = edits.draw_seam(job, "0.34,0.33", "0.66,0.67", free=True)
    assert len(block_of(after(job, free)).patches) == 14
    with pytest.raises(ShapeError):
        edits.draw_seam(job, "0,0", "0,0")


def test_a_patch_is_given_another_place_and_counted_from_one(job):
    before = [each.place for each in block_of(job).patches]
    edited = edits.give_place(job, 4, "C")
    places = [each.place for each in block_of(after(job, edited)).patches]
    assert [index for index, (one, two) in enumerate(zip(before, places, strict=True)) if one != two] == [4]
    assert places[4] == "C"
    assert edited.says == "gave patch 5 to place C"


@pytest.mark.parametrize("scrappy", [False, True])
def test_a_place_is_made_another_value(job, scrappy):
    edited = edits.set_value(job, "A", "medium", scrappy=scrappy)
    place = block_of(after(job, edited)).places["A"]
    assert (place.value, place.scrappy) == ("medium", scrappy)
    assert edited.says == "made place A medium" + ", scrappy" * scrappy
    with pytest.raises(ShapeError, match='a value of "bright"'):
        edits.set_value(job, "A", "bright", scrappy=scrappy)


def test_a_block_is_divided_otherwise_within_limits(job):
    edited = edits.divide(job, "6")
    assert block_of(after(job, edited)).divisions == 6
    assert edited.says == "divided the block into 6 by 6"
    assert block_of(after(job, edits.divide(job, "16"))).divisions == 16
    for typed, says in (
        ("", "nothing was given: a block has 1 to 16 divisions; write a number"),
        ("17", "from 1 to 16"),
    ):
        refused = edits.divide(job, typed)
        assert refused.choice == job.inputs.choice
        assert says in refused.slips["divisions"]


def test_a_fabric_that_the_photograph_does_not_show_cuts_nothing(job):
    with pytest.raises(ShapeError, match="fabric 1: the photograph shows 0"):
        edits.cut_from(job, 0, 0)


def test_the_draft_is_written_and_read_as_text_with_every_remark(job):
    text = edits.draft_text(job)
    assert read_quilt(text, find_block=find) == job.quilt
    same = edits.write_draft(job, f"\n{text}  ")
    assert (same.choice, same.says) == (job.inputs.choice, "left the draft as it is")
    mine = text.replace("rows 7", "rows 3") + "\n# from the attic\n"
    edited = edits.write_draft(job, mine)
    assert (edited.choice.draft, edited.says) == (mine, "wrote the draft as text")
    then = after(job, edited)
    assert then.quilt.rows == 3
    assert edits.draft_text(then) == mine
    with pytest.raises(NotationError):
        edits.write_draft(job, "no draft")


def test_the_whole_text_can_be_read_where_no_catalogue_is(job):
    def none(name):
        raise AssertionError(name)

    assert read_quilt(edits.whole_text(job), find_block=none).kinds[0].block == find("shoo fly")
    assert edits.whole_text(job) == write_quilt(job.quilt)


def test_a_block_is_written_as_text(job):
    text = edits.block_text(job)
    assert text.startswith("block Shoo Fly")
    mine = text.replace("block Shoo Fly", "block Mine")
    edited = edits.write_block_text(job, mine)
    assert edited.says == "wrote the block as text"
    assert block_of(after(job, edited)).name == "Mine"
    assert edits.block_text(after(job, edited)).startswith("block Mine")


def test_going_back_to_the_block_in_a_draft_of_her_own_keeps_its_counts(job):
    text = edits.draft_text(job).replace("rows 7", "rows 3")
    choice = Choice(block="shoo fly", draft=text, cloths={"A": "#102030"})
    mine = Job(replace(job.inputs, choice=choice))
    other = after(mine, edits.put_block(mine, "ohio star"))
    assert (block_of(other), other.quilt.rows) == (find("ohio star"), 3)
    # What was found is a block that is read or chosen; here nothing was read, so there is none to go back to.
    with pytest.raises(SeamloreError):
        edits.go_back(other, block_only=True)
    whole = edits.go_back(other, block_only=False)
    assert (whole.choice.draft, whole.choice.block, whole.choice.cloths) == (None, None, {})
