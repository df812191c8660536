"""Shapes side by side in a strip, against a general geometry library."""

from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import Polygon, affinity, box

from seamlore.draft.catalogue import find
from seamlore.draft.pieces import Piece, pieces
from seamlore.draft.repeated import repeated
from seamlore.errors import ShapeError
from seamlore.lengths import centimeters, inches
from seamlore.making.cutting import cutting_list
from seamlore.making.nesting import nest
from seamlore.making.shapes import Shaped, shape_of
from seamlore.making.sizes import cutting_line
from seamlore.making.strips import needs

QUARTER = inches("1/4")


def template(*corners):
    return shape_of(tuple((Fraction(x), Fraction(y)) for x, y in corners))


def laid_out(shaped, laid, count, seam):
    """The trimmed cutting lines of `count` pieces, each put where the strip's marks say."""
    line = Polygon(cutting_line(shaped, seam.inches))
    middle = line.envelope.centroid
    found = []
    for index in range(count):
        # Turned pieces are turned about the middle of the strip's depth, then slid along until they touch.
        piece = affinity.rotate(line, 180, origin=(middle.x, middle.y)) if laid.turned and index % 2 else line
        found.append(piece)
    placed = [found[0]]
    for piece in found[1:]:
        low, high = placed[-1].bounds[0] - piece.bounds[0], placed[-1].bounds[2] - piece.bounds[0]
        for _ in range(50):  # the smallest shift at which the two no longer overlap
            shift = (low + high) / 2
            overlap = affinity.translate(piece, shift).intersection(placed[-1]).area
            low, high = (shift, high) if overlap > 1e-9 else (low, shift)
        placed.append(affinity.translate(piece, high))
    return placed


@settings(max_examples=60, deadline=None)
@given(st.integers(8, 48), st.integers(0, 48), st.integers(-24, 24), st.integers(8, 32))
def test_as_many_shapes_fit_in_a_strip_as_is_said(long, short, slide, high):
    base, top, offset, height = (Fraction(each, 4) for each in (long, short, slide, high))
    assume(top <= base)
    corners = [(0, 0), (base, 0), (offset + top, height), (offset, height)]
    if not top:
        corners = corners[:3]
    shaped = template(*corners)
    assume(shaped.shape == "template")
    try:
        laid = nest(shaped, QUARTER)
    except ShapeError:
        assume(False)
    assume(laid is not None)
    for count in (5, 6):
        placed = laid_out(shaped, laid, count, QUARTER)
        run = max(each.bounds[2] for each in placed) - min(each.bounds[0] for each in placed)
        assert run <= laid.run(count).inches_float + 1e-6
    deep = max(each.bounds[3] for each in placed) - min(each.bounds[1] for each in placed)
    assert deep <= laid.depth.inches_float + 1e-6


def test_a_diamond_needs_no_turning():
    diamond = template((0, 0), (3, 0), (6, 3), (3, 3))
    laid = nest(diamond, QUARTER)
    assert not laid.turned
    assert laid.depth == inches("3.5")
    # Along the strip: 3 in and the seam on two slanting sides, 2 x 1/4 x root of 2 = 0.707; rounded once, at the strip's end.
    assert float(laid.pitch.inches) == pytest.approx(3 + 0.5 * 2**0.5)
    # 3 1/2 in more than ten pitches of 3.7071 in: 40.571.
    assert laid.run(10) == inches("40.625")
    # y runs down: the corners at the top are left of those at the bottom. Across the cuts: 3.7071 / root of 2 = 2.6213.
    assert laid.how() == (
        "right side up, at 45 degrees to the strip's edge from upper left to lower right, 2 5/8 in between the cuts"
    )


def test_a_strip_wider_than_the_diamond_by_less_than_a_mark_leaves_its_angle():
    # The diamond of an eight-pointed star of 10 in: its sides 2.929 in, at 45 degrees whatever the strip is rounded to.
    side = 10 * (2**0.5 - 1) / 2**0.5
    down = side / 2**0.5
    laid = nest(template((0, 0), (side, 0), (side + down, down), (down, down)), QUARTER)
    assert laid.depth == inches("2.625")
    assert "at 45 degrees" in laid.how()


def test_the_mirror_image_of_a_diamond_leans_the_other_way():
    laid = nest(template((3, 0), (6, 0), (3, 3), (0, 3)), QUARTER)
    assert "from lower left to upper right" in laid.how()
    assert all(upper > lower for upper, lower in laid.slants(4))


