"""A table of fabrics as it is written in a spreadsheet."""

from __future__ import annotations

import numpy as np
import pytest

from seamlore.errors import NotationError, SeamloreError
from seamlore.steps.fabrics.table import read_fabrics


def table(*rows, heading="fabric,value,patches"):
    return "\n".join([heading, *rows]) + "\n"


def test_a_table_may_have_its_columns_in_any_order_and_a_mark_before_it():
    read = read_fabrics("\ufeffvalue,color,name,patches\r\ndark,#102030,red dot,3\r\n\r\n")
    assert (read[0].cloth.name, read[0].cloth.patches, read[0].color) == ("red dot", 3, "#102030")


def test_a_name_may_hold_a_comma_in_quotes():
    assert read_fabrics(table('"red, faded",dark,2'))[0].cloth.name == "red, faded"


@pytest.mark.parametrize(
    ("said", "square_inches"),
    [("250 sq in", 250.0), ("1600 sq cm", 1600 / 2.54**2), ("18 x 22 in", 396.0), ("18x22in", 396.0)],
)
def test_an_area_is_read_in_square_inches_whatever_it_was_said_in(said, square_inches):
    # 1 in is 2.54 cm exactly (international yard, 1959).
    read = read_fabrics(table(f"red,dark,{said}", heading="fabric,value,area"))
    np.testing.assert_allclose(read[0].cloth.area_in2, square_inches, rtol=1e-12)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no fabrics"),
        (table(), "no fabrics"),
        ("name,amount\n", 'a column "amount"'),
        ("fabric,patches\nred,2\n", "no column value"),
        (table(",dark,2"), "without a name"),
        (table("red,darkish,2"), 'did you mean "dark"'),
        (table("red,dark,two"), "whole number of patches"),
        (table("red,dark,2,extra"), "4 cells"),
        (table("red,dark,2", "red,light,3"), 'a second "red"'),
        (table("red,dark,12", heading="fabric,value,area"), "square inches"),
        (table("red,dark,puce", heading="fabric,value,color"), "no color is called that"),
    ],
)
def test_a_table_that_is_wrong_is_refused_with_its_line(text, message):
    with pytest.raises(SeamloreError, match=message):
        read_fabrics(text, source="scraps.csv")


def test_a_wrong_row_is_named_by_its_line():
    with pytest.raises(NotationError, match=r"scraps\.csv, line 3"):
        read_fabrics(table("red,dark,2", "blue,,2"), source="scraps.csv")
