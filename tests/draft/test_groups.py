"""How a block lies in the quilt beside how it is drawn where it is sewn: laid so, the drawing is what stands in the quilt."""

from __future__ import annotations

from itertools import product

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_cells
from seamlore.draft.groups import as_sewn, groups
from seamlore.draft.kinds import Cell, Kind, Turned
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.arranged import arrange
from seamlore.draft.setting.parts import parts
from seamlore.draft.setting.setting import OnPoint
from seamlore.lengths import inches

WAYS = [Turned(turn, mirrored) for mirrored, turn in product((False, True), (0, 90, 180, 270))]
# No turn brings back the mirror image of the first two; the third looks the same in every half turn.
BLOCKS = ("pinwheel", "log cabin", "jacob's ladder", "birds in the air", "shoo fly")


def turned_right(outline, quarters):
    """Turn corners in a square of 1 by 1 clockwise, in a frame where y runs down."""
    for _ in range(quarters):
        outline = [(1 - y, x) for x, y in outline]
    return outline


def pieced(patches, side=1, quarters=0):
    return {(place, frozenset(turned_right([(x / side, y / side) for x, y in outline], quarters)))
            for outline, place in patches}  # fmt: skip


@pytest.mark.parametrize("name", BLOCKS)
@pytest.mark.parametrize("ways", [WAYS, WAYS[1:4], WAYS[5:], WAYS[2:3]], ids=["all", "turned", "mirrored", "one"])
def test_the_block_as_drawn_and_turned_so_is_the_block_in_the_quilt(name, ways):
    block = find(name)
    plain = repeated("q", block, inches(9), inches(9), 1, len(ways))
    quilt = with_cells(plain, {(0, at): Cell(plain.kinds[0].name, way) for at, way in enumerate(ways)})
    spots = {(spot.where.row, spot.where.column): spot for spot in arrange(quilt).spots}
    lies, seen = as_sewn(quilt), 0
    for group in groups(quilt):
        for spot in group.spots:
            at = spot.where.row, spot.where.column
            drawn = pieced([(each.outline, each.place) for each in group.patches], 1, lies[at].turn // 90)
            assert drawn == pieced([(each.outline, each.place) for each in parts(spots[at])], 9)
            assert lies[at].mirrored == group.reversed
            seen += 1
    assert seen == len(ways)


def test_what_the_edge_has_cut_and_plain_blocks_lie_in_no_way_of_their_own():
    halves = repeated("q", find("log cabin"), inches(8), inches(8), 2, 2, setting=OnPoint("half blocks"))
    assert set(as_sewn(halves)) == {(1, 0), (1, 1), (2, 1), (3, 0), (3, 1)}
    two = repeated("q", find("pinwheel"), inches(8), inches(8), 1, 2)
    mixed = with_cells(two, {(0, 1): Cell("P")}, [Kind("P", find("four patch"))])
    assert set(as_sewn(mixed)) == {(0, 0), (0, 1)}
