"""The cutting list of whole quilts."""

from fractions import Fraction
from math import ceil

import pytest
from numpy.testing import assert_allclose
from shapely.geometry import Polygon

from seamlore.draft.border import border
from seamlore.draft.catalogue import all_blocks
from seamlore.draft.groups import groups
from seamlore.draft.kinds import Turned
from seamlore.draft.pieces import Piece, pieces
from seamlore.draft.quilt import Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.text.notation import read_block
from seamlore.lengths import centimeters, inches
from seamlore.making.cutting import cutting_list
from seamlore.making.notes import awkward

QUARTER = inches("1/4")
SHOO_FLY = read_block("block Shoo Fly\nA light\nB dark\n\nA/B A A\\B\nA B A\nA\\B A A/B")
NINE = read_block("block Nine Patch\nA light\nB dark\n\nB A B\nA B A\nB A B")


def lines(quilt, seam=QUARTER):
    return {(cut.fabric, cut.shape, str(cut.size[0])): cut for cut in cutting_list(pieces(quilt), seam)}


def test_twenty_nine_patches_take_a_hundred_and_eighty_squares():
    # butterflythreadsquilting.com 2014/01 (V): 20 nine patches from 2 in squares, block 4 1/2 in finished.
    found = lines(repeated("q", NINE, inches("4.5"), inches("4.5"), 4, 5))
    assert found["Fabric B", "square", "2 in"].count == 100
    assert found["Fabric A", "square", "2 in"].count == 80


def test_a_pinwheel_of_six_inches_takes_two_squares_of_each_color():
    # grannymaudsgirl.wordpress.com 2018/06/11 (V): half-square triangles of 3 in, cut 3 7/8.
    pinwheel = read_block("block Pinwheel\nA light\nB dark\n\nA/B A\\B\nB\\A B/A")
    found = lines(repeated("q", pinwheel, inches(6), inches(6), 1, 1))
    assert {key: (cut.count, cut.yields) for key, cut in found.items()} == {
        ("Fabric A", "half-square triangle", "3 7/8 in"): (2, 2),
        ("Fabric B", "half-square triangle", "3 7/8 in"): (2, 2),
    }


def test_every_patch_is_cut():
    quilt = repeated("q", SHOO_FLY, inches(9), inches(9), 3, 5, Sashing(inches(2), inches(2), cornerstones=True))
    for cut in cutting_list(pieces(quilt), QUARTER):
        assert cut.count * cut.yields >= cut.needed
        assert (cut.count - 1) * cut.yields < cut.needed
    assert sum(cut.needed for cut in cutting_list(pieces(quilt), QUARTER)) == sum(p.count for p in pieces(quilt))


def test_an_odd_number_of_triangles_leaves_one_to_spare():
    one = read_block("block Corner\nA light\nB dark\n\nA/B A\nA A")
    cut = lines(repeated("q", one, inches(6), inches(6), 1, 1))["Fabric B", "half-square triangle", "3 7/8 in"]
    assert (cut.count, cut.spare) == (1, 1)


def test_equal_cuts_of_one_fabric_are_one_line():
    quilt = repeated("q", SHOO_FLY, inches(9), inches(9), 2, 2, fabrics={"A": "muslin", "B": "muslin"})
    found = lines(quilt)
    assert found["muslin", "half-square triangle", "3 7/8 in"].labels == ("A1", "B1")
    assert found["muslin", "square", "3 1/2 in"].count == 20


def test_mirrored_blocks_cut_half_rectangles_on_both_diagonals():
    kite = read_block(
        "block Long\nA light\nB dark\ndivisions 1\n\npatch A 0,0 1,0 1,0.5\npatch A 0,0 1,0.5 0,0.5\npatch B 0,0.5 1,0.5 1,1 0,1"
    )
    quilt = repeated("q", kite, inches(8), inches(8), 1, 2, turned={(0, 1): Turned(0, True)})
    halves = [cut for cut in cutting_list(pieces(quilt), QUARTER) if cut.shape == "half-rectangle triangle"]
    assert sorted((cut.shaped.diagonal, cut.count) for cut in halves) == [("/", 1), ("\\", 1)]


