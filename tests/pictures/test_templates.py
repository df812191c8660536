"""Patch templates."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.drawing.shapes import Area, Line, Text, walk
from seamlore.errors import ShapeError
from seamlore.lengths import centimeters, inches
from seamlore.pictures.lettering import words_width
from seamlore.pictures.templates import template_picture
from seamlore.plane.outline import grow

SQUARE = np.array([[0.0, 0], [3, 0], [3, 3], [0, 3]])
TRIANGLE = np.array([[0.0, 0], [3, 0], [0, 3]])
QUARTER = inches("1/4")


def _lines(drawn):
    outlines = [each for each in walk(drawn.shapes) if isinstance(each, Area) and each.stroke]
    cutting = next(each for each in outlines if not each.dash_mm)
    sewing = next(each for each in outlines if each.dash_mm)
    return np.array(cutting.rings[0]), np.array(sewing.rings[0])


def test_a_template_is_drawn_as_recorded(as_recorded):
    as_recorded(template_picture(TRIANGLE, QUARTER, "A2", ["cut 112 from indigo"]), "template")


def test_a_finished_3_in_square_is_cut_3_and_a_half_at_true_scale():
    # trade.md A1 (document "Allowing for seam allowances"): a square is cut 1/2 in larger; 1 in = 25.4 mm.
    cutting, sewing = _lines(template_picture(SQUARE, QUARTER, "A1"))
    assert_allclose(np.ptp(cutting, axis=0), 3.5 * 25.4)
    assert_allclose(np.ptp(sewing, axis=0), 3 * 25.4)


def test_a_metric_allowance_is_drawn_in_millimeters():
    cutting, sewing = _lines(template_picture(SQUARE, centimeters("0.75"), "A1"))
    assert_allclose((np.ptp(cutting, axis=0) - np.ptp(sewing, axis=0)) / 2, 7.5)


def test_the_cutting_line_is_that_of_the_plane_room():
    # One rule for seam allowances: what is drawn is what `plane.outline.grow` gives, points trimmed.
    cutting, _ = _lines(template_picture(TRIANGLE, QUARTER, "A1", []))
    assert_allclose(np.ptp(cutting, axis=0), np.ptp(grow(TRIANGLE, 0.25), axis=0) * 25.4, atol=1e-6)


def test_label_and_count_are_written_on_the_patch():
    drawn = template_picture(SQUARE, QUARTER, "A1", ["cut 56 from indigo prints"])
    said = [each.words for each in walk(drawn.shapes) if isinstance(each, Text)]
    assert said == ["A1", "cut 56 from indigo prints"]
    assert_allclose(drawn.height_mm, 3.5 * 25.4 + 1)


@pytest.mark.parametrize("grain", [0.0, 45.0, 90.0, 135.0])
def test_the_arrow_of_the_grain_crosses_no_words(grain):
    """On a square that stands on its corner the grain runs aslant, beside the words and not through them."""
    diamond = np.array([[3.0, 0], [6, 3], [3, 6], [0, 3]])
    shapes = list(
        walk(template_picture(diamond, QUARTER, "X B1", ["Fabric X-B", "also X C1"], grain_deg=grain).shapes)
    )
    arrows = [each for each in shapes if isinstance(each, Line) and len(each.runs) == 1]
    assert len(arrows) == 2
    for words in (each for each in shapes if isinstance(each, Text)):
        half = words_width(words.words, words.size_pt) / 2
        for start, end in (run for line in arrows for run in line.runs):
            for x, y in np.linspace(start, end, 40):
                assert abs(x - words.x) > half or not words.y - words.size_pt * 0.25 < y < words.y


def test_words_that_do_not_go_into_a_small_patch_stand_under_it():
    drawn = template_picture(SQUARE / 6, QUARTER, "D", ["cut 4 from a fabric with a long name"])
    texts = [each for each in walk(drawn.shapes) if isinstance(each, Text)]
    assert [each.words for each in texts] == ["D", "cut 4 from a fabric with a long name"]
    assert drawn.height_mm > 25.4 + 1 + 3
    assert "1/2 by 1/2 in finished" in drawn.description


def test_an_allowance_too_wide_for_the_patch_is_refused():
    notched = np.array([[0.0, 0], [4, 0], [4, 4], [2.2, 4], [2.2, 1], [1.8, 1], [1.8, 4], [0, 4]])
    with pytest.raises(ShapeError, match="cutting line must not cross itself"):
        template_picture(notched, QUARTER, "X")


@pytest.mark.parametrize("side", [inches(1), centimeters(3)])
def test_every_side_of_a_hexagon_of_four_allowances_has_its_notch(side):
    allowance = QUARTER if side == inches(1) else centimeters("0.75")
    turns = np.radians(30 + 60 * np.arange(6))
    corners = np.column_stack([np.cos(turns), np.sin(turns)]) * side.inches_float
    (notches,) = (
        each
        for each in walk(template_picture(corners, allowance, "hexagon").shapes)
        if isinstance(each, Line) and each.stroke_mm == 0.25 and len(each.runs) > 1
    )
    assert len(notches.runs) == 6
