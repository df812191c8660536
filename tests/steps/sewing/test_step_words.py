"""Steps of sewing in words."""

import datetime

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.text.quilt_file import read_quilt
from seamlore.lengths import centimeters, inches
from seamlore.making.plan import plan
from seamlore.sewing.top import sewn_top
from seamlore.sheets.booklet import booklet
from seamlore.steps.booklet import booklet_content
from seamlore.steps.sewing.step_words import drawn_steps, top_steps_drawn
from seamlore.steps.sewing.top_words import layout_words, top_steps

FOOT, QUARTER = inches(12), inches("1/4")


def steps_of(name, side=FOOT, allowance=QUARTER, rows=1, columns=1):
    made = sewn_top(repeated("q", find(name), side, side, rows, columns)).blocks[0]
    return list(drawn_steps(made, allowance))


def test_units_have_their_names_in_the_trade():
    titles = [step.title for step in steps_of("jacob's ladder")]
    assert any("half-square triangle" in title for title in titles)
    assert any("four patch" in title for title in titles)
    assert titles[-1] == "The block"


def test_each_step_says_how_many_for_a_block_and_in_all():
    makes = [step.make for step in steps_of("shoo fly", rows=2, columns=3)]
    assert makes[0] == "Make 4 a block, 24 in all."
    assert makes[-1] == "Make 6."
    assert steps_of("shoo fly")[0].make == "Make 4."


def test_each_step_says_what_it_should_now_measure():
    # A 12 in block of three: half squares finish at 4 in and measure 4 1/2 (trade facts A4, 3: finished and 1/2 in).
    assert steps_of("shoo fly")[0].size == "It should now measure 4 1/2 in square, raw edge to raw edge."
    # 30 cm: 10 cm and two allowances of 0.75 cm.
    metric = steps_of("shoo fly", centimeters(30), centimeters("0.75"))
    assert metric[0].size == "It should now measure 11.5 cm square, raw edge to raw edge."
    # Sevenths of 12 in lie between the marks of a tape.
    assert "about" in steps_of("bear's paw")[0].size


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("bright hopes", ("partial seam", "finish the first seam")),
        ("lemoyne star", ("Set", "turn, and sew on", "leave the allowances free")),
    ],
)
def test_what_no_straight_seam_sews_is_told_step_by_step(name, words):
    told = [line for step in steps_of(name) for line in step.words]
    for each in words:
        assert any(each in line for line in told)


def test_straight_seams_are_told_in_one_line_and_their_pressing_in_another():
    for step in steps_of("ohio star"):
        joined, pressed = step.words
        assert joined.startswith("Join")
        assert pressed.startswith("Press")


def test_a_triangle_is_not_called_square_though_its_legs_are_alike():
    # Half of a block of 9 in: both legs 9 1/2 in with their allowance, the points cut off.
    half = next(step for step in steps_of("hourglass", inches(9)) if step.title.startswith("Unit"))
    assert half.size == "It should now measure 9 1/2 x 9 1/2 in, raw edge to raw edge, points cut off."
    assert steps_of("hourglass", inches(9))[-1].size == "It should now measure 9 1/2 in square, raw edge to raw edge."


def test_seams_that_all_lie_toward_one_thing_are_said_to():
    row, *_ = steps_of("nine patch")
    assert row.words == ("Join B1, A1 and B1, side by side.", "Press both seams toward B1.")


STARS = "quilt Stars\nmade of LeMoyne Star\nfinished 10 in\nrows 3\ncolumns 2\nborder 3 in, blue\n"


@pytest.fixture(scope="module")
def stars():
    return read_quilt(STARS, find_block=find)


def test_by_hand_a_seam_is_fanned_when_others_cross_it():
    made = sewn_top(repeated("q", find("ohio star"), inches(9), inches(9), 1, 1), "hand").blocks[0]
    pair, hourglass, *_ = drawn_steps(made, QUARTER, "hand")
    assert pair.words[-1].startswith("Leave the allowances free")
    assert hourglass.words[-1] == "Press the allowances round, like a fan."


def test_four_corners_do_not_make_a_square():
    # A dart of two half diamonds has four corners and no right angle; it is measured along a slanting side.
    dart = steps_of("star of the east")[0]
    assert len(dart.step.outline) == 4
    assert "square" not in dart.size
    assert dart.size.endswith("along its slanting side, points cut off.")


