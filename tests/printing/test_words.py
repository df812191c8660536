"""Words for the document engine."""

from seamlore.printing.content import Span
from seamlore.printing.words import literal, typographic, words


def test_feet_and_inch_marks_are_not_taken_for_quotation_marks():
    assert typographic('9" by 4\' 6"') == '9" by 4\' 6"'


def test_quoted_names_and_possessives_are_set_in_printed_marks():
    assert typographic('called "Shoo Fly" by the maker\'s aunt') == "called “Shoo Fly” by the maker’s aunt"


def test_controls_that_no_page_shows_are_dropped_and_lines_joined():
    assert literal("a\x00b\u202ec\r\nd\te") == '"abc d e"'


def test_spans_may_hold_fractions():
    assert words((Span("9 1/2 in", "quiet"),)) == '{text(fill: quiet, {"9"; nb; fr("1/2"); "\u00a0in"})}'


def test_a_figure_is_never_parted_from_its_unit():
    assert typographic("cut 9 in, 3 in all, 2 inches") == "cut 9\u00a0in, 3\u00a0in all, 2 inches"
