"""The layout of a quilt."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from seamlore.draft.catalogue import find
from seamlore.draft.layout import lay, spot_outlines, up_of
from seamlore.draft.setting.arranged import arrange
from seamlore.draft.text.quilt_file import read_quilt
from seamlore.drawing.shapes import Text, walk
from seamlore.pictures.layout import layout_picture

HANDED = "quilt T\nfinished 6 in\nrow N N/m N/90\nrow N/180 N N/m270\nkind N Bright Hopes\n"
POINT = "quilt T\nfinished 6 in\nrows 2\ncolumns 3\nset on point\nmade of Shoo Fly\n"
STRIPS = "quilt T\nfinished 6 in\nrows 4\ncolumns 3\nset strips 3 in, outside\nmade of Shoo Fly\n"


def quilt(text):
    return read_quilt(text, find_block=find)


def words(picture):
    return [shape.words for shape in walk(picture.shapes) if isinstance(shape, Text)]


@pytest.mark.parametrize(
    ("text", "rows", "said"),
    [
        (HANDED, 2, "2 rows, numbered from the top"),
        (POINT, 4, "4 diagonal rows, numbered from the top right corner"),
        (STRIPS, 3, "3 columns, numbered from the left"),
    ],
)
def test_rows_are_numbered_as_they_are_sewn(text, rows, said):
    drawn = layout_picture(quilt(text), 150, 150, title="Layout")
    assert [each for each in words(drawn) if each.isdigit()] == [str(number) for number in range(1, rows + 1)]
    assert said in drawn.description


def test_the_outline_of_a_spot_holds_its_patches_and_no_more():
    for text in (HANDED, POINT, STRIPS, POINT.replace("on point", "on point, half blocks")):
        given = quilt(text)
        patches = {}
        for each in lay(given):
            if each.where.part == "block":
                patches.setdefault((each.row, each.column), []).append(each.outline)
        for spot in arrange(given).spots:
            corners = np.concatenate(spot_outlines(spot))
            inside = np.concatenate(patches[spot.where.row, spot.where.column])
            assert_allclose(corners.min(axis=0), inside.min(axis=0), atol=1e-9)
            assert_allclose(corners.max(axis=0), inside.max(axis=0), atol=1e-9)


def test_the_arrow_points_where_the_top_of_the_block_as_drawn_came_to_lie():
    # The patch at the top left of Bright Hopes as drawn: mirrored left to right first, then turned clockwise.
    given = quilt(HANDED)
    ups = {(spot.where.row, spot.where.column): up_of(spot) for spot in arrange(given).spots}
    assert ups == {
        (0, 0): (0, -1), (0, 1): (0, -1), (0, 2): (1, 0), (1, 0): (0, 1), (1, 1): (0, -1), (1, 2): (-1, 0),
    }  # fmt: skip
    first = next(index for index, each in enumerate(given.kinds[0].block.patches) if each.bounds[1] == 0)
    for each in lay(given):
        if each.patch == first:
            block = np.array([[each.column * 6 + 3.0, each.row * 6 + 3.0]])
            toward = each.outline.mean(axis=0) - block[0]
            assert toward @ np.array(ups[each.row, each.column]) > 0


def test_reversed_blocks_are_marked_and_one_way_lying_needs_no_arrow():
    drawn = layout_picture(quilt(HANDED), 150, 100, title="Layout")
    assert words(drawn).count("r") == 2
    straight = layout_picture(quilt(POINT), 150, 150, title="Layout")
    assert "r" not in words(straight)
