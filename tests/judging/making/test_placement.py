"""The ten cases of placing: their amounts leave nothing to spare, and the easy ones are placed as well as can be."""

import pytest

from judging.making.placement import amounts, cases, run
from seamlore.draft.layout import lay


@pytest.mark.parametrize("case", cases(), ids=lambda case: case.name)
def test_amounts_are_just_enough_for_the_quilt(case) -> None:
    places = case.quilt.places
    need = sum(piece.key in places for piece in lay(case.quilt))
    assert sum(cloth.patches or 0 for cloth in amounts(case, seed=7)) == need


@pytest.mark.parametrize("number", [0, 3, 8, 9])
def test_a_case_is_placed_within_five_parts_in_a_hundred_of_what_is_proved(number: int) -> None:
    placed, _, patches = run(cases()[number])
    assert (placed.touching, placed.excess) == (0, 0)
    assert placed.shared - placed.bound <= 0.05 * placed.shared
    assert patches > 900
