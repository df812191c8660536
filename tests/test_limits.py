"""What is taken: whole numbers in plain digits, texts that can be kept and printed."""

from __future__ import annotations

import pytest

from seamlore.errors import SeamloreError
from seamlore.limits import checked_text, whole_number


@pytest.mark.parametrize(("text", "number"), [("0", 0), ("007", 7), ("999999999", 999_999_999)])
def test_a_whole_number_is_read(text, number):
    assert whole_number(text) == number


@pytest.mark.parametrize("text", ["", "-1", "1.0", "²", "٣", "1²", "9" * 10, "9" * 5000, "1e3", " 1", "1\n"])
def test_what_is_no_whole_number_is_none(text):
    assert whole_number(text) is None


def test_a_text_is_given_back_whole():
    text = "Blue star\n\ta quilt — ½ done 🧵\u200d"
    assert checked_text(text, "the story", 100) is text


@pytest.mark.parametrize("sign", ["\x00", "\x1b", "\x7f", "\x9b", "\x1c", "\ud800", "\uffff"])
def test_what_no_page_can_show_is_refused_by_its_name_and_line(sign):
    with pytest.raises(SeamloreError, match=r"line 2: the story, with .* in it: a text holds no control") as caught:
        checked_text(f"one\ntwo{sign}", "the story", 100)
    assert str(caught.value).isprintable()


def test_too_long_is_said_with_both_lengths():
    with pytest.raises(SeamloreError, match="the story of 1,001 characters: at most 1,000 are taken"):
        checked_text("x" * 1001, "the story", 1000)
