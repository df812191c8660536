"""Fractions in words."""

import pytest

from seamlore.drawing.words import runs


@pytest.mark.parametrize(
    ("words", "fractions"),
    [
        ("9 1/2 in by 10 5/16 in", ["1/2", "5/16"]),
        ("5/8 yd", ["5/8"]),
        ("light/dark", []),
        ("11/25/2026", []),
        ("1/7 of it", []),
        ("3/4-in strips", ["3/4"]),
    ],
)
def test_only_marks_of_the_tape_are_set_as_fractions(words, fractions):
    assert [text for text, fraction in runs(words) if fraction] == fractions


def test_no_letter_is_lost_but_a_space_that_no_longer_breaks():
    words = "cut 2 strips 3 7/8 in wide, then 1/2 in"
    assert "".join(text for text, _ in runs(words)).replace("\u00a0", " ") == words
