"""Borders changed side by side: widths, what they are pieced of, fabrics; followed to the draft that is made."""

from __future__ import annotations

from dataclasses import replace

import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.lengths import inches
from seamlore.steps.edit.borders import border_fields, set_borders
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import About, Choice

# 4 across and 5 down of 9 in: 36 x 45 in.
PLAIN = repeated("q", find("shoo fly"), inches(9), inches(9), 5, 4)


def job_on(quilt):
    return Job(Inputs(about=About(name="q"), choice=Choice(draft=write_quilt(quilt, find_block=find))))


def after(job, **typed):
    done = set_borders(job, {**border_fields(job.quilt), **typed})
    return Job(replace(job.inputs, choice=done.choice)), done.slips


def widths(quilt):
    return [tuple(str(side.width) for side in each.sides) for each in quilt.borders]


@pytest.fixture
def framed():
    return job_on(replace(PLAIN, borders=(border(inches(4)),)))


def test_four_sides_have_four_widths(framed):
    new, slips = after(
        framed, border_1_top_width="1 in", border_1_right_width="2", border_1_bottom_width="", border_1_left_width="3"
    )
    assert not slips
    assert widths(new.quilt) == [("1 in", "2 in", "0 in", "3 in")]
    # 36 + 2 + 3 across, 45 + 1 down.
    assert new.quilt.finished_size == (inches(41), inches(46))
    # And the form shows them as they are.
    shown = border_fields(new.quilt)
    assert [shown[f"border_1_{side}_width"] for side in ("all", "top", "right", "bottom", "left")] == [
        "",
        "1 in",
        "2 in",
        "",
        "3 in",
    ]


def test_what_is_said_of_all_four_goes_for_those_of_which_nothing_else_is_said(framed):
    new, slips = after(framed, border_1_all_width="6 in", border_1_left_width="2 in")
    assert (widths(new.quilt), slips) == ([("6 in", "6 in", "6 in", "2 in")], {})


def test_a_side_is_pieced_of_a_block_of_the_catalogue_and_the_others_stay_strips(framed):
    # 45 in between top and bottom, 15 units of 3 in on the right side.
    new, slips = after(framed, border_1_right_of="pinwheel", border_1_right_long="3 in", border_1_right_width="3 in")
    assert not slips
    side = new.quilt.borders[0].right
    assert (new.quilt.kind(side.pieced.kind).block.name, str(side.pieced.length)) == ("Pinwheel", "3 in")
    assert [each.pieced for each in new.quilt.borders[0].sides].count(None) == 3
    assert border_fields(new.quilt)["border_1_right_of"] == "Pinwheel"
    # Its unit goes with it, and its kind too.
    bare, _ = after(new, border_1_right_of="")
    assert [kind.block.name for kind in bare.quilt.kinds] == ["Shoo Fly"]


def test_all_sides_pieced_are_mirrored_by_a_box_that_sends_nothing_when_it_is_not_ticked():
    three = job_on(replace(PLAIN, borders=(border(inches(3), corners="squares"),)))
    new, slips = after(three, border_1_all_of="Shoo Fly")
    # 36 and 45 in divide by 3 in, the width of the border.
    assert not slips
    assert [str(side.pieced.length) for side in new.quilt.borders[0].sides] == ["3 in"] * 4
    ticked, _ = after(new, border_1_mirrored="yes", border_1_asked="yes")
    assert all(side.pieced.mirrored for side in ticked.quilt.borders[0].sides)
    sent = {key: text for key, text in border_fields(ticked.quilt).items() if not key.endswith("mirrored")}
    again = set_borders(ticked, {**sent, "border_1_asked": "yes"})
    made = Job(replace(ticked.inputs, choice=again.choice)).quilt
    assert not any(side.pieced.mirrored for side in made.borders[0].sides)


def test_units_that_do_not_come_out_are_refused_and_nothing_is_changed(framed):
    new, slips = after(framed, border_1_top_of="pinwheel", border_1_top_long="5 in")
    # 36 + 8 in across is no multiple of 5 in.
    assert "units of 5 in along 44 in" in slips["borders"]
    assert new.inputs.choice == framed.inputs.choice
    # What the fabric of another side is called is kept all the same.
    new, _ = after(framed, border_1_top_of="pinwheel", border_1_top_long="5 in", border_1_left_fabric="red")
    assert new.quilt.borders == (
        border(inches(4)).with_sides(
            replace(side, fabric="red") if name == "left" else side
            for name, side in zip(("top", "right", "bottom", "left"), border(inches(4)).sides, strict=True)
        ),
    )


def test_each_side_has_a_fabric_and_they_reach_the_draft(framed):
    new, slips = after(framed, border_1_top_fabric="red", border_1_all_fabric="brown")
    assert not slips
    assert [side.fabric for side in new.quilt.borders[0].sides] == ["red", "brown", "brown", "brown"]
    assert border_fields(new.quilt)["border_1_left_fabric"] == "brown"


def test_a_field_that_cannot_be_read_says_so_and_the_others_are_kept(framed):
    new, slips = after(
        framed, border_1_top_width="wide", border_1_left_width="5 in", border_1_right_of="no such block"
    )
    assert set(slips) == {"border_1_top_width", "border_1_right_of"}
    assert widths(new.quilt) == [("4 in", "4 in", "4 in", "5 in")]


def test_corners_and_a_block_in_them(framed):
    squares, _ = after(framed, border_1_corners="squares")
    new, slips = after(squares, border_1_corner="pinwheel")
    assert not slips
    assert new.quilt.kind(new.quilt.borders[0].corner).block.name == "Pinwheel"
    assert border_fields(new.quilt)["border_1_corner"] == "Pinwheel"
    assert after(new, border_1_corners="mitered")[0].quilt.borders[0].corner is None
    _, slips = after(new, border_1_corners="mitered", border_1_top_width="0")
    assert "mitered" in slips["borders"]


def test_one_more_border_and_a_border_taken_away(framed):
    new, slips = after(framed, border_new="2 in")
    assert (widths(new.quilt), slips) == ([("4 in",) * 4, ("2 in",) * 4], {})
    bare, _ = after(new, border_1_all_width="0")
    assert widths(bare.quilt) == [("2 in",) * 4]
