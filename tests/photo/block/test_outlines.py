import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from shapely import Polygon
from shapely.ops import unary_union

from seamlore.photo.block.outlines import painted, rings, simple_patches
from seamlore.photo.division import division


def cells_of(squares: list[list[int]]) -> np.ndarray:
    """Labels of the triangles of a square grid from a label for each of its squares."""
    return np.repeat(np.array(squares).ravel(), 4)


def test_one_patch_is_the_whole_block() -> None:
    assert rings(simple_patches(np.zeros(36, int), 3, 3), 3, 3) == [((0, 0), (1, 0), (1, 1), (0, 1))]


def test_patches_that_only_touch_at_a_corner_are_two() -> None:
    labels = simple_patches(cells_of([[0, 1], [1, 0]]), 2, 2)
    assert len(rings(labels, 2, 2)) == 4


def test_a_patch_round_another_is_cut_into_sewable_pieces() -> None:
    labels = simple_patches(cells_of([[0, 0, 0], [0, 1, 0], [0, 0, 0]]), 3, 3)
    outlines = [Polygon(ring) for ring in rings(labels, 3, 3)]
    assert len(outlines) == 3
    assert all(outline.is_valid and not outline.interiors for outline in outlines)
    assert_allclose(unary_union(outlines).area, 1)


@pytest.mark.parametrize("seed", range(12))
def test_whatever_is_merged_the_outlines_are_simple_and_cover_the_block(seed: int) -> None:
    # Outside check: validity and area by shapely.
    rng = np.random.default_rng(seed)
    columns, rows = int(rng.integers(1, 6)), int(rng.integers(1, 6))
    labels = simple_patches(rng.integers(0, 3, 4 * columns * rows), columns, rows)
    outlines = [Polygon(ring) for ring in rings(labels, columns, rows)]
    assert all(outline.is_valid for outline in outlines)
    assert_allclose(sum(outline.area for outline in outlines), 1)
    assert_allclose(unary_union(outlines).area, 1)
    sizes = np.bincount(labels) / (4 * columns * rows)
    assert_allclose([outline.area for outline in outlines], sizes)


def test_patches_are_numbered_in_reading_order() -> None:
    labels = simple_patches(cells_of([[5, 2], [9, 7]]), 2, 2)
    assert_array_equal(labels[::4], [0, 1, 2, 3])


def test_painting_outlines_gives_back_the_pixels_they_came_from() -> None:
    labels = simple_patches(cells_of([[0, 0, 1], [2, 2, 1], [2, 3, 3]]), 3, 3)
    size = 60
    found = painted(rings(labels, 3, 3), size)
    cell = np.arange(size) // 20
    assert_array_equal(found, labels[::4].reshape(3, 3)[cell[:, None], cell])


def test_corners_are_exact_thirds() -> None:
    corners = np.array([corner for ring in rings(simple_patches(np.arange(36), 3, 3), 3, 3) for corner in ring])
    assert_array_equal(corners * 6, np.rint(corners * 6))
    assert len(division(3, 3).corners) == 36
