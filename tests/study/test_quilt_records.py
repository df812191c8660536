"""Sizes of documented quilts: what their records make, whether that closes, and by how much it does not.

The numbers are those of the public records named in `tests/data/quilt_sizes.csv`, one source a line; what the figures
make (`made_wide`, `made_long`) was reckoned by hand from them. Records often do not close: that is what is tested.
"""

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from seamlore.draft.text.notation import read_block
from seamlore.errors import MeasureError
from seamlore.lengths import inches
from seamlore.study.adjustment import adjust
from seamlore.study.causes import Kind
from seamlore.study.drafting import as_drafted
from seamlore.study.measured import What, taken
from seamlore.study.measurements import measurements
from seamlore.study.next_measure import next_measure

PLAIN = read_block("block Plain\nA light\n\nA")
RECORDS = {
    row["record"]: row
    for row in csv.DictReader((Path(__file__).parents[1] / "data" / "quilt_sizes.csv").open(encoding="utf-8"))
}
ADD_UP = [name for name, row in RECORDS.items() if row["made_wide"]]


def measured(row):
    lines = [
        taken(what, inches(Fraction(row[field])), along)
        for field, what, along in [
            ("width", What.OVERALL, "across"),
            ("height", What.OVERALL, "down"),
            ("block", What.BLOCK, "across" if row["block_down"] else "both"),
            ("block_down", What.BLOCK, "down"),
            ("sashing", What.SASHING, "both"),
            ("border_sides", What.BORDER, "across"),
            ("border_ends", What.BORDER, "down"),
        ]
        if row[field]
    ]
    return measurements(
        lines,
        columns=int(row["columns"]) if row["columns"] else None,
        rows=int(row["rows"]) if row["rows"] else None,
        outer_sashing=bool(row["outer"]),
        on_point=bool(row["on_point"]),
    )


@pytest.mark.parametrize("name", ADD_UP)
def test_what_the_figures_of_a_record_make_is_said_with_the_difference(name):
    row = RECORDS[name]
    found = adjust(measured(row))
    for made, along, size in zip(found.sums, ("wide", "long"), ("width", "height"), strict=True):
        by_hand = float(row[f"made_{along}"])
        assert made.total.inches_float == pytest.approx(by_hand, abs=0.001)
        assert made.short.inches_float == pytest.approx(by_hand - float(row[size]), abs=0.001)
        assert made.difference in found.verdict


@pytest.mark.parametrize("name", ["D025", "X03"])
def test_records_that_close_come_out(name):
    found = adjust(measured(RECORDS[name]))
    assert found.comes_out
    assert found.verdict.startswith("The sums come out")


# By how much, from the records: worked by hand.
NOT_CLOSING = {
    "D055": ["18 1/2 in over", "19 1/2 in over"],
    "D058": ["6 in over", "6 3/4 in short"],
    "D046": ["12 in over", "11 in over"],
    "D052": ["1 9/16 in short"],
    "X01": ["2 3/4 in over"],
    "X02": ["2 7/8 in short"],
    "C119": ["2 in over", "10 in over"],
    "D021": ["35 in over", "44 1/2 in over"],
    "D024": ["4 1/2 in over", "5 in over"],
}


@pytest.mark.parametrize("name", NOT_CLOSING)
def test_records_that_do_not_close_are_said_not_to_and_by_how_much(name):
    found = adjust(measured(RECORDS[name]))
    assert found.verdict.startswith("The sums do not come out: ")
    for difference in NOT_CLOSING[name]:
        assert difference in found.verdict
    assert all(each.causes for each in found.explanations)


def test_borders_whose_widths_are_not_told_are_what_is_left_over():
    for name, sides, ends in [("D055", "9.25", "9.75"), ("D046", "6", "5.5")]:
        accounts = adjust(measured(RECORDS[name])).explanations
        borders = next(each for each in accounts if [cause.kind for cause in each.causes] == [Kind.BORDER] * 2)
        widths = dict(borders.border)
        assert [widths["left"], widths["right"]] == [inches(sides)] * 2
        assert [widths["top"], widths["bottom"]] == [inches(ends)] * 2


def test_nothing_told_makes_up_what_a_record_leaves_out():
    # 4 x 5 blocks of 9 in are 36 x 45 in, of a quilt of 71 x 89 1/2: sashing or alternate blocks are not told.
    found = adjust(measured(RECORDS["D021"]))
    assert {cause.kind for cause in found.explanations[0].causes} == {Kind.UNTOLD}
    drafted = as_drafted(found, block_drawn=PLAIN)
    assert "35 in less in the width and 44 1/2 in less in the length, put down to something that is not told" in (
        drafted.left_over
    )


def test_a_record_without_a_block_is_drafted_square_and_what_is_left_over_is_said():
    # 6 x 7 blocks in 68.1 x 81.5 in would be 11.35 x 11.64 in each.
    found = adjust(measured(RECORDS["D077"]))
    assert "6 blocks in 68 1/8 in are 11 3/8 in wide; 7 blocks in 81 1/2 in are 11 5/8 in high" in found.verdict
    drafted = as_drafted(found, block_drawn=PLAIN)
    assert drafted.quilt.block_width == drafted.quilt.block_height == inches("11.5")
    assert "7/8 in more in the width and 1 in less in the length" in drafted.left_over
    # 6 x 7 in 72 x 84 in make blocks of 12 in exactly.
    whole = as_drafted(adjust(measured(RECORDS["D063"])), block_drawn=PLAIN)
    assert whole.quilt.block_width == whole.quilt.block_height == inches(12)
    assert whole.left_over == "Drafted as the tape has it: 72 x 84 in."


def test_a_record_that_tells_oblong_blocks_is_drafted_oblong():
    drafted = as_drafted(adjust(measured(RECORDS["D025"])), block_drawn=PLAIN)
    assert (drafted.quilt.block_width, drafted.quilt.block_height) == (inches(20), inches(21))
    assert drafted.quilt.finished_size == (inches(75), inches(95))


@pytest.mark.parametrize("name", [name for name in RECORDS if name not in ADD_UP])
def test_a_record_that_tells_too_little_is_not_said_to_come_out(name):
    row = RECORDS[name]
    try:
        verdict = adjust(measured(row)).verdict
    except MeasureError as refused:
        assert any(words in str(refused) for words in ("no measurement", "no block"))  # noqa: PT017
        return
    assert verdict.startswith("There is nothing to add up yet")


def test_no_cause_is_offered_twice_in_what_to_measure_next():
    # The sashing misread, and the sashing misread and blocks cut as well: the second says nothing that the first does not.
    asked = next_measure(adjust(measured(RECORDS["D024"])))
    assert asked is not None
    causes = [set(name.split(" and ")) for _, names in asked.outcomes for name in names]
    assert len(causes) > 1
    assert not any(one < two for one in causes for two in causes)
