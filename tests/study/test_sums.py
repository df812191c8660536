"""The sums close or do not, and everything that is said of them says the same."""

import re
from datetime import date

import numpy as np
import pytest

from seamlore.draft.text.notation import read_block
from seamlore.lengths import inches
from seamlore.photo.reading import Edge, Reading, Uncertainty
from seamlore.study.adjustment import adjust
from seamlore.study.answered import answered
from seamlore.study.causes import Kind
from seamlore.study.drafting import as_drafted
from seamlore.study.left_over import left_over
from seamlore.study.measured import What, taken
from seamlore.study.measurements import measurements
from seamlore.study.next_measure import next_measure

PLAIN = read_block("block Plain\nA light\n\nA")


def tape(width, height, block, *borders):
    return [
        taken(What.OVERALL, inches(width), "across"),
        taken(What.OVERALL, inches(height), "down"),
        taken(What.BLOCK, inches(block)),
        *(taken(What.BORDER, inches(size), along, side=side) for size, along, side in borders),
    ]


def reading(**changes):
    fields = {
        "photo_size": (3000, 4000),
        "corners": ((0, 0), (2999, 0), (2999, 3999), (0, 3999)),
        "corners_from": "given",
        "unit": "in",
        "size": (50.0, 56.0),
        "setting": "straight",
        "rows": 8,
        "columns": 7,
        "block_size": (6.0, 6.0),
        "edge": Edge(left=4, top=4, right=4, bottom=4),
        "uncertainty": Uncertainty(block_size=(0.05, 0.05), sashing=(0.05, 0.05), edge=0.15),
    }
    return Reading(**{**fields, **changes})


# Worked cases: 7 x 6 + 2 x 4 = 50 and 8 x 6 + 2 x 4 = 56; 5 x 15 + 2 x 4 3/8 = 83 3/4 and 5 x 15 + 2 x 7 1/2 = 90.


def test_seven_by_eight_with_a_border_come_out_and_are_drafted_so():
    found = adjust(measurements(tape(50, 56, 6, (4, "both", "")), columns=7, rows=8))
    assert [str(each.total) for each in found.sums] == ["50 in", "56 in"]
    assert found.comes_out
    assert found.explanations[0].likely == "almost surely"
    drafted = as_drafted(found, block_drawn=PLAIN)
    assert drafted.quilt.finished_size == (inches(50), inches(56))
    assert drafted.left_over == "Drafted as the tape has it: 50 x 56 in."


def test_unequal_borders_come_out_and_are_drafted_unequal():
    borders = [("4.375", "across", "left"), ("7.5", "down", "top")]
    found = adjust(measurements(tape("83.75", 90, 15, *borders), columns=5, rows=5))
    assert [str(each.total) for each in found.sums] == ["83 3/4 in", "90 in"]
    assert found.comes_out
    quilt = as_drafted(found, block_drawn=PLAIN).quilt
    assert quilt.finished_size == (inches("83.75"), inches(90))
    assert quilt.block_width == quilt.block_height == inches(15)
    (edge,) = quilt.borders
    assert [edge.left.width, edge.right.width] == [inches("4.375")] * 2
    assert [edge.top.width, edge.bottom.width] == [inches("7.5")] * 2


def test_a_border_measured_at_one_side_only_may_be_another_at_top_and_bottom():
    found = adjust(measurements(tape("83.75", 90, 15, ("4.375", "both", "")), columns=5, rows=5))
    assert "6 1/4 in over" in found.verdict
    top = found.explanations[0]
    assert top.text == "The border at top and bottom is not the 4 3/8 in that was said: it is about 7 1/2 in."
    assert as_drafted(found, block_drawn=PLAIN).quilt.finished_size == (inches("83.75"), inches(90))


def test_a_border_of_three_sides_is_drafted_on_three():
    # 5 x 10 + 2 x 3 across; 5 x 10 + 8 down: a border at the top only.
    borders = [(3, "both", ""), (8, "down", "top"), (0, "down", "bottom")]
    found = adjust(measurements(tape(56, 58, 10, *borders), columns=5, rows=5))
    assert found.comes_out
    (edge,) = as_drafted(found, block_drawn=PLAIN).quilt.borders
    assert [str(side.width) for side in edge.sides] == ["8 in", "3 in", "0 in", "3 in"]


