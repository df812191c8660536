"""Steps of sewing in words."""

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.lengths import centimeters, inches
from seamlore.sewing.top import sewn_top
from seamlore.steps.sewing.step_words import drawn_steps

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
