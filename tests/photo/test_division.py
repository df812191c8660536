import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from shapely import Polygon
from shapely.ops import unary_union

from seamlore.photo.division import division, triangle_of_pixel


@pytest.mark.parametrize(("columns", "rows"), [(1, 1), (3, 3), (2, 4), (7, 7)])
def test_triangles_cover_the_square_once(columns: int, rows: int) -> None:
    # Outside check: areas and union by shapely.
    scale = np.array([2 * columns, 2 * rows])
    shapes = [Polygon(corners / scale) for corners in division(columns, rows).corners]
    assert_allclose(sum(shape.area for shape in shapes), 1)
    assert_allclose(unary_union(shapes).area, 1)


def test_shared_sides_are_as_long_as_a_geometry_library_says() -> None:
    # Outside check: intersections by shapely.
    grid = division(2, 4)
    scale = np.array([4, 8])
    shapes = [Polygon(corners / scale) for corners in grid.corners]
    shared = [shapes[one].intersection(shapes[two]).length for one, two in grid.pairs]
    assert_allclose(grid.lengths, shared)


@pytest.mark.parametrize(("columns", "rows", "size"), [(3, 3, 96), (4, 4, 64), (2, 4, 96), (5, 5, 97)])
def test_pixels_fall_into_the_triangles_that_hold_them(columns: int, rows: int, size: int) -> None:
    which = triangle_of_pixel(columns, rows, size)
    middles = (
        (np.stack(np.meshgrid(np.arange(size), np.arange(size)), axis=-1) + 0.5) / size * [2 * columns, 2 * rows]
    )
    corners = division(columns, rows).corners[which]
    sides = np.roll(corners, -1, axis=2) - corners
    to_pixel = middles[:, :, None] - corners
    turn = sides[..., 0] * to_pixel[..., 1] - sides[..., 1] * to_pixel[..., 0]
    assert turn.min() > -1e-9


def test_all_four_triangles_of_a_cell_get_as_many_pixels() -> None:
    assert_array_equal(np.bincount(triangle_of_pixel(1, 1, 24).ravel()), [144] * 4)
