"""Colors of sashing, setting and borders out of a photograph drawn here."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from PIL import Image, ImageDraw

from seamlore.draft.border import border
from seamlore.draft.catalogue import find
from seamlore.draft.layout import lay
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import OnPoint
from seamlore.lengths import inches
from seamlore.photo.flatten import Flat
from seamlore.photo.read import Look
from seamlore.photo.reading import Edge, Reading
from seamlore.steps.study.surroundings import seen_around

COLORS = {
    "sashing": (200, 180, 120), "cornerstone": (120, 30, 40), "setting triangle": (70, 90, 60),
    "border 1": (40, 60, 110), "border 2": (230, 225, 210),
}  # fmt: skip
PX = 8


def look_of(quilt: Quilt, *, px: int = PX, edge: tuple[float, float, float, float] | None = None) -> Look:
    """A photograph of a quilt, each piece in the color of its key, the blocks gray, and what is read of it."""
    width, height = (each.inches_float for each in quilt.finished_size)
    picture = Image.new("RGB", (round(width * px), round(height * px)))
    draw = ImageDraw.Draw(picture)
    for piece in lay(quilt):
        draw.polygon(
            [(float(x) * px, float(y) * px) for x, y in piece.outline], COLORS.get(piece.key, (128, 128, 128))
        )
    pixels = np.asarray(picture).copy()
    # A picture knows nothing of inches: its unit is the quilt's width.
    size = 1.0, height / width
    top, right, bottom, left = (each.inches_float / width for each in quilt.bands)
    around = edge or (left, top, right, bottom)
    corners = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    reading = Reading(
        photo_size=(100, 100), corners=corners, corners_from="given", unit="width", size=size,
        setting="on point" if isinstance(quilt.setting, OnPoint) else "straight", rows=quilt.rows,
        columns=quilt.columns, edge=Edge(left=around[0], top=around[1], right=around[2], bottom=around[3]),
    )  # fmt: skip
    flat = Flat(pixels, SimpleNamespace(size=size))
    return Look(reading, flat, None, None, np.empty((0, 0, 4, 2)), np.empty((0, 0, 4, 2)))


def near(found: dict[str, str], key: str) -> bool:
    return found[key] == "#{:02x}{:02x}{:02x}".format(*COLORS[key])


@pytest.fixture
def quilt():
    gap = Sashing(inches(2), inches(2), cornerstones=True)
    borders = border(inches(2)), border(inches(3), top=inches(6), bottom=inches(5))
    return repeated("q", find("shoo fly"), inches(9), inches(9), 3, 4, gap, borders)


def test_sashing_cornerstones_and_two_unequal_borders_are_seen(quilt):
    found = seen_around(look_of(quilt), quilt)
    assert sorted(found) == ["border 1", "border 2", "cornerstone", "sashing"]
    assert all(near(found, key) for key in found)


def test_setting_triangles_are_seen_on_point():
    made = repeated("q", find("shoo fly"), inches(9), inches(9), 3, 4, None, (border(inches(4)),), setting=OnPoint())
    found = seen_around(look_of(made), made)
    assert sorted(found) == ["border 1", "setting triangle"]
    assert all(near(found, key) for key in found)


def test_a_border_that_the_photograph_does_not_show_has_no_color(quilt):
    shown = look_of(quilt, edge=(-0.01, 0.12, 0.0, 0.12))
    whole = repeated("q", find("shoo fly"), inches(9), inches(9), 3, 4, None, (border(inches(4)),))
    bare = look_of(whole, edge=(0.0, 0.0, 0.0, 0.0))
    assert "border 1" not in seen_around(bare, whole)
    assert "border 1" in seen_around(shown, quilt)


def test_a_draft_of_other_counts_has_nothing_in_common_with_the_photograph(quilt):
    other = repeated("q", find("shoo fly"), inches(9), inches(9), 4, 4, quilt.sashing, quilt.borders)
    assert seen_around(look_of(quilt), other) == {}
    point = repeated(
        "q", find("shoo fly"), inches(9), inches(9), 3, 4, quilt.sashing, quilt.borders, setting=OnPoint()
    )
    assert seen_around(look_of(quilt), point) == {}
