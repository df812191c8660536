"""Edges of a study: sizes on marks, names of measurements, and what is asked next, each with its numbers."""

from __future__ import annotations

from fractions import Fraction
from math import log2

import pytest
from numpy.testing import assert_allclose

from seamlore.errors import MeasureError
from seamlore.lengths import Unit, centimeters, inches
from seamlore.study.accounts import about, exact
from seamlore.study.adjustment import adjust
from seamlore.study.measured import Known, What, in_words, middle_of, span_words, taken
from seamlore.study.measurements import measurements
from seamlore.study.next_measure import next_measure, short_name
from seamlore.study.snapping import allowed_marks, snap

# Which marks are friendlier and how far a tape is trusted is our own custom: no source.


@pytest.mark.parametrize(
    ("found", "reach", "marks"),
    [
        ("8", "1/8", ["8", "63/8", "65/8"]),
        ("8", "0.1249", ["8"]),
        ("7.95", "1/4", ["8", "63/8", "65/8", "31/4"]),
        ("0.1", "1/4", ["1/8", "1/4"]),
    ],
)
def test_marks_within_reach_are_those_of_eighths_nearest_first(found, reach, marks):
    assert [each.inches for each in allowed_marks(inches(found), inches(reach))] == [Fraction(each) for each in marks]


def test_marks_of_a_metric_size_are_half_centimeters_the_edge_of_reach_included():
    found = allowed_marks(centimeters(20), centimeters("0.5"))
    assert found == (centimeters(20), centimeters("19.5"), centimeters("20.5"))
    assert {each.unit for each in found} == {Unit.CM}


@pytest.mark.parametrize(
    ("found", "give", "chosen", "reason"),
    [
        ("8", "0", "8", "a whole inch within what was measured"),
        ("8 1/2", "1/8", "17/2", "a half inch within what was measured"),
        ("8 1/4", "1/8", "33/4", "a quarter inch within what was measured"),
        ("8 1/8", "0", "65/8", "an eighth within what was measured"),
        ("7.7", "0", "31/4", "a quarter inch within what was measured"),
        ("8.0625", "0", "8", "a whole inch within what was measured"),
    ],
)
def test_a_size_goes_to_the_friendliest_mark_and_says_which_it_is(found, give, chosen, reason):
    value = sum((Fraction(each) for each in found.split()), Fraction(0))
    made = snap("block width", inches(value), inches(give), None)
    assert (made.chosen.inches, made.reason, made.known) == (Fraction(chosen), reason, Known.COMPUTED)


@pytest.mark.parametrize(
    ("found", "chosen", "reason"),
    [
        ("20.3", "20", "a whole centimeter within what was measured"),
        ("20.5", "20.5", "half a centimeter within what was measured"),
    ],
)
def test_a_metric_size_says_its_own_marks(found, chosen, reason):
    made = snap("border", centimeters(found), centimeters("0.3"), None)
    assert (made.chosen, made.reason) == (centimeters(chosen), reason)


def test_a_likeliest_mark_is_taken_and_said_to_be_so_when_it_is_out_of_reach():
    near = snap("border", inches("3.05"), inches("1/8"), inches(3))
    assert near.reason == "a whole inch within what was measured"
    far = snap("border", inches("3.05"), inches("1/8"), inches("3.5"))
    assert (far.chosen, far.reason) == (inches("3.5"), "a half inch the likeliest mark")
    assert snap("border", inches("0.02"), inches("1/8"), inches(0)).reason == "there is none"
    odd = snap("border", inches("3.05"), inches("1/8"), inches("3.0625"))
    assert odd.reason == "no friendlier mark is within what was measured"


def test_alternatives_are_the_other_marks_four_at_most_and_never_the_chosen_one():
    made = snap("border", inches(3), inches("3/4"), None)
    assert [each.inches for each in made.alternatives] == [Fraction(each, 8) for each in (23, 25, 22, 26)]
    told = snap("border", inches(3), inches("1/8"), None, told=inches("25/8"))
    assert (told.chosen, told.known, told.reason) == (inches("25/8"), Known.TOLD, "as you say")
    assert [each.inches for each in told.alternatives] == [3, Fraction(23, 8)]
    off = snap("border", inches(3), inches("1/8"), None, told=inches(4))
    assert off.reason == "as you say; the measurements come to 3 in ± 1/8 in"
    none = snap("border", inches(0), inches("1/8"), None, told=inches(4))
    assert none.reason == "as you say"


def test_a_size_back_from_floats_lies_on_its_mark():
    assert exact(8.0624, Unit.INCH) == inches("8.0625")
    assert exact(20.04 / 2.54, Unit.CM) == centimeters(20)
    assert exact(20.06 / 2.54, Unit.CM) == centimeters("20.1")
    assert about(8.07, Unit.INCH) == inches("8.125")
    assert about(8.06, Unit.INCH) == inches(8)


