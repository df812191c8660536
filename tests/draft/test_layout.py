"""Layout: every setting covers its quilt, and lays what the list of pieces counts."""

from collections import Counter
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from seamlore.draft.border import Pieced, border
from seamlore.draft.kinds import NOT_READ, Cell, Kind, Turned
from seamlore.draft.layout import block_corner, lay
from seamlore.draft.pieces import pieces
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.arranged import arrange
from seamlore.draft.setting.setting import Cut, Offset, OnPoint, Straight, Strips
from seamlore.draft.text.notation import read_block
from seamlore.lengths import inches
from seamlore.plane.cover import check_cover
from seamlore.plane.outline import area

# Not alike when turned or mirrored, with a patch that is not convex (A1), so that nothing passes by symmetry.
CROOKED = read_block("block Crooked\nA dark\nB light\nC medium\n\nA1 A1 B\nA1 B C\nA/B C C")
PLAIN = read_block("block Plain\nP light\n\nP")
POINTS = read_block("block Points\nD dark\nE light\n\nD/E")


def in_(number):
    return inches(Fraction(number))


def crooked(rows=3, columns=4, side="9", **more):
    high = in_(more.pop("high", side))
    return repeated("crooked", CROOKED, in_(side), high, rows, columns, kinds=[Kind("PT", POINTS)], **more)


TURNED = {(0, 0): Turned(90), (0, 1): Turned(180, True), (1, 0): Turned(270), (2, 1): Turned(0, True)}
SAMPLES = {
    "one block": crooked(1, 1),
    "straight": crooked(turned=TURNED),
    "oblong blocks turned": crooked(side="6", high="9", turned=TURNED),
    "sashing": crooked(sashing=Sashing(in_("2"), in_("3"))),
    "sashing one way": crooked(sashing=Sashing(in_("0"), in_("3"), outer=True, cornerstones=True)),
    "cornerstones": crooked(sashing=Sashing(in_("2"), in_("3/2"), cornerstones=True)),
    "outer sashing": crooked(sashing=Sashing(in_("2"), in_("3"), outer=True)),
    "outer sashing, cornerstones": crooked(sashing=Sashing(in_("2"), in_("3"), outer=True, cornerstones=True)),
    "borders": crooked(
        borders=(
            border(in_("1")),
            border(in_("5/2"), "blue", "mitered"),
            border(in_("3"), "red", "squares"),
        )
    ),
    "pieced border": crooked(
        borders=(
            border(in_("3"), corners="squares", pieced=Pieced("PT", in_("3"))),
            border(in_("3/2")),
            border(in_("3"), corners="squares", pieced=Pieced("PT", in_("9/2")), corner="PT"),
            border(in_("3"), pieced=Pieced("PT", in_("3"), mirrored=True)),
        )
    ),
    "uneven border": crooked(borders=(border(in_("2"), top=in_("5"), left=in_("7/2")), border(in_("1"), left=in_("0")))),
    "uneven mitered border": crooked(
        borders=(border(in_("2"), corners="mitered", top=in_("5"), left=in_("7/2")), border(in_("1"), left=in_("0")))
    ),
    "uneven corner squares": crooked(borders=(border(in_("2"), corners="squares", top=in_("5"), left=in_("7/2")),)),
    "uneven pieced border": crooked(
        borders=(border(in_("3"), corners="squares", pieced=Pieced("PT", in_("3")), corner="PT", bottom=in_("4")),)
    ),
    "cells": Quilt(
        "q", (Kind("C", CROOKED), Kind("PT", POINTS)),
        ((Cell("C"), NOT_READ, Cell("PT", Turned(90, True))), (NOT_READ, Cell("PT", fabrics={"D": "own"}), Cell("C"))),
        in_("9"), in_("6"), Sashing(in_("2"), in_("1"), cornerstones=True),
    ),
    "cells on point": Quilt(
        "q", (Kind("C", CROOKED), Kind("PT", POINTS)),
        ((NOT_READ, Cell("C"), NOT_READ), (Cell("PT"), NOT_READ), (Cell("C"), Cell("PT"), NOT_READ)),
        in_("9"), in_("9"), setting=OnPoint("half blocks"),
    ),
    "alternate plain": crooked(every_other=PLAIN),
    "alternate pieced": crooked(every_other=POINTS, sashing=Sashing(in_("1"), in_("1"))),
    "offset, cut": crooked(setting=Offset(), turned={(1, 0): Turned(90), (1, 4): Turned(0, True)}),
    "offset, plain ends": crooked(setting=Offset("plain"), sashing=Sashing(in_("2"), in_("1"))),
    "offset, cut, sashing": crooked(setting=Offset(), sashing=Sashing(in_("2"), in_("0")), every_other=POINTS),
    "strips": crooked(setting=Strips(in_("4"), outer=True), turned=TURNED),
    "strips inside": crooked(setting=Strips(in_("4"))),
    "strips on point": crooked(setting=Strips(in_("4"), outer=True, on_point=True), borders=(border(in_("2")),)),
    "cut": crooked(cut=Cut(in_("1"), in_("5/2"), in_("0"), in_("4"))),
    "cut, sashing": crooked(
        sashing=Sashing(in_("2"), in_("2"), outer=True, cornerstones=True),
        cut=Cut(in_("1"), in_("5/2"), in_("3"), in_("4")),
        borders=(border(in_("2"), "red", "mitered"),),
    ),
    "strips, cut": crooked(
        setting=Strips(in_("4"), outer=True), cut=Cut(in_("5"), in_("2"), in_("1"), in_("2"))
    ),
    "strips on point, cut": crooked(
        setting=Strips(in_("4"), outer=True), cut=Cut(in_("5"), in_("2"), in_("1"), in_("0"))
    ),
    "on point": crooked(setting=OnPoint(), turned={(1, 2): Turned(90), (4, 3): Turned(180, True)}),
    "on point, one": crooked(1, 1, setting=OnPoint(), borders=(border(in_("2"), "red", "mitered"),)),
    "on point, one row": crooked(1, 4, setting=OnPoint(), every_other=PLAIN),
    "on point, plain": crooked(setting=OnPoint(), every_other=PLAIN),
    "on point, half blocks": crooked(setting=OnPoint("half blocks"), turned={(0, 0): Turned(90), (6, 4): Turned(180)}),
    "on point, half plain": crooked(setting=OnPoint("half blocks"), every_other=PLAIN),
    "on point, sashing": crooked(setting=OnPoint(), sashing=Sashing(in_("2"), in_("2"))),
    "on point, cornerstones": crooked(setting=OnPoint(), sashing=Sashing(in_("2"), in_("2"), cornerstones=True)),
    "on point, outer": crooked(setting=OnPoint(), sashing=Sashing(in_("2"), in_("2"), outer=True)),
    "on point, all": crooked(
        setting=OnPoint(), sashing=Sashing(in_("2"), in_("2"), outer=True, cornerstones=True), borders=(border(in_("3")),)
    ),
}  # fmt: skip


