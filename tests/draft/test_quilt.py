"""The quilt's own rules: what is refused, and what follows from its numbers."""

from dataclasses import replace
from fractions import Fraction

import pytest

from seamlore.draft.border import Pieced, border, rounds
from seamlore.draft.kinds import NOT_READ, Cell, Kind, Turned, plain_block
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.repeat import fits, spacers
from seamlore.draft.setting.setting import Cut, Offset, OnPoint, Strips
from seamlore.draft.text.notation import read_block
from seamlore.errors import LengthError, ShapeError, UnknownNameError
from seamlore.lengths import inches

NINE = read_block("block Nine Patch\nA dark\nB light\n\nA B A\nB A B\nA B A")
UNIT = read_block("block Points\nA dark\nB light\n\nA/B")
TWO = inches(2)


def quilt(rows=2, columns=3, width=9, height=9, **more):
    return repeated("q", NINE, inches(width), inches(height), rows, columns, kinds=[Kind("PT", UNIT)], **more)


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
        {"borders": (border(TWO, corners="mitered", pieced=Pieced("PT", inches(3))),)}, ShapeError, "border 1: .*miter"
    ),
    "corner blocks without corner squares": (
        {"borders": (border(TWO, pieced=Pieced("PT", inches(3)), corner="PT"),)}, ShapeError, "ask for corner squares"
    ),
    "a second border that does not divide": (
        {"borders": (border(TWO), border(TWO, corners="squares", pieced=Pieced("PT", inches(3))))},
        ShapeError, "border 2, top and bottom: units of 3 in along 31 in: 10 of them are 1 in too short, 11 are 2 in too "
        "long; make the unit about 3 1/8 in .10 of them. or about 2 13/16 in .11., or sew a plain border of 1 in first .11 and 8 of them.",
    ),
    "a border of a wrong figure": ({"borders": (border(inches(4), top=inches(900)),)}, LengthError, "border 1: a border of 900 in: at most 120 in"),
    "a border of no width": ({"borders": (border(inches(0)),)}, LengthError, "border 1: a border of 0 width"),
    "a mitered border where a side is not there": (
        {"borders": (border(TWO, corners="mitered", top=inches(0)),)}, ShapeError, "border 1: a mitered border where a side"
    ),
    "corner squares beside a side that is not there": (
        {"borders": (border(TWO, corners="squares", left=inches(0)),)}, ShapeError, "border 1: corner squares"
    ),
    "a border of a kind that is not there": (
        {"borders": (border(TWO, pieced=Pieced("QQ", inches(3))),)}, UnknownNameError, 'border 1: a kind called "QQ"'
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


def test_a_letter_belongs_to_its_kind():
    light = read_block("block Other\nA light\nB light\n\nA/B")
    both = quilt(every_other=light)
    assert {key: place.value for key, place in both.places.items()} == {
        "NP A": "dark", "NP B": "light", "Ot A": "light", "Ot B": "light"
    }  # fmt: skip
    assert both.fabric_of("NP A") != both.fabric_of("Ot A")


def test_every_other_block_is_the_second_and_on_point_the_rows_between():
    plain = plain_block("P")
    straight, point = quilt(every_other=plain), quilt(every_other=plain, setting=OnPoint())
    assert [[cell.kind for cell in row] for row in straight.cells] == [["NP", "P", "NP"], ["P", "NP", "P"]]
    assert [[cell.kind for cell in row] for row in point.cells] == [["NP"] * 3, ["P"] * 2, ["NP"] * 3]


def made_of(*cells, kinds=("NP", "P")):
    blocks = {"NP": NINE, "P": plain_block(), "PT": UNIT}
    return Quilt("q", tuple(Kind(name, blocks[name]) for name in kinds), cells, TWO, TWO)


def test_cells_that_do_not_fit_are_refused_with_their_place():
    nine, plain = Cell("NP"), Cell("P")
    with pytest.raises(ShapeError, match="row 2: 1 block: this row has 2"):
        made_of((nine, plain), (nine,))
    with pytest.raises(UnknownNameError, match='row 1, column 2: a kind called "PT"'):
        made_of((nine, Cell("PT"), plain))
    with pytest.raises(ShapeError, match="kind P: no cell and no border takes it"):
        made_of((nine, nine))
    with pytest.raises(ShapeError, match="two kinds called P"):
        made_of((nine, plain), kinds=("NP", "P", "P"))
    with pytest.raises(ShapeError, match="row 1, column 1: a fabric for C: Nine Patch has A, B"):
        made_of((Cell("NP", fabrics={"C": "red"}), plain))
    with pytest.raises(ShapeError, match="2 rows of blocks on point"):
        replace(made_of((nine, plain)), cells=((nine, plain), (nine,)), setting=OnPoint())


def test_a_quilt_may_be_read_in_part_or_not_at_all():
    part = made_of((Cell("NP"), NOT_READ), kinds=("NP",))
    assert (dict(part.counts), part.not_read) == ({"NP": 1}, ((0, 1),))
    none = made_of((NOT_READ, NOT_READ), kinds=())
    assert (none.counts, len(none.not_read), str(none.finished_size[0])) == ({}, 2, "4 in")


def test_a_cell_keeps_only_the_fabrics_that_are_not_its_kinds():
    cells = ((Cell("NP", fabrics={"A": "Fabric A", "B": "red"}), Cell("NP")),)
    assert made_of(*cells, kinds=("NP",)).cells[0][0].fabrics == {"B": "red"}


def test_unequal_borders_make_an_unequal_quilt():
    # Worked by hand: 5 x 5 of 15 in, 4 3/8 in at the sides and 7 1/2 in at top and bottom.
    wide = border(inches("35/8"), top=inches("15/2"), bottom=inches("15/2"))
    made = quilt(5, 5, 15, 15, borders=(wide,))
    assert [str(side) for side in made.finished_size] == ["83 3/4 in", "90 in"]
    assert [str(band) for band in made.bands] == ["7 1/2 in", "4 3/8 in", "7 1/2 in", "4 3/8 in"]


def test_a_plain_border_that_is_offered_lets_the_pieced_one_come_out_even():
    pieced = border(TWO, corners="squares", pieced=Pieced("PT", inches(4)))
    bare = quilt(rows=3, columns=4)
    for each in spacers(*bare.field_size, inches(4)):
        made = replace(bare, borders=(border(each.width), pieced))
        assert list(rounds(made.borders, made.field_size))[1].units == (each.across, each.down) * 2


def test_no_plain_border_is_offered_when_none_would_do():
    assert spacers(inches(27), inches(20), inches(4)) == ()
    with pytest.raises(ShapeError) as fault:
        quilt(height=10, borders=(border(TWO, corners="squares", pieced=Pieced("PT", inches(4))),))
    assert "plain border" not in str(fault.value)


def test_offers_for_a_pieced_border_do_divide_evenly():
    side, unit = inches("123/2"), inches("13/4")
    for fit in fits(side, unit):
        assert fit.unit * fit.count == side
        assert unit * fit.count == side + fit.miss
    assert fits(inches(Fraction(1)), inches(3))[0].count == 1


def test_a_border_with_other_sides_keeps_its_corner_blocks():
    made = border(inches(3), "red", "squares", pieced=Pieced("PT", inches(3)), corner="PT")
    assert made.with_sides(made.sides) == made
