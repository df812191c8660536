"""Templates and foundations in the PDF itself: every outline, slanted lines too, against the block as the catalogue draws it."""

from __future__ import annotations

import datetime

import numpy as np
import pytest
from shapely import LineString, Polygon

from judging.timing.booklet import SLANTED, corners_of, least_error, paths_mm, pieces_mm, slanted
from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.lengths import inches
from seamlore.printing.content import Document, Title
from seamlore.printing.pages import to_pdf
from seamlore.sewing.top import sewn_top
from seamlore.sheets.template_pages import template_plates
from seamlore.steps.sewing.templates import templates

DAY = datetime.date(2026, 11, 30)
QUARTER = inches("1/4")


@pytest.mark.parametrize(
    ("name", "side", "paper"), [(*SLANTED[0], "letter"), (*SLANTED[1], "a4"), (*SLANTED[5], "letter")]
)
def test_slanted_lines_of_templates_and_foundations_are_true_to_a_tenth_of_a_millimeter(name, side, paper):
    count, off, sections, apart = slanted(name, side, paper)
    assert count == len(find(name).patches)
    assert sections > 1
    assert max(off, apart) < 0.1


@pytest.fixture(scope="module")
def paths():
    quilt = repeated("q", find("54-40 or Fight"), inches(12), inches(12), 1, 1)
    plates = template_plates(tuple(templates(quilt, sewn_top(quilt), QUARTER)), QUARTER, "letter")
    printed = Document("x", (Title("", "x"), *plates), DAY, squares="plates")
    return [path for _, path in paths_mm(to_pdf(printed)) if len(path) > 2]


def test_the_cutting_line_lies_a_quarter_inch_outside_every_slanted_side(paths):
    rings = [corners_of(path) for path in paths]
    sewing = [
        ring
        for piece in pieces_mm(find("54-40 or Fight"), 304.8)
        for ring in rings
        if least_error([ring], piece) < 0.1
    ]
    triangles = [ring for ring in sewing if len(ring) == 3]
    assert triangles
    for ring in triangles:
        # The smallest outline round it, its points cut off: by Shapely, a general library.
        around = min(
            (Polygon(other) for other in rings if len(other) > 3 and Polygon(other).contains(Polygon(ring))),
            key=lambda each: each.area,
        )
        for start, end in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            middle = (start + end) / 2
            out = np.array([end[1] - start[1], start[0] - end[0]]) / np.hypot(*(end - start))
            ray = LineString([middle - out * 20, middle + out * 20]).intersection(around.exterior)
            nearest = min(np.hypot(*(np.array(at.coords[0]) - middle)) for at in getattr(ray, "geoms", [ray]))
            assert nearest == pytest.approx(6.35, abs=0.1)


def test_an_outline_a_thousandth_too_large_or_turned_over_is_noticed(paths):
    (thin, *_) = [
        piece
        for piece in pieces_mm(find("54-40 or Fight"), 304.8)
        if len(piece) == 3 and np.ptp(piece, axis=0).min() < 60
    ]
    rings = [corners_of(path) for path in paths]
    true, over = sorted((least_error(rings, thin), least_error(rings, thin, mirrored=True)))
    assert true < 0.01
    assert over > 10
    assert min(least_error([ring * 1.002 for ring in rings], thin, mirrored=way) for way in (False, True)) > 0.1
