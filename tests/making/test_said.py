"""What lists say of a plan: each kind in its own words, and amounts as a shop writes them."""

from fractions import Fraction
from math import ceil

import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.pieces import pieces, standing
from seamlore.draft.repeated import repeated
from seamlore.draft.text.notation import read_block
from seamlore.fabric.stash import Print
from seamlore.lengths import Unit, centimeters, inches
from seamlore.making.corners_off import corners_off
from seamlore.making.finish.backing import backing
from seamlore.making.finish.binding import straight_binding
from seamlore.making.finish.costs import _amount
from seamlore.making.finish.edges import edge
from seamlore.making.finish.filling import filling
from seamlore.making.finish.holding import holding
from seamlore.making.plan import plan
from seamlore.making.shapes import shape_of
from seamlore.making.upright import upright_cuts

NINES = repeated("q", find("nine patch"), inches(9), inches(9), 8, 7)
HALF = read_block("block Half\nA dark\nB light\n\nA/B")


def test_one_strip_is_joined_to_none():
    assert str(straight_binding(inches(5), inches(5), inches(42))).startswith(
        "1 strip 2 1/2 in wide across the fabric:"
    )
    assert ", joined at 45 degrees:" in str(straight_binding(inches(9), inches(9), inches(42)))


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("back to front", "trim the backing 1 in beyond"),
        ("front to back", "the top reaches 1 in beyond its finished edge"),
    ],
)
def test_what_is_folded_over_says_which_layer_reaches_how_far(kind, said):
    assert said in str(edge(kind, inches(60), inches(72), inches(42), inches("1/4"), shows=inches("1/2")))


def test_thread_is_told_in_whole_meters_or_yards_and_enough():
    for made in (holding(centimeters(150), centimeters(180)), holding(inches(60), inches(72))):
        meters = made.thread[0].unit is Unit.CM
        # 2.54 cm to the inch, 36 in to the yard.
        lengths = [float(each.inches) * 0.0254 if meters else float(each.inches) / 36 for each in made.thread]
        least, most = (f"{ceil(each - 1e-9)} {'m' if meters else 'yd'}" for each in lengths)
        assert f"about {least} of thread by hand, {most} by machine" in str(made)


def test_amounts_are_written_as_a_shop_does():
    said = {Fraction(3, 2): "1 1/2", Fraction(2): "2", Fraction(1, 4): "1/4", Fraction(0): "0"}
    assert {amount: _amount(amount, Unit.INCH) for amount in said} == said
    assert _amount(Fraction(3, 2), Unit.CM) == "1.50"


def test_the_smallest_package_that_is_large_enough_is_offered():
    # A full package has 7,776 square inches and a queen one 9,720.
    assert filling(inches(73), inches(88)).package == "full"
    assert filling(inches(101), inches(30)).package == "king"


def test_a_wish_for_the_seams_of_the_backing_reaches_the_plan():
    aside = plan(NINES, off_middle=True).backing
    assert aside != plan(NINES).backing
    assert str(aside).startswith(str(backing(inches(63), inches(72), inches(42), off_middle=True))[:30])


def test_how_far_apart_batting_is_held_is_said_only_until_it_is_known():
    told = [any("batting's label" in each for each in plan(NINES, gap=gap).notes) for gap in (None, inches(4))]
    assert told == [True, False]


def test_a_patch_without_its_corners_is_cut_as_it_lies():
    ring = tuple(
        (Fraction(x), Fraction(y)) for x, y in ((2, 0), (8, 0), (10, 2), (10, 16), (8, 18), (2, 18), (0, 16), (0, 2))
    )
    found = [corners_off(shape_of(each), inches("1/4")).size for each in (ring, tuple((y, x) for x, y in ring))]
    assert [tuple(float(side.inches) for side in size) for size in found] == [(10.5, 18.5), (18.5, 10.5)]


def test_triangles_that_stand_upright_come_from_rectangles_that_are_no_squares():
    for size, said in ((8, "squares"), (9, "rectangles")):
        quilt = repeated("q", HALF, inches(8), inches(size), 2, 3)
        (cut,) = upright_cuts(standing(quilt), pieces(quilt), [Print("Fabric A", True)], inches("1/4"), inches(42))[0]
        assert f" {said} of " in cut.how, cut.how
