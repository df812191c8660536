"""Templates on pages."""

from itertools import combinations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shapely import Polygon

from seamlore.drawing.shapes import Area, Group, Line, Text, walk
from seamlore.errors import PageError
from seamlore.lengths import inches
from seamlore.printing.content import Document
from seamlore.printing.pages import plate_room, to_pdf
from seamlore.sheets.content import PatchTemplate
from seamlore.sheets.template_pages import template_plates

QUARTER = inches("1/4")


def _square(side, label="A"):
    return PatchTemplate(label, np.array([[0.0, 0], [side, 0], [side, side], [0, side]]), ("cut 4",))


def test_a_3_in_square_is_cut_89_mm_wide_on_the_rendered_page(study, rendered):
    # Finished 3 in plus 1/4 in on each side is 3 1/2 in (trade.md A1), at 300 dots an inch 1050 dots.
    plates = template_plates([_square(3)], QUARTER, "letter")
    (page,) = rendered(to_pdf(Document("t", plates, study.printed), "letter"), "letter", whole=True)
    middle = page[round(page.shape[0] * 0.2)]
    upright = np.flatnonzero(middle < 160)
    assert_allclose((upright.max() - upright.min()) / 300, 3.5, atol=0.02)


def test_small_templates_share_a_page_and_all_are_there():
    plates = template_plates([_square(1.5, f"A{n}") for n in range(6)], QUARTER, "a4")
    assert len(plates) == 1
    for n in range(6):
        assert f"patch A{n} " in plates[0].picture.description


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_no_page_of_templates_is_larger_than_its_room(paper):
    width, height = plate_room(paper)
    sides = [1, 2, 3, 4, 5, 6, 2.5, 3.25, 1.125] * 4
    plates = template_plates([_square(side, f"P{n}") for n, side in enumerate(sides)], QUARTER, paper)
    assert len(plates) > 3
    for plate in plates:
        assert plate.picture.width_mm <= width + 1e-6
        assert plate.picture.height_mm <= height + 1e-6


def test_a_template_larger_than_the_page_is_tiled():
    plates = template_plates([_square(9)], QUARTER, "letter")
    # Four parts, of which the two narrow ones share a page.
    assert len(plates) == 3
    said = " ".join(plate.picture.description for plate in plates)
    for part in range(1, 5):
        assert f"part {part} of 4" in said


def test_the_label_of_a_tiled_triangle_stands_clear_of_the_seams():
    triangle = np.array([[9.0, 0], [9, 9], [0, 9]])
    plates = template_plates([PatchTemplate("C1", triangle, ("cut 1",))], QUARTER, "letter")
    labels = [
        (plate.picture, text)
        for plate in plates
        for text in walk(plate.picture.shapes)
        if isinstance(text, Text) and text.words == "C1"
    ]
    assert labels
    # Every tile holds the whole template, clipped: in one of them the label is seen whole.
    group_clips = [
        (outer.clip, inner)
        for plate in plates
        for outer in walk(plate.picture.shapes)
        if isinstance(outer, Group) and outer.clip
        for inner in outer.shapes
        if isinstance(inner, Group)
    ]
    spots = []
    for clip, inner in group_clips:
        assert clip is not None
        (moved,) = [each for each in inner.shapes if isinstance(each, Group)]
        label = next(each for each in moved.shapes if isinstance(each, Text))
        x, y = label.x + moved.dx + inner.dx, label.y + moved.dy + inner.dy
        spots.append(20 < x < clip[2] - 20 and 20 < y < clip[3] - 10)
    assert any(spots)


def test_parts_of_long_templates_share_pages():
    long = [PatchTemplate(n, np.array([[0.0, 0], [9, 0], [9, 1], [0, 1]]), ()) for n in "ABC"]
    plates = template_plates(long, QUARTER, "letter")
    # Six parts: three long ones side by side and their three short ends.
    assert len(plates) == 2


def test_a_template_of_many_pages_is_refused():
    with pytest.raises(PageError, match="at true scale at most 64 pages"):
        template_plates([_square(90)], QUARTER, "letter")


def _cut_lines(plate):
    """The cutting lines of a plate as polygons in mm."""
    found = []
    for group in plate.picture.shapes:
        for inner in group.shapes:
            for shape in inner.shapes:
                if isinstance(shape, Area) and shape.stroke and not shape.dash_mm:
                    found.append(
                        Polygon([(x + group.dx + inner.dx, y + group.dy + inner.dy) for x, y in shape.rings[0]])
                    )
    return found


def test_templates_stand_apart_and_keep_their_size_when_turned():
    # Distances by Shapely (a general library).
    triangle = np.array([[0.0, 0], [3, 0], [0, 3]])
    given = [PatchTemplate(f"T{n}", triangle, ()) for n in range(5)] + [_square(1.25, f"S{n}") for n in range(7)]
    plates = template_plates(given, QUARTER, "letter")
    lines = [_cut_lines(plate) for plate in plates]
    assert sum(len(each) for each in lines) == 12
    for page in lines:
        for first, second in combinations(page, 2):
            assert first.distance(second) >= 3.0
    areas = sorted(each.area / 25.4**2 for page in lines for each in page)
    assert_allclose(areas[:7], 1.75**2)
    # A 3 in half-square triangle, 1/4 in allowance, sharp points cut square: within the 3 7/8 in square's half.
    assert_allclose(areas[7:], areas[-1])
    assert areas[-1] < 3.875**2 / 2


def test_two_triangles_share_the_square_of_one():
    triangle = np.array([[0.0, 0], [3, 0], [0, 3]])
    (plate,) = template_plates([PatchTemplate(n, triangle, ()) for n in "AB"], QUARTER, "letter")
    assert plate.picture.height_mm < 125
    assert plate.picture.width_mm < 125


def test_a_template_too_wide_is_turned_and_its_grain_with_it():
    # 6 3/4 in finished is cut 7 1/4 in: wider than letter paper's room of 181.9 mm only when it lies.
    long = PatchTemplate("L", np.array([[0.0, 0], [6.75, 0], [6.75, 1], [0, 1]]), (), grain_deg=0.0)
    (plate,) = template_plates([long], QUARTER, "a4")
    assert_allclose(plate.picture.height_mm, 7.25 * 25.4 + 1)
    arrows = [shape for shape in walk(plate.picture.shapes) if isinstance(shape, Line) and shape.stroke == "#756a5f"]
    assert arrows
    for (x0, y0), (x1, y1) in (arrow.runs[0] for arrow in arrows):
        assert_allclose(x0, x1, atol=1e-9)
        assert abs(y1 - y0) > 3


def test_without_templates_there_is_no_page():
    assert template_plates([], QUARTER, "a4") == ()
