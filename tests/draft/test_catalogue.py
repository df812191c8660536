"""The catalogue: found by any name, every entry covering its square."""

import pytest

from seamlore.draft.catalogue import all_blocks, find
from seamlore.errors import UnknownNameError


def test_a_block_is_found_by_any_of_its_names_in_any_spelling() -> None:
    assert find("Hole in the Barn Door") is find("churn dash") is find("CHURN-DASH")
    assert find("jacobs ladder").name == "Jacob's Ladder"


def test_an_unknown_name_is_refused_with_the_nearest_offered() -> None:
    with pytest.raises(UnknownNameError, match="did you mean"):
        find("shoofly pie")


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_patches_of_every_entry_have_the_area_of_the_block(each) -> None:
    assert sum(patch.area for patch in each.patches) == 1
