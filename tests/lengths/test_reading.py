"""Reading lengths and pairs: a unit written once is the unit of both numbers, and what is ambiguous is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamlore.errors import LengthError
from seamlore.lengths import Length, Unit, centimeters, inches, is_pair, length, pair, size, with_unit

# How long each unit is: the yard and the inch by the agreement of 1959 (1 yd = 0.9144 m), the foot a third of a yard;
# metric units by the SI brochure (2019). Every spelling that the trade writes.
METERS = {
    "in": Fraction(254, 10000), "inch": Fraction(254, 10000), "inches": Fraction(254, 10000), '"': Fraction(254, 10000),
    "″": Fraction(254, 10000), "ft": Fraction(3048, 10000), "feet": Fraction(3048, 10000), "'": Fraction(3048, 10000),
    "yd": Fraction(9144, 10000), "yards": Fraction(9144, 10000), "mm": Fraction(1, 1000), "cm": Fraction(1, 100),
    "centimeters": Fraction(1, 100), "m": Fraction(1), "meters": Fraction(1), "MM": Fraction(1, 1000),
}  # fmt: skip
NUMBERS = st.one_of(
    st.integers(1, 900).map(lambda n: (str(n), Fraction(n))),
    st.integers(1, 8999).map(lambda n: (f"{n / 10:.1f}", Fraction(n, 10))),
    st.tuples(st.integers(1, 90), st.integers(1, 7)).map(lambda n: (f"{n[0]} {n[1]}/8", n[0] + Fraction(n[1], 8))),
)
UNITS = st.sampled_from(sorted(METERS))
BETWEEN = st.sampled_from(["x", " x ", "×", " by ", " X ", "by", "*"])
SPACE = st.sampled_from(["", " "])


def meters(given_length: Length) -> Fraction:
    return given_length.inches * Fraction(254, 10000)


@given(NUMBERS, NUMBERS, BETWEEN, SPACE, UNITS)
def test_the_unit_behind_the_second_number_is_that_of_both_whichever_it_is(one, two, between, space, unit):
    found = pair(f"{one[0]}{between}{two[0]}{space}{unit}")
    assert [meters(each) for each in found] == [one[1] * METERS[unit], two[1] * METERS[unit]]


@given(NUMBERS, NUMBERS, BETWEEN, SPACE, UNITS, UNITS)
def test_each_number_keeps_the_unit_that_is_written_behind_it(one, two, between, space, first, second):
    found = pair(f"{one[0]}{space}{first}{between}{two[0]}{space}{second}")
    assert [meters(each) for each in found] == [one[1] * METERS[first], two[1] * METERS[second]]


@given(NUMBERS, NUMBERS, BETWEEN, UNITS, st.sampled_from([None, *Unit]))
def test_a_unit_behind_the_first_number_alone_is_refused(one, two, between, unit, otherwise):
    with pytest.raises(LengthError, match="only the first number has a unit"):
        pair(f"{one[0]} {unit}{between}{two[0]}", unit=otherwise)


@given(NUMBERS, NUMBERS, BETWEEN, st.sampled_from(list(Unit)))
def test_bare_numbers_take_the_unit_of_the_page(one, two, between, unit):
    assert pair(f"{one[0]}{between}{two[0]}", unit=unit) == (
        length(one[0], unit=unit),
        length(two[0], unit=unit),
    )


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("1880x2240mm", (centimeters(188), centimeters(224))),
        ("90 x 120 mm", (centimeters(9), centimeters(12))),
        ("1.88 x 2.24 m", (centimeters(188), centimeters(224))),
        ("2 x 2 1/2 yd", (inches(72), inches(90))),
        ("6 x 7 ft", (inches(72), inches(84))),
        ("74in x 2.2m", (inches(74), centimeters(220))),
        ("6 ft 2 in x 7 ft", (inches(74), inches(84))),
        ("74by88in", (inches(74), inches(88))),
        ("0 x 2 in", (inches(0), inches(2))),
    ],
)
def test_a_pair_is_read_as_it_is_meant(text, wanted):
    assert pair(text) == wanted


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("6 x 7 ft 4 in", "the first number could be in ft or in"),
        ("6 ft 2 x 7 ft", "a number in it has no unit"),
        ("74 x 88", "it has no unit"),
        ("74 in x", "a size is two lengths"),
        ("74x88x3in", "a size is two lengths"),
        ("1 in x " + "9" * 5000 + " in", "at most 500 characters"),
    ],
)
def test_a_pair_that_could_mean_two_things_or_none_is_refused_in_a_sentence(text, why):
    with pytest.raises(LengthError, match=why):
        pair(text)


def test_one_length_serves_for_both_sides_of_a_pair_but_is_no_size():
    assert pair("9 in") == (inches(9), inches(9))
    assert not is_pair("9 in")
    with pytest.raises(LengthError, match="a size is two lengths"):
        size("9 in")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("9" * 5000 + "in", "at most 500 characters"),
        ("9" * 21 + "in", "at most 20 digits"),
        ("1/" + "9" * 400 + " in", "at most 20 digits"),
        ("1/99999999999 in", "less than 1/1,000 in"),
        ("0.0000001m", "less than 1/1,000 in"),
        ("1e308 in", "not a unit"),
        ("1" + "0" * 19 + " in", "more than 100,000 in"),
        ("nan in", "cannot be read"),
        ("inf", "cannot be read"),
        ("² in", "cannot be read"),
        ("9² in", "cannot be read"),
        ("٣ in", "cannot be read"),
        ("1,880 mm", "1,880 could be 1880 or 1.880"),
        ("91/2 in", "91/2 could be 9 1/2"),
        ("111/2in", "111/2 could be 11 1/2"),
    ],
)
def test_what_is_no_length_or_could_be_two_is_refused_shortly(text, why):
    with pytest.raises(LengthError, match=why) as caught:
        length(text)
    assert len(str(caught.value)) < 250


@pytest.mark.parametrize(("text", "wanted"), [("7,5 mm", "0.75"), ("1,5cm", "1.5"), ("0,125 m", "12.5")])
def test_a_comma_that_can_only_be_decimal_is_read(text, wanted):
    assert length(text) == centimeters(wanted)


@pytest.mark.parametrize(("text", "wanted"), [("3/2 in", "3/2"), ("10/3 in", "10/3"), ("7/8in", "7/8")])
def test_a_fraction_that_hides_no_whole_number_is_read(text, wanted):
    assert length(text) == inches(wanted)


@given(NUMBERS, st.sampled_from(list(Unit)))
def test_a_bare_number_given_its_unit_is_read_as_before(number, unit):
    assert length(with_unit(number[0], unit)) == length(number[0], unit=unit)


@given(NUMBERS, UNITS, st.sampled_from(list(Unit)))
def test_a_number_with_a_unit_is_given_no_other(number, unit, page):
    assert with_unit(f"{number[0]} {unit}", page) == f"{number[0]} {unit}"


@given(st.text(max_size=40))
def test_whatever_is_typed_is_a_pair_of_lengths_or_refused(text):
    try:
        found = pair(text, unit=Unit.INCH)
    except LengthError as fault:
        said = str(fault)
        found = ()
    else:
        said = ""
    assert said == "" if found else said.isprintable() and len(said) < 1000
    assert all(0 <= each.inches <= 100_000 for each in found)