def of_samples(check):
    return pytest.mark.parametrize("quilt", SAMPLES.values(), ids=SAMPLES.keys())(check)


def frame_of(quilt):
    width, height = (side.inches_float for side in quilt.finished_size)
    return np.array([[0, 0], [width, 0], [width, height], [0, height]])


@of_samples
def test_a_layout_covers_its_quilt_with_no_gap_and_no_overlap(quilt):
    laid = lay(quilt)
    check_cover(frame_of(quilt), [each.outline for each in laid], [each.key for each in laid])


@of_samples
def test_the_pieces_listed_are_the_pieces_laid(quilt):
    listed = Counter()
    for piece in pieces(quilt):
        listed[piece.role, piece.fabric, round(float(piece.area), 6)] += piece.count
    # What was not read is drawn, and is no piece.
    laid = [each for each in lay(quilt) if each.role != "not read"]
    assert listed == Counter((each.role, each.fabric, round(area(each.outline), 6)) for each in laid)


@of_samples
def test_areas_of_all_pieces_sum_to_the_finished_area(quilt):
    width, height = quilt.finished_size
    total = sum((piece.area * piece.count for piece in pieces(quilt)), Fraction(0))
    unread = sum(area(each.outline) for each in lay(quilt) if each.role == "not read")
    whole = width.inches * height.inches
    if unread:
        assert_allclose(float(total) + unread, float(whole), rtol=1e-9)
    elif (
        "on point" in str(quilt.setting)
        or isinstance(quilt.setting, OnPoint)
        or "on_point=True" in str(quilt.setting)
    ):
        # A diagonal is a fraction to within a millionth of a millionth (lengths.root2), so this is not exact.
        assert_allclose(float(total), float(whole), rtol=1e-11)
    else:
        assert total == whole