@pytest.mark.parametrize(("blocks", "sashings", "said"), [
    (4, 4, "same edge to same edge over four blocks"), (1, 1, "same edge to same edge over one block"),
    (2, 0, "seam to seam over two blocks"), (1, 0, "seam to seam over one block"),
    (2, 1, "over two blocks and one sashing"), (3, 2, "over three blocks and two sashings"), (1, 2, "over one block and two sashings"),
])  # fmt: skip
def test_a_span_says_where_the_tape_runs(blocks, sashings, said):
    assert span_words(blocks, sashings) == said
    assert taken(What.SPAN, inches(30), "across", blocks=blocks, sashings=sashings).name == f"{said}, across"


def test_small_numbers_are_spelt_and_others_written():
    assert [in_words(each) for each in (0, 1, 12, 13, -1)] == ["no", "one", "twelve", "13", "-1"]


@pytest.mark.parametrize(
    ("what", "along", "side", "name"),
    [
        (What.OVERALL, "across", "", "the width of the quilt"),
        (What.OVERALL, "down", "", "the length of the quilt"),
        (What.OUTER, "across", "left", "the outermost block at the left, inner seam to edge"),
        (What.EDGE, "down", "top", "the edge at the top"),
        (What.BORDER, "across", "", "the border at the sides"),
        (What.BORDER, "down", "", "the border at top and bottom"),
        (What.BORDER, "both", "", "the border"),
        (What.BORDER, "across", "right", "the border at the right"),
        (What.BLOCK, "both", "", "the block"),
        (What.BLOCK, "across", "", "the block, across"),
        (What.SASHING, "down", "", "the sashing, from top to bottom"),
    ],
)
def test_each_measurement_is_called_by_what_it_is(what, along, side, name):
    assert taken(what, inches(8), along, side=side).name == name


def test_up_to_an_edge_a_tape_is_trusted_half_as_far_as_between_seams():
    for what in (What.OVERALL, What.OUTER):
        assert taken(what, inches(8), "across").tolerance == inches("1/4")
        assert taken(what, centimeters(8), "across").tolerance == centimeters("0.6")
    for what in (What.BLOCK, What.SASHING, What.BORDER):
        assert taken(what, inches(8)).tolerance == inches("1/8")
        assert taken(what, centimeters(8)).tolerance == centimeters("0.3")
    assert taken(What.BLOCK, inches(8), tolerance=inches("1/2")).sigma_in == 0.25


def test_what_can_be_nothing_is_an_edge_or_the_border_of_one_side():
    assert taken(What.EDGE, inches(-1), "across", side="left").value_in == -1
    assert not taken(What.BORDER, inches(0), "across", side="left").value
    for what, value, side in ((What.BORDER, 0, ""), (What.BORDER, -1, "left"), (What.BLOCK, -1, "")):
        with pytest.raises(MeasureError, match="more than 0"):
            taken(what, inches(value), "across", side=side)
    with pytest.raises(MeasureError, match="no tape is exact"):
        taken(What.BLOCK, inches(8), tolerance=inches(0))


@pytest.mark.parametrize(("blocks", "sashings"), [(1, 0), (5, 0), (2, 1), (2, 2), (2, 3)])
def test_blocks_and_sashings_that_take_turns_are_a_span(blocks, sashings):
    assert taken(What.SPAN, inches(9), "across", blocks=blocks, sashings=sashings).blocks == blocks


def test_several_readings_are_their_mean_and_as_doubtful_as_they_differ():
    # JCGM 100:2008, 4.2.3 and 4.3: the mean's own uncertainty s / sqrt n beside that of the tape.
    made = middle_of(What.OVERALL, [inches(70), inches(72)], "across")
    assert made.value == inches(71)
    # Half a tolerance of 1/4 in, and 1 in of the mean's: 2 x sqrt(1/64 + 1), up to the next 1/16 in.
    assert made.tolerance == inches("2.0625")
    assert made.readings == (inches(70), inches(72))
    alone = middle_of(What.OVERALL, [inches(70)], "across")
    assert (alone.value, alone.tolerance, alone.readings) == (inches(70), inches("1/4"), ())
    assert "the middle of 70 in, 72 in" in str(made)


def check(**more):
    said = [
        taken(What.OVERALL, inches("70.5"), "across"),
        taken(What.BLOCK, inches(8)),
        taken(What.SASHING, inches(3)),
    ]
    return adjust(measurements(said, columns=7, **more))


def test_what_is_asked_next_tells_the_leading_accounts_apart():
    found = check()
    asked = next_measure(found)
    assert asked is not None
    assert (asked.measure.what, asked.measure.along, asked.measure.blocks, asked.measure.sashings) == (
        What.SPAN, "across", 4, 4,
    )  # fmt: skip
    assert asked.measure.value == inches(44)
    assert [each for each, _ in asked.predicts] == list(found.explanations[:6])
    predicted = {short_name(each, found.measured): length for each, length in asked.predicts}
    assert predicted["the outer blocks are cut"] == inches(44)
    assert predicted["the block was measured unfinished"] == inches(42)
    weights = [each.weight for each in found.explanations[:6]]
    assert 0.05 <= asked.bits <= -sum(w * log2(w) for w in weights) + 0.2


def test_sums_have_as_many_gaps_as_lie_between_blocks():
    (across,) = check().sums
    assert (across.gaps, across.total) == (6, inches(74))
    assert_allclose((across.total - inches("70.5")).inches_float, 3.5)
