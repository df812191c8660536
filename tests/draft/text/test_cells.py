"""Words for one square: every word that can be read is found again from the parts that it makes."""

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shapely import Polygon

from seamlore.draft.exact.outlines import tidy
from seamlore.draft.text.cells import SQUARE, cut, divide, word_for
from seamlore.errors import NotationError

WORDS = [
    "A", "A/B", "A\\B", "A|B", "A-B", "A|B|C", "A-B-C-D", "AxBxCxD", "A/(B\\C)", "(A\\B)/C", "(A|B)-(C|D)",
    "(A|B)/C", "A-(B|C)", "(AxBxCxD)|E", "A/(B-C)",
]  # fmt: skip


@pytest.mark.parametrize("word", WORDS)
def test_a_word_is_found_again_from_its_parts(word):
    scale, parts = divide(word)
    labels = [label for label, _ in parts]
    pieces = [
        (at, tuple((x / Fraction(scale), y / Fraction(scale)) for x, y in ring)) for at, (_, ring) in enumerate(parts)
    ]
    found = word_for(pieces, lambda one, two: False)
    text = "".join(sign if isinstance(sign, str) else labels[sign] for sign in found)
    assert drawn(text) == drawn(word)


def drawn(word):
    """Labels and outlines, whichever part is named first."""
    scale, parts = divide(word)
    return scale, {(label, tuple(tidy(ring))) for label, ring in parts}


@pytest.mark.parametrize("word", WORDS)
def test_the_parts_of_a_word_cover_the_square(word):
    scale, parts = divide(word)
    assert_allclose(sum(Polygon(np.array(ring) / scale).area for _, ring in parts), 1)


def test_two_places_stand_for_four_where_seams_cross():
    _, parts = divide("AxB")
    assert [label for label, _ in parts] == ["A", "B", "A", "B"]
    pieces = list(enumerate(cut(SQUARE, "x", 4)))
    assert word_for(pieces, lambda one, two: (one - two) % 2 == 0) == [0, "x", 1]


@pytest.mark.parametrize("word", ["", "a", "A//B", "A|", "|A", "()", "(A)(B)", "A/B/C", "A1234", "A0x"])
def test_a_word_that_means_nothing_is_refused(word):
    with pytest.raises(NotationError, match="write a square as"):
        divide(word)
