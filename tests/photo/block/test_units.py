"""Blocks drawn on the even grid that they were pieced on, and drawings held against blocks sewn a little aside."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shapely import Polygon, union_all

from seamlore.photo.block.agreement import Drawn, Seen, agreement, aside, lay, repeats_itself
from seamlore.photo.block.bearing_out import borne_out, of_quarters
from seamlore.photo.block.groups import Group, _only_quilted, gathered_blocks, parted
from seamlore.photo.block.kinds import _as_drawn, kinds_of
from seamlore.photo.block.laying import lay_as_drawn, lay_blocks, patch_means
from seamlore.photo.block.seams import ACROSS, ANY, DOWN, FALLING, OTHER, RISING, SIDE, Sight
from seamlore.photo.block.straight import cut_through
from seamlore.photo.block.units import on_units
from seamlore.photo.stack import cloth, undo

# Blocks as their makers draft them (common practice, no source): ends of the seams in divisions, four to the side.
# A star of four geese round a square, corners plain; a pinwheel; four geese that fly one way.
STAR = [
    *[((k, 0), (k, 4)) for k in (1, 3)],
    *[((0, k), (4, k)) for k in (1, 3)],
    *[((1, 0), (2, 1)), ((2, 1), (3, 0)), ((3, 1), (4, 1)), ((1, 4), (2, 3)), ((2, 3), (3, 4))],
    *[((0, 1), (1, 2)), ((1, 2), (0, 3)), ((4, 1), (3, 2)), ((3, 2), (4, 3))],
]
SIXTEEN = [line for k in (1, 2, 3) for line in (((k, 0), (k, 4)), ((0, k), (4, k)))]
PINWHEEL = [((2, 0), (2, 4)), ((0, 2), (4, 2)), ((0, 0), (4, 4)), ((4, 0), (0, 4))]
GEESE = [
    *[((0, k), (4, k)) for k in (1, 2, 3)],
    *[line for k in range(4) for line in (((0, k + 1), (2, k)), ((2, k), (4, k + 1)))],
]


def way_of(run) -> int:
    x, y = run
    if not y:
        return ACROSS
    if not x:
        return DOWN
    return OTHER if abs(x) != abs(y) else (FALLING if x * y > 0 else RISING)


def seen_as(lines, *, by=(0.0, 0.0), stray=0.0, worn=(), seed=0) -> np.ndarray:
    """What is seen of seams, three pixels wide, each laid aside `by` and by a stray of its own; some are worn away."""
    rng = np.random.default_rng(seed)
    maps = np.full((6, SIDE, SIDE), -4, np.float32)
    for number, (a, b) in enumerate(lines):
        a, b = np.array(a, float) * SIDE / 4, np.array(b, float) * SIDE / 4
        run = (b - a) / np.hypot(*(b - a))
        off = np.array(by) + rng.uniform(-stray, stray) * np.array([-run[1], run[0]])
        far = np.arange(0, np.hypot(*(b - a)), 0.25)
        if number in worn:
            far = far[(far < far[-1] * 0.35) | (far > far[-1] * 0.65)]
        for wide in (-1, 0, 1):
            x, y = (
                np.clip((a + off + far[:, None] * run + wide * np.array([-run[1], run[0]])), 0, SIDE - 1)
                .astype(int)
                .T
            )
            for plane in (ANY, way_of(b - a)):
                maps[plane, y, x] = 4
    return maps


@pytest.mark.parametrize(
    ("lines", "patches"), [(STAR, 17), (PINWHEEL, 8), (GEESE, 12)], ids=["star", "pinwheel", "geese"]
)
def test_a_block_is_drawn_on_the_divisions_it_was_pieced_on(lines, patches):
    for seed in range(3):
        drawn = on_units(seen_as(lines, stray=1.0, seed=seed))[0]
        assert len(drawn) == patches
        corners = np.array([corner for ring in drawn for corner in ring])
        assert_allclose(corners * 4, np.rint(corners * 4), atol=1e-9)
        # Outside check: the geometry library's areas and union.
        faces = [Polygon(ring) for ring in drawn]
        assert_allclose([sum(each.area for each in faces), union_all(faces).area], 1, atol=1e-9)


def test_a_seam_worn_away_in_the_middle_runs_through():
    assert len(on_units(seen_as(PINWHEEL, worn=(0, 1)))[0]) == 8
    # One that is denied there ends: of the halves of the block one alone is parted.
    assert len(on_units(seen_as([((2, 0), (2, 4)), ((0, 2), (2, 2))]))[0]) == 3


def test_a_stretch_seen_faintly_between_two_seen_well_is_a_seam():
    maps = seen_as([((0, k), (4, k)) for k in (1, 2, 3)] + [((k, 0), (k, 4)) for k in (1, 2, 3)])
    for plane in (ANY, ACROSS):
        maps[plane, 30:35, 17:31] = -4
        maps[plane, 31:34, 17:31] = -0.4
    assert len(on_units(maps)[0]) == 16


def test_where_nothing_is_seen_nothing_is_drawn():
    assert on_units(np.full((6, SIDE, SIDE), -4, np.float32)) == []


def test_one_seam_seen_twice_at_a_sharp_angle_cuts_off_no_splinter():
    roof = [((0, 4), (2, 0)), ((0.6, 4), (2, 0))]
    assert len(cut_through(seen_as(roof), least=0, total=8, ridges=False)) == 2


@pytest.mark.parametrize("by", [(0, 0), (2, 0), (0, -3), (-2, 1), (3, 3)])
def test_a_drawing_is_laid_over_a_block_sewn_a_little_aside(by):
    star = on_units(seen_as(STAR))[0]
    seen, drawn = Seen.of(seen_as(STAR, by=by)), Drawn.of(star)
    # Seams are seen three pixels wide.
    assert_allclose(aside(seen, drawn), by, atol=1)
    assert agreement(seen, drawn, by)[0] > 0.85
    if max(map(abs, by)) > 2:
        assert agreement(seen, drawn, aside(seen, drawn))[0] > agreement(seen, drawn)[0] + 0.05


@pytest.mark.parametrize("move", range(8))
def test_what_lies_aside_in_a_block_lies_so_in_its_drawing_once_moved(move):
    # Where a corner of the drawing comes to lie, and where it comes to lie moved on: the difference is the way it moved.
    ring, on = ((0.0, 0.0), (0.5, 0.0), (0.5, 0.25)), ((0.1, 0.0), (0.6, 0.0), (0.6, 0.25))
    there, farther = (min(lay((each,), move)[0]) for each in (ring, on))
    way = tuple(round(10 * (b - a)) for a, b in zip(there, farther, strict=True))
    assert _as_drawn(way, undo(move)) == (1, 0)


def test_blocks_sewn_a_little_aside_are_one_kind_drawn_in_the_middle_of_them():
    ways = [(0, 0), (2, 0), (-2, 0), (0, 2), (0, -2)]
    maps = np.stack([seen_as(STAR, by=by) for by in ways])
    places = np.array([[0, k] for k in range(len(ways))])
    (kind,) = kinds_of(Sight(maps, np.zeros((len(ways), 4, 2)), places))
    assert (len(kind.drawing), len(kind.members)) == (17, 5)
    assert kind.agreement[:, 0].min() > 0.85
    assert_allclose(aside(Seen.of(seen_as(STAR)), Drawn.of(kind.drawing)), 0, atol=1)


@pytest.mark.parametrize(
    ("lines", "again"), [(PINWHEEL, False), (STAR, False), (GEESE, True), ([((2, 0), (2, 4))], True)]
)
def test_a_drawing_that_is_several_blocks_is_the_same_again_farther_on(lines, again):
    assert bool(repeats_itself(on_units(seen_as(lines))[0])) is again


def blocks(count, *, parted, seed=5, squares=False, alike=False):
    """A row of pinwheel blocks as they are seen: each of two cloths, or all of one on which lines are quilted.

    Of sixteen `squares` instead, the same two cloths in all of them where `alike`.
    """
    rng = np.random.default_rng(seed)
    y, x = np.mgrid[0:SIDE, 0:SIDE]
    dark = ((x < SIDE / 2) ^ (y < SIDE / 2)) ^ (x < y) ^ (x + y < SIDE)
    if squares:
        dark = (4 * x // SIDE + 4 * y // SIDE) % 2 == 1
    cloths = rng.integers([[20], [180]], [[90], [240]], (2, 3))
    pixels = np.concatenate(
        [
            np.where(
                (dark & parted)[..., None], *(cloths if alike else rng.integers([[20], [180]], [[90], [240]], (2, 3)))
            )
            for _ in range(count)
        ],
        axis=1,
    ).astype(np.uint8)
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]])
    cells = np.array([[(square + np.array([k, 0])) * SIDE for k in range(count)]]) - 0.5
    places = np.array([[0, k] for k in range(count)])
    sight = Sight(np.stack([seen_as(SIXTEEN if squares else PINWHEEL)] * count), cells[0], places)
    source = cloth(pixels, cells, SIDE)
    common = lay_blocks(source, cells, None, None)
    return gathered_blocks(sight, source, common)


def test_lines_along_which_no_cloth_changes_are_quilting_and_their_blocks_plain():
    (plain,) = blocks(6, parted=False)
    assert (len(plain.laid.outlines), len(plain.laid.moves), bool(plain.believed.all())) == (1, 6, True)
    (pieced,) = blocks(6, parted=True)
    assert (len(pieced.laid.outlines), bool(pieced.believed.all())) == (8, True)
    # Two blocks are too few to tell by.
    assert all(len(each.laid.outlines) > 1 for each in blocks(2, parted=False))


def test_a_doubted_grid_is_borne_out_by_one_pieced_kind_in_many_blocks_with_seams_around_them():
    many, few = blocks(14, parted=True), blocks(6, parted=True)
    assert borne_out(many, 0.8)
    assert not borne_out(many, 0.4)
    assert not borne_out(few, 0.8)
    assert not borne_out(blocks(14, parted=False), 0.8)


@pytest.mark.parametrize("alike", [True, False], ids=["of two cloths", "each of its own"])
def test_blocks_that_repeat_themselves_bear_a_grid_out_where_each_has_cloth_of_its_own(alike):
    many = blocks(14, parted=True, squares=True, alike=alike)
    assert repeats_itself(many[0].laid.outlines)
    assert borne_out(many, 0.8) is not alike
    assert of_quarters(many, 0.8) is alike
    assert not of_quarters(many, 0.4)


def test_blocks_that_are_the_same_again_nowhere_are_not_of_quarters():
    assert not of_quarters(blocks(14, parted=True), 0.8)


def test_lines_quilted_over_a_bold_print_are_no_seams_though_more_of_it_falls_into_one_patch():
    # Blotches of one dark and one light, thicker on the left half of the block than on the right.
    rng = np.random.default_rng(2)
    x = np.mgrid[0:SIDE, 0:SIDE][1]
    thick = np.where(x < SIDE // 2, 0.7, 0.3)
    dark = np.kron(rng.random((SIDE // 4, SIDE // 4)), np.ones((4, 4))) < thick
    pixels = np.where(dark[..., None], [90, 60, 140], [200, 195, 205]).astype(np.uint8)
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]]) * SIDE
    cells = np.array([[square + np.array([k * SIDE, 0]) for k in range(4)]]) - 0.5
    source = cloth(np.tile(pixels, (1, 4, 1)), cells, SIDE)
    halves = (((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0)), ((0.5, 0.0), (1.0, 0.0), (1.0, 1.0), (0.5, 1.0)))
    places = np.array([[0, k] for k in range(4)])
    laid = lay_as_drawn(source, places, cells[0], halves, np.zeros(4, dtype=np.intp), SIDE)
    assert parted(patch_means(laid.stack, laid.picture), laid.picture).min() == 1
    group = Group(laid, np.ones(4), np.ones(4, dtype=bool))
    assert _only_quilted(group)


@pytest.mark.parametrize(("sure", "looked_over", "believed"), [(0.6, 5, True), (0.6, 6, False), (0.55, 5, False)])
def test_very_many_blocks_are_believed_as_one_kind_sooner_than_a_few(monkeypatch, sure, looked_over, believed):
    monkeypatch.setattr("seamlore.photo.block.groups.kind_confidence", lambda _: sure)
    monkeypatch.setattr("seamlore.photo.block.groups._LOOKED_OVER", looked_over)
    # What their cloth shows together is not believed here.
    monkeypatch.setattr("seamlore.photo.block.groups._COMMON", 1.1)
    (pieced,) = blocks(6, parted=True)
    assert pieced.believed.all() == believed
