"""The order of sewing: straight seams from edge to edge, every patch sewn once."""

from __future__ import annotations

import pytest

from seamlore.draft.catalogue import all_blocks
from seamlore.draft.text.notation import read_block
from seamlore.sewing.order import take_apart, units


def leaves(part):
    return [part.patches[0]] if not part.parts else [leaf for each in part.parts for leaf in leaves(each)]


@pytest.mark.parametrize("block", all_blocks(), ids=lambda block: block.name)
def test_every_patch_of_every_catalogue_block_is_sewn_in_once(block):
    assert sorted(leaves(take_apart(block))) == list(range(len(block.patches)))


@pytest.mark.parametrize("block", all_blocks(), ids=lambda block: block.name)
def test_a_unit_joins_only_what_was_made_before_and_the_counts_add_up(block):
    labels = [f"{each.place}{index}" for index, each in enumerate(block.patches)]
    made: dict[str, int] = {}
    used: dict[str, int] = {}
    for unit in units(block.patches, labels):
        for name, count in unit.joins:
            assert name in made or name in labels
            used[name] = used.get(name, 0) + count * unit.count
        made[unit.name] = unit.count
    for name, count in made.items():
        assert name == "the block" or used[name] == count
    assert len(block.patches) == 1 or all(used[label] == 1 for label in labels)


# Which blocks divide by straight seams from edge to edge, and which do not: trade facts D1 (computed there).
PINWHEEL = "block Pinwheel\nA dark\nB light\n\nA/B A\\B\nB\\A B/A"
RING = "block Ring\nA dark\nB light\n\nA1 A1 A2\nA4 B A2\nA4 A3 A3"


def test_a_pinwheel_is_sewn_from_triangle_squares_in_rows():
    block = read_block(PINWHEEL)
    sewn = units(block.patches, [each.place for each in block.patches])
    assert (sewn[0].joins, sewn[0].count) == ((("A", 1), ("B", 1)), 4)


def test_four_strips_round_a_square_each_butting_the_next_need_a_partial_seam():
    assert take_apart(read_block(RING)).way == "inset"


def test_a_nine_patch_is_sewn_in_rows():
    nine = read_block("block Nine Patch\nA dark\nB light\n\nA B A\nB A B\nA B A")
    whole = take_apart(nine)
    assert whole.way == "across"
    assert [len(part.patches) for part in whole.parts] == [3, 3, 3]
