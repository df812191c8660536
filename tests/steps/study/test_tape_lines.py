"""What the tape says, as measurements."""

import pytest

from seamlore.errors import LengthError
from seamlore.steps.study.tape import Span, Tape, tape_lines
from seamlore.study.measured import What


def lines(**said):
    return [(each.what, each.along, str(each.value)) for each in tape_lines(Tape(**said), lambda given: given)]


def test_a_size_said_once_holds_both_ways_and_said_twice_each_its_own():
    assert lines(block="9 in") == [(What.BLOCK, "both", "9 in")]
    assert lines(block="9 in", block_down="9 1/2 in") == [
        (What.BLOCK, "across", "9 in"),
        (What.BLOCK, "down", "9 1/2 in"),
    ]


def test_how_far_off_the_tape_may_be_holds_for_every_size():
    found = tape_lines(Tape(width="74 in", block="9 in", tolerance="1/2 in"), lambda given: given)
    assert [str(each.tolerance) for each in found] == ["1/2 in", "1/2 in"]


def test_a_span_keeps_what_it_ran_over_and_an_outer_block_its_side():
    more = (Span(value="44 in", blocks=4, sashings=4), Span(what="outer block", value="6 in", side="left"))
    span, outer = tape_lines(Tape(more=more), lambda given: given)
    assert (span.what, span.blocks, span.sashings) == (What.SPAN, 4, 4)
    assert (outer.what, outer.side) == (What.OUTER, "left")


def test_three_widths_are_one_measurement_with_as_much_doubt_as_they_differ():
    # 70, 71 and 70 1/2: mean 70 1/2; u^2 = (1/8)^2 + (1/2)^2 / 3, doubled: 0.629, up to a sixteenth 11/16 (by hand).
    (one,) = tape_lines(Tape(width="70 in", width_top="71 in", width_bottom="70 1/2 in"), lambda given: given)
    assert (str(one.value), str(one.tolerance)) == ("70 1/2 in", "11/16 in")
    assert len(one.readings) == 3


def test_a_border_is_told_of_all_sides_and_of_each():
    found = tape_lines(Tape(border="8 in", border_bottom="3 in", border_left="0 in"), lambda given: given)
    assert [(each.along, each.side, str(each.value)) for each in found] == [
        ("both", "", "8 in"),
        ("across", "left", "0 in"),
        ("down", "bottom", "3 in"),
    ]


def test_what_is_no_length_is_refused():
    with pytest.raises(LengthError):
        lines(width="about so")


def test_a_tape_that_says_nothing_gives_nothing():
    assert lines() == []
