"""Strips across the fabric, and how much to buy."""

from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from seamlore.draft.pieces import Piece
from seamlore.errors import PlanError
from seamlore.fabric.shop import bought, to_buy
from seamlore.lengths import centimeters, inches, length
from seamlore.making.buying import pieces_from
from seamlore.making.cutting import cutting_list
from seamlore.making.strips import fabric_need, joined_strips, needs

QUARTER = inches("1/4")


def rectangle(width, height, count, role="patch", label="A1", fabric="Fabric A"):
    """A finished rectangle to cut."""
    w, h = Fraction(width), Fraction(height)
    zero = Fraction(0)
    return Piece(role, fabric, ((zero, zero), (w, zero), (w, h), (zero, h)), count, label)


def need(*pieces, width="42 in"):
    return fabric_need(cutting_list(pieces, QUARTER), length(width), QUARTER)


@pytest.mark.table("pieces_from_yardage.csv")
def test_squares_from_yardage_agree_with_the_table(row):
    side = inches(Fraction(sum(Fraction(part) for part in row.pop("cut").split())))
    for cloth, count in row.items():
        wide, long = (inches(each) for each in cloth.split("x"))
        assert pieces_from((side, side), wide, long) == int(count), cloth


@pytest.mark.table("pieces_from_yardage_slips.csv")
def test_slips_in_print_are_not_repeated(row):
    side = length(row["cut"] + " in")
    found = pieces_from((side, side), inches(row["width"]), inches(row["length"]))
    assert found == int(row["true"]) != int(row["printed"])


@pytest.mark.table("yard_fractions.csv")
def test_a_fraction_of_a_yard_in_inches(row):
    assert_allclose(float(length(row["yards"] + " yd").inches), float(row["inches"]))


def test_sixty_three_squares_of_nine_and_a_half():
    # quiltingboard 6228687 (V): 63 from 42 in: 4 across, 16 strips = 152 in = 4.22 yd, buy 4 1/4.
    found = need(rectangle(9, 9, 63))
    run = found.strips[0]
    assert (run.across, run.count, found.length, found.buy) == (4, 16, inches(152), "4 1/4 yd")


@pytest.mark.parametrize(("cut", "fewest", "most"), [("3 1/2 in", 10, 12), ("2 in", 18, 21)])
def test_segments_from_one_strip(cut, fewest, most):
    # equilters.com myst-9patch part 4 (V): 10 to 12 of 3 1/2 in, 18 to 21 of 2 in, by the width of the fabric.
    side = length(cut)
    for wide in (37, 40, 42):
        assert fewest <= pieces_from((side, side), inches(wide), side) <= most


def test_a_rectangle_is_turned_the_better_way():
    # 5 1/2 x 13 1/2: laid along the strip 3 fit across and 14 take 27 1/2 in; standing, 7 fit and they take 27.
    found = need(rectangle(5, 13, 14))
    assert (found.strips[0].depth, found.strips[0].across, found.length) == (inches("13.5"), 7, inches(27))


def test_long_borders_are_joined_when_that_takes_less():
    found = need(rectangle(6, 94, 2, "border"), rectangle(6, 95, 2, "border", "A2"))
    run = found.strips[0]
    # 2 x 94 1/2 + 2 x 95 1/2 = 380 in from strips of 42 in that lose 1/2 in at each join.
    assert (run.way, run.count, found.length) == ("joined", 10, inches(65))


def test_many_wide_lengths_run_along_the_fabric():
    found = need(rectangle(20, 60, 2, "border"))
    assert (found.strips[0].way, found.length) == ("lengthwise", inches("60.5"))


def test_a_piece_too_large_either_way_is_refused():
    with pytest.raises(PlanError, match="the fabric is 42 in wide"):
        need(rectangle(50, 60, 1))


def test_fabric_of_no_width_is_refused():
    with pytest.raises(PlanError, match="give its width without the selvages"):
        need(rectangle(3, 3, 1), width="0 in")


def test_a_join_that_takes_the_whole_strip_is_refused():
    with pytest.raises(PlanError, match="use wider fabric"):
        joined_strips(inches(10), inches("0.5"), QUARTER)


@settings(max_examples=100, deadline=None)
@given(st.integers(1, 2000), st.integers(20, 120))
def test_joined_strips_are_enough_and_no_more(total, width):
    count = joined_strips(inches(total), inches(width), QUARTER)
    reach = count * width - (count - 1) * 0.5
    assert reach >= total
    assert count == 1 or reach - width + 0.5 < total


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 40), st.integers(1, 40), st.integers(1, 60)), min_size=1, max_size=5))
def test_no_strips_are_shorter_than_the_least_length(sizes):
    pieces = [rectangle(Fraction(w, 2), Fraction(h, 2), n, label=f"A{i}") for i, (w, h, n) in enumerate(sizes)]
    found = need(*pieces)
    assert found.least_length <= found.length
    assert bought(found.length) >= found.length
    assert replayed(found) == Counter({kind: cut.count for kind, cut in enumerate(found.cuts)})


def replayed(found):
    """Cut every strip column by column and count what falls out; no cut leaves what it divides."""
    fallen = Counter()
    for strips in found.strips:
        assert strips.way == "lengthwise" or strips.length == strips.depth * strips.count
        assert strips.way != "across" or sum(lay.times for lay in strips.lays) == strips.count
        for lay in strips.lays:
            left = found.width.inches
            if strips.way == "lengthwise":
                left -= strips.depth.inches  # at least one long piece lies there
            for column in lay.columns:
                size = {side.inches for side in found.cuts[column.kind].size}
                assert {column.along, column.depth} == size
                assert column.stacked * column.depth <= lay.depth
                left -= column.along * column.number
                fallen[column.kind] += column.stacked * column.number * lay.times
            assert left >= 0
    return fallen


