"""Exact numbers with a square root of two, against decimals of fifty digits."""

from decimal import Decimal, localcontext
from fractions import Fraction
from math import ceil, floor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamlore.draft.exact.roots import SQRT2, Root2, above, exact, parts_of, root, written
from seamlore.draft.text.notation import read_block
from seamlore.errors import NotationError

fractions = st.fractions(min_value=-50, max_value=50, max_denominator=60)
numbers = st.builds(lambda a, b: a + b * SQRT2, fractions, fractions)


def decimal(number):
    """Outside oracle: the decimal module's own square root, to 50 digits."""
    a, b = parts_of(number)
    with localcontext() as here:
        here.prec = 50
        return Decimal(a.numerator) / a.denominator + Decimal(b.numerator) / b.denominator * Decimal(2).sqrt()


@settings(max_examples=200, deadline=None)
@given(numbers, numbers)
def test_arithmetic_agrees_with_decimals_of_fifty_digits(one, two):
    with localcontext() as here:
        here.prec = 50
        sums = {"+": (one + two, decimal(one) + decimal(two)), "-": (one - two, decimal(one) - decimal(two)),
                "*": (one * two, decimal(one) * decimal(two))}  # fmt: skip
        if two:
            sums["/"] = one / two, decimal(one) / decimal(two)
        for found, expected in sums.values():
            assert abs(decimal(found) - expected) <= Decimal("1e-40") * (1 + abs(expected))


@settings(max_examples=200, deadline=None)
@given(numbers, numbers)
def test_order_equality_and_hash_are_those_of_the_numbers(one, two):
    assert (one < two) == (decimal(one) < decimal(two))
    assert (one >= two) == (decimal(one) >= decimal(two))
    assert (one == two) == (parts_of(one) == parts_of(two))
    again = (one + two) - two
    assert again == one
    assert hash(again) == hash(one)


@settings(max_examples=100, deadline=None)
@given(numbers)
def test_rounding_down_up_and_to_a_float(number):
    assert floor(number) == decimal(number).to_integral_value(rounding="ROUND_FLOOR")
    assert ceil(number) == decimal(number).to_integral_value(rounding="ROUND_CEILING")
    assert abs(float(number) - float(decimal(number))) <= 1e-15 * (1 + abs(float(decimal(number))))
    assert 0 <= decimal(above(number)) - decimal(number) <= Decimal("1e-12")


def test_a_number_that_all_but_vanishes_keeps_its_digits():
    # Theory: (sqrt2 - 1) ** n is 1 over (sqrt2 + 1) ** n, however small.
    small = (SQRT2 - 1) ** 30
    assert float(small) == pytest.approx((1 + 2**0.5) ** -30, rel=1e-12)
    assert 0 < small < Fraction(1, 10**11)
    assert floor(small) == 0
    assert ceil(-small) == 0


@settings(max_examples=100, deadline=None)
@given(numbers)
def test_the_root_of_a_square_is_the_number_without_its_sign(number):
    assert root(number * number) == (number if number >= 0 else -number)


def test_order_is_between_neighboring_convergents():
    # The convergents of the square root of two lie by turns below and above it (Theon of Smyrna's side and diagonal
    # numbers).
    side, diagonal = 1, 1
    for turn in range(60):
        there = Fraction(diagonal, side)
        assert (there < SQRT2) == (turn % 2 == 0)
        side, diagonal = side + diagonal, 2 * side + diagonal


def test_what_loses_its_root_is_a_plain_fraction_again():
    assert type((1 + SQRT2) * (1 - SQRT2)) is Fraction
    assert type(SQRT2 - SQRT2) is Fraction
    assert type(exact(2)) is Fraction
    assert {SQRT2 * SQRT2, 2, Fraction(2)} == {2}


@settings(max_examples=100, deadline=None)
@given(numbers.filter(lambda number: number > 0))
def test_a_number_is_read_back_as_it_is_written(number):
    text = f"block Two\ndivisions 1\ncolumns {written(number)} 1\nA light\nB dark\n\nA B"
    block = read_block(text)
    assert block.patches[1].outline[0][0] == number / (number + 1)


@pytest.mark.parametrize(
    "word",
    ["sqrt", "sqrt3", "sqrt2/0", "0sqrt2", "1-1/2sqrt2", "1-sqrt2", "sqrt2+", "1+sqrt2+1", "sqrt2sqrt2", "-sqrt2"],
)
def test_what_is_no_number_with_a_root_is_refused_with_its_line(word):
    with pytest.raises(NotationError, match="line 3"):
        read_block(f"block Two\ndivisions 1\ncolumns {word} 1\nA light\nB dark\n\nA B")


def test_it_prints_as_it_is_written():
    assert repr(Root2(1, 1, 2)) == "Root2('0.5+sqrt2/2')"


def test_rounding_goes_to_the_nearest_whole_number():
    for whole in range(-9, 10):
        assert round(whole * SQRT2) == round(whole * 2**0.5)
