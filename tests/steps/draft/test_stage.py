"""The quilt as found under the draft: at true scale, whatever sizes are drafted."""

from types import SimpleNamespace

import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.lengths import inches
from seamlore.photo.reading import Edge, Reading
from seamlore.pictures.quilts import DIMENSIONED_MM
from seamlore.steps.draft.stage import stage
from seamlore.steps.study.tape import Tape

# 7 x 8 blocks of 6 in with a border of 4 in.
SEEN = Reading(
    photo_size=(3000, 4000),
    corners=((0, 0), (2999, 0), (2999, 3999), (0, 3999)),
    corners_from="given",
    unit="in",
    size=(50.0, 56.0),
    setting="straight",
    rows=8,
    columns=7,
    block_size=(6.0, 6.0),
    edge=Edge(left=4, top=4, right=4, bottom=4),
)


def job(reading=SEEN, **tape):
    return SimpleNamespace(
        inputs=SimpleNamespace(photo=b"there is one", tape=Tape(**tape)), reading=reading, cloths=({}, {})
    )


def quilt(block=6, edge=4, columns=7, rows=8):
    made = repeated("q", find("shoo fly"), inches(block), inches(block), rows, columns)
    return (
        repeated("q", find("shoo fly"), inches(block), inches(block), rows, columns, borders=(border(inches(edge)),))
        if edge
        else made
    )


def laid(drafted, seen=None):
    """Where the photograph lies on the draft, in inches: left, top, width, height."""
    shown = stage(seen or job(), drafted, "place")
    left, top, right, _ = DIMENSIONED_MM
    scale = (shown.picture.width_mm - left - right) / drafted.finished_size[0].inches_float
    found = shown.found
    return [(found.x - left) / scale, (found.y - top) / scale, found.width / scale, found.height / scale]


@pytest.mark.parametrize("block", [5, 6, 9])
@pytest.mark.parametrize("edge", [0, 4, 10])
def test_the_photograph_stays_at_true_scale_when_sizes_change(block, edge):
    left, top, width, height = laid(quilt(block, edge))
    assert (width, height) == pytest.approx((50, 56), abs=0.01)
    # Its first block begins where the draft's does.
    assert (left + 4, top + 4) == pytest.approx((edge, edge), abs=0.01)


def test_another_number_of_blocks_lies_in_the_middle_at_true_scale():
    left, top, width, height = laid(quilt(6, 4, columns=9, rows=10))
    assert (width, height) == pytest.approx((50, 56), abs=0.01)
    assert (left, top) == pytest.approx((6, 6), abs=0.01)


def test_a_photograph_without_a_size_is_as_wide_as_the_tape_says():
    from msgspec.structs import replace

    bare = replace(SEEN, unit="width", size=(1.0, 1.12), edge=Edge(left=0.08, top=0.08, right=0.08, bottom=0.08))
    assert laid(quilt(9), job(bare, width="50 in"))[2:] == pytest.approx((50, 56), abs=0.01)
