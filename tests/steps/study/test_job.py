"""The job: each step from what was put in, and the puzzle of the sums that do not come out."""

from __future__ import annotations

import pytest

from seamlore.errors import SeamloreError
from seamlore.lengths import Unit, inches
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice, Making
from seamlore.steps.study.tape import Span, Tape

# 7 blocks of 8 in with 3 in sashing make 74 in; the quilt measures 70 1/2 in. Either 1 3/4 in is gone from each side,
# or 8 in was the unfinished size: 7 x 7 1/2 + 18 = 70 1/2. Worked by hand from the figures.
PUZZLE = Tape(width="70 1/2 in", block="8 in", sashing="3 in", columns=7)


def test_both_explanations_of_the_puzzle_come_out_on_top_and_one_measurement_settles_it():
    job = Job(Inputs(tape=PUZZLE))
    first, second = job.adjustment.explanations[:2]
    texts = f"{first.text} {second.text}"
    assert "1 3/4 in" in texts
    assert "7 1/2" in texts
    assert job.next_measure is not None
    assert "44 in" in job.next_measure.text
    assert "42 in" in job.next_measure.text


@pytest.mark.parametrize(("taken", "wanted"), [("44 in", "cut"), ("42 in", "unfinished")])
def test_the_measurement_asked_for_settles_the_puzzle(taken, wanted):
    tape = Tape(
        **{
            **{f: getattr(PUZZLE, f) for f in PUZZLE.__struct_fields__},
            "more": (Span(value=taken, blocks=4, sashings=4),),
        }
    )
    top = Job(Inputs(tape=tape)).adjustment.explanations[0]
    assert wanted in top.text
    assert top.weight > 0.8


def test_the_users_choice_of_explanation_and_sizes_overrules():
    tape = Tape(width="70 1/2 in", height="92 1/2 in", block="8 in", sashing="3 in", columns=7, rows=9)
    job = Job(Inputs(tape=tape, choice=Choice(block="shoo fly", sizes={"block": "8 1/4 in"})))
    assert job.quilt.block_width == inches("8.25")


def test_a_draft_that_the_user_wrote_overrules_the_rest():
    text = "quilt Mine\nmade of Shoo Fly\nfinished 6 in\nrows 2\ncolumns 3\n"
    job = Job(Inputs(choice=Choice(draft=text)))
    assert str(job.quilt) == "Mine: 2 rows of 3 Shoo Fly, 18 in by 12 in"


def test_how_it_is_made_reaches_the_plan():
    text = "quilt Mine\nmade of Shoo Fly\nfinished 6 in\nrows 2\ncolumns 3\n"
    plan = Job(Inputs(choice=Choice(draft=text), making=Making(fabric_width="40 in", binding="none"))).plan
    assert plan.fabric_width == inches(40)
    assert plan.edge_finish is None


def test_a_step_that_lacks_something_says_what():
    with pytest.raises(SeamloreError, match="no evidence"):
        Job(Inputs()).dating  # noqa: B018


def test_a_quilt_measured_in_inches_keeps_its_sizes_when_shown_in_centimeters():
    tape = Tape(width="74 in", height="30 in", block="8 in", sashing="3 in", columns=7, rows=3)
    inch, cm = (Job(Inputs(tape=tape, choice=Choice(block="shoo fly"), shown=unit)) for unit in (Unit.INCH, Unit.CM))
    assert cm.quilt.block_width == inch.quilt.block_width == inches(8)
    assert cm.quilt.finished_size == inch.quilt.finished_size
    assert cm.quilt.unit is Unit.CM


def test_a_size_that_she_chose_is_not_put_down_to_washing():
    tape = Tape(width="74 in", height="74 in", block="8 in", sashing="3 in", columns=7, rows=7)
    # Seven blocks of 9 in instead of 8 in are 7 in more.
    job = Job(Inputs(tape=tape, choice=Choice(block="shoo fly", sizes={"block": "9 in"})))
    assert job.left_over == (
        "By tape 74 x 74 in, drafted 81 x 81 in: 7 in more in the width and 7 in more in the length, put down to sizes of your own."
    )
