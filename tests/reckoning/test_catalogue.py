"""Every block of the catalogue at two of five sizes: cut sizes, counts and yardage as reckoned from its drawing by rules of a handbook."""

import os
from collections import Counter, defaultdict
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
from seamlore.making.strips import needs
from tests.reckoning.cloth import YIELDS, cut_sides, shape_of
from tests.reckoning.yardage import told

ROWS, COLUMNS = 1, 3
ALL = os.environ.get("SEAMLORE_FOLLOW") == "all"
ONCE = (6, 8, 9, 15.75)


def drawn(block, side):
    """The cuts of three blocks by letter, reckoned from the drawing."""
    needed = Counter()
    for patch in block.patches:
        outline = Polygon([(float(x), float(y)) for x, y in patch.outline])
        shape = shape_of(affinity.scale(outline, side, side, origin=(0, 0)))
        needed[(patch.place, *(shape[:1] if shape[0] == "template" else shape))] += ROWS * COLUMNS
    found = defaultdict(list)
    for (place, shape, *sides), count in needed.items():
        if shape == "template":
            found[place].append(("template", 0.0, 0.0, count))
        else:
            one, two = sorted(cut_sides(shape, *sides[:2]), reverse=True)
            found[place].append((shape, one, two, -(-count // YIELDS[shape])))
    return found


def counted(cuts):
    """How many are cut of each letter, shape and size; of templates, whose size is not reckoned, how many are needed."""
    found = Counter()
    for place, lines in cuts.items():
        for shape, one, two, count in lines:
            found[(place, shape, *(() if shape == "template" else (round(one, 4), round(two, 4))))] += count
    return found


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


def looked_at(side):
    """Every block at 12 in and at one size more, from one to the next another; SEAMLORE_FOLLOW=all: all at every size."""
    blocks = list(all_blocks())
    return blocks if ALL or side not in ONCE else blocks[ONCE.index(side) :: len(ONCE)]


@pytest.mark.parametrize("side", [*ONCE, 12])
def test_every_block_is_cut_and_bought_as_reckoned(side):
    for block in looked_at(side):
        try:
            listed = cutting_list(patches(block, side), inches("1/4"), inches(42))
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
        cuts = drawn(block, side)
        assert found == counted(cuts), block.name
        for need in needs(listed, inches(42), inches("1/4")):
            told(need, cuts[need.fabric])
