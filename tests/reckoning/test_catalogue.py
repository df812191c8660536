"""Every block of the catalogue at five sizes: cut sizes and counts as reckoned from its drawing by rules of a handbook."""

from collections import Counter
from fractions import Fraction

import pytest
from shapely import affinity
from shapely.geometry import Polygon

from seamlore.draft.catalogue import all_blocks
from seamlore.draft.pieces import Piece, pieces
from seamlore.draft.repeated import repeated
from seamlore.errors import PlanError
from seamlore.lengths import inches
from seamlore.making.cutting import cutting_list
from tests.reckoning.cloth import YIELDS, cut_sides, shape_of

ROWS, COLUMNS = 1, 3


def reckoned(block, side):
    """What each fabric of three blocks is cut into: counts by shape and cut size; templates only counted."""
    needed = Counter()
    for patch in block.patches:
        outline = Polygon([(float(x), float(y)) for x, y in patch.outline])
        shape = shape_of(affinity.scale(outline, side, side, origin=(0, 0)))
        needed[(patch.place, *(shape[:1] if shape[0] == "template" else shape))] += ROWS * COLUMNS
    cuts = Counter()
    for (place, shape, *sides), count in needed.items():
        size = (
            ()
            if shape == "template"
            else tuple(sorted((round(each, 4) for each in cut_sides(shape, *sides[:2])), reverse=True))
        )
        cuts[(place, shape, *size)] += count if shape == "template" else -(-count // YIELDS[shape])
    return cuts


def patches(block, side):
    """The pieces of three blocks, by letter. At 12 in they go the whole way of a quilt."""
    if side == 12:
        quilt = repeated(
            "q", block, inches(side), inches(side), ROWS, COLUMNS, fabrics={each: each for each in block.places}
        )
        return pieces(quilt)
    scale = Fraction(side)
    return [
        Piece(
            "patch",
            each.place,
            tuple((x * scale, y * scale) for x, y in each.outline),
            ROWS * COLUMNS,
            f"{each.place}{n}",
        )
        for n, each in enumerate(block.patches)
    ]


@pytest.mark.parametrize("side", [6, 8, 9, 12, 15.75])
def test_every_block_is_cut_as_reckoned(side):
    for block in all_blocks():
        try:
            listed = cutting_list(patches(block, side), inches("1/4"))
        except PlanError:
            # A patch narrower than its seam: none of the others are looked at.
            assert (
                min(float(min(x1 - x0, y1 - y0)) for x0, y0, x1, y1 in (each.bounds for each in block.patches)) * side
                < 0.5
            )
            continue
        found = Counter()
        for cut in listed:
            size = () if cut.shape == "template" else tuple(round(each.inches_float, 4) for each in cut.size)
            found[(cut.fabric, cut.shape, *size)] += cut.needed if cut.shape == "template" else cut.count
        assert found == reckoned(block, side), block.name
