"""Corners drawn by the tests themselves, so their places are exact: no source."""

import cv2
import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.edges.tips import set_tips
from seamlore.photo.frame import Frame

TRUE = ((150.0, 120.0), (850.0, 140.0), (830.0, 650.0), (170.0, 640.0))
NONE_FIXED = np.zeros(4, dtype=bool)


def scene(*, shadow: bool = False) -> np.ndarray:
    """A dark quilt on a light ground in CIELAB, its shadow falling to the lower right."""
    rng = np.random.default_rng(0)
    lab = np.zeros((800, 1000, 3), np.float32)
    lab[..., 0] = 70 + rng.normal(0, 1, (800, 1000))
    quilt = np.zeros((800, 1000), np.float32)
    cv2.fillPoly(quilt, [np.rint(np.array(TRUE) * 16 - 8).astype(np.int32)], 1.0, shift=4, lineType=cv2.LINE_AA)
    if shadow:
        fallen = cv2.GaussianBlur(np.roll(quilt, (9, 7), (0, 1)), (0, 0), 6)
        lab[..., 0] -= 18 * fallen
    cloth = np.zeros_like(lab)
    cloth[:] = (38, 20, 5)
    cloth[..., 0] += rng.normal(0, 2, (800, 1000))
    return lab + quilt[..., None] * (cloth - lab)


def moved(by: np.ndarray) -> Frame:
    corners = np.array(TRUE) + by
    return Frame(tuple((float(x), float(y)) for x, y in corners), (1.0, 1.0))  # type: ignore[arg-type]


def test_corners_that_are_a_little_off_come_to_lie_on_the_quilt() -> None:
    off = np.array([[3, -3], [-3, 2], [4, 4], [-3, -3]])
    found = set_tips(moved(off), scene(), NONE_FIXED)
    assert_allclose(found.corners, TRUE, atol=2.0)


def test_a_soft_shadow_does_not_draw_a_corner_out() -> None:
    off = np.array([[0, 0], [4, 0], [4, 4], [0, 4]])
    found = set_tips(moved(off), scene(shadow=True), NONE_FIXED)
    assert_allclose(found.corners, TRUE, atol=2.0)


def test_corners_on_the_rim_of_the_picture_stay() -> None:
    off = np.array([[3, -3], [-3, 2], [4, 4], [-3, -3]])
    found = set_tips(moved(off), scene(), np.array([True, False, False, False]))
    assert found.corners[:2] == moved(off).corners[:2]
    assert_allclose(found.corners[2:], TRUE[2:], atol=2.0)


def test_where_no_edge_is_seen_corners_hardly_move() -> None:
    plain = np.zeros((800, 1000, 3), np.float32)
    assert_allclose(set_tips(moved(np.zeros((4, 2))), plain, NONE_FIXED).corners, TRUE, atol=0.5)