def test_a_border_seen_on_the_photograph_takes_part_in_the_sums():
    found = adjust(measurements(tape(50, 56, 6), columns=7, rows=8, reading=reading()))
    assert found.comes_out
    assert "2 borders of 4 in" in found.verdict
    assert "over" not in found.verdict


def test_her_count_is_believed_before_the_photographs():
    # The photograph lays 7 rows of 6.86 in over a quilt that has 8 of 6 in.
    seen = reading(rows=7, block_size=(6.0, 6.86))
    found = adjust(measurements(tape(50, 56, 6, (4, "both", "")), columns=7, rows=8, reading=seen))
    assert found.comes_out
    assert (found.explanations[0].columns, found.explanations[0].rows) == (7, 8)
    assert found.explanations[0].likely == "almost surely"


def test_blocks_are_square_until_a_tape_says_otherwise():
    seen = reading(size=(42.0, 50.4), block_size=(6.0, 6.3), edge=Edge(left=0, top=0, right=0, bottom=0))
    lines = [taken(What.OVERALL, inches(42), "across"), taken(What.OVERALL, inches("50.4"), "down")]
    quilt = as_drafted(adjust(measurements(lines, reading=seen)), block_drawn=PLAIN).quilt
    assert quilt.block_width == quilt.block_height
    both = [taken(What.BLOCK, inches(6), "across"), taken(What.BLOCK, inches("6.3"), "down")]
    oblong = as_drafted(adjust(measurements([*lines, *both], reading=seen)), block_drawn=PLAIN).quilt
    assert oblong.block_width < oblong.block_height


@pytest.mark.parametrize("over", [0, 1, 4, 19, 40])
def test_never_too_much_and_nothing_wrong_at_once(over):
    borders = [(4, "both", "")]
    found = adjust(measurements(tape(50 + over, 56 + over, 6, *borders), columns=7, rows=8))
    if over > 3:
        assert found.verdict.startswith("The sums do not come out")
        assert not any("Nothing is wrong" in each.text for each in found.explanations)
    if over == 0:
        assert found.comes_out


def consistent(found):
    """One probability and one difference: the headline, the sums, the list, the draft's first line."""
    top, nothing = found.explanations[0], [each for each in found.explanations if not each.causes]
    closes = all(each.closes for each in found.sums)
    came_out = found.verdict.startswith("The sums come out")
    assert found.comes_out == (not top.causes)
    assert not nothing or closes
    assert closes or not came_out
    if found.comes_out:
        assert came_out
        assert "only if" not in found.verdict
        assert "speaks against" not in found.verdict
    if "do not come out" in found.verdict:
        assert not any("Nothing is wrong" in each.text for each in found.explanations)
        assert any(each.difference in found.verdict for each in found.sums)
    for each in found.sums:
        # The sum can be followed as it is written.
        said = re.search(r"make (.+?); the quilt is (.+?) (?:wide|long)", str(each))
        assert said is not None
        assert each.total - each.measured == each.short
        assert str(each) in found.verdict
    sure = [each for each in found.explanations if each.likely == "almost surely"]
    assert len(sure) <= 1
    assert not sure or sure[0] is top
    assert "No explanation known" not in found.verdict or not sure
    weights = [each.weight for each in found.explanations]
    assert weights == sorted(weights, reverse=True)
    assert sum(weights) <= 1 + 1e-9
    assert found.explanations[0].likely in ("almost surely", "likeliest")


