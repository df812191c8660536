"""A draft changed by its fields, and kept as lightly as it can be."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import msgspec
import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_block, with_cells, with_counts
from seamlore.draft.kinds import Cell, Kind, plain_block
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.lengths import Unit, inches
from seamlore.steps.edit.keep import kept, laid_as_seen, renamed
from seamlore.steps.edit.redraft import answer, changed, fields_of
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice
from seamlore.steps.study.shown import in_unit_of
from seamlore.steps.study.tape import Tape

TAPE = Tape(width="74 in", height="74 in", block="8 in", sashing="3 in", columns=7, rows=7)


@pytest.fixture
def quilt():
    gap = inches("5/2")
    return repeated("q", find("shoo fly"), inches(9), inches(9), 8, 7, Sashing(gap, gap))


@pytest.fixture
def job():
    return Job(Inputs(tape=TAPE, choice=Choice(block="shoo fly")))


def test_fields_that_nobody_changed_leave_the_draft_as_it_is(quilt):
    assert changed(quilt, fields_of(quilt)) == (quilt, {})


@pytest.mark.parametrize(
    ("field", "text", "expected"),
    [
        ("sashing", "3", "sashing 3 in: 81 x 93 in"),
        ("sashing", "", "8 rows of 7: 63 x 72 in"),
        ("border", "4 1/2 in", "border 4 1/2 in: 87 x 98 1/2 in"),
        ("rows", "1", "1 row of 7, sashing 2 1/2 in: 78 x 9 in"),
        ("block_height", "6 in", "blocks of 9 x 6 in, 8 rows of 7, sashing 2 1/2 in: 78 x 65 1/2 in"),
    ],
)
def test_one_field_changes_one_thing(quilt, field, text, expected):
    new, slips = changed(quilt, {**fields_of(quilt), field: text})
    assert slips == {}
    assert expected in answer(new)


def test_a_field_that_cannot_be_read_leaves_the_others_changed(quilt):
    new, slips = changed(quilt, {**fields_of(quilt), "sashing": "three", "columns": "61", "border": "4"})
    assert set(slips) == {"sashing", "columns"}
    assert (new.gaps[0], new.columns, new.borders[0].widths) == (inches("5/2"), 7, (inches(4),))


def test_what_cannot_be_sewn_together_is_said_of_the_whole(quilt):
    new, slips = changed(quilt, {**fields_of(quilt), "block_height": "6 in", "setting": "on point"})
    assert new == quilt
    assert "a block on point is square" in slips["whole"]


def test_on_point_four_by_five_is_thirty_two_blocks(quilt):
    # The trade's count (checked by drawing): 4 x 5 on point has 20 and 3 x 4 between them.
    new, _ = changed(quilt, {**fields_of(quilt), "columns": "4", "rows": "5", "setting": "on point"})
    assert isinstance(new.setting, OnPoint)
    assert answer(new).startswith("Shoo Fly; 32 blocks of 9 in, 5 rows of 4 on point and 4 of 3 between, ")


def test_a_draft_in_centimeters_is_the_same_draft(quilt):
    bordered = replace(quilt, borders=(border(inches(4)),))
    shown = in_unit_of(bordered, Unit.CM)
    assert shown == bordered
    assert (str(shown.block_width), str(shown.borders[0].top.width)) == ("22.9 cm", "10.2 cm")


def test_plain_blocks_between_come_and_go_and_are_counted(quilt):
    alternating, slips = changed(quilt, {**fields_of(quilt), "alternate": "yes"})
    assert (dict(alternating.counts), slips) == ({"SF": 28, "P": 28}, {})
    assert fields_of(alternating)["alternate"] == "yes"
    new = with_block(alternating, "SF", find("bear's paw"))
    assert dict(new.counts) == {"SF": 28, "P": 28}
    assert changed(alternating, {**fields_of(alternating), "alternate": ""}) == (quilt, {})


def test_five_by_five_with_plain_blocks_between_has_thirteen_pieced_ones():
    # Worked by hand: 5 x 5 with plain blocks in every other place is 13 and 12.
    five = repeated("q", find("nine patch"), inches(9), inches(9), 5, 5)
    made, _ = changed(five, {**fields_of(five), "alternate": "yes"})
    assert answer(made).startswith("Nine Patch and plain; 25 blocks of 9 in, 13 Nine Patch and 12 plain, 5 rows of 5")


def test_a_quilt_of_more_kinds_has_no_every_other_place(quilt):
    mixed = with_cells(quilt, {(0, 0): Cell("P")}, [Kind("P", plain_block())])
    new, slips = changed(mixed, {**fields_of(mixed), "alternate": "yes"})
    assert new == mixed
    assert "change the blocks one by one" in slips["whole"]
    # Other counts carry its cells on.
    more, _ = changed(mixed, {**fields_of(mixed), "rows": "9"})
    assert (more.rows, more.cells[0][0].kind) == (9, "P")


def test_a_border_of_four_widths_stays_as_it_is_until_it_is_changed(quilt):
    odd = replace(quilt, borders=(border(inches(4), "red", top=inches(5), left=inches(6)),))
    kept_odd, _ = changed(odd, {**fields_of(odd), "rows": "3"})
    assert kept_odd.borders == odd.borders


def test_a_size_alone_is_kept_as_a_word_and_the_draft_still_follows_the_tape(job):
    choice = kept(job, replace(job.quilt, block_width=inches("33/4"), block_height=inches("33/4")))
    assert (choice.sizes, choice.draft) == ({"block": "8 1/4 in"}, None)
    after = Job(replace(job.inputs, choice=choice, tape=msgspec.structs.replace(TAPE, rows=6, height="63 in")))
    assert (after.quilt.rows, after.quilt.block_width) == (6, inches("33/4"))


def test_fields_shown_rounded_in_centimeters_change_nothing(quilt):
    shown = in_unit_of(replace(quilt, borders=(border(inches(4)),)), Unit.CM)
    assert changed(shown, fields_of(shown)) == (shown, {})


def test_another_block_is_kept_by_its_name(job):
    choice = kept(job, with_block(job.quilt, "SF", find("pinwheel")))
    assert (choice.block, choice.draft) == ("Pinwheel", None)


@pytest.mark.parametrize(
    "change",
    [
        {"rows": 3},
        {"setting": OnPoint(), "sashing": None},
        {"borders": (border(inches(4), corners="mitered"),)},
        {"sashing": None},
    ],
)
def test_whatever_is_kept_drafts_the_same_quilt_again(job, change):
    counts = change.pop("rows", 7), 7, change.pop("setting", None)
    wanted = with_counts(job.quilt, *counts, **change)
    again = Job(replace(job.inputs, choice=kept(job, wanted))).quilt
    assert replace(again, name=wanted.name) == wanted


def test_going_back_to_what_was_found_leaves_no_draft_behind(job):
    mine = Job(replace(job.inputs, choice=kept(job, with_counts(job.quilt, 3, 7))))
    assert mine.inputs.choice.draft is not None
    assert kept(mine, job.quilt).draft is None


def test_a_changed_block_is_called_a_variation_and_its_own_name_when_changed_back():
    from seamlore.draft.edit import draw_seam

    third = Fraction(1, 3)
    fly = find("shoo fly")
    new = renamed(draw_seam(fly, (third, third), (2 * third, 2 * third)))
    assert (new.name, new.notes) == ("Shoo Fly variation", ())
    assert renamed(replace(fly, name=new.name, notes=())) == fly


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("mirrored", [False, True])
def test_a_block_of_the_catalogue_lies_as_it_was_seen(turn, mirrored):
    seen = find("birds in the air").moved(turn, mirrored=mirrored)
    laid = laid_as_seen(find("birds in the air"), seen)
    assert {each.outline for each in laid.patches} == {each.outline for each in seen.patches}
