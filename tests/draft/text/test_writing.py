"""Drawing a block as text: the grid that a quilter would choose."""

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.text.notation import read_block, write_block
from seamlore.draft.text.writing import block_text

LEANING = """block X
divisions 5
A light
B dark

patch A 0,0 2,0 3,5 0,5
patch B 2,0 4,0 4,5 3,5
patch A 4,0 5,0 5,2 4,2
patch B 4,2 5,2 5,5 4,5
"""


def rows(text):
    return text.split("\n\n")[1].splitlines()


@pytest.mark.parametrize(
    ("name", "size"), [("Shoo Fly", 3), ("Ohio Star", 3), ("Sawtooth Star", 4), ("Log Cabin", 7)]
)
def test_a_block_is_drawn_on_its_own_grid(name, size):
    text = write_block(find(name))
    assert len(rows(text)) == size
    assert "\npatch " not in text


def test_a_block_with_uneven_columns_is_drawn_on_them():
    text = write_block(find("Double Irish Chain Alternate"))
    assert "columns 1 3 1" in text
    assert [row.split() for row in rows(text)] == [row.split() for row in ("C A C", "A A A", "C A C")]


def test_patches_that_no_word_shows_are_listed_by_their_corners():
    lines = rows(write_block(read_block(LEANING)))
    assert lines[-2:] == ["patch A 0,0 2,0 3,5 0,5", "patch B 2,0 4,0 4,5 3,5"]
    assert read_block(write_block(read_block(LEANING))) == read_block(LEANING)


def test_a_tall_triangle_is_drawn_on_columns_half_as_wide_as_high():
    assert rows(write_block(find("Triangle in a Square"))) == ["A/B1 B1\\A"]


def test_patches_with_corners_stand_beside_squares_that_can_be_drawn():
    text = write_block(find("Maple Leaf"))
    assert text.count("patch ") == 3
    assert "." in rows(text)[2].split()


def test_every_block_can_be_listed_by_corners_alone():
    for name in ("Card Trick", "Sister's Choice"):
        assert read_block(block_text(find(name), corners_only=True)) == find(name)
