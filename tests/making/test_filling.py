"""The filling: size and package."""

import pytest

from seamlore.errors import PlanError
from seamlore.lengths import Unit, centimeters, inches, length
from seamlore.making.finish.filling import PACKAGES, distances_said, filling


@pytest.mark.table("batting_sizes.toml")
def test_batting_is_cut_as_in_print(row):
    made = filling(*(length(each) for each in row["top"]))
    assert made.size == tuple(length(each) for each in row["cut"])


@pytest.mark.table("batting_sizes.toml", "package")
def test_packages_are_those_of_the_trade(row):
    assert (row["name"], *row["size"]) in PACKAGES


def test_the_smallest_package_that_holds_it_is_named():
    assert filling(inches(37), inches(52)).package == "crib"
    assert filling(inches(37.5), inches(52)).package == "twin"


def test_a_package_may_be_turned():
    assert filling(inches(82), inches(64)).package == "twin"


def test_what_no_package_holds_is_said():
    made = filling(inches(113), inches(100))
    assert made.package_size is None
    assert "buy it by the length" in str(made)


def test_metric_batting_is_twenty_centimeters_larger():
    assert filling(centimeters("150.3"), centimeters(200)).size == (centimeters(171), centimeters(220))


@pytest.mark.parametrize(("kind", "said"), [("blanket", "a blanket"), ("older quilt", "an older quilt")])
def test_what_is_no_batting_is_called_what_it_is_and_has_no_package(kind, said):
    made = filling(inches(62), inches(74), kind=kind)
    assert (made.kind, made.package, made.package_size) == (kind, "", None)
    assert str(made) == f"70 x 82 in, cut from {said} at least as large"


def test_another_filling_is_refused():
    with pytest.raises(PlanError, match="batting, blanket, older quilt or none"):
        filling(inches(62), inches(74), kind="straw")


def test_distances_in_centimeters_are_never_farther():
    assert "cotton that is not bonded 5 cm" in distances_said(Unit.CM)
    assert "batting without a label 2 to 5 cm" in distances_said(Unit.CM)
