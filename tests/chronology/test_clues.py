"""The table of clues: every line complete, and the hard first years as their sources give them."""

from __future__ import annotations

import pytest

from seamlore.chronology.clues import STRENGTH_WORDS, clues
from seamlore.sources import TAG_WORDS

# First years fixed by a patent, a law or a launch. Sources: as in the column `source` of the table.
NOT_BEFORE = {
    "roller print": 1783,  # patent
    "mauveine": 1856,
    "aniline black": 1863,  # Meldola
    "manchester brown": 1866,  # Meldola
    "malachite green": 1878,  # Meldola
    "direct red": 1884,
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


def test_there_are_at_least_ninety_clues():
    assert len(clues()) >= 90


@pytest.mark.parametrize(("key", "year"), NOT_BEFORE.items())
def test_a_hard_first_year_is_as_its_source_gives_it(key, year):
    assert clues()[key].when.earliest == year


@pytest.mark.parametrize("clue", clues().values(), ids=lambda clue: clue.key)
def test_every_line_of_the_table_is_complete_and_in_order(clue):
    assert all([clue.feature, clue.kind, clue.region, clue.source, clue.mistaken_for])
    assert clue.strength in STRENGTH_WORDS
    assert clue.tag in TAG_WORDS
    years = [clue.when.earliest, clue.when.usual_from, clue.when.usual_to, clue.when.latest]
    known = [year for year in years if year is not None]
    assert known == sorted(known)
    assert bool(known) != clue.says_nothing or clue.key == "brightener glow"