KINDS = [None, *[kind for kind in Kind if kind not in (Kind.STRETCHED, Kind.UNTOLD)]]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name.lower() if kind else "comes out")
def test_what_is_said_of_a_simulated_quilt_never_contradicts_itself(kind, simulated):
    rng = np.random.default_rng(31)
    for _ in range(12):
        found = adjust(simulated.quilt(kind, rng).measured)
        consistent(found)
        asked = next_measure(found)
        if asked is not None:
            names = [name for _, names in asked.outcomes for name in names]
            assert len(names) == len(set(names))
            assert len({value for value, _ in asked.outcomes}) == len(asked.outcomes)
            consistent(adjust(measurements_with(found.measured, asked.measure)))
        drafted = as_drafted(found, block_drawn=PLAIN)
        for each in left_over(found, found.explanations[0], drafted.quilt.finished_size):
            parts = sum(part.inches_float for _, part in each.put_down_to)
            assert parts == pytest.approx(each.more.inches_float, abs=1 / 8)


def measurements_with(measured, line):
    from dataclasses import replace

    return replace(measured, lengths=(*measured.lengths, line))


def test_the_sheet_and_the_page_take_the_sums_from_one_place():
    from seamlore.steps.sheet_content import study_content
    from seamlore.steps.study.inputs import Inputs
    from seamlore.steps.study.job import Job
    from seamlore.steps.study.sections import Choice
    from seamlore.steps.study.tape import Tape

    given = Tape(width="73 in", height="75 in", block="6 in", border="4 in", columns=7, rows=8)
    job = Job(Inputs(tape=given, choice=Choice(block="shoo fly")))
    content = study_content(job, printed=date(2026, 11, 30))
    assert content.sums == (job.adjustment.verdict,)
    assert [each.text for each in content.accounts] == [each.text for each in job.adjustment.explanations[:5]]
    assert job.left_over[1:] in content.lead


# What to measure next


def test_what_to_measure_next_may_be_a_border():
    # Where the blocks are as they were measured, 15 in of length are a border of 7 1/2 in or one more row.
    borders = [("4.375", "across", "left")]
    found = adjust(measurements(tape("83.75", 90, 15, *borders), columns=5, rows=5))
    asked = next_measure(found)
    assert asked is not None
    assert (asked.measure.what, asked.measure.side) == (What.BORDER, "top")
    assert "7 1/2 in if there is a border" in asked.text
    assert "none if there are six rows" in asked.text


def test_a_measurement_just_typed_is_answered_by_what_was_expected():
    borders = [("4.375", "across", "left")]
    lines = tape("83.75", 90, 15, *borders)
    before = adjust(measurements(lines, columns=5, rows=5))
    for value, said in [
        ("7.5", "The border at the top is 7 1/2 in, as expected if there is a border at top and bottom."),
        ("3", "The border at the top is 3 in; no explanation expected that"),
    ]:
        more = taken(What.BORDER, inches(value), "down", side="top")
        after = adjust(measurements([*lines, more], columns=5, rows=5))
        (one,) = answered(before, after)
        assert one.startswith(said)
    settled = adjust(measurements([*lines, taken(What.BORDER, inches("7.5"), "down", side="top")], columns=5, rows=5))
    assert settled.comes_out


def test_a_length_that_the_photograph_alone_told_before_is_no_reason_to_measure_again():
    # Taken aslant, a photograph tells a quilt's length from its width no better than to a few in 100.
    seen = reading(block_size=(6.0, 5.0))
    wide, high = taken(What.OVERALL, inches(50), "across"), taken(What.OVERALL, inches(70), "down")
    said = [wide, taken(What.BLOCK, inches(6))]
    for before, starts in (
        ([wide], "The length of the quilt is 70 in: taken into the sums."),
        (said, "The length of the quilt is 70 in; no"),
    ):
        one = adjust(measurements(before, reading=seen))
        assert answered(one, adjust(measurements([*before, high], reading=seen)))[0].startswith(starts)


def test_a_count_just_typed_is_answered():
    seen = reading(rows=7, block_size=(6.0, 6.86))
    before = adjust(measurements(tape(50, 56, 6), reading=seen))
    after = adjust(measurements(tape(50, 56, 6), rows=8, reading=seen))
    assert answered(before, after) == ("The sums take 8 rows, not the 7 of the photograph.",)
