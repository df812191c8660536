"""Exact lengths: what is read, what is refused, how they are rounded and shown."""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamlore.errors import LengthError
from seamlore.lengths import (
    CM_PER_INCH,
    Length,
    Unit,
    centimeters,
    inches,
    length,
    on_mark,
    root2,
    show,
    show_size,
    size,
)

# International yard and pound agreement, 1959: 1 yd = 0.9144 m exactly, so 1 in = 2.54 cm (trade facts A2).
YARD_IN_METERS = Fraction(9144, 10000)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("9in", 9),
        ("9 1/2 in", Fraction(19, 2)),
        ('9½"', Fraction(19, 2)),
        ("9.5 in", Fraction(19, 2)),
        ("1 1/4 yd", 45),
        ("9-1/2in", Fraction(19, 2)),
        ("½ in", Fraction(1, 2)),
        ("2 yd 4 in", 76),
        ("6 ft 2 in", 74),
        ("3/8 inches", Fraction(3, 8)),
        (" 7\u00a01/8 in", Fraction(57, 8)),
    ],
)
def test_a_length_in_inches_and_yards_is_read_exactly(text, wanted):
    assert length(text) == inches(wanted)


@pytest.mark.parametrize(("text", "wanted"), [("23 cm", "23"), ("0.6 m", "60"), ("7,5 mm", "0.75"), ("1.5cm", "1.5")])
def test_a_metric_length_is_read_exactly_and_shown_in_centimeters(text, wanted):
    assert length(text) == centimeters(wanted)
    assert length(text).unit is Unit.CM


def test_a_yard_is_as_the_agreement_of_1959_has_it():
    assert length("1 yd").measured_in(Unit.CM) == YARD_IN_METERS * 100
    assert Fraction(254, 100) == CM_PER_INCH


@pytest.mark.parametrize(
    "text",
    [
        "",
        "9",
        "in",
        "nine in",
        "9 stone",
        "9 1/0 in",
        "-9 in",
        "1/2/3 in",
        "9 in x",
        "9in 3",
        "1e400 in",
        "9999999 in",
        "٣in in",
    ],
)
def test_what_is_no_length_is_refused_naming_it(text):
    with pytest.raises(LengthError) as caught:
        length(text)
    assert f'"{text[:20]}' in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_bare_number_takes_a_unit_only_where_one_is_given():
    assert length("9 1/2", unit=Unit.INCH) == inches("19/2")
    assert length("9", unit=Unit.CM) == centimeters(9)


@pytest.mark.parametrize(
    "text", ["74x88in", "74 x 88 in", "74in x 88in", "74 by 88 in", "74×88in", "74 in by 2 4/9 yd"]
)
def test_a_size_is_two_lengths_and_a_unit_behind_serves_for_both(text):
    assert size(text) == (inches(74), inches(88))


@pytest.mark.parametrize("text", ["74in", "74x88", "74x88x3in", "0x88in", "74xin", "x", "ax b in"])
def test_what_is_no_size_is_refused(text):
    with pytest.raises(LengthError):
        size(text)


lengths = st.fractions(min_value=-500, max_value=500, max_denominator=4096).map(inches)
marks = st.sampled_from([inches(Fraction(1, n)) for n in (1, 2, 4, 8, 16)] + [centimeters(Fraction(1, 10))])


@given(lengths, marks)
def test_rounding_lands_on_a_mark_on_the_right_side(given_length, mark):
    down, near, up = (on_mark(given_length, way, mark) for way in ("down", "nearest", "up"))
    for each in (down, near, up):
        assert (each.inches / mark.inches).denominator == 1
    assert down <= given_length <= up
    assert up - down in (inches(0), Length(mark.inches))
    assert abs(near - given_length) <= mark / 2


@given(lengths)
def test_a_length_on_sixteenths_is_read_back_as_it_is_shown(given_length):
    rounded = on_mark(abs(given_length), "nearest", inches(Fraction(1, 16)))
    assert length(show(rounded)) == rounded


@given(st.integers(0, 5000))
def test_a_length_in_whole_millimeters_is_read_back_as_it_is_shown(millimeters):
    given_length = centimeters(Fraction(millimeters, 10))
    assert length(show(given_length)) == given_length


@pytest.mark.parametrize(
    ("given_length", "shown"),
    [
        (inches("0.5"), "1/2 in"),
        (inches(12), "12 in"),
        (inches("-7/8"), "-7/8 in"),
        (centimeters("23.46"), "23.5 cm"),
    ],
)
def test_a_length_is_shown_as_a_tape_shows_it(given_length, shown):
    assert show(given_length) == shown


def test_a_size_names_its_unit_once():
    assert show_size(inches(74), inches("88.5")) == "74 x 88 1/2 in"


@given(st.fractions(min_value=0, max_value=300, max_denominator=64))
def test_the_root_of_two_is_a_trifle_too_large_and_never_too_small(times):
    # Compared with the integer square root of the standard library, to 30 digits.
    exact = Fraction(isqrt(2 * 10**60), 10**30) * times
    found = root2(inches(times)).inches
    assert exact <= found <= exact + Fraction(1, 10**9)


# Diagonals as hobby charts print them, to the nearest 1/8: Hohn, 17 June 2002 (Vw; trade facts A3).
@pytest.mark.parametrize(
    ("side", "diagonal"),
    [
        (4, "5 5/8"),
        (5, "7 1/8"),
        (6, "8 1/2"),
        (7, "9 7/8"),
        (8, "11 3/8"),
        (9, "12 3/4"),
        (10, "14 1/8"),
        (12, "17"),
        (14, "19 3/4"),
    ],
)
def test_a_diagonal_is_as_the_chart_prints_it(side, diagonal):
    assert on_mark(root2(inches(side)), "nearest") == length(f"{diagonal} in")


def test_two_lengths_that_differ_only_in_unit_are_equal_and_of_one_hash():
    assert length("2.54 cm") == length("1 in")
    assert hash(length("2.54 cm")) == hash(length("1 in"))


def test_a_bare_number_cannot_be_added_to_a_length():
    with pytest.raises(AttributeError):
        length("1 in") + 3  # type: ignore[operator]
