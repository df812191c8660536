"""What was measured: readable, with its tolerance and how it is known."""

import pytest

from seamlore.errors import MeasureError
from seamlore.lengths import inches
from seamlore.photo.reading import Edge, Reading, Uncertainty
from seamlore.study.by_photograph import from_reading
from seamlore.study.measured import Known, What, taken
from seamlore.study.measurements import measurements


def reading(unit="in", scale=1.0, **changes):
    """A reading of a quilt 70 1/2 in wide whose outer blocks are cut by 1 3/4 in at each side."""
    fields = {
        "photo_size": (3000, 4000),
        "corners": ((0, 0), (2999, 0), (2999, 3999), (0, 3999)),
        "corners_from": "given",
        "unit": unit,
        "size": (70.5 * scale, 81.5 * scale),
        "setting": "straight",
        "rows": 8,
        "columns": 7,
        "block_size": (8.02 * scale, 7.97 * scale),
        "sashing": (3.0 * scale, 3.0 * scale),
        "edge": Edge(left=-1.7 * scale, top=-1.8 * scale, right=-1.8 * scale, bottom=-1.7 * scale),
        "uncertainty": Uncertainty(block_size=(0.04 * scale, 0.04 * scale), sashing=(0.04, 0.04), edge=0.1 * scale),
    }
    return Reading(**{**fields, **changes})


def test_a_count_below_one_is_refused():
    with pytest.raises(MeasureError, match="0 rows: a quilt has at least one block"):
        measurements([taken(What.BLOCK, inches(8))], rows=0)


def test_a_photograph_without_a_block_grid_adds_nothing():
    assert from_reading(reading(setting="none")) == ()


def test_a_photograph_without_a_size_takes_its_scale_from_the_tape():
    bare = reading(unit="width", scale=1 / 70.5)
    tape = [taken(What.OVERALL, inches("70.5"), "across")]
    block = from_reading(bare, tape)[0]
    assert abs(block.value.inches_float - 8.02) < 0.05
    with pytest.raises(MeasureError, match="measure the quilt's width"):
        from_reading(bare)


def test_the_tape_is_trusted_before_the_photograph():
    found = measurements([taken(What.BLOCK, inches(8))], columns=7, reading=reading(columns=6))
    assert found.said(What.BLOCK, "across").known is Known.TAPE
    assert found.count("across") == 7