def test_fabrics_are_listed_by_their_letters_then_setting_and_borders():
    block = read_block("block Ends\nA light\nB dark\nC medium\n\nC B\nB A")
    quilt = repeated("q", block, inches(6), inches(6), 2, 2, Sashing(inches(2), inches(2)), (border(inches(3)),))
    found = dict.fromkeys(cut.fabric for cut in cutting_list(pieces(quilt), QUARTER))
    assert list(found) == ["Fabric A", "Fabric B", "Fabric C", "sashing", "border"]


def test_a_mitered_border_is_cut_to_its_points():
    quilt = repeated("q", NINE, inches(9), inches(9), 3, 3, None, (border(inches(4), corners="mitered"),))
    band = next(cut for cut in cutting_list(pieces(quilt), QUARTER) if cut.fabric == "border")
    # 27 + 2 x 4 = 35 along the outside; the points reach 1.207 in past it together: 36 1/4 in.
    assert (band.shape, band.size, band.count) == ("rectangle", (inches("36.25"), inches("4.5")), 4)


def test_an_uneven_mitered_border_is_cut_to_its_points():
    """Against shapely: each trapezoid grown by the seam allowance with pointed corners, and the box round it."""
    sides = border(inches(4), corners="mitered", right=inches(2), bottom=inches(5), left=inches(3))
    quilt = repeated("q", NINE, inches(9), inches(9), 3, 4, None, (sides,))
    wide, high = 36, 27
    outer = [(0, 0), (3 + wide + 2, 0), (3 + wide + 2, 4 + high + 5), (0, 4 + high + 5)]
    inner = [(3, 4), (3 + wide, 4), (3 + wide, 4 + high), (3, 4 + high)]
    wanted = []
    for one, two in ((0, 1), (1, 2), (2, 3), (3, 0)):
        grown = Polygon([outer[one], outer[two], inner[two], inner[one]]).buffer(
            0.25, join_style="mitre", mitre_limit=20
        )
        left, top, right, bottom = grown.bounds
        wanted.append(tuple(ceil(side * 8 - 1e-5) / 8 for side in sorted((right - left, bottom - top), reverse=True)))
    bands = [cut for cut in cutting_list(pieces(quilt), QUARTER) if cut.fabric == "border"]
    found = [tuple(side.inches_float for side in cut.size) for cut in bands for _ in range(cut.count)]
    assert sorted(found) == sorted(wanted)


def test_metric_sizes_are_rounded_up_to_millimeters():
    found = lines(repeated("q", SHOO_FLY, centimeters(24), centimeters(24), 1, 1), centimeters("0.75"))
    assert ("Fabric A", "half-square triangle", "10.6 cm") in found  # 8 + 2.5607
    assert ("Fabric A", "square", "9.5 cm") in found


def test_an_odd_eighth_is_flagged():
    # skattebo-skattebo.blogspot.com 2014/01 (V): a 9 in block on a grid of eight has sections of 1 1/8 in.
    checker = read_block(
        "block Checker\nA light\nB dark\n\n"
        + "\n".join(" ".join("AB"[(r + c) % 2] for c in range(8)) for r in range(8))
    )
    notes = awkward(cutting_list(pieces(repeated("q", checker, inches(9), inches(9), 1, 1)), QUARTER))
    assert any("1 1/8 in, an odd eighth" in note for note in notes)


def test_a_third_of_an_inch_is_flagged_and_cut_larger():
    cuts = cutting_list(pieces(repeated("q", NINE, inches(10), inches(10), 1, 1)), QUARTER)
    assert cuts[0].size[0] == inches("3.875")
    assert any("between two eighths" in note for note in awkward(cuts))


def test_whole_and_half_inches_are_not_flagged():
    assert awkward(cutting_list(pieces(repeated("q", NINE, inches(9), inches(9), 1, 1)), QUARTER)) == ()


