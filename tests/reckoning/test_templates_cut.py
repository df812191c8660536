"""Templates of the catalogue: each is its patch, and what is cut for it holds the patch with its seam, by a geometry library."""

from fractions import Fraction
from itertools import combinations, pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shapely import affinity
from shapely.geometry import Polygon

from seamlore.draft.catalogue import all_blocks
from seamlore.errors import PlanError
from seamlore.lengths import inches
from seamlore.making.cutting import cutting_list
from tests.reckoning.test_catalogue import patches

SEAM, MARK, WIDE = 0.25, 1 / 8, 42


def spans(polygon):
    """Distances between all corners, in order: alike for outlines that differ by a turn or a mirror."""
    points = np.array(polygon.exterior.coords[:-1])
    return sorted(float(np.hypot(*(one - two))) for one, two in combinations(points, 2))


def templates(side):
    for block in all_blocks():
        try:
            listed = cutting_list(patches(block, side), inches("1/4"), inches(WIDE))
        except PlanError:
            continue
        for cut in listed:
            if cut.shape == "template":
                yield block, cut


@pytest.mark.parametrize("side", [8, 12])
def test_every_template_is_its_patch_and_is_cut_with_its_seam_and_not_a_mark_more(side):
    seen = 0
    for block, cut in templates(side):
        scale = Fraction(side) if side == 8 else None
        given = Polygon([(float(x), float(y)) for x, y in cut.shaped.outline])
        if scale is not None:
            # There the labels count the patches of the drawing.
            drawn = [block.patches[int(label.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ"))] for label in cut.labels]
            for patch in drawn:
                outline = Polygon([(float(x), float(y)) for x, y in patch.outline])
                assert_allclose(spans(affinity.scale(outline, side, side)), spans(given), atol=1e-5)
        if cut.nest is None:
            least, most = (given.buffer(SEAM, join_style=join, mitre_limit=50).bounds for join in ("round", "mitre"))
            lows, highs = (sorted((b[2] - b[0], b[3] - b[1]), reverse=True) for b in (least, most))
            for size, low, high in zip(cut.size, lows, highs, strict=True):
                assert low - 1e-6 <= size.inches_float < high + MARK
        else:
            slants = [(float(upper), float(lower)) for upper, lower in cut.nest.slants(cut.yields)]
            deep = cut.nest.depth.inches_float
            assert max(map(max, slants)) <= cut.size[0].inches_float if cut.size[0] >= cut.nest.depth else True
            assert max(map(max, slants)) <= WIDE + 1e-9
            for (u0, l0), (u1, l1) in pairwise(slants):
                quad = Polygon([(u0, 0), (u1, 0), (l1, deep), (l0, deep)])
                left = quad.buffer(-SEAM, join_style="mitre", mitre_limit=50)
                # What is left inside the seams is the patch, but for the mark that the strip is rounded up to.
                widest = given.bounds[2] - given.bounds[0]
                assert given.area - 1e-4 <= left.area <= given.area + MARK * widest + 1e-4, (block.name, cut.labels)
        seen += 1
    assert seen > 50
