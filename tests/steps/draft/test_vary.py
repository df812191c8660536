"""The same quilt otherwise: sizes, colors, values."""

from __future__ import annotations

import numpy as np
import pytest

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.text.quilt_file import read_quilt
from seamlore.errors import LengthError, NotationError, UnknownNameError
from seamlore.lengths import inches
from seamlore.steps.draft.vary import proportion_words, read_try, tried_record, try_sizes


@pytest.fixture
def quilt():
    return repeated(
        "q", find("shoo fly"), inches(9), inches(9), 2, 3, Sashing(inches(2), inches(2)), (border(inches(4)),)
    )


@pytest.mark.parametrize(
    ("text", "name", "expected"),
    [
        ("sashing 1in 2in", "sashing", ["1", "2"]),
        ("sashing: 1 in, 1 1/2 in, 2in", "sashing", ["1", "3/2", "2"]),
        ("block width 9.5in", "block width", ["19/2"]),
        ("border 1: 3/4in", "border 1", ["3/4"]),
        ('strip 4"', "strip", ["4"]),
    ],
)
def test_sizes_to_try_are_read_as_they_are_said(text, name, expected):
    assert read_try(text) == (name, tuple(inches(each) for each in expected))


def test_centimeters_are_tried_as_centimeters():
    assert str(read_try("sashing 5cm")[1][0]) == "5 cm"


@pytest.mark.parametrize("text", ["", "sashing", "sashing 2", "sashing two in", "sashing 1in and 2in"])
def test_sizes_without_lengths_are_refused(text):
    with pytest.raises(NotationError, match="--try"):
        read_try(text)


def test_variants_are_as_large_as_their_parts(quilt):
    # Three blocks of 9, two strips and two borders of 4, by hand.
    tried = try_sizes(quilt, ["sashing 1in 3in"])
    widths = [each.variant.quilt.finished_size[0].inches_float for each in tried]
    np.testing.assert_allclose(widths, [27 + 2 * 1 + 8, 27 + 2 * 3 + 8])


def test_the_shares_of_a_quilt_sum_to_the_whole(quilt):
    for record in tried_record(try_sizes(quilt, ["sashing 1in 2in", "border 3in 4in"])):
        np.testing.assert_allclose(sum(record["shares"].values()), 1)
        assert str(read_quilt(record["text"], find_block=find).name) == "q"


def test_a_variant_that_cannot_be_sewn_says_why_beside_those_that_can(quilt):
    tried = try_sizes(quilt, ["block 0in 9in"])
    assert [each.variant.quilt is None for each in tried] == [True, False]
    assert "more than 0" in tried_record(tried)[0]["why_not"]


def test_when_nothing_can_be_sewn_there_is_no_answer(quilt):
    with pytest.raises(LengthError, match="more than 0"):
        try_sizes(quilt, ["block 0in"])


def test_a_part_that_the_quilt_has_not_is_refused(quilt):
    with pytest.raises(UnknownNameError, match="no such part"):
        try_sizes(quilt, ["strip 3in"])


def test_customs_are_said_with_how_they_are_known(quilt):
    lines = proportion_words(try_sizes(quilt, ["sashing 3in"])[0].proportions)
    assert "sashing to block 0.33, as is usual (1/4 to 1/2; common practice, no source)" in lines
