"""Points cut off past sharp corners: the same at both sides, within the full miter, and square to the seams."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shapely import Polygon

from seamlore.errors import ShapeError
from seamlore.plane.cover import check_cover
from seamlore.plane.outline import as_outline, grow


@pytest.mark.parametrize(("wide", "high"), [(4.0, 2.0), (2.0, 4.0), (1.0, 6.0), (4.0, 4.0)])
def test_a_triangle_alike_at_both_sides_is_cut_alike_at_both(wide, high):
    # Symmetric about x = 0, and so must be what is cut.
    cut = grow(as_outline([(0, 0), (wide / 2, high), (-wide / 2, high)]), 0.25)
    mirrored = cut * [-1, 1]
    order = lambda points: points[np.lexsort(points.round(9).T)]  # noqa: E731
    assert_allclose(order(cut), order(mirrored), atol=1e-9)
    full = Polygon(grow(as_outline([(0, 0), (wide / 2, high), (-wide / 2, high)]), 0.25, trimmed=False))
    assert Polygon(cut).within(full.buffer(1e-9))
    assert Polygon(cut).area < full.area


def test_past_a_sharp_corner_the_cut_is_square_to_each_seam_one_allowance_away():
    # A half-square triangle of 3 in: beyond its corners of 45 degrees the cut lies 1/4 in past the corner along each seam.
    triangle = as_outline([(0, 0), (3, 0), (0, 3)])
    cut = grow(triangle, 0.25)
    for corner, along in (
        ((3, 0), (1, 0)),
        ((3, 0), (2**-0.5, -(2**-0.5))),
        ((0, 3), (0, 1)),
        ((0, 3), (-(2**-0.5), 2**-0.5)),
    ):
        past = (cut - np.array(corner)) @ np.array(along)
        assert past.max() == pytest.approx(0.25)


def test_a_frame_is_as_exact_as_its_longer_side_allows():
    frame = np.array([[0.0, 0], [100, 0], [100, 2], [0, 2]]) + np.array([50, 5000])
    left, right = frame.copy(), frame.copy()
    left[1:3, 0], right[[0, 3], 0] = 100, 100 + 5e-5
    # A gap of 5e-5 is within a millionth of 100, whatever the frame's place in the plane.
    check_cover(frame, [left, right], ["left", "right"])
    right[[0, 3], 0] = 100 + 3e-3
    with pytest.raises(ShapeError, match="a gap"):
        check_cover(frame, [left, right], ["left", "right"])
