"""Cutting diagrams."""

import pytest
from numpy.testing import assert_allclose

from seamlore.drawing.shapes import Area, Line, Text, walk
from seamlore.errors import PlanError
from seamlore.lengths import inches
from seamlore.pictures.cutting import Strip, StripPiece, strips_picture
from seamlore.pictures.laid import Laid, laid_picture
from seamlore.pictures.lettering import words_width


def _strips(count=8):
    squares = tuple(StripPiece(inches("39/8"), "A1", "/") for _ in range(count))
    return [Strip(inches("39/8"), squares, 7), Strip(inches("5/2"), (StripPiece(inches("17/2"), "sash"),))]


def test_strips_are_drawn_as_recorded(as_recorded):
    as_recorded(strips_picture(_strips(), inches(42), 118, title="Fabric A"), "strips")


def test_pieces_and_fabric_are_drawn_to_one_scale():
    drawn = strips_picture(_strips(), inches(42), 118, title="Fabric A")
    pieces = next(each for each in walk(drawn.shapes) if isinstance(each, Area) and each.fill == "#efe7d7")
    fabric = next(each for each in walk(drawn.shapes) if isinstance(each, Area) and each.dash_mm)
    width = pieces.rings[0][1][0] - pieces.rings[0][0][0]
    assert_allclose(width / (fabric.rings[0][1][0] - fabric.rings[0][0][0]), 4.875 / 42)
    assert len(pieces.rings) == 8


def test_squares_cut_once_corner_to_corner_show_it():
    drawn = strips_picture(_strips(), inches(42), 118, title="Fabric A")
    diagonals = [each for each in walk(drawn.shapes) if isinstance(each, Line) and len(each.runs) == 8]
    assert len(diagonals) == 1


def test_each_strip_says_how_many_are_cut_like_it():
    said = [
        each.words
        for each in walk(strips_picture(_strips(), inches(42), 118, title="Fabric A").shapes)
        if isinstance(each, Text)
    ]
    assert "cut 7 strips like this: 8 A1 from each" in said
    assert "cut 1 strip like this: 1 sash" in said


def test_pieces_longer_than_the_fabric_is_wide_are_refused():
    with pytest.raises(PlanError, match="pieces 43 7/8 in long along a strip: the fabric is 42 in wide"):
        strips_picture(_strips(9), inches(42), 118, title="Fabric A")


def test_a_diagram_without_strips_is_refused():
    with pytest.raises(PlanError, match="no strips"):
        strips_picture([], inches(42), 118, title="Fabric A")


def cuts_of(drawn):
    """The lines of a diagram that are not lettering: each as (x0, y0), (x1, y1)."""
    return [
        run for each in walk(drawn.shapes) if isinstance(each, Line) and each.stroke_mm == 0.18 for run in each.runs
    ]


@pytest.mark.parametrize(("then", "rises"), [("/", [True]), ("\\", [False]), ("x", [True, False]), ("", [])])
def test_a_piece_is_cut_from_corner_to_corner_the_way_that_is_said(then, rises):
    strip = Strip(inches(3), (StripPiece(inches(6), "B2", then),))
    found = cuts_of(strips_picture([strip], inches(42), 118, title="Fabric B"))
    # y runs down: a cut that rises to the right ends higher up.
    assert [(x1 > x0) == (y1 < y0) for (x0, y0), (x1, y1) in found] == rises


def test_parallelograms_are_drawn_leaning_as_they_are_cut():
    slants = ((0.0, 3.5), (3.5, 7.0), (7.0, 10.5))
    strip = Strip(inches("3.5"), (StripPiece(inches("10.5"), "A1", slants=slants),))
    drawn = strips_picture([strip], inches(42), 118, title="Fabric A")
    lean = [(x1 - x0) / (y1 - y0) for (x0, y0), (x1, y1) in cuts_of(drawn)]
    assert_allclose(lean, 1.0)
    said = [each.words for each in walk(drawn.shapes) if isinstance(each, Text)]
    assert "cut 1 strip like this: 2 A1" in said
    assert said.count("A1") == 2


def test_smaller_pieces_lie_one_behind_the_other_at_a_strips_end():
    pieces = (StripPiece(inches(24), "side"), StripPiece(inches(8), "A1", deep=inches(8), stacked=3))
    drawn = strips_picture([Strip(inches(24), pieces)], inches(42), 118, title="Fabric A")
    said = [each.words for each in walk(drawn.shapes) if isinstance(each, Text)]
    assert "cut 1 strip like this: 1 side and 3 A1" in said


def test_what_a_strip_of_many_pieces_holds_stays_on_the_page():
    said = "cut 1 strip like this: " + ", ".join(f"1 U2 A{number}" for number in range(30))
    drawn = laid_picture(Laid(inches(42), inches(9), (), (), said), 2.5, 118, title="Fabric U2-A")
    lines = [each for each in walk(drawn.shapes) if isinstance(each, Text) and each.x > 0 and "U2" in each.words]
    assert " ".join(each.words for each in lines) == said
    assert all(each.x + words_width(each.words, each.size_pt) <= drawn.width_mm for each in lines)
    assert lines[-1].y < drawn.height_mm
