"""What is said of a top that has not four even sides and whole blocks alone; by hand and common practice, no source."""

from dataclasses import replace
from datetime import date

import pytest

from seamlore.draft import groups as gathered
from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.cells import rows_said
from seamlore.draft.groups import cut_said
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import Cut, OnPoint
from seamlore.draft.text.notation import read_block
from seamlore.lengths import inches
from seamlore.making.plan import plan
from seamlore.printing.content import Section
from seamlore.sewing.batches import batches
from seamlore.sewing.top import sewn_top
from seamlore.sheets.booklet import booklet
from seamlore.steps.booklet import booklet_content
from seamlore.steps.cutting.of_plan import cut_plan
from seamlore.steps.sewing.batches import batch_words
from seamlore.steps.sewing.blocks import block_names
from seamlore.steps.sewing.foundations import block_foundation
from seamlore.steps.sewing.step_words import drawn_steps
from seamlore.steps.sewing.top_words import layout_words, top_steps

GEESE = read_block("block Two Geese\nA light\nB dark\ndivisions 2\n\nA/B1 B1\\A\nA/B2 B2\\A")
NONE = inches(0)


def bordered(**sides):
    return repeated("q", find("four patch"), inches(8), inches(8), 2, 2, borders=(border(inches(3), **sides),))


# Sides that stand are sewn first, those at top and bottom run across them: the cut lengths hold that.
@pytest.mark.parametrize(
    ("sides", "words", "titles"),
    [
        ({}, "the sides, then to top and bottom", ["the top with border 1 on two sides", "the top"]),
        ({"left": NONE}, "the right side, then to top and bottom", ["the top with border 1 on one side", "the top"]),
        ({"top": NONE}, "the sides, then to the bottom", ["the top with border 1 on two sides", "the top"]),
        ({"top": NONE, "right": NONE}, "the left side, then to the bottom", ["the top with border 1 on one side", "the top"]),
        ({"left": NONE, "right": NONE}, "top and bottom", ["the top"]),
    ],
)  # fmt: skip
def test_a_border_is_sewn_to_the_sides_that_it_has_in_their_order(sides, words, titles):
    quilt = bordered(**sides)
    top = sewn_top(quilt)
    told = top_steps(top, quilt)[0].steps
    assert f"Measure the top through its middle; sew the border to {words}." in told
    assert [step.name for step in top.steps if "top" in step.name] == titles


def test_a_border_that_is_not_all_round_is_not_called_so_in_the_next():
    quilt = repeated(
        "q", find("four patch"), inches(8), inches(8), 1, 1, borders=(border(inches(3), left=NONE), border(inches(1)))
    )
    assert [step.name for step in sewn_top(quilt).steps][1:] == [
        "the top with border 1",
        "the top with border 2 on two sides",
        "the top",
    ]


def test_how_long_strips_are_trimmed_is_said_as_they_are_sewn():
    """Of 40 in, 42 long enough for only 2 in more or less; what is mitered is never trimmed to the top."""
    made = repeated(
        "q",
        find("four patch"),
        inches(8),
        inches(8),
        5,
        5,
        borders=(border(inches(1), "brown", "squares"), border(inches(2), "red", "mitered")),
    )
    notes = {each.need.fabric: each.notes for each in cut_plan(plan(made))}
    # 40 1/2 in across fabric 42 in wide leaves 1 1/2 in.
    assert notes["brown"] == (
        "border 1, all sides: cut 1 1/2 in longer than reckoned; trim to the top as you measure it through its middle.",
    )
    assert all(
        note.endswith("trim what is mitered once its corners are sewn.") and "middle" not in note
        for note in notes["red"]
    )


def test_strips_of_a_set_are_cut_no_narrower_than_their_patches():
    """A fifth of 12 in is 2.4 in; with two seams 2.9 in, on the ruler 3 in, as the cutting list has it."""
    five = read_block("block Five\nA light\nB dark\n\n" + "\n".join(["A B A B A"] * 5))
    top = sewn_top(repeated("q", five, inches(12), inches(12), 2, 2))
    found = [batch.strip_set for batch in batches(top, inches("1/4"), inches(42)) if batch.strip_set]
    assert found
    for each in found:
        assert {str(width) for _, width in each.strips} | {str(each.segment)} == {"3 in"}
        # (42 - 1) / 3
        assert each.from_each == 13


