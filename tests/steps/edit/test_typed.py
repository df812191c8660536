"""Words typed into fields: what is wrong is said by its field, and the rest is read."""

from functools import partial

import pytest

from seamlore.errors import LengthError, MeasureError
from seamlore.lengths import Unit, length
from seamlore.steps.edit.typed import Slips, count, with_unit


@pytest.mark.parametrize("text", ["-1", "2.5", "seven", "1e3", "٣x", "²", "٣"])
def test_what_is_no_whole_number_is_refused(text):
    with pytest.raises(MeasureError, match="whole number"):
        count(text, "rows", most=200)


@pytest.mark.parametrize("text", ["0", "201", "99999999999999999999", "1" * 5000])
def test_a_count_that_no_quilt_has_is_refused(text):
    with pytest.raises(MeasureError, match="from 1 to 200"):
        count(text, "rows", most=200)


def test_the_limits_themselves_are_taken_and_nothing_typed_is_nothing():
    assert [count(text, "rows", most=60) for text in ("1", "60", "")] == [1, 60, None]


@pytest.mark.parametrize(
    ("typed", "kept"), [("70", "70 in"), ("70 1/2", "70 1/2 in"), ("2.5", "2.5 in"), ("23cm", "23cm"), ("", "")]
)
def test_a_bare_number_is_kept_with_the_unit_of_the_study(typed, kept):
    assert with_unit(typed, Unit.INCH) == kept
    if kept:
        assert length(kept) == length(typed, unit=Unit.INCH)


def test_one_slip_leaves_the_rest():
    slips = Slips()
    read = partial(with_unit, unit=Unit.CM)
    assert [slips.read(name, text, read, "as before") for name, text in (("a", "about so"), ("b", "9"))] == [
        "as before",
        "9 cm",
    ]
    assert list(slips) == ["a"]
    with pytest.raises(LengthError):
        read("about so")
