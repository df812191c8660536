"""Forms, field by field: one slip leaves the rest as it was typed."""

import pytest
from starlette.datastructures import FormData

from seamlore.errors import SeamloreError, ShapeError
from seamlore.web.forms import Fields


def fields(**given):
    return Fields(FormData(list(given.items())))


def test_text_is_put_on_one_line_and_never_cut():
    assert fields(name="  Blue \n star ").text("name") == "Blue star"
    assert fields(name="x" * 20).text("name", most=20) == "x" * 20
    with pytest.raises(SeamloreError, match="50 characters: at most 20"):
        fields(name="x" * 50).text("name", most=20)


def test_a_field_that_is_not_there_is_empty_and_no_slip():
    form = fields()
    assert (form.text("name"), form.lines("text"), form.data("corners"), form.words()) == ("", "", None, {})
    assert form.slips == {}


def test_fields_are_given_on_one_line_and_as_they_were_typed():
    form = fields(width=" about  so", height="88 in")
    assert form.words() == {"width": "about so", "height": "88 in"}
    assert form.typed() == {"width": " about  so", "height": "88 in"}


@pytest.mark.parametrize("text", ["", "-1", "1.5", "two", "٣", "²"])
def test_a_patch_has_a_number(text):
    with pytest.raises(ShapeError, match="choose a patch"):
        fields(patch=text).index("patch")


def test_data_that_is_broken_is_a_slip():
    form = fields(corners="[[1, 2")
    assert form.data("corners") is None
    assert "reload the page" in form.slips["corners"]


@pytest.mark.parametrize(("text", "base"), [("3", 3), ("", -1), ("-2", -1), ("x", -1), ("²", -1)])
def test_a_form_without_a_base_fits_no_revision(text, base):
    assert fields(base=text).base() == base
