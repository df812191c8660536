"""Re-setting against counting by hand: seams, strips, cut blocks completed or left out."""

from __future__ import annotations

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.errors import MeasureError
from seamlore.lengths import inches, length
from seamlore.saving.opening import seams, seams_kept
from seamlore.saving.resetting import completing, has_cut_blocks, opened, set_anew

EIGHT = (inches(8), inches(8))
NONE = (inches(0), inches(0))
QUARTER, WIDE = inches("1/4"), inches(42)


def plain(rows, columns, gap=0, **more):
    strips = Sashing(inches(gap), inches(gap)) if gap else None
    return repeated("q", find("nine patch"), inches(9), inches(9), rows, columns, strips, **more)


def cut_of(found):
    return sorted((cut.count, str(cut.size[0]), str(cut.size[1])) for need in found.fabrics for cut in need.cuts)


def test_resetting_opens_every_seam_between_blocks():
    """By hand, 2 rows of 3 blocks of 8 in, 3 in sashing: 2 x 2 gaps of 8 in with two seams, one long gap of 30 in with two."""
    assert seams(2, 3, EIGHT, (inches(3), inches(3))) == inches(2 * 2 * 2 * 8 + 2 * 30)
    assert seams(2, 3, EIGHT, NONE) == inches(4 * 8 + 24)
    # Along a border every outer side too.
    assert seams(2, 3, EIGHT, NONE, {"left", "top"}) == inches(4 * 8 + 24 + 16 + 24)


def test_seams_end_where_the_edge_cuts_the_blocks():
    """3 x 3 blocks of 8 in, 2 in gone at the left and 5 at the bottom: 2 x (24 - 5) + 2 x (24 - 2)."""
    assert seams(3, 3, EIGHT, NONE, cut={"left": inches(2), "bottom": inches(5)}) == inches(2 * 19 + 2 * 22)


def test_of_cut_blocks_that_are_left_out_only_what_holds_whole_ones_is_opened():
    """4 x 4 blocks of 8 in, the ring cut: 2 x 2 whole ones, 16 between columns, 16 between rows, 4 x 16 round them."""
    ring = {side: inches(4) for side in ("left", "top", "right", "bottom")}
    assert seams_kept(4, 4, EIGHT, NONE, (), ring) == inches(16 + 16 + 4 * 16)
    with pytest.raises(MeasureError, match="no whole block"):
        seams_kept(2, 2, EIGHT, NONE, (), ring)


def test_new_strips_are_those_between_the_blocks_that_are_set():
    """2 rows of 3 blocks of 9 in, new sashing of 2: 4 short of 9 1/2, 1 long of 3 x 9 + 2 x 2 + 1/2, each 2 1/2 wide."""
    found = opened(plain(2, 3, 3), inches(0), inches(0), QUARTER, WIDE, sashing=inches(2))
    assert cut_of(found) == [(1, "31 1/2 in", "2 1/2 in"), (4, "9 1/2 in", "2 1/2 in")]
    # Laid end to end: one strip of the fabric for the long one, one for the four short ones (38 of 42 in).
    assert [str(need.length) for need in found.fabrics] == ["5 in"]
    framed = opened(plain(2, 3), inches(0), inches(0), QUARTER, WIDE, new_border=inches(3))
    assert cut_of(framed) == [(2, "18 1/2 in", "3 1/2 in"), (2, "33 1/2 in", "3 1/2 in")]


@pytest.mark.parametrize(
    ("choice", "rows", "columns", "wide", "short", "long"),
    [
        # 3 rows of 4, 5 in gone at the left: 4 x 9 + 3 x 2 = 42 in, 42 - 5 as it is, 33 - 2 without the column.
        ("as they are", 3, 4, "37 in", 9, "37 1/2 in"),
        ("completed", 3, 4, "42 in", 9, "42 1/2 in"),
        ("left out", 3, 3, "31 in", 6, "31 1/2 in"),
    ],
)
def test_what_becomes_of_cut_blocks_changes_draft_strips_and_fabric(choice, rows, columns, wide, short, long):
    old, cut = plain(3, 4, 2), {"left": inches(5)}
    found = opened(old, inches(0), inches(0), QUARTER, inches(44), sashing=inches(2), cut_blocks=choice, cut=cut)
    assert (found.quilt.rows, found.quilt.columns, str(found.quilt.finished_size[0])) == (rows, columns, wide)
    strips = {need.fabric: need for need in found.fabrics}
    listed = [(cut.count, str(cut.size[0])) for cut in strips["new sashing"].cuts]
    assert sorted(listed) == sorted([(2, long), (short, "9 1/2 in")])
    assert (found.completed, len(found.new)) == ((3, 3 * 6) if choice == "completed" else (0, 0))
    assert len(strips) == (3 if choice == "completed" else 1)


def test_the_patches_that_complete_a_block_are_those_that_the_edge_cuts_through_or_off():
    """Of 3 in patches 4 in gone are two columns of three; 3 in gone end on a seam: one column."""
    for gone, patches in ((4, 6), (3, 3), (1, 3), (7, 9)):
        found, where, blocks = completing(plain(2, 1), {"left": inches(gone)})
        assert sum(each.count for each in found) == len(where) == 2 * patches
        assert blocks == 2
    corner, where, blocks = completing(plain(1, 1), {"left": inches(2), "top": inches(2)})
    assert sum(each.count for each in corner) == 5
    assert {each.patch for each in where} == {0, 1, 2, 3, 6}


def test_half_blocks_on_point_are_completed_or_left_out():
    """3 rows of 3 with halves round them: 9 whole and 4 between, 12 cut; whole all they are 4 x 4 and 3 x 3."""
    old = plain(3, 3, setting=OnPoint("half blocks"))
    assert has_cut_blocks(old, {})
    whole = set_anew(old, None, None, "completed")
    assert (whole.rows, whole.columns, len(whole.spots)) == (4, 4, 16 + 9)
    less = set_anew(old, None, None, "left out")
    assert (less.rows, less.columns, len(less.spots)) == (3, 3, 9 + 4)
    found, _, blocks = completing(old, {})
    assert blocks == 12
    # The diagonal of a nine patch cuts 3 patches and leaves 3: of 8 halves 6 new, of 4 quarters 8 new.
    assert sum(each.count for each in found) == 8 * 6 + 4 * 8
    taken = opened(old, inches(0), inches(0), QUARTER, WIDE, cut_blocks="left out")
    assert {need.fabric for need in taken.fabrics} == {"new setting triangles"}
    assert taken.stands[1, 0] == (0, 0)
    assert taken.stands[2, 1] == (1, 0)


def test_widths_that_cannot_be_set_are_refused():
    for wrong in ({"sashing": inches(10)}, {"new_border": inches(-1)}):
        with pytest.raises(MeasureError, match="from 0 to the size of a block"):
            set_anew(plain(2, 2), wrong.get("sashing"), wrong.get("new_border"))
    assert set_anew(plain(2, 2, 3), length("0 in"), None).sashing is None
