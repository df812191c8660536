"""Pieces: what is to be cut, and how many, against the counts and tables of the trade."""

from fractions import Fraction

import pytest

from seamlore.draft.border import border
from seamlore.draft.kinds import Turned
from seamlore.draft.pieces import canonical, pieces
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import Cut, OnPoint
from seamlore.draft.text.notation import read_block
from seamlore.lengths import inches, on_mark

NINE = read_block("block Nine Patch\nA dark\nB light\n\nA B A\nB A B\nA B A")
CROOKED = read_block("block Crooked\nA dark\nB light\nC medium\n\nA1 A1 B\nA1 B C\nA/B C C")


def counts(quilt, role=None):
    return {piece.label: piece.count for piece in pieces(quilt) if role in (None, piece.role)}


# trade.md A3, "side cut" and "corner cut": side square = finished size x square root of 2 + 1 1/4, corner square =
# finished size over the square root of 2 + 7/8, rounded up to the next 1/8 in (formulas: phoebemoon.com on-point,
# pinemeadowsdesigns.com, moonlightquilters.org; the table is computed there). For 16 in a square root of 1.414 would
# give 23 7/8; the true one gives 24. Cross-check: the 1/8 in chart of M. Lukas (lukas.is-a-geek.org) has 5 to 15.
A3 = {
    3: ("5 1/2", "3"), 4: ("7", "3 3/4"), 5: ("8 3/8", "4 1/2"), 6: ("9 3/4", "5 1/8"), 7: ("11 1/4", "5 7/8"),
    8: ("12 5/8", "6 5/8"), 9: ("14", "7 1/4"), 10: ("15 1/2", "8"), 11: ("16 7/8", "8 3/4"), 12: ("18 1/4", "9 3/8"),
    13: ("19 3/4", "10 1/8"), 14: ("21 1/8", "10 7/8"), 15: ("22 1/2", "11 1/2"), 16: ("24", "12 1/4"),
    18: ("26 3/4", "13 5/8"), 20: ("29 5/8", "15 1/8"),
}  # fmt: skip


def cut_up(finished, more):
    return str(on_mark(inches(finished + Fraction(more)), "up"))


@pytest.mark.parametrize(("side", "cut"), A3.items())
def test_setting_triangles_are_cut_from_the_squares_of_the_handbook_table(side, cut):
    quilt = repeated("q", NINE, inches(side), inches(side), 2, 2, setting=OnPoint())
    found = {piece.role: piece for piece in pieces(quilt)}
    assert cut_up(found["side triangle"].box[0], "5/4") == f"{cut[0]} in"
    assert cut_up(found["corner triangle"].box[0], "7/8") == f"{cut[1]} in"


def test_sashing_on_point_counts_as_part_of_the_block_for_side_triangles():
    # trade.md A3: "with sashing, use block + sashing as fin"; a 10 in block with 2 in of sashing is the 12 in row.
    quilt = repeated("q", NINE, inches(10), inches(10), 2, 2, Sashing(inches(2), inches(2)), setting=OnPoint())
    side = next(piece for piece in pieces(quilt) if piece.role == "side triangle")
    assert cut_up(side.box[0], "5/4") == "18 1/4 in"


@pytest.mark.parametrize(("columns", "rows"), [(1, 1), (4, 5), (7, 3)])
def test_blocks_and_triangles_on_point_are_as_many_as_the_formula_says(columns, rows):
    # trade.md A3: c x r on point = c r + (c - 1)(r - 1) blocks, 2 (c - 1) + 2 (r - 1) side triangles, 4 corners.
    quilt = repeated("q", NINE, inches(6), inches(6), rows, columns, setting=OnPoint())
    found = counts(quilt)
    assert found["A1"] == 5 * (columns * rows + (columns - 1) * (rows - 1))
    assert found.get("side triangle", 0) == 2 * (columns - 1) + 2 * (rows - 1)
    assert found["corner triangle"] == 4


def test_nine_patches_by_twenty_take_a_hundred_and_eighty_squares():
    # trade.md A4 no. 23 (butterflythreadsquilting.com 2014/01): 100 + 80 squares.
    assert counts(repeated("q", NINE, inches("4.5"), inches("4.5"), 4, 5)) == {"A1": 100, "B1": 80}


def test_sashing_and_cornerstones_are_counted():
    gap = Sashing(inches(2), inches(3), cornerstones=True)
    quilt = repeated("q", NINE, inches(9), inches(9), 3, 4, gap)
    assert counts(quilt, "sashing") == {"vertical sashing": 9, "horizontal sashing": 8}
    assert counts(quilt, "cornerstone") == {"cornerstone": 6}


def test_lying_strips_run_through_where_there_are_no_cornerstones():
    gap = Sashing(inches(2), inches(3), outer=True)
    strips = {
        piece.label: (piece.count, piece.box)
        for piece in pieces(repeated("q", NINE, inches(9), inches(9), 3, 4, gap))
    }
    assert strips["vertical sashing"] == (15, (9, 2))
    assert strips["horizontal sashing"] == (4, (46, 3))


