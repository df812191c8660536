"""A part of which nothing was seen follows from the one it is joined to: mostly within few years, and the right way."""

import numpy as np
import pytest

from seamlore.chronology.evidence_file import read_dossier
from seamlore.chronology.network import solve
from seamlore.chronology.parts import place_of
from seamlore.chronology.reasons import weigh

FILE = """horizon = "1800/2026"
usual_order = true
parts = ["{known}", "{other}"]
[[evidence]]
part = "{known}"
says = "worked into it"
when = "1900"
trust = 1.0
"""


def years_of(known, other):
    dates = weigh(read_dossier(FILE.format(known=known, other=other), this_year=2026)).dates
    row = dates.problem.parts.index(other)
    return dates.problem.years, dates.p[row]


@pytest.mark.parametrize(
    ("known", "other", "way"),
    [
        # The order of making is common practice, no source: see chronology.parts.
        ("blocks", "setting", 1),
        ("quilting", "edge finish", 1),
        ("quilting", "backing", -1),
        ("quilting", "filling", -1),
        ("setting", "thread", 0),
        ("blocks", "fabric", -1),
    ],
)
def test_a_part_without_evidence_lies_within_few_years_on_its_side_of_the_other(known, other, way):
    years, p = years_of(known, other)
    assert p.sum() == pytest.approx(1)
    assert p[np.abs(years - 1900) <= 5].sum() > 0.5
    before, after = p[years < 1900].sum(), p[years > 1900].sum()
    if way:
        assert (after if way > 0 else before) > 8 * (before if way > 0 else after)
    else:
        assert before == pytest.approx(after, rel=0.05)
    # The farther off, the less likely; what waited in a scrap bag, or a generation, makes a long tail.
    near = p[np.abs(years - 1900) <= 3].sum()
    assert near > p[(np.abs(years - 1900) > 3) & (np.abs(years - 1900) <= 6)].sum()


def test_weights_that_allow_no_year_have_no_sum():
    nothing = np.full((2, 3), -np.inf)
    assert solve(nothing, []).log_total == -np.inf


@pytest.mark.parametrize(
    ("part", "place"),
    [
        ("edge finish of the left side", "edge finish"),
        ("Edge finish", "edge finish"),
        ("outer border 2", "border"),
        ("sashes", "setting"),
        ("wadding", "filling"),
        ("mends", ""),
    ],
)
def test_parts_are_known_by_the_trades_words_for_them(part, place):
    assert place_of(part) == place
