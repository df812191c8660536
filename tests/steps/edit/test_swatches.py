"""Patches cut from fabrics that the photograph shows."""

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.draft.where import in_block
from seamlore.errors import ShapeError
from seamlore.lengths import inches
from seamlore.photo.reading import SeenFabric
from seamlore.steps.edit.swatches import colored_with
from seamlore.steps.study.chosen import chosen_cloths

MADDER = SeenFabric(id="f1", srgb="#8a3b35", value="medium", patches=())
INDIGO = SeenFabric(id="f2", srgb="#33456a", value="dark", patches=())


def test_a_fabric_gets_one_place_however_many_patches_are_cut_from_it():
    block, cloths = find("nine patch"), {}
    for patch in (0, 4, 8):
        block, cloths = colored_with(block, cloths, patch, MADDER)
    assert list(cloths.values()) == ["#8a3b35"]
    (place,) = cloths
    assert [index for index, each in enumerate(block.patches) if each.place == place] == [0, 4, 8]
    assert block.places[place].value == "medium"


def test_a_place_that_no_patch_takes_any_more_forgets_its_fabric():
    block, cloths = colored_with(find("four patch"), {}, 0, MADDER)
    block, cloths = colored_with(block, cloths, 0, INDIGO)
    assert list(cloths.values()) == ["#33456a"]


def test_a_chosen_fabric_is_shown_instead_of_the_one_seen():
    four = repeated("q", find("four patch"), inches(8), inches(8), 1, 2)
    seen = {"A": "#ffffff", "B": "#000000"}, {in_block(0, 0, 0): "#111111", in_block(0, 1, 1): "#222222"}
    by_key, single = chosen_cloths(four, {"A": "#8a3b35"}, seen)
    assert by_key == {"A": "#8a3b35", "B": "#000000"}
    # Its first patch is of place B, its second of place A.
    assert single == {in_block(0, 0, 0): "#111111"}


def test_a_fabric_chosen_for_a_letter_is_that_of_every_kind_that_has_it():
    both = repeated("q", find("four patch"), inches(8), inches(8), 1, 2, every_other=find("pinwheel"))
    by_key, _ = chosen_cloths(both, {"A": "#8a3b35", "Pi A": "#112233", "sashing": "#445566"}, ({}, {}))
    assert by_key == {"FP A": "#8a3b35", "Pi A": "#112233", "sashing": "#445566"}


def test_a_patch_that_is_not_there_is_refused():
    with pytest.raises(ShapeError, match="patch 99"):
        colored_with(find("four patch"), {}, 98, MADDER)