def test_what_strips_leave_over_takes_smaller_pieces():
    # Setting triangles of a 16 in block (trade table A3: sides 24, corners 12 1/4): three squares of 24 in leave 18 in each.
    found = need(rectangle("23.5", "23.5", 3), rectangle("11.75", "11.75", 2, label="A2"))
    assert (found.length, found.buy) == (inches(72), "2 yd")
    side, corner = found.cuts
    assert found.how(side) == "3 strips 24 in wide across the fabric, 1 from each"
    assert found.how(corner) == "2 from the ends of the strips 24 in wide"


def test_beside_long_borders_smaller_pieces_find_room():
    found = need(rectangle(9, 60, 2, "border"), rectangle(6, 6, 27, label="A2"))
    # Two of 9 1/2 in along the fabric leave 23 in beside them: three squares abreast, nine deep in 60 1/2 in.
    assert (found.length, found.strips[0].way) == (inches("60.5"), "lengthwise")
    assert found.how(found.cuts[1]) == "27 from what A1 leaves beside it"
    assert replayed(found)[1] == 27


def test_strips_that_several_rows_share_are_told_once():
    cuts = [rectangle(6, long, 2, "border", f"border {n}") for n, long in enumerate((94, 95, 96))]
    found = need(*cuts)
    said = [found.how(cut) for cut in found.cuts]
    assert sum("strips 6 1/2 in wide" in each for each in said) == 1
    assert said[1:] == ["from the strips of border 2"] * 2


@pytest.mark.parametrize(
    ("needed", "words"),
    [("36 in", "1 yd"), ("36.1 in", "1 1/8 yd"), ("187 cm", "1.9 m"), ("181 cm", "1.9 m"), ("5 cm", "0.1 m")],
)
def test_a_shop_is_asked_for_eighths_of_a_yard_or_ten_centimeters(needed, words):
    assert to_buy(length(needed)) == words


def test_each_fabric_is_counted_by_itself():
    cuts = cutting_list([rectangle(3, 3, 12), rectangle(3, 3, 24, fabric="sashing")], QUARTER)
    assert [(each.fabric, each.length) for each in needs(cuts, inches(42), QUARTER)] == [
        ("Fabric A", inches("3.5")),
        ("sashing", inches(7)),
    ]


def test_metric_fabric_is_reckoned_in_centimeters():
    cuts = cutting_list(
        [rectangle(Fraction(8, 1) / Fraction(254, 100), Fraction(8, 1) / Fraction(254, 100), 33)], centimeters("0.75")
    )
    found = fabric_need(cuts, centimeters(107), centimeters("0.75"))
    # 9.5 cm: 11 across, 3 strips.
    assert (str(found.length), found.buy) == ("28.5 cm", "0.3 m")


def test_lengths_along_the_fabric_lie_side_by_side_the_longest_together():
    # Cut 13 1/2 in deep, three lie side by side in 42 in: three of 60 1/2 in, then three of 50 1/2 in, 111 in for six
    # strips. Joined end to end, 333 in of strips that each lose 1/2 in would take 9 x 13 1/2 in = 121 1/2 in.
    sides = [rectangle(13, (60, 50)[number % 2], 1, "border", f"A{number}") for number in range(6)]
    run = need(*sides).strips[0]
    assert (run.way, run.count, run.length) == ("lengthwise", 6, inches(111))
    assert str(run) == "cut 6 strips 13 1/2 in wide along the fabric, 111 in long"


@settings(max_examples=60, deadline=None)
@given(st.integers(4, 41), st.lists(st.integers(43, 110), min_size=1, max_size=9))
def test_every_long_piece_has_its_place_in_the_cloth_that_is_bought(depth, longs):
    pieces = [rectangle(depth, long, 1, "border", f"A{number}") for number, long in enumerate(longs)]
    run = need(*pieces).strips[0]
    wide, cut = depth + Fraction(1, 2), sorted((Fraction(2 * long + 1, 2) for long in longs), reverse=True)
    if run.way == "lengthwise":
        # Laid out by hand: each row of the cloth takes as many as lie side by side, and is as long as its longest.
        rows = [cut[at : at + int(42 // wide)] for at in range(0, len(cut), int(42 // wide))]
        assert sum(len(row) for row in rows) == run.count
        assert sum((row[0] for row in rows), Fraction(0)) == run.length.inches
    else:
        # Sewn end to end, each join takes 1/2 in.
        assert run.count * 42 - (run.count - 1) * Fraction(1, 2) >= sum(cut)
        assert run.length.inches == run.count * wide


def test_nested_shapes_take_as_many_strips_as_hold_them_all():
    # A spool's side, 12 in and 6 in long and 3 in high: 13.21 in for the first and 9.71 in for each further one, so
    # three in 42 in: 3 1/2 in for each three, where boxes standing on end would take 12 1/2 in.
    zero, three, nine, twelve = (Fraction(each) for each in (0, 3, 9, 12))
    spool = ((zero, zero), (twelve, zero), (nine, three), (three, three))
    for needed, strips in ((3, 1), (4, 2), (9, 3)):
        cuts = cutting_list([Piece("patch", "Fabric A", spool, needed, "A1")], QUARTER, inches(42))
        found = fabric_need(cuts, inches(42), QUARTER)
        assert (found.strips[0].count, found.length) == (strips, inches("3.5") * strips)
