"""Forms, field by field: one slip leaves the rest as it was typed."""

import pytest
from starlette.datastructures import FormData

from seamlore.lengths import length
from seamlore.web.forms import Fields


def fields(**given):
    return Fields(FormData(list(given.items())))


def test_text_is_put_on_one_line_and_kept_short():
    assert fields(name="  Blue \n star ").text("name") == "Blue star"
    assert len(fields(name="x" * 50).text("name", most=20)) == 20


def test_a_field_that_is_not_there_is_empty_and_no_slip():
    form = fields()
    assert (form.text("name"), form.checked("width", length), form.count("rows"), form.data("corners")) == (
        "",
        "",
        None,
        None,
    )
    assert form.slips == {}


def test_a_length_that_cannot_be_read_is_a_slip_and_stays_as_typed():
    form = fields(width="about so", height="88 in")
    assert form.checked("width", length) == "about so"
    assert form.checked("height", length) == "88 in"
    assert list(form.slips) == ["width"]
    assert form.typed() == {"width": "about so", "height": "88 in"}


@pytest.mark.parametrize("text", ["-1", "2.5", "seven", "1e3", "٣x"])
def test_what_is_no_whole_number_is_a_slip(text):
    form = fields(rows=text)
    assert form.count("rows") is None
    assert "whole number" in form.slips["rows"]


@pytest.mark.parametrize("text", ["0", "201", "99999999999999999999"])
def test_a_count_that_no_quilt_has_is_a_slip(text):
    form = fields(rows=text)
    assert form.count("rows") is None
    assert "from 1 to 200" in form.slips["rows"]


def test_data_that_is_broken_is_a_slip():
    form = fields(corners="[[1, 2")
    assert form.data("corners") is None
    assert "reload the page" in form.slips["corners"]


@pytest.mark.parametrize(("text", "base"), [("3", 3), ("", -1), ("-2", -1), ("x", -1)])
def test_a_form_without_a_base_fits_no_revision(text, base):
    assert fields(base=text).base() == base
