"""The photographs are what their truth says."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from judging.rendering.blocks import JUDGING, TUNING, design
from judging.rendering.piecing import in_quad, moved
from judging.rendering.quilts import JUDGING_SEEDS, TUNING_SEEDS, make_quilt, tuning
from judging.truth import Photo, Truth


def test_same_seed_gives_the_same_picture_to_the_last_bit() -> None:
    one, two = make_quilt(5, long_side_px=300), make_quilt(5, long_side_px=300)
    assert_array_equal(one[0], two[0])
    assert one[1] == two[1]


def test_another_seed_gives_another_picture() -> None:
    one, two = make_quilt(5, long_side_px=300)[0], make_quilt(6, long_side_px=300)[0]
    assert one.shape != two.shape or not np.array_equal(one, two)


def test_tuning_and_judging_share_no_design_and_no_seed() -> None:
    assert not set(TUNING) & set(JUDGING)
    assert len(TUNING) + len(JUDGING) >= 24
    assert abs(JUDGING_SEEDS - TUNING_SEEDS) > 100_000


def test_designs_of_the_two_sets_are_drawn_differently() -> None:
    drawn = {
        name: frozenset((each.outline, each.place) for each in design(name).patches) for name in (*TUNING, *JUDGING)
    }
    shared = [(a, b) for a in TUNING for b in JUDGING if drawn[a] == drawn[b]]
    assert shared == []


def test_straight_on_quilt_lies_where_its_corners_say(plain_quilt: tuple[Photo, Truth]) -> None:
    _, truth = plain_quilt
    corners = np.array(truth.corners)
    assert_allclose(corners[0][1], corners[1][1], atol=1e-6)
    assert_allclose(np.ptp(corners[:, 0]) / np.ptp(corners[:, 1]), 50 / 40, rtol=1e-6)


def test_size_is_the_sum_of_blocks_when_nothing_is_cut(plain_truth: Truth) -> None:
    assert_allclose(plain_truth.size or (), (50.0, 40.0))
    assert plain_truth.row_spans is not None
    assert_allclose(plain_truth.row_spans[0], (0.0, 10.0))


def test_what_the_edge_cuts_off_is_told_as_less_than_nothing() -> None:
    _, truth = make_quilt(
        3, kind="straight", rows=3, columns=7, block=(8.0, 8.0), sashing=(3.0, 3.0), outer_sashing=False, borders=(),
        cut=(1.75, 0.0, 1.75, 0.0), binding=0.0, long_side_px=300,
    )  # fmt: skip
    # 7 blocks of 8 in with 3 in between them make 74 in; 1 3/4 in gone from each side leaves 70 1/2 (worked by hand).
    assert_allclose(truth.size or (), (70.5, 30.0))
    assert truth.edge is not None
    assert_allclose([truth.edge.left, truth.edge.top, truth.edge.right, truth.edge.bottom], [-1.75, 0, -1.75, 0])
    assert truth.column_spans is not None
    assert_allclose(truth.column_spans[0][0], -1.75)


def test_turned_blocks_are_told_and_others_are_not(plain_truth: Truth) -> None:
    assert plain_truth.blocks is not None
    turned = [each for each in plain_truth.blocks if each.turn or each.mirrored]
    assert len(turned) == 2
    assert len(plain_truth.blocks) == 20


def test_a_turn_that_cannot_be_seen_is_not_told() -> None:
    _, truth = make_quilt(3, kind="straight", design="Nine Patch", rows=4, columns=4, turned=3, long_side_px=300)
    assert truth.blocks is not None
    assert [each.turn for each in truth.blocks if not each.differs] == [0] * sum(
        not each.differs for each in truth.blocks
    )
    assert len(truth.symmetry or ()) == 8


def test_light_patches_are_lighter_than_dark_ones_in_the_picture(plain_quilt: tuple[Photo, Truth]) -> None:
    photo, truth = plain_quilt
    assert truth.block is not None
    assert truth.blocks is not None
    gray = photo.mean(axis=2)
    level: dict[str, list[float]] = {"light": [], "medium": [], "dark": []}
    for quad, block in zip(truth.quads, truth.blocks, strict=True):
        if block.turn or block.mirrored:
            continue
        (x0, y0), (x1, y1) = quad.corners_px[0], quad.corners_px[2]
        for patch in truth.block.patches:
            x, y = np.array(patch.outline).mean(axis=0)
            level[patch.value].append(float(gray[round(y0 + y * (y1 - y0)), round(x0 + x * (x1 - x0))]))
    assert np.median(level["light"]) > np.median(level["medium"]) + 20
    assert np.median(level["medium"]) > np.median(level["dark"]) + 20


@pytest.mark.parametrize("kind", ["crazy", "medallion", "whole cloth", "hexagons"])
def test_quilts_without_a_grid_have_none(kind: str) -> None:
    _, truth = make_quilt(2, kind=kind, long_side_px=240)
    assert truth.setting == "none"
    assert truth.rows is None


def test_on_point_rows_are_whole_rows_at_their_widest() -> None:
    _, truth = make_quilt(
        2, kind="on point", rows=3, columns=4, block=(6.0, 6.0), sashing=(0.0, 0.0), borders=(), long_side_px=300
    )
    assert_allclose(truth.size or (), (4 * 6 * 2**0.5, 3 * 6 * 2**0.5))
    assert len(truth.quads) == 12
    top, right, bottom, left = truth.quads[0].corners_px
    assert top[1] < min(left[1], right[1]) < bottom[1]


def test_squares_of_one_patch_have_no_seams_and_any_value() -> None:
    _, truth = make_quilt(77, kind="straight", design="One Patch", scrappiness="every patch", long_side_px=240)
    assert truth.seams == ()
    assert len({fabric.value for fabric in truth.fabrics or ()}) > 1


def test_patches_of_a_turned_block_that_looks_unturned_are_counted_where_they_lie() -> None:
    photo, truth = make_quilt(
        5, kind="straight", design="Nine Patch", scrappiness="every patch", turning="any", rows=4, columns=4,
        block=(9.0, 9.0), sashing=(2.0, 2.0), alternate=False, recolored=0, repieced=0, fade=0.0, wear=0.0, stains=0,
        shadow=0.0, uneven_light=0.0, clutter=0, tilt_deg=0.0, swing_deg=0.0, long_side_px=900,
    )  # fmt: skip
    assert truth.block is not None
    inner = np.array([np.mean(each.outline, axis=0) for each in truth.block.patches])
    lie = {(each.row, each.column): (each.turn, each.mirrored) for each in truth.blocks or ()}
    quads = {(each.row, each.column): np.array(each.corners_px) for each in truth.quads}
    seen, wanted = [], []
    for fabric in truth.fabrics or ():
        for row, column, patch in fabric.patches:
            x, y = np.rint(in_quad(moved(inner[patch], lie[row, column])[None], quads[row, column])[0]).astype(int)
            seen.append(photo[y - 3 : y + 4, x - 3 : x + 4].mean(axis=(0, 1)))
            wanted.append([int(fabric.srgb[at : at + 2], 16) for at in (1, 3, 5)])
    off = np.linalg.norm(np.array(seen) - wanted, axis=1)
    # A shuffled truth is off by about 75.
    assert np.median(off) < 30


def test_a_field_that_the_recipe_lacks_is_refused() -> None:
    with pytest.raises(TypeError):
        make_quilt(1, color="red")


def test_the_sets_come_one_by_one_in_order() -> None:
    seeds = [truth.notes["seed"] for _, truth in tuning(2, long_side_px=200)]
    assert seeds == [TUNING_SEEDS, TUNING_SEEDS + 1]