quilts = st.builds(
    lambda rows, columns, side, gap, outer, corners, band, kind, setting: crooked(
        rows,
        columns,
        str(side),
        setting=setting,
        sashing=Sashing(inches(gap), inches(gap), outer and not isinstance(setting, Offset),
                        corners and not isinstance(setting, Offset)) if gap else None,
        borders=(border(inches(band), "b", kind),),
    ),
    st.integers(2, 4),
    st.integers(2, 4),
    st.fractions(2, 12, max_denominator=16),
    st.fractions(0, Fraction(15, 8), max_denominator=8),
    st.booleans(),
    st.booleans(),
    st.fractions(Fraction(1, 4), 6, max_denominator=8),
    st.sampled_from(["butted", "mitered", "squares"]),
    st.sampled_from([Straight(), OnPoint(), Offset(), Offset("plain")]),
)  # fmt: skip


@given(quilts)
@example(
    # Its setting triangles overlap blocks by a millionth of a millionth, which a cover test once took for a fault.
    crooked(2, 2, "21/2", setting=OnPoint(), sashing=Sashing(in_("1/8"), in_("1/8")), borders=(border(in_("18/7")),))
)
@settings(max_examples=40, deadline=None)
def test_any_quilt_is_covered_by_its_layout(quilt):
    laid = lay(quilt)
    check_cover(frame_of(quilt), [each.outline for each in laid], [each.key for each in laid])


def test_a_block_turned_clockwise_brings_its_left_side_to_the_top():
    four = read_block("block Four\nA dark\nB light\nC medium\nD medium\n\nA B\nC D")
    laid = lay(repeated("q", four, in_("2"), in_("2"), 1, 1, turned={(0, 0): Turned(90)}))
    at = {tuple(each.outline.mean(axis=0)): each.key for each in laid}
    assert at == {(1.5, 0.5): "A", (1.5, 1.5): "B", (0.5, 0.5): "C", (0.5, 1.5): "D"}


def test_the_top_left_corner_of_a_block_on_point_points_up():
    four = read_block("block Four\nA dark\nB light\nC medium\nD medium\n\nA B\nC D")
    laid = [each for each in lay(repeated("q", four, in_("2"), in_("2"), 1, 1, setting=OnPoint())) if each.row >= 0]
    top = min(laid, key=lambda each: each.outline[:, 1].mean())
    right = max(laid, key=lambda each: each.outline[:, 0].mean())
    assert (top.key, right.key) == ("A", "B")
    assert_allclose(block_corner(crooked(setting=OnPoint()), 0, 0), [9 / np.sqrt(2), 0], atol=1e-9)


def test_corners_of_blocks_in_outer_sashing_are_a_pitch_apart():
    quilt = crooked(sashing=Sashing(in_("2"), in_("3"), outer=True), borders=(border(in_("4")),))
    assert_allclose(block_corner(quilt, 0, 0), [6, 7])
    assert_allclose(block_corner(quilt, 2, 3), [6 + 3 * 11, 7 + 2 * 12])


def test_long_sides_of_side_triangles_and_short_sides_of_corner_triangles_lie_on_the_edge():
    # trade.md A3, grain rule: phoebemoon.com/tutorials/on-point.htm, pinemeadowsdesigns.com.
    quilt = crooked(setting=OnPoint())
    width, height = (side.inches_float for side in quilt.finished_size)
    for each in lay(quilt):
        on_edge = [
            side
            for side in np.stack([each.outline, np.roll(each.outline, -1, axis=0)], axis=1)
            if any(np.allclose(side[:, axis], edge) for axis, edge in ((0, 0), (0, width), (1, 0), (1, height)))
        ]
        long = max(np.hypot(*(b - a)) for a, b in zip(each.outline, np.roll(each.outline, -1, axis=0), strict=True))
        if each.role == "side triangle":
            assert_allclose([np.hypot(*(b - a)) for a, b in on_edge], [long])
        elif each.role == "corner triangle":
            assert_allclose([np.hypot(*(b - a)) for a, b in on_edge], [long / np.sqrt(2)] * 2)


def test_four_by_five_on_point_take_32_blocks_14_side_and_4_corner_triangles():
    # trade.md A3: apqs.com reference chart for squares on point (32 blocks); side triangles computed.
    quilt = crooked(5, 4, "12", setting=OnPoint())
    counts = Counter(each.role for each in lay(quilt))
    assert len(quilt.spots) == 32
    assert counts["side triangle"] == 14
    assert counts["corner triangle"] == 4
    assert_allclose([side.inches_float for side in quilt.finished_size], [67.88, 84.85], atol=0.005)