def test_twenty_blocks_in_sashing_are_as_large_as_they_are_and_not_as_printed():
    # trade.md A11: 20 blocks of 9 in, 4 x 5, sashing 3 5/8 in outside too: 54 1/8 x 66 3/4 in; a blog
    # (sherriquiltsalot.com 2020/04/15) prints 55 3/8.
    gap = inches("29/8")
    quilt = repeated("q", NINE, inches(9), inches(9), 5, 4, Sashing(gap, gap, outer=True))
    assert [str(side) for side in quilt.finished_size] == ["54 1/8 in", "66 3/4 in"]


def test_borders_add_twice_their_width():
    # trade.md A4 no. 25 (civilwarquilts.blogspot 2018/01/17): 42 x 54 with borders of 2 1/2, 3 and 2 1/2: 58 x 70.
    borders = tuple(border(inches(width)) for width in ("5/2", "3", "5/2"))
    quilt = repeated("q", NINE, inches(6), inches(6), 9, 7, borders=borders)
    assert [str(side) for side in quilt.finished_size] == ["58 in", "70 in"]


def test_butted_mitered_and_square_cornered_borders_are_listed_as_they_are_sewn():
    def bordered(corners):
        quilt = repeated("q", NINE, inches(9), inches(9), 2, 3, borders=(border(inches(4), "red", corners),))
        return {
            piece.label: (piece.count, piece.box, piece.fabric) for piece in pieces(quilt) if "border" in piece.role
        }

    assert bordered("butted") == {
        "border, sides": (2, (18, 4), "red"),
        "border, top and bottom": (2, (35, 4), "red"),
    }
    assert bordered("squares") == {
        "border, sides": (2, (18, 4), "red"),
        "border, top and bottom": (2, (27, 4), "red"),
        "border, corners": (4, (4, 4), "cornerstone"),
    }
    assert bordered("mitered") == {
        "border, top and bottom, mitered": (2, (35, 4), "red"),
        "border, sides, mitered": (2, (26, 4), "red"),
    }


def test_a_mirrored_block_takes_mirrored_pieces_and_a_turned_one_the_same():
    plain = repeated("q", CROOKED, inches(9), inches(9), 1, 2)
    turned = repeated("q", CROOKED, inches(9), inches(9), 1, 2, turned={(0, 1): Turned(90)})
    mirrored = repeated("q", CROOKED, inches(9), inches(9), 1, 2, turned={(0, 1): Turned(0, True)})
    assert pieces(turned) == pieces(plain)
    # The bent patch is its own mirror image turned; the triangles are too; nothing else is new.
    assert sum(piece.count for piece in pieces(mirrored)) == sum(piece.count for piece in pieces(plain))


def test_a_turned_block_that_is_not_square_takes_other_pieces():
    quilt = repeated("q", NINE, inches(9), inches(6), 1, 2, turned={(0, 1): Turned(90)})
    assert {piece.box for piece in pieces(quilt)} == {(3, 2)}
    strip = read_block("block Rail\nA dark\nB light\n\nA|B")
    quilt = repeated("q", strip, inches(8), inches(6), 1, 2, turned={(0, 1): Turned(90)})
    assert {(piece.label, piece.box) for piece in pieces(quilt)} == {
        ("A1", (6, 4)), ("B1", (6, 4)), ("A2", (8, 3)), ("B2", (8, 3)),
    }  # fmt: skip


def test_a_mirrored_slant_is_another_piece_since_cloth_has_a_right_side():
    slant = read_block("block Slant\ndivisions 2\nA dark\nB light\n\npatch A 0,0 1,0 0,2\npatch B 1,0 2,0 2,2 0,2")
    quilt = repeated("q", slant, inches(8), inches(8), 1, 2, turned={(0, 1): Turned(0, True)})
    assert [(piece.label, piece.count) for piece in pieces(quilt)] == [("A1", 1), ("B1", 1), ("A1r", 1), ("B1r", 1)]


def test_what_the_edge_cuts_off_is_not_listed():
    half = Cut(inches(0), inches(0), inches("9/2"), inches(0))
    found = [
        (piece.label, piece.count, piece.box)
        for piece in pieces(repeated("q", NINE, inches(9), inches(9), 1, 1, cut=half))
    ]
    assert found == [
        ("A1", 2, (3, 3)),
        ("B1", 2, (3, Fraction(3, 2))),
        ("B2", 1, (3, 3)),
        ("A2", 1, (3, Fraction(3, 2))),
    ]


def test_half_blocks_on_point_are_cut_along_their_diagonal():
    plain = read_block("block Plain\nP light\n\nP")
    quilt = repeated("q", NINE, inches(6), inches(6), 2, 2, setting=OnPoint("half blocks"), every_other=plain)
    found = {(piece.label, piece.box): piece.count for piece in pieces(quilt) if piece.role == "plain block"}
    # One whole plain block in the middle, four halves, four quarters.
    assert sorted(found.values()) == [1, 4, 4]
    assert sum(piece.area * piece.count for piece in pieces(quilt)) == 2 * 2 * 2 * 36


def test_an_outline_and_its_quarter_turn_are_one_piece():
    assert canonical([(0, 0), (4, 0), (0, 2)]) == canonical([(0, 4), (0, 0), (2, 4)])
    assert canonical([(0, 0), (4, 0), (0, 2)]) != canonical([(0, 0), (2, 0), (0, 4)])
