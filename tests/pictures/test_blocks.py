"""Pictures of blocks."""

import pytest
from numpy.testing import assert_allclose

from seamlore.drawing.shapes import Area, Group, walk
from seamlore.errors import ShapeError
from seamlore.pictures.blocks import block_picture
from seamlore.pictures.palette import GRAYS
from seamlore.plane.outline import area, as_outline


def test_a_block_is_drawn_as_recorded(shoo_fly, as_recorded):
    as_recorded(block_picture(shoo_fly, 30, letters=True), "block")


def test_a_block_in_grays_is_drawn_as_recorded(shoo_fly, as_recorded):
    as_recorded(
        block_picture(shoo_fly, 30, {letter: GRAYS[place.value] for letter, place in shoo_fly.places.items()}),
        "block_grays",
    )


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
