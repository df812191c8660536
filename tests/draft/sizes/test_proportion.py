"""Proportions: shares that sum to one, ratios, contrast, and customs that say how they are known."""

from fractions import Fraction

import pytest
from numpy.testing import assert_allclose

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.sizes.proportion import proportions
from seamlore.draft.text.notation import read_block
from seamlore.lengths import inches
from seamlore.sources import NO_SOURCE

CHECK = read_block("block Check\nA dark\nB light\n\nA B\nB A")


def quilt(block=CHECK, rows=2, columns=3, **more):
    return repeated("q", block, inches(8), inches(8), rows, columns, **more)


@pytest.mark.parametrize("setting", [OnPoint(), OnPoint("half blocks")])
def test_shares_of_light_medium_dark_and_what_nobody_said_sum_to_one(setting):
    found = proportions(quilt(find("Log Cabin"), setting=setting, borders=(border(inches(3)),)))
    assert sum(found.shares.values()) == 1


def test_a_border_counts_by_the_value_that_it_is_said_to_have():
    of = quilt(borders=(border(inches(4), "indigo"),))
    # 16 x 24 in of checks in a 4 in border: 24 x 32 in.
    assert proportions(of).shares == {
        "light": Fraction(1, 4),
        "medium": 0,
        "dark": Fraction(1, 4),
        "not said": Fraction(1, 2),
    }
    assert proportions(of, {"indigo": "dark"}).shares["dark"] == Fraction(3, 4)
    assert proportions(of, {"border 1": "dark"}).shares["dark"] == Fraction(3, 4)
    assert proportions(of).border_share == Fraction(1, 2)


def test_contrast_is_full_on_a_checkerboard_and_nothing_in_one_value():
    assert_allclose(proportions(quilt()).contrast, 1.0)
    assert_allclose(proportions(quilt(read_block("block Dull\nA dark\nB dark\n\nA B\nB A"))).contrast, 0.0)


def test_contrast_weighs_seams_by_their_length():
    # Two strips dark and light, 8 in long; a third, medium, beside the light one: steps of 1 and 1/2.
    three = read_block("block Three\nA dark\nB light\nC medium\n\nA|B|C")
    assert_allclose(proportions(quilt(three, 1, 1)).contrast, 0.75)


def test_there_is_no_contrast_without_seams():
    assert proportions(quilt(read_block("block Plain\nA dark\n\nA"), 1, 1)).contrast is None


@pytest.mark.parametrize(("gap", "usual"), [("1", False), ("2", True), ("4", True), ("5", False)])
def test_sashing_is_usual_from_a_quarter_to_half_the_block(gap, usual):
    # Common practice, no source.
    custom = proportions(quilt(sashing=Sashing(inches(gap), inches(gap)))).customs[0]
    assert custom.usual is usual
    assert custom.source == NO_SOURCE
    assert NO_SOURCE in str(custom)


def test_two_widths_of_sashing_are_compared_each_by_itself():
    customs = proportions(quilt(sashing=Sashing(inches(2), inches(5)))).customs
    assert [custom.usual for custom in customs] == [True, False]
