"""Explanations in words: each cause with its numbers, as a quilter would say it."""

import pytest

from seamlore.lengths import inches
from seamlore.study.adjustment import adjust
from seamlore.study.causes import Kind
from seamlore.study.measured import What, taken
from seamlore.study.measurements import measurements


def accounts(overall, **counts):
    m = measurements(
        [
            taken(What.OVERALL, inches(overall), "across"),
            taken(What.BLOCK, inches(8)),
            taken(What.SASHING, inches(3)),
        ],
        **{"columns": 7, **counts},
    )
    return {each.causes[0].kind: each.text for each in adjust(m).explanations if len(each.causes) == 1}


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (Kind.CUT, "3 1/2 in is gone from the width, 1 3/4 in from each side if both were cut alike"),
        (Kind.UNFINISHED, "with 1/4 in of seam allowance on each side: it is 7 1/2 in finished, not 8 in"),
        (Kind.SASHING_UNFINISHED, "The sashing was measured unfinished: it is 2 1/2 in finished, not 3 in"),
        (Kind.SHRUNK, "drawn the quilt in by about 4.8 in 100"),
        (Kind.WIDE_SEAMS, "Every seam was taken about 1/8 in wider than planned"),
        (Kind.FIGURE, "not 3 in"),
    ],
)
def test_each_cause_is_told_with_its_numbers(kind, words):
    assert words in accounts("70.5")[kind]


def test_a_wrong_width_says_what_it_should_be():
    m = measurements(
        [
            taken(What.OVERALL, inches("69"), "across"),
            taken(What.OVERALL, inches(85), "down"),
            taken(What.BLOCK, inches(8)),
            taken(What.SASHING, inches(3)),
            taken(What.OUTER, inches(8), "across", side="left"),
            taken(What.OUTER, inches(8), "across", side="right"),
        ],
        columns=7,
        rows=8,
    )
    # Both outer blocks are whole, and the other axis comes out: 69 can only be a slip for 74.
    assert adjust(m).explanations[0].text == "The width of the quilt is misread: it should be about 74 in, not 69 in."


def test_sides_that_were_measured_are_told_apart():
    m = measurements(
        [
            taken(What.OVERALL, inches("70.5"), "across"),
            taken(What.BLOCK, inches(8)),
            taken(What.SASHING, inches(3)),
            taken(What.OUTER, inches(7), "across", side="left"),
            taken(What.OUTER, inches("5.5"), "across", side="right"),
        ],
        columns=7,
    )
    top = adjust(m).explanations[0]
    assert (
        top.text == "The outer blocks are cut down or folded in: 1 in is gone at the left and 2 1/2 in at the right."
    )
