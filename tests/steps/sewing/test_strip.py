"""The headline of the page on sewing."""

import pytest

from seamlore.steps.sewing.strip import shown
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice

DRAFT = "quilt Mine\nmade of {}\nfinished 6 in\nrows 2\ncolumns 3\n"


@pytest.mark.parametrize(
    ("block", "answer"),
    [
        ("Plain", "By machine: no block that is known is pieced; the top alone is joined"),
        # Two triangles, joined once.
        ("Half-Square Triangle", "By machine: 1 step for 1 kind of block, then the top"),
    ],
)
def test_only_steps_that_there_are_are_counted(block, answer):
    drawn = DRAFT.format(block) + ("\nblock Plain\nA light\n\nA\n" if block == "Plain" else "")
    if block == "Half-Square Triangle":
        drawn += "\nblock Half-Square Triangle\nA light\nB dark\n\nA/B\n"
    assert shown(Job(Inputs(choice=Choice(draft=drawn)))).answer == answer
