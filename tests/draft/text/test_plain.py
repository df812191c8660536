"""A plain square in a draft file: light where no value is said."""

from __future__ import annotations

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.text.quilt_file import read_quilt, write_quilt
from seamlore.errors import UnknownNameError

FILE = "quilt Q\nfinished 9 in\nrow N P\nkind N Nine Patch\nkind P {}\n"


@pytest.mark.parametrize(
    ("said", "letter", "value", "scrappy"),
    [
        ("plain", "A", "light", False),
        ("plain dark", "A", "dark", False),
        ("plain B medium", "B", "medium", False),
        ("plain scrappy", "A", "light", True),
        ("plain C", "C", "light", False),
    ],
)
def test_a_plain_square_is_light_unless_it_says_otherwise(said, letter, value, scrappy):
    quilt = read_quilt(FILE.format(said), find_block=find)
    ((found, place),) = quilt.kind("P").block.places.items()
    assert (found, place.value, place.scrappy) == (letter, value, scrappy)
    assert read_quilt(write_quilt(quilt, find_block=find), find_block=find) == quilt


def test_what_only_begins_so_is_the_name_of_a_block():
    with pytest.raises(UnknownNameError, match="Plain Sailing"):
        read_quilt(FILE.format("Plain Sailing"), find_block=find)