def test_slanting_cuts_are_where_the_pieces_lie():
    spool = template((0, 0), (12, 0), (9, 3), (3, 3))
    laid = nest(spool, QUARTER)
    placed = laid_out(spool, laid, 4, QUARTER)
    middles = [float(sum((*one, *two))) / 4 for one, two in pairwise(laid.slants(4))]
    for piece, middle in zip(placed, middles, strict=True):
        # Found by sliding each piece until it touches the last.
        assert piece.centroid.x - placed[0].centroid.x == pytest.approx(middle - middles[0], abs=1e-6)


def test_like_wedges_lie_alike_however_they_are_turned():
    # The eight wedges of a kaleidoscope are one shape; four stand with their base on the edge, four at the corners.
    cuts = cutting_list(
        pieces(repeated("q", find("kaleidoscope"), inches(12), inches(12), 6, 5)), QUARTER, inches(42)
    )
    wedges = [cut for cut in cuts if cut.nest]
    assert len(wedges) == 2
    assert {(cut.size, cut.nest.depth) for cut in wedges} == {((inches(39), inches("6.625")), inches("6.625"))}


def test_a_template_lies_in_strips_only_where_that_takes_less():
    # Ten spool sides: three in a strip of 3 1/2 in take 14 in; standing on end in one strip of 12 1/2 in, all ten find room.
    spool = ((0, 0), (12, 0), (9, 3), (3, 3))
    ring = tuple((Fraction(x), Fraction(y)) for x, y in spool)
    few, many = (cutting_list([Piece("patch", "A", ring, count, "A1")], QUARTER, inches(42))[0] for count in (10, 9))
    assert (few.nest, many.nest is None) == (None, False)


def test_a_strip_too_short_holds_none():
    laid = nest(template((0, 0), (12, 0), (9, 3), (3, 3)), QUARTER)
    assert laid.holds(inches(13)) == 0
    assert laid.holds(laid.run(3)) == 3
    assert laid.holds(laid.run(3) - inches("1/8")) == 2


def test_shapes_with_more_corners_are_cut_by_themselves():
    snowball = template((1, 0), (2, 0), (3, 1), (3, 2), (2, 3), (1, 3), (0, 2), (0, 1))
    assert nest(snowball, QUARTER) is None
    assert nest(Shaped("square", (Fraction(3), Fraction(3))), QUARTER) is None


def test_metric_marks_are_millimeters():
    laid = nest(template((0, 0), (4, 0), (3, 2), (1, 2)), centimeters("0.75"))
    assert (laid.run(7).inches * Fraction(254, 10)).denominator == 1
    assert (laid.depth.inches * Fraction(254, 10)).denominator == 1


@pytest.mark.parametrize("name", ["spool", "roman stripe", "clay's choice", "attic windows"])
def test_a_block_of_slanting_patches_takes_no_more_cloth_from_strips(name):
    cut_pieces = pieces(repeated("q", find(name), inches(12), inches(12), 6, 6))
    alone = cutting_list(cut_pieces, QUARTER)
    nested = cutting_list(cut_pieces, QUARTER, inches(42))

    def taken(cuts):
        return sum(need.length.inches for need in needs(cuts, inches(42), QUARTER))

    # Where boxes standing on end take less, these stay.
    assert taken(nested) <= taken(alone)
    assert (taken(nested) < taken(alone)) == (name in ("roman stripe", "clay's choice"))
    assert sum(cut.needed for cut in nested) == sum(cut.needed for cut in alone)
    for cut in nested:
        assert cut.count * cut.yields >= cut.needed
        assert cut.cloth_sq_in <= cut.size[0].inches * cut.size[1].inches


def test_diagonal_stripes_are_cut_with_their_long_sides_along_the_strip():
    stripe = template((0, 0), (3, 0), (12, 9), (12, 12))
    sides = np.diff(np.array(stripe.outline + stripe.outline[:1], dtype=float), axis=0)
    longest = max(sides, key=lambda side: float(np.hypot(*side)))
    assert abs(longest[1]) < 1e-9


def test_the_box_of_a_strip_holds_its_first_piece():
    spool = template((0, 0), (12, 0), (9, 3), (3, 3))
    laid = nest(spool, QUARTER)
    line = cutting_line(spool, QUARTER.inches)
    frame = box(0, 0, laid.run(1).inches_float, laid.depth.inches_float)
    assert frame.bounds[2] >= float(np.ptp(line[:, 0])) - 1e-9
