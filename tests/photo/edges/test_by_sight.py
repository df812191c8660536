"""Edges laid through what the network may say; drawn by the tests, so that their truth is exact: custom, no source."""

import cv2
import numpy as np
from numpy.testing import assert_allclose, assert_array_equal

from seamlore.photo.edges.by_sight import edges_by_sight
from seamlore.photo.edges.network import SPOTS, SeenEdges

WIDE, TALL = 1000, 750
CORNERS = np.array([(150.0, 95.0), (842.0, 130.0), (880.0, 640.0), (90.0, 600.0)])


def seen(corners: np.ndarray, without: tuple[int, ...] = ()) -> SeenEdges:
    """What a network that sees well would say of a quilt with these corners."""
    spots = (corners + 0.5) * [SPOTS / WIDE, SPOTS / TALL] - 0.5
    y, x = np.mgrid[0:SPOTS, 0:SPOTS]
    quilt = np.zeros((SPOTS, SPOTS), np.float32)
    cv2.fillPoly(quilt, [np.rint(spots).astype(np.int32)], 1.0)
    edges = np.zeros((4, SPOTS, SPOTS), np.float32)
    for side in set(range(4)) - set(without):
        a, b = spots[side], spots[(side + 1) % 4]
        along = (b - a) / np.linalg.norm(b - a)
        away = (x - a[0]) * along[1] - (y - a[1]) * along[0]
        run = ((x - a[0]) * along[0] + (y - a[1]) * along[1]) / np.linalg.norm(b - a)
        edges[side] = np.exp(-0.5 * away**2) * ((run > 0) & (run < 1))
    return SeenEdges(quilt, edges)


def photo(corners: np.ndarray) -> np.ndarray:
    """A dark quilt on a light ground, in CIELAB."""
    lab = np.full((TALL, WIDE, 3), 70, np.float32)
    cover = np.zeros((TALL, WIDE), np.float32)
    cv2.fillPoly(cover, [np.rint(corners * 16).astype(np.int32)], 1.0, shift=4, lineType=cv2.LINE_AA)
    lab -= 45 * cover[..., None]
    return lab + np.random.default_rng(0).normal(0, 1, lab.shape).astype(np.float32)


def test_edges_that_are_seen_and_show_are_found_to_a_pixel() -> None:
    found = edges_by_sight(seen(CORNERS), photo(CORNERS))
    assert found is not None
    frame, well, at_rim = found
    assert_allclose(frame.corners, CORNERS, atol=2.0)
    assert well.min() > 0.7
    assert not at_rim.any()


def test_an_edge_that_is_not_seen_is_the_rim_of_the_picture() -> None:
    beyond = CORNERS.copy()
    beyond[[0, 3], 0] = -40
    found = edges_by_sight(seen(beyond, without=(3,)), photo(beyond))
    assert found is not None
    frame, well, at_rim = found
    assert_array_equal(at_rim, [False, False, False, True])
    assert_allclose(np.array(frame.corners)[[0, 3], 0], -0.5, atol=2.5)
    assert well[3] == 0.0


def test_where_nothing_is_seen_there_is_no_answer() -> None:
    nothing = SeenEdges(np.zeros((SPOTS, SPOTS), np.float32), np.zeros((4, SPOTS, SPOTS), np.float32))
    assert edges_by_sight(nothing, photo(CORNERS)) is None