@pytest.mark.parametrize("block", all_blocks(), ids=lambda block: block.name)
def test_finished_areas_of_all_cuts_make_the_block(block):
    quilt = repeated("q", block, inches(12), inches(12), 2, 2)
    total = 0.0
    for cut in cutting_list(pieces(quilt), QUARTER):
        one, two = (float(side) for side in cut.shaped.sides)
        each = {
            "square": one * two,
            "rectangle": one * two,
            "half-square triangle": one * two / 2,
            "half-rectangle triangle": one * two / 2,
            "quarter-square triangle": one * two / 4,
        }.get(cut.shape)
        if each is None:
            ring = cut.shaped.outline
            each = (
                abs(
                    float(
                        sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True))
                    )
                )
                / 2
            )
        total += each * cut.needed
    assert_allclose(total, 24 * 24, rtol=1e-9)


def test_cloth_is_never_less_than_the_finished_patches():
    for cut in cutting_list(pieces(repeated("q", SHOO_FLY, inches(9), inches(9), 2, 2)), QUARTER):
        assert cut.cloth_sq_in * cut.count > Fraction(cut.needed)


def test_what_sewing_eases_into_one_size_is_one_kind():
    # Half squares of 3 in beside those of a pieced border in which 3 in were eased to 3.004 in one way.
    def half(wide, high):
        zero = Fraction(0)
        return ((zero, zero), (Fraction(wide), zero), (zero, Fraction(high)))

    cuts = cutting_list(
        [
            Piece("patch", "A", half("3", "3"), 4, "A1"),
            Piece("border", "A", half("3.004", "3"), 4, "A2"),
            Piece("border", "A", half("3", "3.004"), 4, "A2r"),
        ],
        QUARTER,
    )
    (cut,) = cuts
    assert (cut.shape, cut.size, cut.count) == ("half-square triangle", (inches("3.875"),) * 2, 6)
    assert awkward(cuts) == ()


def test_an_eased_goose_is_a_quarter_square_triangle():
    zero = Fraction(0)
    goose = ((zero, Fraction(3)), (Fraction("3.004"), zero), (Fraction("6.008"), Fraction(3)))
    (cut,) = cutting_list([Piece("border", "A", goose, 4, "A1")], QUARTER)
    assert cut.shape == "quarter-square triangle"


def test_sizes_that_differ_by_more_than_sewing_eases_are_two_kinds():
    square = rectangle_of("3"), rectangle_of("3.04")
    assert len(cutting_list([Piece("patch", "A", ring, 1, f"A{n}") for n, ring in enumerate(square)], QUARTER)) == 2


def rectangle_of(side):
    s, zero = Fraction(side), Fraction(0)
    return ((zero, zero), (s, zero), (s, s), (zero, s))


def test_triangles_on_the_edge_have_their_grain_there():
    # Half blocks on point: what the edge leaves of a square has its long side on the quilt's edge, which must not stretch
    # (grain rule of setting triangles: phoebemoon.com, V). 3 in square: long side 4.243 and 1 1/4 in: squares of 5 1/2 in.
    quilt = repeated("q", SHOO_FLY, inches(9), inches(9), 4, 4, setting=OnPoint("half blocks"))
    found = cutting_list(pieces(quilt), QUARTER)
    edge = next(cut for cut in found if cut.labels == ("B4",))
    assert (edge.shape, edge.size[0], edge.count) == ("quarter-square triangle", inches("5.5"), 3)
    # The same patch inside a block keeps the grain of its block.
    inside = next(cut for cut in found if cut.labels == ("B1",))
    assert (inside.shape, inside.size[0]) == ("half-square triangle", inches("3.875"))


@pytest.mark.parametrize(
    "block", [each for each in all_blocks() if len(each.patches) < 20][::4], ids=lambda block: block.name
)
def test_no_piece_has_bias_on_the_edge_of_half_blocks(block):
    quilt = repeated("q", block, inches(12), inches(12), 3, 3, setting=OnPoint("half blocks"))
    for group in groups(quilt):
        planes = group.spots[0].left
        for part, ring in zip(group.parts, group.as_cut, strict=True):
            for plane in planes:
                on = [abs(float(plane[0] * x + plane[1] * y - plane[2])) < 1e-9 for x, y in part.outline]
                for index, (x, y) in enumerate(ring):
                    after = (index + 1) % len(ring)
                    if on[index] and on[after]:
                        assert min(abs(float(ring[after][0] - x)), abs(float(ring[after][1] - y))) < 1e-9
