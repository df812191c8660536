"""Kinds of blocks told by the seams that are seen in each, and the lines drawn through them."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shapely import Polygon, union_all

from seamlore.photo.block.agreement import Drawn, Seen, agreement, cost, lay
from seamlore.photo.block.kinds import _as_kind, _best, _joined, kinds_of, on_divisions
from seamlore.photo.block.lines import WHOLE, draw_patches, inner
from seamlore.photo.block.seams import ACROSS, ANY, DOWN, FALLING, RISING, SIDE, Sight, moved


def nothing() -> np.ndarray:
    return np.full((6, SIDE, SIDE), -4, np.float32)


def seam(maps: np.ndarray, way: int, at: int, start: int = 0, end: int = SIDE) -> np.ndarray:
    """Put a clear seam across or down into the maps of a block."""
    for plane in (ANY, way):
        if way == ACROSS:
            maps[plane, at - 1 : at + 1, start:end] = 4
        else:
            maps[plane, start:end, at - 1 : at + 1] = 4
    return maps


def slant(maps: np.ndarray, way: int) -> np.ndarray:
    at = np.arange(SIDE)
    for plane in (ANY, way):
        for aside in (-1, 0, 1):  # as wide as the network sees it
            maps[plane, at, np.clip((SIDE - 1 - at if way == RISING else at) + aside, 0, SIDE - 1)] = 4
    return maps


def sight(*maps: np.ndarray) -> Sight:
    places = np.array([[0, k] for k in range(len(maps))])
    return Sight(np.stack(maps), np.zeros((len(maps), 4, 2)), places)


def nine_patch() -> np.ndarray:
    maps = nothing()
    for at in (21, 43):
        seam(seam(maps, ACROSS, at), DOWN, at)
    return maps


def draw(maps: np.ndarray):
    return draw_patches(inner(maps), least=0.0, gap=4, belief=0.5)


@pytest.mark.parametrize(
    ("maps", "patches"),
    [
        (nothing(), 1),
        (seam(nothing(), DOWN, 32), 2),
        (nine_patch(), 9),
        (slant(nothing(), RISING), 2),
        (slant(slant(nothing(), RISING), FALLING), 4),
        (seam(seam(nothing(), DOWN, 32), ACROSS, 32, 32), 3),
    ],
    ids=["plain", "halves", "nine patch", "triangles", "hourglass", "half and quarters"],
)
def test_patches_are_what_seams_enclose_and_cover_the_block(maps, patches):
    drawn = draw(maps)
    assert len(drawn) == patches
    # Outside check: the geometry library's areas and union.
    faces = [Polygon(ring) for ring in drawn]
    assert_allclose(sum(face.area for face in faces), 1, atol=1e-6)
    assert_allclose(union_all(faces).area, 1, atol=1e-6)


def test_a_frame_is_cut_into_pieces_that_can_be_sewn():
    maps = nothing()
    for at in (16, 48):
        seam(seam(maps, ACROSS, at, 16, 48), DOWN, at, 16, 48)
    drawn = draw(maps)
    assert len(drawn) == 5
    assert all(not Polygon(ring).interiors for ring in drawn)
    assert_allclose(sum(Polygon(ring).area for ring in drawn), 1, atol=1e-6)


def test_a_stray_mark_that_encloses_nothing_is_no_seam():
    assert draw(seam(nothing(), DOWN, 32, 20, 40)) == (WHOLE,)


def test_two_kinds_by_turns_and_plain_blocks_are_told_apart():
    pieced, other, plain = nine_patch(), slant(nothing(), RISING), nothing()
    kinds = kinds_of(sight(pieced, other, plain, pieced, other, pieced))
    assert [(len(kind.drawing), kind.members.tolist()) for kind in kinds] == [(9, [0, 3, 5]), (2, [1, 4]), (1, [2])]


def test_turned_copies_are_one_kind_and_each_move_lays_them_like_the_drawing():
    one = seam(seam(nothing(), DOWN, 32), ACROSS, 32, 32)
    turned = [moved(one, move) for move in (0, 1, 2, 3, 5)]
    (kind,) = kinds_of(sight(*turned))
    assert len(kind.members) == 5
    for at, move in zip(kind.members, kind.moves, strict=True):
        there = moved(turned[at], int(move))
        assert agreement(Seen.of(inner(there)), Drawn.of(kind.drawing))[0] > 0.9


def test_a_block_seen_nowhere_drawn_agrees_little():
    half = draw(seam(nothing(), DOWN, 32))
    assert agreement(Seen.of(inner(seam(nothing(), DOWN, 32))), Drawn.of(half))[0] > 0.95
    assert agreement(Seen.of(inner(seam(nothing(), ACROSS, 16))), Drawn.of(half))[0] < 0.3
    assert agreement(Seen.of(nothing()), Drawn.of((WHOLE,))) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("move", range(8))
def test_a_drawing_is_moved_as_its_maps_are(move):
    maps = seam(seam(nothing(), DOWN, 20), ACROSS, 44, 20)
    drawing = lay(draw(maps), move)
    assert agreement(Seen.of(inner(moved(maps, move))), Drawn.of(drawing))[0] > 0.9
    if move:
        assert agreement(Seen.of(inner(maps)), Drawn.of(drawing))[0] < 0.9


def test_corners_near_even_divisions_are_put_on_them_and_others_stay():
    near = (((0.0, 0.0), (0.34, 0.0), (0.34, 1.0), (0.0, 1.0)), ((0.34, 0.0), (1.0, 0.0), (1.0, 1.0), (0.34, 1.0)))
    assert_allclose(on_divisions(near)[0][1][0], 1 / 3)
    far = (
        ((0.0, 0.0), (0.462, 0.0), (0.462, 1.0), (0.0, 1.0)),
        ((0.462, 0.0), (1.0, 0.0), (1.0, 0.153), (0.462, 1.0)),
    )
    assert on_divisions(far) == far


@pytest.mark.parametrize(("belief", "patches"), [(0.5, 1), (0.2, 2)])
def test_a_seam_seen_too_faintly_is_not_believed(belief, patches):
    faint = nothing()
    for plane in (ANY, DOWN):
        faint[plane, :, 31:33] = -0.7  # a third
    assert len(draw_patches(inner(faint), least=-0.8, gap=8, belief=belief)) == patches


def test_a_copy_seen_a_little_otherwise_is_still_of_the_kind():
    kinds = kinds_of(sight(nine_patch(), seam(nine_patch(), DOWN, 53, 0, 12), nine_patch()))
    assert [(len(kind.drawing), len(kind.members)) for kind in kinds] == [(9, 3)]


def test_two_kinds_that_look_nearly_alike_part_where_some_show_their_own_drawing():
    # Two squares and a half of one, cut the other way: seams in common, but several blocks of each.
    one = [seam(seam(nothing(), DOWN, 32), ACROSS, 32) for _ in range(4)]
    two = [slant(seam(seam(nothing(), DOWN, 32), ACROSS, 32), RISING) for _ in range(4)]
    found = kinds_of(sight(*one, *two))
    assert sorted(kind.members.tolist() for kind in found) == [[0, 1, 2, 3], [4, 5, 6, 7]]


@pytest.mark.parametrize("told", [True, False], ids=["told by cloth", "not told"])
def test_of_very_many_blocks_cloth_tells_how_they_lie_where_seams_do_not(told):
    # A seam through the middle is the same after half a turn.
    maps = [seam(nothing(), DOWN, 32)] * 130
    lies = np.array([2 * (k % 2) for k in range(130)]) if told else np.full(130, -1)
    found = kinds_of(sight(*maps), lies)
    assert [len(kind.members) for kind in found] == [130]
    assert found[0].by_cloth is told
    assert (found[0].moves.tolist() == lies.tolist()) is told


@pytest.mark.parametrize(("patches", "costs"), [(12, 12 * 0.006), (13, 12.5 * 0.006), (20, 16 * 0.006)])
def test_of_many_patches_one_more_costs_less(patches, costs):
    assert_allclose(cost(patches), costs)


def leaning(end: float) -> np.ndarray:
    """A seam from the middle of the top to so far along the bottom."""
    maps = nothing()
    for y in range(SIDE):
        x = round((0.5 + (end - 0.5) * y / SIDE) * SIDE)
        maps[[ANY, DOWN], y, x - 1 : x + 1] = 4
    return maps


def halves(end: float):
    left, right = ((0.0, 0.0), (0.5, 0.0), (end, 1.0), (0.0, 1.0)), ((0.5, 0.0), (1.0, 0.0), (1.0, 1.0), (end, 1.0))
    return (left, right)


# Out of the drawings that lie beside each other, 0.545 costs the even one less than 0.55, and another way too much.
@pytest.mark.parametrize(("end", "drawn"), [(0.545, 0.5), (0.55, 0.55)])
def test_of_two_drawings_that_are_nearly_the_same_the_even_one_is_taken_while_it_is_seen_nearly_as_well(end, drawn):
    best, worth = _best([halves(end), halves(0.5)], [Seen.of(inner(leaning(end)))], [0])
    assert best == halves(drawn)
    assert worth > 0.9


@pytest.mark.parametrize(("end", "kinds"), [(0.545, [6]), (0.56, [4, 2])])
def test_a_kind_is_taken_for_a_larger_one_that_shows_its_blocks_nearly_as_well(end, kinds):
    seen = [Seen.of(inner(leaning(each))) for each in (0.5, 0.5, 0.5, 0.5, end, end)]
    found = [_as_kind(halves(0.5), range(4), [0] * 4, seen), _as_kind(halves(end), (4, 5), [0, 0], seen)]
    joined = _joined(found[::-1], seen)
    assert [len(kind.members) for kind in joined] == kinds
    assert sorted(int(member) for kind in joined for member in kind.members) == list(range(6))
    # Each is measured against what it is now drawn as.
    assert all((kind.agreement[:, 0] > 0.9).all() for kind in joined)
