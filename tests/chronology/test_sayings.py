"""What is said of years, whole sentences: of each piece of evidence, of what lies outside its usual years, of shares."""

import numpy as np
import pytest

from seamlore.chronology.clashes import departures
from seamlore.chronology.evidence import Evidence, Fashion
from seamlore.chronology.evidence_file import read_dossier
from seamlore.chronology.looks import next_looks
from seamlore.chronology.meaning import headline, label_words
from seamlore.chronology.reasons import Answer, in_years, statement, weigh
from seamlore.chronology.shares import LONG_GAP, Shares, read_shares
from seamlore.errors import DateError

FILE = 'horizon = "1700/2026"\n[[evidence]]\npart = "{part}"\nsays = "{says}"\nwhen = "{when}"\ntrust = 0.9\n'


def told(when):
    (each,) = read_dossier(FILE.format(part="top", says="x", when=when), this_year=2026).evidence
    return in_years(each)


def fashion(*years):
    return in_years(Evidence("top", "x", Fashion(*years), 0.8))


@pytest.mark.parametrize(
    ("when", "words"),
    [
        ("1885", "1885"),
        ("1885~", "about 1885"),
        ("1885/1890", "1885 to 1890"),
        ("1885~/1890~", "about 1885 to 1890"),
        ("1885/..", "not before 1885"),
        ("../1885", "not after 1885"),
    ],
)
def test_years_are_said_as_one_says_them(when, words):
    assert told(when) == words


@pytest.mark.parametrize(
    ("years", "words"),
    [
        ((1868, 1875, 1900, None), "not before 1868, mostly 1875 to 1900"),
        ((None, 1875, 1900, 1920), "mostly 1875 to 1900"),
        ((None, None, 1900, None), "mostly ? to 1900"),
        ((1868, 1875, None, None), "not before 1868, mostly 1875 to today"),
        ((1868, None, None, None), "not before 1868"),
        ((None, None, None, 1900), "not after 1900"),
    ],
)
def test_a_fashion_is_said_with_its_first_year_and_its_usual_ones(years, words):
    assert fashion(*years) == words


def answer(part, low, high, *, known=True):
    middle = (low + high) // 2
    half = (low + (high - low) // 4, high - (high - low) // 4)
    return Answer(part, middle, half, (low, high), "", "", (), known)


def departed(low, high, *clues, trust=0.9):
    entries = "".join(f'[[evidence]]\npart = "blocks"\nclue = "{key}"\ntrust = {trust}\n' for key in clues)
    dossier = read_dossier("usual_order = true\n" + entries, this_year=2026)
    return departures(dossier, (answer("blocks", low, high),))


def test_what_was_usual_before_and_what_was_usual_after_the_answer_is_said():
    (early,) = departed(1900, 1920, "prussian blue")
    assert early.startswith("Prussian blue")
    assert early.endswith("(1900 to 1920): old cloth used late, a reproduction, or not what it seems.")
    (late,) = departed(1820, 1840, "polyester thread")
    assert "later than the answer (1820 to 1840): look again whether it is that, or was put in later." in late
    # Neither when the usual years reach into the answer, nor of a part that was not dated, nor of what is not trusted.
    assert departed(1850, 1870, "prussian blue") == ()
    dossier = read_dossier(
        'usual_order = true\n[[evidence]]\npart = "blocks"\nclue = "prussian blue"\n', this_year=2026
    )
    assert departures(dossier, (answer("backing", 1900, 1920),)) == ()
    assert departed(1900, 1920, "prussian blue", trust=0) == ()


def test_a_usual_year_at_the_very_edge_of_the_answer_is_no_departure():
    assert departed(1860, 1880, "prussian blue") == ()
    assert len(departed(1861, 1880, "prussian blue")) == 1


def test_what_was_told_and_is_no_clue_is_no_departure():
    dossier = read_dossier(FILE.format(part="blocks", says="a story", when="1850"), this_year=2026)
    assert departures(dossier, (answer("blocks", 1900, 1920),)) == ()


def test_every_share_that_is_given_is_taken_whatever_stands_before_it():
    read = read_shares({"pull": False, "quilting": 0.3, "scrap_bag": 0.1, "old cloth": 0.5})
    assert (read.pull, read.long_gap["quilting"], read.scrap_bag, read.old_cloth) == (False, 0.3, 0.1, 0.5)
    assert {key: read.long_gap[key] for key in LONG_GAP if key != "quilting"} == {
        key: share for key, share in LONG_GAP.items() if key != "quilting"
    }
    assert read_shares({}) == Shares()


@pytest.mark.parametrize(
    ("given", "line"),
    [
        ({"pull": 1}, "a.toml, shares: pull = 1: it is true or false; write pull = false"),
        ({"against": True}, "a.toml, shares: against = True: a share is from 0 to 1; 0.01 is the usual one"),
        ({"against": 1.01}, "a.toml, shares: against = 1.01: a share is from 0 to 1; 0.01 is the usual one"),
        ({"against": -0.1}, "a.toml, shares: against = -0.1: a share is from 0 to 1; 0.01 is the usual one"),
    ],
)
def test_a_share_out_of_its_limits_is_named_with_its_place(given, line):
    with pytest.raises(DateError) as refused:
        read_shares(given, where="a.toml")
    assert str(refused.value) == line


@pytest.mark.parametrize("share", [0, 1])
def test_a_share_may_be_none_or_all(share):
    assert read_shares({"against": share}).against == share


def test_the_next_look_says_where_how_much_and_what_it_tells():
    entry = '[[evidence]]\npart = "backing"\nsays = "x"\nwhen = "1850/1980"\ntrust = 0.9\n'
    dossier = read_dossier("usual_order = true\n" + entry, this_year=2026)
    dates = weigh(dossier).dates
    first = next_looks(dossier, dates)[0]
    # No look can narrow the ranges of 9 in 10 by more than they are wide.
    sums = np.cumsum(dates.p, axis=1)
    wide = [dates.problem.years[(row >= 0.95).argmax()] - dates.problem.years[(row >= 0.05).argmax()] for row in sums]
    assert 1 <= first.narrowing <= sum(wide)
    assert (
        f"(the {first.part}): expected to narrow the ranges by about {round(first.narrowing)} years in all."
        in first.sentence
    )
    assert " It tells: " in first.sentence


def test_parts_of_the_same_years_are_named_together_and_others_apart():
    found = (answer("blocks", 1884, 1896), answer("setting", 1884, 1896), answer("backing", 1930, 1940))
    said = headline(found)
    assert "about 1880 to 1900" in said
    assert said.index("1880") < said.index("1930")
    assert headline((answer("blocks", 1700, 2026, known=False),)) == "Not known closely yet: more evidence is needed"
    assert headline(()) == ""


def test_a_label_has_a_single_year_only_where_there_is_no_doubt():
    assert label_words((answer("blocks", 1933, 1933),)) == "pieced in 1933"
    assert (
        label_words((answer("blocks", 1931, 1935), answer("quilting", 1931, 1935))) == "pieced and quilted about 1933"
    )
    assert label_words((answer("blocks", 1880, 1894), answer("quilting", 1931, 1935))) == (
        "pieced about 1885, quilted about 1933"
    )
    assert label_words((answer("blocks", 1700, 2026),)) == ""


def test_one_part_is_and_several_are_later():
    assert statement("blocks", "edge finish", 10, 0.5) == (
        "The edge finish is at least 10 years later than the blocks: 50 in 100."
    )
    assert (
        statement("setting", "blocks", 1, 1.0)
        == "The blocks are at least 1 years later than the setting: 100 in 100."
    )
