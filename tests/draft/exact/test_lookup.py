"""Which patch lies at a point, against the geometry library."""

import numpy as np
import pytest
from shapely import Point, Polygon

from seamlore.draft.catalogue import all_blocks
from seamlore.draft.exact.lookup import inner_points, patches_at, sides


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_points_lie_in_the_patches_that_the_geometry_library_finds(each):
    rng = np.random.default_rng(7)
    spots = rng.uniform(0.001, 0.999, (40, 2))
    shapes = [Polygon(one.points) for one in each.patches]
    expected = sorted(
        (index, at) for at, spot in enumerate(spots) for index, one in enumerate(shapes) if one.contains(Point(spot))
    )
    assert sorted(patches_at(sides(each), spots)) == expected


@pytest.mark.parametrize("each", all_blocks(), ids=lambda each: each.name)
def test_the_inner_point_of_a_patch_lies_well_inside_it(each):
    for spot, one in zip(inner_points(each.patches), each.patches, strict=True):
        shape = Polygon(one.points)
        assert shape.contains(Point(spot))
        assert shape.exterior.distance(Point(spot)) > 0.005
