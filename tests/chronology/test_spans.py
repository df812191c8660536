"""EDTF reading against the Library of Congress specification and a maintained parser."""

from __future__ import annotations

import pytest

from seamlore.chronology.spans import read_span, say_span, write_one_of, write_span
from seamlore.errors import DateError

# Level 0: Library of Congress, EDTF specification of 4 February 2019 (read); levels 1 and 2: syntax from the
# specification, sample strings from memory (trade facts C5).
SAMPLES = [
    "1985-04-12", "1985-04", "1985", "1964/2008", "2004-02-01/2005", "1984?", "2004-06~", "2004-06-11%", "201X", "20XX",
    "2004-XX", "1985/..", "../1985", "1985/", "2001-21", "[1667,1668,1670..1672]", "[1884,1885]", "{1960,1961-12}",
    "[..1760-12-03]", "1880~", "1840/1860", "193X", "1924/..",
]  # fmt: skip


@pytest.mark.parametrize("text", SAMPLES)
def test_years_of_a_specification_sample_equal_those_of_a_maintained_parser(text):
    from edtf import parse_edtf

    oracle, ours = parse_edtf(text), read_span(text)
    # The parser gives an open end as infinity, and an unknown end as some years beyond the known one.
    if ours.first is not None:
        assert oracle.lower_strict()[0] == ours.first
    if ours.last is not None:
        assert oracle.upper_strict()[0] == ours.last


@pytest.mark.parametrize(
    "text",
    ["", "sometime in 1900", "19", "1900/1800", "1985-13", "1985-55", "[1900,]", "[1900}", "18X0", "/", "1900..1910"],
)
def test_what_is_no_date_is_refused(text):
    with pytest.raises(DateError):
        read_span(text)


@pytest.mark.parametrize(
    ("span", "text"),
    [
        ((1880, 1880), "1880"),
        ((1840, 1860), "1840/1860"),
        ((1930, 1939), "193X"),
        ((1924, None), "1924/.."),
        ((None, 1850), "../1850"),
    ],
)
def test_a_span_is_written_so_that_it_is_read_back(span, text):
    assert write_span(*span) == text
    assert (read_span(text).first, read_span(text).last) == span


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("1930s", "193X"),
        ("The 1930s", "193X"),
        ("1800s", "18XX"),
        ("about 1885", "1885~"),
        ("c. 1885", "1885~"),
        ("circa 1885", "1885~"),
        ("1840 to 1860", "1840/1860"),
        ("1840-1860", "1840/1860"),
        ("1840–1860", "1840/1860"),
        ("not before 1924", "1924/.."),
        ("1924 or later", "1924/.."),
        ("not after 1850", "../1850"),
        ("1850  or earlier", "../1850"),
    ],
)
def test_plain_words_are_read_as_what_they_are_written_as(said, written):
    assert read_span(said) == read_span(written)


@pytest.mark.parametrize("text", ["193X", "18XX", "1925/1948", "1900~", "1924/..", "../1850", "1885"])
def test_what_is_said_is_read_again(text):
    span = read_span(text)
    assert read_span(say_span(span.first, span.last, about=span.about)) == span


@pytest.mark.parametrize("text", ["the thirties", "1935s", "about the 1930s then", "1840 to", "from"])
def test_other_words_are_refused_with_what_can_be_written(text):
    with pytest.raises(DateError, match="about 1885"):
        read_span(text)


@pytest.mark.parametrize(("first", "last"), [(1885, 1895), (1885, 1885), (1930, 1939), (1899, 1901)])
def test_answers_are_read_by_a_maintained_parser_as_the_interval_and_as_one_of_its_years(first, last):
    from edtf import parse_edtf

    for text in (write_span(first, last), write_one_of(first, last)):
        oracle = parse_edtf(text)
        assert (oracle.lower_strict()[0], oracle.upper_strict()[0]) == (first, last)
        assert (read_span(text).first, read_span(text).last) == (first, last)
    assert type(parse_edtf(write_one_of(1885, 1895))).__name__ == "OneOfASet"
