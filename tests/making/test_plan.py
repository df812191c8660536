"""The whole plan of a draft."""

import pytest

from seamlore.draft.border import border
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.text.notation import read_block
from seamlore.errors import PlanError
from seamlore.lengths import centimeters, inches
from seamlore.making.plan import plan

SHOO_FLY = read_block("block Shoo Fly\nA light scrappy\nB dark\n\nA/B A A\\B\nA B A\nA\\B A A/B")


def quilt(**changes):
    fields = {"rows": 7, "columns": 6, "sashing": Sashing(inches(3), inches(3)), **changes}
    return repeated("check", SHOO_FLY, inches(9), inches(9), **fields)


def test_borders_add_twice():
    # civilwarquilts.blogspot 2018/01/17 (V): 42 x 54 with borders of 2 1/2, 3 and 2 1/2 in is 58 x 70.
    plain = read_block("block Plain\nA light\n\nA")
    borders = (border(inches("2.5")), border(inches(3)), border(inches("2.5")))
    made = plan(repeated("q", plain, inches(6), inches(6), 9, 7, borders=borders))
    assert made.finished == (inches(58), inches(70))


def test_every_fabric_of_the_draft_is_bought():
    made = plan(quilt(borders=(border(inches(4), "blue print"),)))
    assert {need.fabric for need in made.fabrics} == {"Fabric A", "Fabric B", "sashing", "blue print"}


def test_four_by_five_on_point_takes_four_squares_for_its_side_triangles():
    # 4 x 5 on point: 32 blocks (apqs.com, V); 14 side triangles = 4 squares with 2 spare (computed).
    made = plan(repeated("q", SHOO_FLY, inches(12), inches(12), 5, 4, setting=OnPoint()))
    side = next(cut for cut in made.cutting if "side triangle" in cut.labels)
    assert (side.count, side.spare, side.size[0]) == (4, 2, inches("18.25"))
    middles = next(cut for cut in made.cutting if cut.labels == ("B2",))
    assert middles.count == 32


def test_a_scrappy_place_is_told_in_fat_quarters():
    assert any(
        note.startswith("Fabric A is scrappy") and "fat quarters of 18 x 21 in" in note
        for note in plan(quilt()).notes
    )


def test_what_is_added_is_said():
    usual, more, none = plan(quilt()), plan(quilt(), spare=inches(60)), plan(quilt(), spare=inches(0))
    assert any(
        "3% for shrinking, 2 in for squaring up and one strip for a slip (the usual)" in each for each in usual.notes
    )
    assert any("60 in of each fabric" in note for note in more.notes)
    for one, two, bare in zip(usual.fabrics, more.fabrics, none.fabrics, strict=True):
        assert one.buy == two.buy == bare.buy == bare.buy_with_spare
        assert one.length + two.spare == two.length + inches(60)
        assert len({one.buy, one.buy_with_spare, two.buy_with_spare}) == 3


def test_a_spare_of_less_than_nothing_is_refused():
    with pytest.raises(PlanError, match="a spare of -1 in: it is 0 or more"):
        plan(quilt(), spare=inches(-1))


def test_a_spare_is_left_where_all_that_is_bought_would_be_used():
    # 58 1/2 in used of 1 5/8 yd bought: nothing left over for shrinking or a slip.
    nine = read_block("block Nine\nA light\n\nA")
    (need,) = plan(repeated("q", nine, inches(6), inches(6), 9, 6), binding="none").fabrics
    assert (need.length, need.buy, need.buy_with_spare) == (inches("58.5"), "1 5/8 yd", "2 yd")


def test_narrower_fabric_never_takes_less():
    wide, narrow = plan(quilt(), fabric_width=inches(44)), plan(quilt(), fabric_width=inches(38))
    for one, two in zip(wide.fabrics, narrow.fabrics, strict=True):
        assert one.length <= two.length


def test_no_binding_is_an_answer():
    assert plan(quilt(), binding="none").edge_finish is None
    assert plan(quilt(), binding="bias").edge_finish.kind == "bias"


def test_an_unknown_binding_is_refused():
    with pytest.raises(PlanError, match='an edge finish "lace": it is straight, bias'):
        plan(quilt(), binding="lace")


def test_a_metric_draft_is_planned_in_centimeters():
    metric = repeated("q", SHOO_FLY, centimeters(24), centimeters(24), 5, 4)
    made = plan(metric)
    assert made.notes[0].startswith("Seam allowance 0.75 cm")
    assert all(need.buy.endswith(" m") for need in made.fabrics)


def test_the_same_draft_gives_the_same_plan():
    assert plan(quilt()) == plan(quilt())
