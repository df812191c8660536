"""What lies where, from a reading: the demo's own, and one that its record alone is known of."""

from __future__ import annotations

import numpy as np
import pytest

from seamlore.condition.ground import cut_blocks, ground_of
from seamlore.photo.reading import BlockAt, Edge, Reading, SeenFabric, SeenKind, SeenPatch, Uncertainty

HALVES = (
    SeenPatch(outline=((0, 0), (0.5, 0), (0.5, 1), (0, 1)), place="A", value="dark"),
    SeenPatch(outline=((0.5, 0), (1, 0), (1, 1), (0.5, 1)), place="B", value="light"),
)


def reading(**given):
    spans = {"row_spans": ((0.0, 8.0), (11.0, 19.0)), "column_spans": ((-2.0, 6.0), (9.0, 17.0), (20.0, 28.0))}
    blocks = [BlockAt(row=row, column=column, kind=0) for row in range(2) for column in range(3)]
    blocks[1] = BlockAt(row=0, column=1, kind=0, turn=180)
    blocks[2] = BlockAt(row=0, column=2, kind=None, differs=True)
    fixed = {
        "photo_size": (280, 190), "corners": ((0, 0), (279, 0), (279, 189), (0, 189)), "corners_from": "given",
        "unit": "in", "size": (28.0, 19.0), "setting": "straight", "rows": 2, "columns": 3, "block_size": (8.0, 8.0),
        "sashing": (3.0, 3.0), "edge": Edge(left=-2.0, top=0.0, right=0.0, bottom=0.0),
        "kinds": (SeenKind(divisions=2, patches=HALVES, count=5, confidence=0.9),), "blocks": tuple(blocks),
        "fabrics": (SeenFabric(id="F1", srgb="#331111", value="dark", patches=((0, 0, 0), (0, 1, 0), (1, 2, 1))),),
    }  # fmt: skip
    return Reading(**{**fixed, **spans, **given})


def test_patches_lie_where_their_block_lies_turned_as_it_is():
    ground = ground_of(reading())
    assert len(ground.block_at) == 6
    # A block that was not read has no patches.
    assert len(ground.where) == 10
    x = {
        (each.row, each.column, each.patch): outline[:, 0].mean()
        for each, outline in zip(ground.where, ground.outlines, strict=True)
    }
    assert x[0, 0, 0] == pytest.approx(0)
    assert x[0, 1, 0] == pytest.approx(15)
    assert (
        ground.fabric[
            ground.where.index(
                next(each for each in ground.where if (each.row, each.column, each.patch) == (1, 2, 1))
            )
        ]
        == 0
    )
    assert (ground.fabric >= 0).sum() == 3


def test_what_the_edge_cuts_off_has_no_area():
    from shapely import area

    ground = ground_of(reading())
    assert area(ground.block_shapes).round(9).tolist() == [48, 64, 64, 48, 64, 64]
    assert area(ground.patch_shapes[:2]).round(9).tolist() == [16, 32]
    assert cut_blocks(reading()) == {(0, 0), (1, 0)}


def test_what_the_reading_cannot_tell_from_the_edge_is_no_cut():
    sure = Uncertainty(block_size=(0.1, 0.1), sashing=(0.1, 0.1), edge=0.9)
    assert cut_blocks(reading(uncertainty=sure)) == {(0, 0), (1, 0)}
    assert cut_blocks(reading(uncertainty=Uncertainty(block_size=(0.1, 0.1), sashing=(0.1, 0.1), edge=1.1))) == set()


def test_on_point_the_blocks_between_lie_half_way_and_have_rows_of_their_own():
    between = tuple(BlockAt(row=0, column=column, kind=0) for column in range(2))
    ground = ground_of(
        reading(
            setting="on point",
            between=between,
            row_spans=((0.0, 8.0), (8.0, 16.0)),
            column_spans=((0.0, 8.0), (8.0, 16.0), (16.0, 24.0)),
            fabrics=(SeenFabric(id="F1", srgb="#331111", value="dark", patches=(), between=((0, 1, 0),)),),
        )
    )
    assert [at for at in ground.block_at if at[0] == 1] == [(1, 0), (1, 1)]
    place = ground.block_at.index((1, 1))
    assert ground.blocks[place].mean(axis=0).tolist() == [16, 8]
    assert [(each.row, each.column) for each, of in zip(ground.where, ground.fabric, strict=True) if of == 0] == [
        (1, 1)
    ]


def test_on_point_a_block_stands_on_its_corner():
    from shapely import area

    ground = ground_of(reading(setting="on point", column_spans=((0.0, 8.0), (8.0, 16.0), (16.0, 24.0))))
    np.testing.assert_allclose(area(ground.block_shapes), 32)


def test_without_a_block_grid_there_is_the_whole_alone():
    ground = ground_of(
        reading(setting="none", blocks=None, kinds=None, row_spans=None, column_spans=None, fabrics=None, edge=None)
    )
    assert (ground.block_at, ground.where, ground.size) == ((), (), (28.0, 19.0))
