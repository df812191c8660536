"""What the tape says, as measurements."""

import pytest

from seamlore.errors import LengthError
from seamlore.steps.study.sections import Span, Tape
from seamlore.steps.study.tape_lines import tape_lines
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


def test_what_is_no_length_is_refused():
    with pytest.raises(LengthError):
        lines(width="about so")


def test_a_tape_that_says_nothing_gives_nothing():
    assert lines() == []
