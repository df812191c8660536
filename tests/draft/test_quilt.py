"""The quilt's own rules: what is refused, and what follows from its numbers."""

from dataclasses import replace
from fractions import Fraction

import pytest

from seamlore.draft.quilt import Border, Pieced, Quilt, Sashing, Turned, border_sides
from seamlore.draft.setting.letters import beside, plain_block
from seamlore.draft.setting.repeat import fits, spacers
from seamlore.draft.setting.setting import Cut, Offset, OnPoint, Strips
from seamlore.draft.text.notation import read_block
from seamlore.errors import LengthError, ShapeError
from seamlore.lengths import inches

NINE = read_block("block Nine Patch\nA dark\nB light\n\nA B A\nB A B\nA B A")
UNIT = read_block("block Points\nA dark\nB light\n\nA/B")
TWO = inches(2)


def quilt(rows=2, columns=3, width=9, height=9, **more):
    return Quilt("q", NINE, inches(width), inches(height), rows, columns, **more)


REFUSED = {
    "no rows": ({"rows": 0}, ShapeError, "0 rows of 3 blocks"),
    "no width": ({"width": 0}, LengthError, "0 width"),
    "sashing below nothing": ({"sashing": Sashing(-TWO, TWO)}, LengthError, "sashing of less than 0"),
    "a turned block that is not there": ({"turned": {(2, 0): Turned(90)}}, ShapeError, "row 3, column 1"),
    "oblong on point": ({"height": 8, "setting": OnPoint()}, ShapeError, "a block on point is square"),
    "two sashings on point": (
        {"setting": OnPoint(), "sashing": Sashing(TWO, inches(3))}, ShapeError, "all sashing on point has one width"
    ),
    "half blocks in sashing": (
        {"setting": OnPoint("half blocks"), "sashing": Sashing(TWO, TWO)}, ShapeError, "finished with side triangles"
    ),
    "oblong in strips on point": ({"height": 8, "setting": Strips(TWO, on_point=True)}, ShapeError, "square"),
    "sashing in strips": ({"setting": Strips(TWO), "sashing": Sashing(TWO, TWO)}, ShapeError, "strips stand in its"),
    "strips of nothing": ({"setting": Strips(inches(0))}, ShapeError, "strips of 0 in"),
    "cornerstones in shifted rows": (
        {"setting": Offset(), "sashing": Sashing(TWO, TWO, cornerstones=True)}, ShapeError, "do not meet at corners"
    ),
    "one shifted row": ({"rows": 1, "setting": Offset()}, ShapeError, "2 of each"),
    "sashing wider than shifted blocks": (
        {"setting": Offset(), "sashing": Sashing(inches(9), TWO)}, ShapeError, "narrower than the block"
    ),
    "a mitered pieced border": (
        {"borders": (Border(TWO, corners="mitered", pieced=Pieced(UNIT, inches(3))),)}, ShapeError, "border 1: .*miter"
    ),
    "corner blocks without corner squares": (
        {"borders": (Border(TWO, pieced=Pieced(UNIT, inches(3), NINE)),)}, ShapeError, "ask for corner squares"
    ),
    "a second border that does not divide": (
        {"borders": (Border(TWO), Border(TWO, corners="squares", pieced=Pieced(UNIT, inches(3))))},
        ShapeError, "border 2, top and bottom: units of 3 in along 31 in: 10 of them are 1 in too short, 11 are 2 in too "
        "long; make the unit about 3 1/8 in .10 of them. or about 2 13/16 in .11., or sew a plain border of 1 in first .11 and 8 of them.",
    ),
    "letters that mean two things": (
        {"second": plain_block("A", "light")}, ShapeError, "place A, dark in Nine Patch and light in plain"
    ),
    "a cut below nothing": ({"cut": Cut(-TWO, TWO, TWO, TWO)}, LengthError, "a cut of less than 0"),
    "a cut as wide as a block": ({"cut": Cut(inches(9), TWO, TWO, TWO)}, ShapeError, "only outer blocks"),
    "a cut that leaves nothing": (
        {"rows": 1, "cut": Cut(TWO, inches(5), TWO, inches(4))}, ShapeError, "a cut that leaves nothing"
    ),
    "a cut on point": ({"setting": OnPoint(), "cut": Cut(TWO, TWO, TWO, TWO)}, ShapeError, "half blocks"),
}  # fmt: skip


@pytest.mark.parametrize(("given", "kind", "said"), REFUSED.values(), ids=REFUSED.keys())
def test_what_cannot_be_sewn_is_refused_with_the_reason(given, kind, said):
    with pytest.raises(kind, match=said):
        quilt(**given)


def test_seven_blocks_of_8_in_with_3_in_between_make_74_in():
    # Worked by hand: 7 x 8 + 6 x 3.
    row = quilt(1, 7, 8, 8, sashing=Sashing(inches(3), inches(3)))
    assert str(row.finished_size[0]) == "74 in"


def test_a_block_that_lies_as_drawn_is_not_counted_as_turned():
    assert quilt(turned={(0, 0): Turned()}).turned == {}


def test_a_second_block_gets_letters_of_its_own_where_the_first_means_something_else():
    light = read_block("block Other\nA light\nB light\n\nA/B")
    second = beside(light, quilt().places)
    assert sorted(second.places) == ["B", "C"]
    assert sorted(quilt(second=second).places) == ["A", "B", "C"]


def test_every_other_block_is_the_second_and_on_point_the_rows_between():
    plain = plain_block("P")
    straight, point = quilt(second=plain), quilt(second=plain, setting=OnPoint())
    assert [straight.block_at(row, column) is plain for row, column in straight.spots] == [
        False,
        True,
        False,
        True,
        False,
        True,
    ]
    assert sum(point.block_at(row, column) is plain for row, column in point.spots) == 2


def test_a_plain_border_that_is_offered_lets_the_pieced_one_come_out_even():
    pieced = Border(TWO, corners="squares", pieced=Pieced(UNIT, inches(4)))
    bare = quilt(rows=3, columns=4)
    for each in spacers(*bare.field_size, inches(4)):
        made = replace(bare, borders=(Border(each.width), pieced))
        assert [sides[3:] for sides in border_sides(made)][1] == (each.across, each.down)


def test_no_plain_border_is_offered_when_none_would_do():
    assert spacers(inches(27), inches(20), inches(4)) == ()
    with pytest.raises(ShapeError) as fault:
        quilt(height=10, borders=(Border(TWO, corners="squares", pieced=Pieced(UNIT, inches(4))),))
    assert "plain border" not in str(fault.value)


def test_offers_for_a_pieced_border_do_divide_evenly():
    side, unit = inches("123/2"), inches("13/4")
    for fit in fits(side, unit):
        assert fit.unit * fit.count == side
        assert unit * fit.count == side + fit.miss
    assert fits(inches(Fraction(1)), inches(3))[0].count == 1
