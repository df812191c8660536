"""The camera sends points of the quilt where its picture shows them, and back."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.testing import assert_allclose

from judging.rendering.blocks import TUNING
from judging.rendering.camera import set_up
from judging.rendering.recipe import draw_recipe

RECIPE = replace(draw_recipe(3, "straight", tuple(TUNING)), tilt_deg=14.0, lens=0.02, drape=0.004, long_side_px=640)


def test_maps_and_points_agree_through_perspective_drape_and_lens() -> None:
    camera = set_up(RECIPE, (60.0, 72.0), np.random.default_rng(1))
    _, cloth = camera.maps()
    spots = np.array([[10.0, 10], [30, 36], [55, 60], [5, 70]])
    seen = camera.to_photo(spots)
    for spot, (x, y) in zip(spots, seen, strict=True):
        # The map tells where whole pixels look; a pixel here is about a ninth of an inch.
        assert_allclose(cloth[round(y), round(x)], spot, atol=0.12)


def test_the_quilt_stands_whole_in_the_picture() -> None:
    camera = set_up(RECIPE, (60.0, 72.0), np.random.default_rng(1))
    corners = camera.to_photo(np.array([[0.0, 0], [60, 0], [60, 72], [0, 72]]))
    assert np.all(corners > 0)
    assert np.all(corners < np.array(camera.photo_size))


def test_without_lens_and_drape_straight_lines_stay_straight() -> None:
    camera = set_up(replace(RECIPE, lens=0.0, drape=0.0), (60.0, 72.0), np.random.default_rng(1))
    line = camera.to_photo(np.array([[0.0, 5], [20, 25], [50, 55]]))
    one, two = line[1] - line[0], line[2] - line[0]
    assert_allclose(one[0] * two[1] - one[1] * two[0], 0, atol=1e-6)