def test_pieced_border_units_turn_with_the_side_they_lie_on():
    quilt = SAMPLES["pieced border"]
    units = [spot for spot in arrange(quilt).spots if spot.where.part == "border"]
    turns = Counter(spot.turned.turn for spot in units if spot.role == "border")
    # Sides of 27, 36 and 42 in hold 9, 8 and 14 units; tops of 36, 45 and 57 in hold 12, 10 and 19.
    assert turns == {0: 41, 90: 31, 180: 41, 270: 31}


@pytest.mark.parametrize("length", ["3", "9/2"])
def test_a_border_mirrored_from_its_middle_looks_alike_at_all_corners(length):
    # A square field, so that the border should be its own mirror image across both diagonals. An odd number of units
    # has one in the middle that is not, and is left out.
    mirrored = border(in_("3"), corners="squares", pieced=Pieced("PT", in_(length), mirrored=True))
    laid = [each for each in lay(crooked(3, 3, borders=(mirrored,))) if each.row < 0]
    dark = {tuple(np.round(np.sort(each.outline, axis=0).mean(axis=0), 6)) for each in laid if each.key == "PT D"}
    middle = {point for point in dark if any(abs(coordinate - 16.5) < 2.25 for coordinate in point)}
    assert {(y, x) for x, y in dark - middle} == dark - middle
    assert {(33 - y, 33 - x) for x, y in dark - middle} == dark - middle


def test_a_mitered_border_meets_on_the_diagonal():
    laid = [each for each in lay(crooked(1, 1, borders=(border(in_("3"), "b", "mitered"),))) if each.role == "border"]
    assert_allclose(laid[0].outline, [[0, 0], [15, 0], [12, 3], [3, 3]])


@pytest.mark.parametrize(("outer", "wide", "high"), [(False, 46, 58), (True, 50, 62)])
def test_sashing_on_point_widens_the_quilt_by_its_diagonal(outer, wide, high):
    # 4 x 5 of 10 in with 2 in between: 4 x 10 + 3 x 2 = 46 in, times the root of two; outer sashing adds 2 x 2 in.
    gap = Sashing(in_("2"), in_("2"), outer=outer)
    quilt = crooked(5, 4, "10", setting=OnPoint(), sashing=gap)
    assert_allclose([side.inches_float for side in quilt.field_size], [wide * 2**0.5, high * 2**0.5], atol=1e-9)
    strips = [each for each in lay(quilt) if each.key == "sashing"]
    corners = np.concatenate([each.outline for each in strips])
    assert corners.min() >= -1e-9
    # Two blocks side by side in a row across stand one block and one strip apart, along the diagonal.
    apart = np.array(block_corner(quilt, 0, 1)) - np.array(block_corner(quilt, 0, 0))
    assert_allclose(apart, [12 * 2**0.5, 0], atol=1e-9)


@pytest.mark.parametrize("setting", [Straight(), OnPoint(), OnPoint("half blocks")])
def test_setting_squares_lie_between_the_blocks_and_never_beside_one_another(setting):
    quilt = crooked(3, 4, setting=setting, every_other=PLAIN)
    keys = {}
    for each in lay(quilt):
        if each.row >= 0:
            keys.setdefault((each.row, each.column), set()).add(each.key)
    plain = {at for at, found in keys.items() if len(found) == 1}
    if setting == Straight():
        assert plain == {(row, column) for row in range(3) for column in range(4) if (row + column) % 2}
    elif setting == OnPoint():
        # The pieced blocks stand at the corners, in the longer rows; the plain ones in the rows between.
        assert plain == {(row, column) for row in (1, 3) for column in range(3)}
    else:
        # The edge halves the plain ones.
        assert plain == {(row, column) for row in (0, 2, 4, 6) for column in range(5)}


def test_plain_ends_of_shifted_rows_are_half_a_block_wide_and_lie_at_both_ends():
    quilt = crooked(3, 4, setting=Offset("plain"))
    ends = [each.outline for each in lay(quilt) if each.role == "row end"]
    boxes = sorted((*each.min(axis=0).tolist(), *np.ptp(each, axis=0).tolist()) for each in ends)
    assert boxes == [(0.0, 9.0, 4.5, 9.0), (31.5, 9.0, 4.5, 9.0)]
