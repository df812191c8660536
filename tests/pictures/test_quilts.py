"""Pictures of quilts."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.draft.cells import with_counts
from seamlore.draft.layout import lay
from seamlore.draft.setting.setting import Cut, OnPoint
from seamlore.drawing.shapes import Area, Line, Text, walk
from seamlore.lengths import inches
from seamlore.pictures.quilts import quilt_picture


def _said(drawn):
    return [each.words for each in walk(drawn.shapes) if isinstance(each, Text)]


def test_a_quilt_is_drawn_as_recorded(quilt, as_recorded):
    as_recorded(quilt_picture(quilt, 60, 80), "quilt")


def test_each_size_is_lettered_once_along_each_side_and_the_whole_opposite(quilt):
    # 4 + 8 + 3 + 8 + 4 = 27 in across; 4 + 8 + 3 + 8 + 3 + 8 + 4 = 38 in down.
    assert _said(quilt_picture(quilt, 60, 80)) == ["4", "8", "3", "4", "8", "3", "27 in", "38 in"]


def test_a_picture_takes_all_of_its_room_one_way(quilt):
    for width, height in ((50, 200), (200, 50)):
        drawn = quilt_picture(quilt, width, height)
        assert drawn.width_mm <= width + 1e-9
        assert drawn.height_mm <= height + 1e-9
        assert_allclose(min(width - drawn.width_mm, height - drawn.height_mm), 0, atol=1e-9)


def test_length_and_width_are_drawn_to_one_scale(quilt):
    drawn = quilt_picture(quilt, 60, 80, dimensions=False)
    assert_allclose((drawn.width_mm - 0.6) / (drawn.height_mm - 0.6), 27 / 38)


def test_what_the_edge_cut_off_is_clipped_from_the_lettered_chain(quilt):
    cut = replace(quilt, borders=(), cut=Cut(inches("3/2"), inches(0), inches("3/2"), inches(0)))
    said = _said(quilt_picture(cut, 60, 80))
    assert said[:2] == ["6 1/2", "3"]
    assert "16 in" in said


def test_a_setting_without_straight_rows_letters_the_whole_only(quilt):
    said = _said(quilt_picture(with_counts(quilt, 3, 2, OnPoint(), sashing=None, borders=()), 60, 80))
    # 2 blocks of 8 in on point are 2 x 8 x 1.41421 = 22.63 in across (trade.md A3: diagonal of a square).
    assert said == ["22 5/8", "33 15/16", "22 5/8 in", "33 15/16 in"]


def test_the_edge_as_it_is_now_is_drawn_at_its_place(quilt):
    edge = (inches(1), inches(2), inches(3), inches(4))
    drawn = quilt_picture(quilt, 60, 80, edge_now=edge, dimensions=False)
    (dashed,) = [each for each in walk(drawn.shapes) if isinstance(each, Area) and each.dash_mm]
    scale = (drawn.width_mm - 0.6) / 27
    corners = np.array(dashed.rings[0]) / scale
    assert_allclose(corners.min(axis=0), [1, 2])
    assert_allclose(corners.max(axis=0), [27 - 3, 38 - 4])


def test_without_dimensions_nothing_is_lettered(quilt):
    drawn = quilt_picture(quilt, 60, 80, dimensions=False)
    assert not _said(drawn)
    assert not [each for each in walk(drawn.shapes) if isinstance(each, Line)]


@pytest.mark.parametrize("title", ["", "As drafted"])
def test_the_description_says_rows_columns_and_size(quilt, title):
    drawn = quilt_picture(quilt, 60, 80, title=title)
    assert drawn.title == (title or "Trial")
    assert drawn.description == (
        "Trial: 3 rows of 2 Shoo Fly blocks, 27 x 38 in finished. With sashing with cornerstones and a border."
    )


def test_one_color_for_each_piece_comes_before_all_cloths(quilt):
    laid = lay(quilt)
    colors = [f"#{number:06x}" for number in range(len(laid))]
    painted = [
        each
        for each in walk(quilt_picture(quilt, 100, 100, coloring=colors).shapes)
        if isinstance(each, Area) and each.fill
    ]
    assert [each.fill for each in painted] == colors


def test_colors_that_are_not_as_many_as_the_pieces_are_refused(quilt):
    with pytest.raises(ValueError, match="shorter"):
        quilt_picture(quilt, 100, 100, coloring=["#ffffff"])
