"""Sizes put on the marks of a tape, within what was measured, with the reason and the alternatives."""

import pytest

from seamlore.lengths import centimeters, inches
from seamlore.study.measured import Known
from seamlore.study.snapping import allowed_marks, snap


@pytest.mark.parametrize(
    ("found", "give_or_take", "chosen", "reason"),
    [
        ("7.93", "1/8", "8", "a whole inch within what was measured"),
        ("7.44", "1/8", "7.5", "a half inch within what was measured"),
        ("7.70", "1/8", "7.75", "a quarter inch within what was measured"),
        ("7.65", "1/16", "7.625", "an eighth within what was measured"),
    ],
)
def test_the_friendliest_mark_within_reach_is_taken(found, give_or_take, chosen, reason):
    made = snap("block width", inches(found), inches(give_or_take), None)
    assert made.chosen == inches(chosen)
    assert made.reason == reason


def test_every_alternative_lies_within_what_was_measured():
    made = snap("block width", inches("7.9"), inches("1/4"), None)
    assert made.alternatives
    assert all(abs(each - made.found) <= inches("1/4") for each in made.alternatives)
    assert made.chosen not in made.alternatives


def test_the_users_word_overrules_and_is_marked_as_told():
    made = snap("block width", inches("7.93"), inches("1/8"), None, told=inches("7.75"))
    assert made.chosen == inches("7.75")
    assert made.known is Known.TOLD
    assert "the measurements come to 7 15/16 in" in made.reason


def test_a_metric_size_goes_to_half_centimeters():
    made = snap("block width", centimeters("15.2"), centimeters("0.3"), None)
    assert made.chosen == centimeters(15)
    assert made.alternatives == (centimeters("15.5"),)


def test_a_photograph_cannot_tell_twelve_from_twelve_and_an_eighth():
    # One part in a hundred of 12 in is 1/8 in: a photograph's usual error (computed).
    assert inches("12.125") in allowed_marks(inches(12), inches("0.12") * 2)
