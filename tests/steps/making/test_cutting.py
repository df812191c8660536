"""What is done with each piece before it is sewn: a line that a stranger can cut by."""

from __future__ import annotations

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.lengths import inches
from seamlore.making.plan import plan
from seamlore.steps.making.cutting import finished_words, what_then


@pytest.mark.parametrize(
    ("block", "shape", "words"),
    [
        ("shoo fly", "half-square triangle", "once on the diagonal"),
        ("hourglass", "quarter-square triangle", "twice on the diagonal"),
        ("54-40 or fight", "half-rectangle triangle", "once on the diagonal from"),
    ],
)
def test_triangles_are_said_to_be_cut_on_the_diagonal_and_how_often(block, shape, words):
    quilt = repeated("q", find(block), inches(9), inches(9), 3, 4)
    cuts = [cut for need in plan(quilt).fabrics for cut in need.cuts if cut.shape == shape]
    assert cuts
    for cut in cuts:
        said = what_then(cut)
        assert words in said
        assert f"{cut.count * (4 if 'twice' in words else 2)} triangles" in said


def test_squares_need_no_more_than_their_cut():
    quilt = repeated("q", find("nine patch"), inches(9), inches(9), 2, 2)
    assert {what_then(cut) for need in plan(quilt).fabrics for cut in need.cuts} == {""}


def test_each_side_of_a_finished_patch_is_said_once():
    # By hand, blocks of 9 in (and 12): the long side of a goose, the legs of a half square, both legs of a slanted half.
    said = {}
    for block, side in (
        ("shoo fly", 9),
        ("hourglass", 9),
        ("54-40 or fight", 12),
        ("nine patch", 9),
        ("rail fence", 9),
    ):
        for need in plan(repeated("q", find(block), inches(side), inches(side), 2, 2)).fabrics:
            said |= {cut.shape: finished_words(cut) for cut in need.cuts}
    assert said == {
        "half-square triangle": "3 in along the short sides",
        "square": "3 in square",
        "quarter-square triangle": "9 in along the long side",
        "half-rectangle triangle": "2 and 4 in along the short sides",
        "template": said["template"],
        "rectangle": said["rectangle"],
    }
    assert " x " in said["rectangle"]
