from dataclasses import replace

import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.flatten import Flat
from seamlore.photo.frame import Frame
from seamlore.photo.grid.grid import Grid, no_grid
from seamlore.photo.opening import Photo
from seamlore.photo.written import reading_of, uncertainty_of

FRAME = Frame(((10, 10), (109, 10), (109, 69), (10, 69)), (100.0, 60.0))
FLAT = Flat(np.zeros((300, 500, 3), np.uint8), FRAME)
PHOTO = Photo(np.zeros((80, 120, 3), np.uint8), "q.jpg", ("The camera's note cannot be read.",))


def grid(gap: float = 10.0) -> Grid:
    spans = tuple((20.0 + n * (90 + gap), 110.0 + n * (90 + gap)) for n in range(3))
    return replace(
        no_grid(0.9), setting="straight", rows=3, columns=3, column_spans=spans, row_spans=spans,
        block=(90.0, 90.0), sashing=(gap, gap), edge=(20.0, 20.0, 40.0, 5.0), block_sigma=(0.5, 0.5),
    )  # fmt: skip


def test_pixels_become_units() -> None:
    told = reading_of(PHOTO, FRAME, "given", None, grid(), None, "in", FLAT, None)
    # 500 px stand for 100 in.
    assert_allclose(told.block_size, [18, 18])
    assert_allclose(told.sashing, [2, 2])
    assert_allclose(told.column_spans[1], [24, 42])
    assert told.edge is not None
    assert_allclose([told.edge.left, told.edge.top, told.edge.right, told.edge.bottom], [4, 4, 8, 1])
    assert PHOTO.notes[0] in told.warnings


def test_without_a_block_grid_nothing_is_said_of_one() -> None:
    told = reading_of(PHOTO, FRAME, "given", None, no_grid(0.8), None, "in", FLAT, None)
    assert told.setting == "none"
    assert told.rows is told.block_size is told.edge is told.uncertainty is told.row_spans is None
    assert told.confidence.grid == 0.8


def test_corners_found_and_edges_not_followed_make_lengths_less_sure() -> None:
    given = uncertainty_of(grid(), FRAME, "given", 5.0)
    found = uncertainty_of(grid(), FRAME, "found", 5.0)
    followed = uncertainty_of(grid(), replace(FRAME, bows=((0.001,),) * 4), "given", 5.0)
    assert followed.block_size[0] < given.block_size[0] < found.block_size[0]
    assert followed.edge < given.edge < found.edge


def test_a_block_against_sashing_is_less_sure_than_one_against_its_like() -> None:
    sashed = uncertainty_of(grid(), FRAME, "given", 5.0)
    touching = uncertainty_of(grid(gap=0.0), FRAME, "given", 5.0)
    assert touching.block_size[0] < sashed.block_size[0]
