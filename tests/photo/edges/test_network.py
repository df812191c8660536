"""The trained network for edges against what PyTorch gave when it was written, and against a picture drawn by rule."""

from pathlib import Path

import cv2
import numpy as np
from numpy.testing import assert_allclose

from seamlore.photo.edges.network import EDGES, SPOTS, see_edges
from seamlore.photo.networks import SIDE_PX

# Written by judging/training/train.py: what PyTorch (a general library) gave for one input, at every eighth spot.
CHECK = Path(__file__).parent / "network.check.npz"
CORNERS = np.array([(150.0, 95.0), (842.0, 130.0), (880.0, 640.0), (90.0, 600.0)])


def drawn() -> np.ndarray:
    """A red quilt on a gray floor, 1000 by 750 px."""
    photo = np.random.default_rng(0).normal(150, 5, (750, 1000, 3)).clip(0, 255).astype(np.uint8)
    cv2.fillPoly(photo, [np.rint(CORNERS).astype(np.int32)], (150, 60, 50))
    return cv2.GaussianBlur(photo, (0, 0), 0.8)


def test_the_network_gives_what_it_gave_where_it_was_trained() -> None:
    with np.load(CHECK) as told:
        planes = np.linspace(-1, 1, 4 * SIDE_PX * SIDE_PX, dtype=np.float32).reshape(1, 4, SIDE_PX, SIDE_PX)
        assert_allclose(EDGES.run(planes)[0][..., ::8, ::8], told["edges"], atol=5e-3)


def test_a_quilt_and_its_four_edges_are_seen_where_they_were_drawn() -> None:
    seen = see_edges(drawn())
    mask = np.zeros((750, 1000), np.float32)
    cv2.fillPoly(mask, [np.rint(CORNERS).astype(np.int32)], 1.0)
    there = cv2.resize(mask, (SPOTS, SPOTS), interpolation=cv2.INTER_AREA) > 0.5
    here = seen.quilt > 0.5
    assert (here & there).sum() / (here | there).sum() > 0.97
    spots = (CORNERS + 0.5) * [SPOTS / 1000, SPOTS / 750] - 0.5
    for side in range(4):
        a, b = spots[side], spots[(side + 1) % 4]
        for part in (0.2, 0.5, 0.8):
            x, y = np.rint(a + part * (b - a)).astype(int)
            others = [seen.edges[k, y - 2 : y + 3, x - 2 : x + 3].max() for k in range(4) if k != side]
            assert seen.edges[side, y - 2 : y + 3, x - 2 : x + 3].max() > max(0.3, *others)


def test_a_picture_of_one_pixel_is_seen_without_harm() -> None:
    assert np.isfinite(see_edges(np.zeros((1, 1, 3), np.uint8)).edges).all()
