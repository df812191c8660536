"""Edges of lengths: a limit itself is inside, marks half-way go up, and the unit goes with the length."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from seamlore import limits
from seamlore.errors import LengthError
from seamlore.lengths import (
    Length,
    Unit,
    centimeters,
    checked_seam,
    in_unit,
    inches,
    is_pair,
    length,
    on_mark,
    pair,
    root2,
    show,
    show_seam,
    show_size,
    size,
)


@pytest.mark.parametrize("one", [inches("9.5"), centimeters("23.5")])
def test_what_is_reckoned_from_a_length_keeps_its_unit(one):
    other = inches(3)
    assert (one + other).unit is (one - other).unit is (one * 3).unit is (one / 4).unit is one.unit
    assert (one + other).inches == one.inches + 3
    assert (one - other).inches == one.inches - 3
    assert (one * 3).inches == (3 * one).inches == 3 * one.inches
    assert (one / 4).inches == one.inches / 4
    assert (-one if hasattr(one, "__neg__") else one * -1).inches == -one.inches


def test_a_length_in_a_unit_is_that_many_of_it():
    # An inch is 2.54 cm exactly (international agreement of 1959).
    assert in_unit("2.54", Unit.CM) == inches(1) == in_unit(1, Unit.INCH)
    assert in_unit("2.54", Unit.CM).unit is Unit.CM
    assert inches(1).shown_in(Unit.CM).unit is Unit.CM
    assert inches(1).shown_in(Unit.CM).inches == 1
    assert inches(10).measured_in(Unit.CM) == Fraction(254, 10)
    assert inches(10).shown_in(Unit.CM).number == 25.4
    assert inches(54).yards == Fraction(3, 2)


@pytest.mark.parametrize(
    ("given_length", "mark", "up", "down", "nearest"),
    [
        # Half a mark goes up to the larger, as it does when a tape is read; just under half goes down.
        (inches("1/16"), inches("1/8"), "1/8 in", "0 in", "1/8 in"),
        (inches("3/16"), inches("1/8"), "1/4 in", "1/8 in", "1/4 in"),
        (inches(Fraction(3, 16) - Fraction(1, 1000)), inches("1/8"), "1/4 in", "1/8 in", "1/8 in"),
        (inches("2.5"), inches(1), "3 in", "2 in", "3 in"),
        (inches(2), inches(1), "2 in", "2 in", "2 in"),
        (centimeters("0.25"), centimeters("0.1"), "0.3 cm", "0.2 cm", "0.3 cm"),
        (centimeters("0.35"), None, "0.4 cm", "0.3 cm", "0.4 cm"),
    ],
)
def test_half_a_mark_is_rounded_up(given_length, mark, up, down, nearest):
    assert show(on_mark(given_length, "up", mark)) == up
    assert show(on_mark(given_length, "down", mark)) == down
    assert show(on_mark(given_length, "nearest", mark)) == nearest


def test_a_shown_length_is_rounded_up_at_half_a_mark():
    assert show(inches("1/32")) == "1/16 in"
    assert show(inches("9.1"), mark=inches("1/4")) == "9 in"
    assert show(inches(Fraction(73, 8)), mark=inches("1/4")) == "9 1/4 in"
    assert show(inches(Fraction(73, 8)), mark=inches("1/4"), direction="down") == "9 in"
    assert show(centimeters("0.05")) == "0.1 cm"
    assert show(centimeters("-2.5")) == "-2.5 cm"
    assert show(centimeters(20), bare=True) == "20"


def test_marks_are_apart():
    with pytest.raises(LengthError, match="marks must be apart"):
        on_mark(inches(1), "up", inches(0))
    assert on_mark(inches("1.3"), "up", inches("1/2")).unit is Unit.INCH


def test_both_numbers_of_a_size_are_rounded_onto_the_same_marks():
    assert show_size(inches("74.2"), inches("88.3"), mark=inches("1/2")) == "74 x 88 1/2 in"
    assert show_size(inches("74.2"), inches("88.2"), mark=inches(1)) == "74 x 88 in"
    assert show_size(centimeters(50), inches(100)) == "50 x 254 cm"


def test_a_seam_is_shown_finer_than_the_tape():
    assert show_seam(centimeters("0.75")) == "0.75 cm"
    assert show_seam(inches("3/32")) == "3/32 in"


@pytest.mark.parametrize(
    ("narrowest", "narrower"), [(inches("1/16"), inches("1/17")), (centimeters("0.15"), centimeters("0.149"))]
)
def test_the_narrowest_seam_is_still_sewn(narrowest, narrower):
    assert checked_seam(narrowest) == narrowest
    with pytest.raises(LengthError, match="frays"):
        checked_seam(narrower)


def test_the_longest_and_the_shortest_length_are_still_lengths():
    assert length("100000 in").inches == limits.LONGEST_IN
    with pytest.raises(LengthError, match="more than"):
        length("100000.1 in")
    assert length("0.001 in").inches == Fraction(1, 1000)
    assert length("0.0015 in").inches == Fraction(15, 10000)
    assert length("0 in").inches == 0
    with pytest.raises(LengthError, match="less than"):
        length("0.0009 in")


def test_as_many_digits_and_characters_are_read_as_are_allowed():
    nines = "0." + "1" * limits.DIGITS
    assert length(f"{nines} in").inches == Fraction(nines)
    with pytest.raises(LengthError, match="digits"):
        length(f"{nines}1 in")
    assert length("9 in".ljust(limits.LINE)) == inches(9)
    with pytest.raises(LengthError, match="characters"):
        length("9 in".ljust(limits.LINE + 1))
    assert pair("9 x 8 in".ljust(limits.LINE)) == (inches(9), inches(8))
    with pytest.raises(LengthError, match="characters"):
        pair("9 x 8 in".ljust(limits.LINE + 1))


def test_a_long_text_is_named_by_its_beginning():
    sixty = "9 in " + "?" * 55
    with pytest.raises(LengthError) as whole:
        length(sixty)
    assert str(whole.value).startswith(f'"{sixty}" is not a length')
    with pytest.raises(LengthError) as cut:
        length(sixty + "?")
    assert str(cut.value).startswith(f'"{sixty[:57]}..." is not a length')


def test_a_decimal_may_end_or_begin_with_its_point():
    assert length("9. in") == inches(9) == length("9, in")
    assert length(".5 in") == inches("1/2") == length(",5 in")
    assert length("1234,5 mm").inches * Fraction(254, 10) == Fraction(12345, 10)
    assert length("=9 in=") == inches(9)


@pytest.mark.parametrize(("text", "could"), [("91/2 in", "9 1/2"), ("113/4 in", "11 3/4"), ("1234/5 in", "123 4/5")])
def test_a_whole_number_run_into_a_fraction_is_asked_about(text, could):
    with pytest.raises(LengthError, match=f"could be {could}"):
        length(text)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [("15/16 in", "15/16"), ("33/3 in", "11"), ("8/8 in", "1"), ("12/2 in", "6"), ("102/2 in", "51")],
)
def test_a_fraction_that_could_mean_nothing_else_is_read(text, wanted):
    # What would stand over the line is as large as what stands below it, or begins with 0.
    assert length(text).inches == Fraction(wanted)


def test_a_bare_size_takes_the_unit_of_the_page():
    assert size("74 x 88", unit=Unit.CM) == (centimeters(74), centimeters(88))
    assert size("74 x 88", unit=Unit.INCH) == (inches(74), inches(88))
    assert size("74 x 88 in", unit=Unit.CM) == (inches(74), inches(88))
    assert size("2 ft x 88 in", unit=Unit.CM) == (inches(24), inches(88))
    assert {side.unit for side in size("74 x 88", unit=Unit.CM)} == {Unit.CM}
    for nothing in ("0 x 88", "74 x 0"):
        with pytest.raises(LengthError, match="is not a size: both sides"):
            size(nothing, unit=Unit.CM)


def test_a_number_without_a_unit_among_others_is_refused_beside_one_that_has_a_unit():
    # The first number says its own unit in part: the second's is not given to the rest of it.
    for text in ("2 ft 3 x 4 ft", "2 x 3 ft 4"):
        with pytest.raises(LengthError):
            pair(text)
    assert pair("2 ft 3 in x 4 ft") == (inches(27), inches(48))
    assert is_pair("2by3in")
    assert pair("9 in", unit=Unit.CM) == (inches(9), inches(9))
    assert pair("9", unit=Unit.CM) == (centimeters(9), centimeters(9))


def test_the_first_unit_that_is_written_is_the_one_that_is_shown():
    assert length("1 in 2 cm").unit is Unit.INCH
    assert length("2 cm 1 in").unit is Unit.CM
    assert length("2 cm 1 in") == Length(1 + 2 / Fraction("2.54"), Unit.CM)


def test_half_a_diagonal_is_half_of_it():
    # A corner triangle on point has its legs at half the diagonal of its block: 12 in make 8.485 in.
    assert abs(root2(inches(12), Fraction(1, 2)).inches_float - 12 / 2**0.5) < 1e-9
    assert root2(centimeters(12), Fraction(1, 2)).unit is Unit.CM
    assert (-centimeters(3)).unit is Unit.CM


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("-3 in", "cannot be less than 0"),
        ("−3 in", "cannot be less than 0"),
        ("3 in 4", "a number in it has no unit"),
        ("3 4 in", "a number in it has no unit"),
        ("3 ft 4 in 5", "a number in it has no unit"),
        # 123/16 may be meant for 12 3/16 or 1 23/16: the whole number as long as can be.
        ("123/16 in", "123/16 could be 12 3/16"),
        ("1923/16 in", "1923/16 could be 192 3/16"),
    ],
)
def test_what_may_be_a_slip_is_refused_with_what_it_may_mean(text, why):
    with pytest.raises(LengthError, match=re.escape(why)):
        length(text, unit=Unit.INCH)


@pytest.mark.parametrize(("text", "inches_of_it"), [("8/8 in", 1), ("7. in", 7), ("16/16in", 1)])
def test_what_cannot_be_a_slip_is_read(text, inches_of_it):
    assert length(text) == inches(inches_of_it)
