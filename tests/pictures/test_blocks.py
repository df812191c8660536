"""Pictures of blocks."""

import pytest
from numpy.testing import assert_allclose

from seamlore.drawing.shapes import Area, Group, Text, walk
from seamlore.errors import ShapeError
from seamlore.pictures.blocks import block_picture, contact_sheet
from seamlore.pictures.palette import block_grays
from seamlore.plane.outline import area, as_outline


def test_a_block_is_drawn_as_recorded(shoo_fly, as_recorded):
    as_recorded(block_picture(shoo_fly, 30, letters=True), "block")


def test_a_block_in_grays_is_drawn_as_recorded(shoo_fly, as_recorded):
    as_recorded(block_picture(shoo_fly, 30, block_grays(shoo_fly)), "block_grays")


def test_painted_patches_cover_the_block(shoo_fly):
    drawn = block_picture(shoo_fly, 30)
    painted = [each for each in walk(drawn.shapes) if isinstance(each, Area) and each.fill]
    assert_allclose(sum(area(as_outline(ring)) for each in painted for ring in each.rings), 900)


def test_one_unit_is_shown_and_the_rest_is_a_shadow(shoo_fly):
    drawn = block_picture(shoo_fly, 30, only=[0, 1])
    (shadow,) = [each for each in walk(drawn.shapes) if isinstance(each, Group) and each.opacity < 1]
    seams = [each for each in walk(drawn.shapes) if isinstance(each, Area) and not each.fill]
    hidden = [each for each in shadow.shapes if isinstance(each, Area) and not each.fill]
    assert len(hidden[0].rings) == len(shoo_fly.patches) - 2
    assert sorted(len(each.rings) for each in seams) == [2, len(shoo_fly.patches) - 2]


def test_a_patch_that_the_block_has_not_is_refused(shoo_fly):
    with pytest.raises(ShapeError, match="patch 100: it has 13 patches"):
        block_picture(shoo_fly, 30, only=[99])


def test_a_contact_sheet_names_every_block(shoo_fly):
    drawn = contact_sheet([shoo_fly] * 7, 100, columns=3, captions=[f"No. {n}" for n in range(7)])
    said = [each.words for each in walk(drawn.shapes) if isinstance(each, Text)]
    assert said == [f"No. {n}" for n in range(7)]
    assert drawn.height_mm < 3 * (100 / 3 + 9)


def test_a_contact_sheet_of_nothing_is_refused():
    with pytest.raises(ShapeError, match="no blocks"):
        contact_sheet([], 100)
