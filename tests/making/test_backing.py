"""The backing: published cases and the slips that are in circulation."""

import pytest

from seamlore.errors import PlanError
from seamlore.lengths import centimeters, inches, length
from seamlore.making.finish.backing import backing, panel_count


@pytest.mark.table("backing_panels.csv")
def test_backing_agrees_with_the_table(row):
    made = backing(inches(row["width"]), inches(row["height"]), inches(row["fabric_width"]))
    named = {"v": "vertical", "h": "horizontal"}
    ways = {}
    own = [each for each in (made, *made.others) if each.fabric_width == made.fabric_width and not each.side]
    for each in own:
        # With one panel there is no seam; its length tells which way it lies.
        tall = each.panel_length == each.size[1]
        ways["v" if each.seams == "vertical" or (each.seams == "none" and tall) else "h"] = each
    if len(ways) == 1:  # a square quilt: both ways are the same
        ways = {"v": made, "h": made}
    for key in "vh":
        assert ways[key].panels == int(row[f"{key}_panels"])
        assert ways[key].panel_length == inches(row[f"{key}_panel"])
        assert ways[key].buy == row[f"{key}_buy"] + " yd"
    assert made.seams in (named[row["best"]], "none")
    assert made.length == ways[row["best"]].length


def test_seventy_two_by_ninety_takes_two_lengths():
    # bellaonline.com art180154 (V): two lengths of 94 in = 188 in, 5.22 yd, with 4 in more in all.
    made = backing(inches(72), inches(90), inches(42), extra=inches(2))
    assert (made.panels, made.panel_length, made.length, made.buy) == (2, inches(94), inches(188), "5 1/4 yd")


def test_rounding_is_done_once():
    # quiltersclubofamerica p/24983 (Vw): 112 x 88 wants 120 x 96: three lengths of 96 in are 8 yd; 8 1/4 when each is rounded.
    made = backing(inches(112), inches(88), inches(42))
    assert (made.panels, made.panel_length, made.buy) == (3, inches(96), "8 yd")


def test_a_seam_can_cost_a_whole_length():
    # quiltingboard t290638 (Vw): 2 x 40 less a seam of 1 in is 79, and 80 is needed.
    assert panel_count(inches(80), inches(40), inches("1/2")) == 3
    assert panel_count(inches(79), inches(40), inches("1/2")) == 2


def test_one_wide_cloth_needs_no_seam():
    # teacherscollegesj.org (Vw): a back of 103 x 110 from cloth 108 in wide: 110 / 36 = 3.06, 3 1/8 yd.
    made = backing(inches(103), inches(110), inches(108), extra=inches(0))
    assert (made.seams, made.panel_length, made.buy) == ("none", inches(110), "3 1/8 yd")


def test_square_inches_over_thirty_six_are_not_yards():
    # In circulation (Vw): (W + 4)(H + 4) / 36 for 50 x 70 = "111 yards".
    assert backing(inches(50), inches(70), inches(42)).length < inches(36 * 10)


def test_four_inches_all_round_is_eight_in_all():
    # In circulation (Vw): "4 in all round" taken as W + 4, for 51 x 61.
    assert backing(inches(51), inches(61), inches(42)).size == (inches(59), inches(69))


def test_metric_backing():
    made = backing(centimeters(150), centimeters(200), centimeters(107))
    assert (made.size, made.seams, made.buy) == ((centimeters(170), centimeters(220)), "vertical", "4.4 m")


def test_fabric_no_wider_than_its_seams_is_refused():
    with pytest.raises(PlanError, match="the seams would take all of it"):
        backing(inches(50), inches(50), inches(1))


def test_a_negative_extra_is_refused():
    with pytest.raises(PlanError, match="both are 0 or more"):
        backing(inches(50), inches(50), inches(42), extra=length("1 in") * -1)


def test_every_way_is_told_with_what_it_takes():
    made = backing(inches(72), inches(90), inches(42))
    said = [str(other) for other in made.others]
    # Wide cloth, 106 in usable: 80 in (2 1/4 yd) one way, 98 in (2 3/4 yd) the other (trade table A8).
    assert "one piece of 80 in: 2 1/4 yd of fabric 106 in wide" in said
    assert "one piece of 98 in: 2 3/4 yd of fabric 106 in wide" in said
    assert any(each.startswith("3 lengths of 80 in, seams horizontal") for each in said)
    assert sum("down the middle" in each for each in said) == 1


def test_a_seam_is_kept_from_the_middle_by_cutting_one_length_in_two():
    made = backing(inches(60), inches(72), inches(42), off_middle=True, seam=inches("1/2"), extra=inches(4))
    # Two lengths of 80 in or of 68: sideways 68 in each, 80 in across: one of 42 and two sides.
    assert (made.panels, made.panel_length) == (2, inches(68))
    whole = made.fabric_width + made.side * 2 - made.seam * 4
    assert inches(80) <= whole < inches("80.5")
    assert made.side * 2 <= made.fabric_width


def test_sides_that_do_not_come_from_one_length_take_one_more():
    # 84 in needed of 42: two lengths less the seam are 83; three as they are, which have no seam in the middle.
    made = backing(inches(76), inches(100), inches(42), off_middle=True)
    assert made.panels % 2 == 1 or made.side


def test_a_pattern_meets_at_the_seams():
    plain, matched = (backing(inches(72), inches(90), inches(42), repeat=each) for each in (None, inches(24)))
    # The second length begins where the pattern does: 98 in is cut from 120, five repeats.
    assert (plain.length, matched.matching, matched.length) == (inches(196), inches(22), inches(218))


def test_one_piece_needs_no_matching():
    made = backing(inches(30), inches(40), inches(42), repeat=inches(24))
    assert not made.matching


@pytest.mark.parametrize("repeat", [0, -4, 90])
def test_a_pattern_longer_than_a_panel_or_of_nothing_is_refused(repeat):
    with pytest.raises(PlanError, match="a pattern that comes again every"):
        backing(inches(72), inches(90), inches(42), repeat=inches(repeat))


def test_what_is_left_beside_the_last_length_is_told():
    # Two of 42 in make 83; 68 are needed: 15 in are left along 88.
    made = backing(inches(60), inches(80), inches(42))
    assert made.left == "leaves a piece of 15 x 88 in"
