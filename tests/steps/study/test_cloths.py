"""Cloths of a block changed by hand: those of the patches that it is cut from."""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace

import numpy as np
import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.edit import draw_seam, take_out_seam, with_place, with_value
from seamlore.steps.study.cloths import _homes, crossings_differ


def test_the_same_block_has_every_cloth():
    block = find("birds in the air")
    assert _homes(block, block) == {index: [index] for index in range(len(block.patches))}


def test_both_halves_of_a_patch_that_was_cut_keep_its_cloth_where_they_keep_its_value():
    block = find("nine patch")
    third = Fraction(1, 3)
    cut = draw_seam(block, (third, third), (2 * third, 2 * third))
    home = _homes(cut, block)
    middle = next(index for index, each in enumerate(block.patches) if each.bounds[0] == each.bounds[1] == third)
    kept = list(home[middle])
    assert len(kept) == 1
    assert cut.places[cut.patches[kept[0]].place].value == block.places[block.patches[middle].place].value


def test_a_patch_made_of_two_has_no_cloth_of_its_own():
    block = find("nine patch")
    joined = take_out_seam(block, 0, 1)
    homes = _homes(joined, block)
    assert sum(len(each) for each in homes.values()) == len(joined.patches) - 1


def test_a_place_told_to_be_light_keeps_the_cloths_that_were_seen():
    block = find("nine patch")
    dark = next(letter for letter, place in block.places.items() if place.value == "dark")
    assert _homes(with_value(block, dark, "light"), block) == _homes(block, block)


def test_a_patch_given_to_a_place_of_another_value_loses_its_cloth():
    block = find("nine patch")
    index, other = next(
        (index, letter)
        for index, each in enumerate(block.patches)
        for letter, place in block.places.items()
        if place.value != block.places[each.place].value
    )
    assert index not in _homes(with_place(block, index, other), block)


def test_the_same_block_turned_takes_no_cloth_from_patches_that_stand_elsewhere():
    block = find("birds in the air")
    assert _homes(block.moved(90), block) == {}


def test_another_block_takes_none():
    assert _homes(find("bear's paw"), find("log cabin")) == {}


@pytest.mark.parametrize(("cloth", "differ"), [((230, 190, 170), True), ((60, 140, 120), False)])
def test_cornerstones_are_asked_for_where_the_sashing_crosses_in_another_cloth(cloth, differ):
    pixels = np.full((100, 100, 3), (60, 130, 115), dtype=np.uint8)
    pixels[40:60, 40:60] = cloth
    spans = ((0.0, 0.4), (0.6, 1.0))
    reading = SimpleNamespace(setting="straight", sashing=(0.2, 0.2), column_spans=spans, row_spans=spans)
    look = SimpleNamespace(reading=reading, flat=SimpleNamespace(pixels=pixels, scale=(100.0, 100.0)))
    assert crossings_differ(look) == differ
    reading.sashing = (0.2, 0.0)
    assert not crossings_differ(look)
