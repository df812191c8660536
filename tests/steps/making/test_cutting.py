"""What is done with each piece before it is sewn: a line that a stranger can cut by."""

from __future__ import annotations

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.lengths import inches
from seamlore.making.plan import plan
from seamlore.steps.making.cutting import what_then


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
