"""Variants of a quilt side by side."""

import pytest
from numpy.testing import assert_allclose

from seamlore.draft.sizes.variants import variants
from seamlore.drawing.shapes import Area, Group, Text, walk
from seamlore.errors import ShapeError
from seamlore.lengths import inches
from seamlore.pictures.variants import variants_picture


def widths(drawn):
    found = []
    for group in drawn.shapes:
        if isinstance(group, Group) and group.name:
            corners = [
                x for each in walk(group.shapes) if isinstance(each, Area) for ring in each.rings for x, _ in ring
            ]
            found.append(max(corners) - min(corners))
    return found


def test_all_variants_are_drawn_at_one_scale(quilt):
    tried = variants(quilt, {"sashing": [inches(1), inches(3), inches(5)]})
    drawn = widths(variants_picture(tried, 180))
    finished = [each.quilt.finished_size[0].inches_float for each in tried]
    assert_allclose([mm / drawn[0] for mm in drawn], [side / finished[0] for side in finished])


def test_a_variant_that_cannot_be_sewn_is_shown_with_its_reason(quilt):
    drawn = variants_picture(variants(quilt, {"block": [inches(0), inches(8)]}), 180)
    words = " ".join(each.words for each in walk(drawn.shapes) if isinstance(each, Text))
    assert "cannot be sewn" in words
    assert "block 0 in, cannot be sewn" in drawn.description


def test_variants_none_of_which_can_be_sewn_are_refused(quilt):
    with pytest.raises(ShapeError, match="none of which can be sewn"):
        variants_picture(variants(quilt, {"block": [inches(0)]}), 180)