def test_steps_that_join_the_same_pieces_are_counted_together_and_all_of_them_named():
    quilt = repeated("q", GEESE, inches(12), inches(12), 2, 2, cut=Cut(NONE, NONE, inches(6), NONE))
    top = sewn_top(quilt)
    lines = list(batch_words(batches(top, inches("1/4"), inches(42)), block_names(top, quilt)))
    # 2 whole blocks of 2 geese; 2 halves of 2 half geese.
    assert lines[0].startswith("Unit 1 and unit 2 of The block: 4 in all, sewn alike, one after the other")
    assert lines[1].startswith("Unit 1 of Half block: 4 in all, one after the other")


def test_halves_of_two_ways_are_told_apart_where_they_are_laid_and_joined():
    quilt = repeated("q", GEESE, inches(12), inches(12), 2, 2, cut=Cut(NONE, inches(6), inches(6), NONE))
    top = sewn_top(quilt)
    assert block_names(top, quilt) == (
        "The block",
        "Half block, 1 of 2 ways",
        "Half block, 2 of 2 ways",
        "Quarter block",
    )
    assert {piece.name for piece in top.pieces} == {"block", "half block 1", "half block 2", "quarter block"}
    assert "A number in brackets says which of the ways a block is" in next(iter(layout_words(quilt)))
    assert cut_said(quilt) == "1 whole, 2 halves, 1 quarter"


def test_whole_blocks_are_seen_to_be_whole_before_anything_is_gathered(monkeypatch):
    """It is said of every quilt on a shelf; gathering 900 blocks of 30 kinds takes a second."""
    quilt = repeated("q", GEESE, inches(12), inches(12), 2, 2)
    monkeypatch.setattr(gathered, "groups", None)
    assert gathered.cut_said(quilt) == ""


def test_rows_on_point_are_counted_with_those_between():
    """3 rows of 3 hold 9 blocks, 2 of 2 between 4: 13 in all (trade facts A3: c r + (c - 1)(r - 1))."""
    quilt = repeated("q", GEESE, inches(8), inches(8), 3, 3, setting=OnPoint())
    assert rows_said(quilt) == "3 rows of 3 on point and 2 of 2 between"
    assert len(quilt.spots) == 13
    assert rows_said(repeated("q", GEESE, inches(8), inches(8), 1, 1, setting=OnPoint())) == "1 row of 1 on point"


def test_large_foundations_are_sent_to_a_lesson_only_where_there_is_one():
    """Four kinds, each larger than a page: a whole block has a lesson, a half has none."""
    quilt = repeated("q", GEESE, inches(12), inches(12), 1, 2, cut=Cut(inches(6), NONE, NONE, NONE))
    whole, half = (block_foundation(made, made.group.part, inches("1/4")) for made in sewn_top(quilt).blocks)
    content = replace(booklet_content(plan(quilt), printed=date(2026, 11, 30)), foundations=(whole, half) * 2)
    words = {
        section.heading: str(section.body[-1].words)
        for section in booklet(content).blocks
        if isinstance(section, Section) and section.heading.endswith("on foundations")
    }
    assert "printed with the lesson" in words["whole on foundations"]
    assert "sew it from cut pieces" in words["half on foundations"]


def test_a_strip_with_a_slanted_end_is_measured_with_its_points_cut_off():
    """Half a goose and its sky, finished 6 by 3 in: its point is sharp, and 1/4 in beyond the seam only when it is cut off."""
    made = sewn_top(repeated("q", find("flying geese"), inches(6), inches(6), 1, 1)).blocks[0]
    slanted, *_ = drawn_steps(made, inches("1/4"), "machine")
    whole = list(drawn_steps(made, inches("1/4"), "machine"))[-1]
    assert slanted.size.endswith("raw edge to raw edge, points cut off.")
    assert "points" not in whole.size


def test_rows_that_stand_are_called_columns():
    upright = read_block("block Upright\nA light\nB dark\n\nA B\nB B\nA B")
    steps = sewn_top(repeated("q", upright, inches(6), inches(6), 1, 1)).blocks[0].steps
    assert [step.name for step in steps if step.made == "row"] == ["column 1", "column 2"]
