"""Pictures of a quilt as it was found."""

import msgspec
import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.drawing.shapes import Area, Image, Text, walk
from seamlore.errors import PhotoError
from seamlore.pictures.found import alignment_picture, found_picture


def test_the_grid_is_drawn_over_the_photograph_as_recorded(reading, photo, as_recorded):
    as_recorded(found_picture(reading, photo, 61, 80), "found")


def test_the_photograph_keeps_the_shape_of_the_quilt(reading, photo):
    drawn = found_picture(reading, photo, 61, 80)
    (image,) = [each for each in walk(drawn.shapes) if isinstance(each, Image)]
    assert_allclose(image.width / image.height, 28 / 19)
    assert image.file is photo


def test_every_block_is_outlined_where_the_reading_has_it(reading, photo):
    drawn = found_picture(reading, photo, 61, 80)
    scale = 56 / 28
    plain = next(each for each in walk(drawn.shapes) if isinstance(each, Area) and each.stroke == "#2b2622")
    assert len(plain.rings) == 5
    assert_allclose(np.array(plain.rings[0]) / scale, [(-1, 0), (7, 0), (7, 8), (-1, 8)])


def test_blocks_on_point_stand_on_a_corner_and_more_lie_between_them(reading, photo):
    on_point = msgspec.structs.replace(
        reading,
        setting="on point",
        sashing=(0.0, 0.0),
        size=(24.0, 16.0),
        row_spans=((0.0, 8.0), (8.0, 16.0)),
        column_spans=((0.0, 8.0), (8.0, 16.0), (16.0, 24.0)),
    )
    drawn = found_picture(on_point, photo, 53, 80)
    scale = 48 / 24
    plain = next(each for each in walk(drawn.shapes) if isinstance(each, Area) and each.stroke == "#2b2622")
    # Two between the whole rows, then five whole ones; the sixth is turned and outlined apart.
    assert len(plain.rings) == 7
    assert_allclose(np.array(plain.rings[0]) / scale, [(8, 4), (12, 8), (8, 12), (4, 8)])
    assert_allclose(np.array(plain.rings[2]) / scale, [(4, 0), (8, 4), (4, 8), (0, 4)])


def test_a_block_that_was_not_read_has_a_question_mark_and_is_not_called_different(reading, photo):
    blocks = tuple(
        msgspec.structs.replace(each, kind=None, differs=True) if (each.row, each.column) == (0, 1) else each
        for each in reading.blocks
    )
    drawn = found_picture(msgspec.structs.replace(reading, blocks=blocks), photo, 61, 80)
    marks = [each for each in walk(drawn.shapes) if isinstance(each, Text) and each.words == "?"]
    assert_allclose([(each.x, each.y) for each in marks], [(2 * 14, 2 * 4)])
    assert drawn.description.endswith(
        " 1 block outlined because turned, mirrored or different. 1 block with a question mark: not read."
    )


def test_rows_and_columns_are_numbered_from_1(reading, photo):
    said = [each.words for each in walk(found_picture(reading, photo, 61, 80).shapes) if isinstance(each, Text)]
    assert said == ["1", "2", "3", "1", "2"]


def test_a_quilt_without_a_block_grid_is_shown_without_one(reading, photo):
    none = msgspec.structs.replace(
        reading, setting="none", rows=None, columns=None, row_spans=None, column_spans=None, blocks=None
    )
    drawn = found_picture(none, photo, 61, 80)
    assert drawn.description.endswith("No block grid was found.")
    assert not [each for each in walk(drawn.shapes) if isinstance(each, Text)]


def test_arrows_are_lengthened_by_a_number_that_is_said(reading):
    drawn = alignment_picture(reading, 61, 80)
    # The second row lies 1/4 in to the right; a block is 16 mm wide on paper, its arrow at most 0.6 of that.
    assert drawn.longest == "1/4 in"
    assert drawn.times * 0.25 * 2 <= 0.6 * 16
    heads = [each for each in walk(drawn.picture.shapes) if isinstance(each, Area) and each.fill == "#8a3b35"]
    assert_allclose(heads[3].rings[0][0][0] - 3 * 2, drawn.times * 0.25 * 2)


def test_a_reading_without_blocks_has_no_alignment(reading):
    with pytest.raises(PhotoError, match="draw the grid by hand"):
        alignment_picture(msgspec.structs.replace(reading, blocks=None), 61, 80)
