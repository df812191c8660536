from dataclasses import replace

import numpy as np

from seamlore.photo.grid.grid import Grid, no_grid
from seamlore.photo.warnings import remarks, weightiest

# The wording is our own; the sums behind it are simple enough to be done here by hand.


def a_grid(edge: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0), confidence: float = 0.95) -> Grid:
    return replace(
        no_grid(confidence),
        setting="straight",
        rows=7,
        columns=7,
        cells=np.zeros((7, 7, 4, 2)),
        block=(80.0, 80.0),
        edge=edge,
    )


def said(grid: Grid, **changes: object) -> str:
    given = {"size": (70.5, 70.5), "unit": "in", "per_unit": 10.0, "edge_sigma": 0.2, "proportion": 1.0}
    given |= {"waits": False} | changes
    return " ".join(remarks(grid, **given))  # type: ignore[arg-type]


def test_sides_that_lose_alike_are_named_together_with_what_they_lost() -> None:
    assert said(a_grid((-17.5, 0, -17.5, 0))) == "The blocks at the left and right are cut off by about 1 3/4 in."


def test_sides_that_lose_differently_are_named_apart() -> None:
    text = said(a_grid((-10.0, -30.0, 0, 0)))
    assert "at the left are cut off by about 1 in" in text
    assert "at the top are cut off by about 3 in" in text


def test_a_cut_within_its_uncertainty_is_not_claimed() -> None:
    assert said(a_grid((-3.0, 0, 0, 0))) == ""


def test_centimeters_are_said_in_half_centimeters() -> None:
    assert "about 4.5 cm" in said(a_grid((-44.0, 0, 0, 0)), unit="cm", size=(180.0, 180.0))


def test_a_size_that_contradicts_the_picture_is_said_with_both_figures() -> None:
    text = said(a_grid(), size=(88.0, 74.0), proportion=0.84)
    assert "88 x 74 in" in text
    assert "1.19" in text
    assert "0.84" in text
    assert "the wrong way round" in text


def test_a_size_within_fifteen_percent_of_the_picture_is_left_alone() -> None:
    assert said(a_grid(), size=(74.0, 70.0), proportion=0.95) == ""


def test_that_no_size_was_given_is_no_warning() -> None:
    assert said(a_grid(), unit="width", size=(1.0, 1.0), per_unit=1000.0, proportion=None) == ""


def test_an_uncertain_grid_asks_her_to_count_and_says_how_often_such_were_right() -> None:
    # Measured, and the same for all that are doubtful: the confidence tells little among them.
    for confidence in (0.4, 0.6):
        assert "about 5 in 10 were right. Count the rows" in said(a_grid(confidence=confidence))
    assert "the blocks are read after that" in said(a_grid(confidence=0.6), waits=True)


def test_a_grid_that_she_has_counted_is_not_called_uncertain() -> None:
    assert said(a_grid(confidence=0.6), counted=True) == ""


def test_no_more_than_two_are_said_the_weightiest_first() -> None:
    assert weightiest(["edge"], ["grid", "cut"], ["few"]) == ("edge", "grid")
    assert weightiest([], ["cut", "cut"], ["few"]) == ("cut", "few")


def test_no_grid_is_said_with_what_to_do() -> None:
    assert "give them" in said(no_grid(0.9))
