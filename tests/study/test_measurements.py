"""What was measured: readable, with its tolerance and how it is known."""

import pytest

from seamlore.errors import MeasureError
from seamlore.lengths import inches
from seamlore.study.by_photograph import from_reading
from seamlore.study.measured import Known, What, taken
from seamlore.study.measurements import measurements

from .taken import reading


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
