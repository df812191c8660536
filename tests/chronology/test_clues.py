"""The table of clues: every line complete, and the hard first years as their sources give them."""

from __future__ import annotations

import pytest

from seamlore.chronology.clues import EYE_WORDS, KNOWN_WORDS, SEEN, STRENGTH_WORDS, clues

# First years fixed by a patent, a law or a launch. Sources: as in the column `source` of the table.
NOT_BEFORE = {
    "roller print": 1783,  # patent
    "mauveine": 1856,
    "aniline black": 1863,  # Meldola
    "manchester brown": 1863,  # Martius; Meldola gives 1866 for its making in Manchester
    "malachite green": 1878,  # Meldola
    "direct red": 1883,  # found, patented a year later
    "synthetic indigo": 1897,  # Morris and Travis
    "lockstitch": 1846,  # patent
    "printed sack": 1924,  # Bales patent, October 1924
    "acetate": 1924,
    "nylon": 1939,
    "polyester cloth": 1953,
    "permanent press": 1964,
    "wool label": 1941,
    "fibre percentages": 1960,  # in force 3 March 1960
    "care words": 1972,  # July 1972
    "care symbols": 1997,  # Federal Register 62:5724
    "postal zone": 1943,
    "zip code": 1963,  # 1 July 1963
    "zip plus four": 1983,
    "coil zipper": 1960,  # US, March 1960
    "rotary cut": 1979,
}


def test_the_table_has_grown_to_at_least_one_hundred_and_seventy_clues():
    assert len(clues()) >= 170


@pytest.mark.parametrize(("key", "year"), NOT_BEFORE.items())
def test_a_hard_first_year_is_as_its_source_gives_it(key, year):
    assert clues()[key].when.earliest == year


@pytest.mark.parametrize("clue", clues().values(), ids=lambda clue: clue.key)
def test_every_line_of_the_table_is_complete_and_in_order(clue):
    assert all([clue.feature, clue.kind, clue.region, clue.seen in SEEN])
    assert clue.mistaken_for or clue.key == "cathedral window"
    assert clue.strength in STRENGTH_WORDS
    assert clue.eye in EYE_WORDS
    assert clue.dates in ("cloth", "making", "inscription")
    years = [clue.when.earliest, clue.when.usual_from, clue.when.usual_to, clue.when.latest]
    known = [year for year in years if year is not None]
    assert known == sorted(known)
    assert bool(known) == (not clue.says_nothing and clue.dates != "inscription")


def test_every_figure_says_how_it_is_known():
    figures = [figure for clue in clues().values() for figure in clue.figures.values()]
    assert all(figure.tag in KNOWN_WORDS and figure.source.citation for figure in figures)
    # From memory is never called read, and what was read names where.
    assert all(figure.source.kind not in ("memory", "practice") for figure in figures if figure.tag in ("V", "Vw"))


@pytest.mark.parametrize(
    ("key", "dates"),
    [
        ("turkey red", "cloth"), ("rayon", "cloth"), ("printed sack", "cloth"), ("width 36 to 39", "cloth"),
        ("lockstitch", "making"), ("polyester thread", "making"), ("bias binding", "making"), ("rotary cut", "making"),
        ("block date name", "inscription"),
    ],
)  # fmt: skip
def test_a_dye_print_fiber_or_weave_dates_the_cloth_and_a_technique_the_making(key, dates):
    assert clues()[key].dates == dates


def test_the_old_names_of_clues_are_valid_still():
    # The names that evidence files have used since the first table.
    old = "mercerised thread;fibre percentages;self-binding back to front;hand stitches fine;width under 24;cheater cloth"
    assert all(key in clues() for key in old.split(";"))