def test_a_border_is_sewn_to_what_was_sewn_over_papers_without_any(stars):
    row, field, *bordered = top_steps_drawn(sewn_top(stars, "papers"), QUARTER, "papers")
    assert row.size == "It should now measure 20 x 10 in, fold to fold."
    assert field.words == ("Join 3 of row 1, one under the other: whip the folded edges together.",)
    # 20 in and two borders of 3 in; the papers out, the allowance is round it again.
    assert [each.size.removeprefix("It should now measure ") for each in bordered] == [
        "26 1/2 x 30 1/2 in, raw edge to raw edge.",
        "26 1/2 x 36 1/2 in, raw edge to raw edge.",
    ]
    for each in bordered:
        assert each.still_round == QUARTER
        assert "open their folded allowances out" in each.words[0]


SASHED = "quilt Window\nmade of Nine Patch\nfinished 9 in\nrows 2\ncolumns 2\nsashing 2 in, cornerstones\n"


def test_sashing_has_no_papers_and_is_sewn_on_not_whipped():
    quilt = read_quilt(SASHED, find_block=find)
    top = sewn_top(quilt, "papers")
    told = list(top_steps_drawn(top, QUARTER, "papers"))
    assert "whip" not in repr([each.words for each in told])
    sizes = {each.title: each.size.removeprefix("It should now measure ") for each in told}
    # Two blocks of 9 in and 2 in between; the allowance is round it again.
    assert sizes == {
        "Row 1": "20 1/2 x 9 1/2 in, raw edge to raw edge.",
        "Sashing row": "20 1/2 x 2 1/2 in, raw edge to raw edge.",
        "The top": "20 1/2 in square, raw edge to raw edge.",
    }
    assert ["have no papers" in each.words[0] for each in told] == [True] * 3
    assert [each.title for each in told if "These have no papers" in each.words[0]] == ["Sashing row"]
    # The blocks themselves are whipped.
    assert "whip" in repr([each.words for each in drawn_steps(top.blocks[0], QUARTER, "papers")])


@pytest.mark.parametrize(
    ("method", "said", "never"),
    [
        ("machine", ("The arrow over it", "In one go"), ("papers", "fanned")),
        ("hand", ("fanned round", "Needles for sewing by hand"), ("In one go", "Sewing machine")),
        (
            "papers",
            ("on the line of its template", "for the papers"),
            ("In one go", "dashed line", "The arrow over it"),
        ),
    ],
)
def test_a_booklet_says_nothing_of_a_way_in_which_its_quilt_is_not_sewn(stars, method, said, never):
    text = str(booklet(booklet_content(plan(stars), printed=datetime.date(2026, 11, 30), method=method)).blocks)
    assert [words for words in said if words not in text] == []
    assert [words for words in never if words in text.replace("Sew on the dashed line", "")] == []


def test_rows_are_told_by_the_numbers_of_the_layout(stars):
    (words,) = layout_words(stars)
    assert words.endswith("A number in a circle is that of a row.")
    row = next(iter(top_steps_drawn(sewn_top(stars), QUARTER)))
    assert row.make == "Make 3, for rows 1, 2 and 3."


def test_of_a_single_block_nothing_is_laid_out():
    one = repeated("q", find("star of the east"), FOOT, FOOT, 1, 1)
    assert list(layout_words(one)) == ["One block."]


def test_what_is_only_counted_is_joined_as_drawn():
    quilt = repeated("q", find("shoo fly"), inches(3), inches(3), 1, 5, sashing=Sashing(inches(1), inches(1)))
    row = next(iter(top_steps_drawn(sewn_top(quilt), QUARTER)))
    # Five blocks and four strips between them.
    assert row.words[0] == "Join as drawn: 5 blocks and 4 of vertical sashing, side by side."


@pytest.mark.parametrize(
    ("sashing", "told"),
    [
        (Sashing(inches(1), inches(0)), "with vertical sashing between, then join the rows."),
        (Sashing(inches(0), inches(1)), "Sew each row of blocks, then join the rows with horizontal sashing."),
        (Sashing(inches(1), inches(1)), "with vertical sashing between, then join the rows with horizontal sashing."),
    ],
)
def test_only_sashing_that_is_there_is_sewn(sashing, told):
    quilt = repeated("q", find("shoo fly"), inches(3), inches(3), 2, 2, sashing=sashing)
    assert told in repr(top_steps(sewn_top(quilt), quilt))
