"""Units: what a block comes apart into."""

from collections import Counter
from fractions import Fraction
from itertools import combinations

import pytest

from seamlore.draft.catalogue import all_blocks, find
from seamlore.draft.text.notation import read_block
from seamlore.draft.units import KINDS, units

# What each block is made of, as sewing directions commonly have it (common practice, no source).
MADE_OF = {
    "Shoo Fly": {"half-square triangle": 4},
    "Churn Dash": {"half-square triangle": 4, "strip set": 4},
    "Nine Patch": {"nine patch": 1},
    "Four Patch": {"four patch": 1},
    "Sixteen Patch": {"four patch": 4},
    "Ohio Star": {"quarter-square triangle": 4},
    "Sawtooth Star": {"flying geese": 4},
    "Martha Washington Star": {"flying geese": 4, "half-square triangle": 4},
    "Sawtooth Star with Nine Patch": {"flying geese": 4, "nine patch": 1},
    "Rising Star": {"flying geese": 8},
    "Pinwheel": {"half-square triangle": 4},
    "Rail Fence": {"strip set": 4},
    "Flying Geese": {"flying geese": 8},
    "Dutchman's Puzzle": {"flying geese": 8},
    "Broken Dishes": {"half-square triangle": 4},
    "Yankee Puzzle": {"quarter-square triangle": 4},
    "Jacob's Ladder": {"four patch": 5, "half-square triangle": 4},
    "Double Nine Patch": {"nine patch": 5},
    "Single Irish Chain": {"nine patch": 2},
    "Card Trick": {"half-square triangle": 4, "split quarter-square triangle": 4, "quarter-square triangle": 1},
    "Economy Patch": {"square in a square": 1},
    "Square in a Square": {"square in a square": 1},
    "Rolling Stone": {"square in a square": 4, "strip set": 4},
    "Fifty-Four Forty or Fight": {"four patch": 5, "triangle in a square": 4},
    "Sister's Choice": {"half-square triangle": 8, "nine patch": 1},
    "Chinese Coins": {"strip set": 1},
    "Framed Nine Patch": {"nine patch": 1},
    "Framed Four Patch": {"four patch": 1},
    "Log Cabin": {},
    "Bright Hopes": {},
    "Bow Tie": {},
}  # fmt: skip


@pytest.mark.parametrize(("name", "expected"), MADE_OF.items())
def test_a_block_comes_apart_into_the_units_that_it_is_sewn_from(name, expected):
    assert Counter(each.kind for each in units(find(name))) == expected


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_a_unit_fills_its_box_and_none_lies_over_another(each):
    found = units(each)
    for unit in found:
        left, top, right, bottom = unit.box
        assert sum(each.patches[index].area for index in unit.patches) == (right - left) * (bottom - top)
        assert unit.kind in KINDS
    for one, two in combinations(found, 2):
        assert not set(one.patches) & set(two.patches)


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_a_turned_block_has_the_same_units(each):
    turned = each.moved(90, mirrored=True)
    assert Counter(unit.kind for unit in units(turned)) == Counter(unit.kind for unit in units(each))


def test_a_unit_says_where_it_lies():
    first = units(find("Shoo Fly"))[0]
    assert first.box == (0, 0, Fraction(1, 3), Fraction(1, 3))
    assert len(first.patches) == 2


def test_four_squares_of_one_fabric_are_no_four_patch():
    assert units(read_block("block X\nA light\nB dark\n\nA A B B\nA A B B\nB B A A\nB B A A")) == ()
