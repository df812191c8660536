"""Templates on pages."""

import re
from itertools import combinations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shapely import Polygon, box, unary_union

from seamlore.draft.catalogue import find
from seamlore.drawing.shapes import Area, Group, Line, Text, walk
from seamlore.errors import PageError
from seamlore.lengths import inches
from seamlore.making.corners_off import corners_off
from seamlore.making.shapes import shape_of
from seamlore.making.sizes import cutting_line, finished_points
from seamlore.plane.outline import as_outline, grow
from seamlore.printing.content import Document, Span
from seamlore.printing.pages import plate_room, to_pdf
from seamlore.sheets.pattern import PatchTemplate
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
    # A slanted one has no half that could be folded.
    slanted = PatchTemplate("A", np.array([[0.0, 0], [9, 0], [11, 9], [2, 9]]), ())
    plates = template_plates([slanted], QUARTER, "letter")
    said = " ".join(plate.picture.description for plate in plates)
    for part in range(1, 5):
        assert f"part {part} of 4" in said


def test_a_large_template_that_is_its_own_mirror_image_is_folded_in_half():
    kite = PatchTemplate("K", np.array([[4.0, 0], [8, 3], [4, 5.5], [0, 3]]), ("cut 2",))
    (plate,) = template_plates([kite], QUARTER, "letter")
    said = [text.words for text in walk(plate.picture.shapes) if isinstance(text, Text)]
    assert "on the fold of the paper" in said
    assert "half: cut on a fold of the paper" in said
    # Up to the fold 4 in and the allowance of its slanted sides; 1 mm of margin.
    low = grow(as_outline(kite.outline_in), 0.25)[:, 0].min()
    assert_allclose(plate.picture.width_mm, (4 - low) * 25.4 + 1)


def test_no_page_of_a_large_triangle_is_empty():
    # Of the six even tiles of a box of 20 by 11 in, the cutting line leaves those out that it does not reach.
    wide = PatchTemplate("T", np.array([[0.0, 0], [20, 0], [2, 11]]), ())
    plates = template_plates([wide], QUARTER, "letter")
    parts = re.findall(r"part (\d+) of (\d+)", " ".join(plate.picture.description for plate in plates))
    assert len(parts) == int(parts[0][1]) <= 9
    # Whichever way it was turned, each page shows a part of one of its turns.
    turns = [wide.outline_in @ np.linalg.matrix_power([[0, 1], [-1, 0]], turn) for turn in range(4)]
    lines = [grow(as_outline(turned) * 25.4, 6.35) for turned in turns]
    shapes = [Polygon(line - line.min(axis=0) + 0.5) for line in lines]
    seen = [
        box(-inner.dx, -inner.dy, outer.clip[2] - inner.dx, outer.clip[3] - inner.dy)
        for plate in plates
        for outer in walk(plate.picture.shapes)
        if isinstance(outer, Group) and outer.clip
        for inner in outer.shapes
    ]
    assert any(all(shape.intersection(each).area > 100 for each in seen) for shape in shapes)
    assert any(shape.difference(unary_union(seen)).area < 1e-6 for shape in shapes)


def test_what_is_cut_by_its_size_and_larger_than_the_page_is_said_and_not_printed():
    square = np.array([[0.0, 0], [12, 0], [12, 12], [0, 12]])
    large = PatchTemplate("P1", square, ("muslin",), by_ruler=True, cut="a square of 12 1/2 in")
    (section,) = template_plates([large], QUARTER, "letter")
    assert section.heading == "Cut without a template"
    assert section.body[0].rows == ((Span("P1", "strong"), "a square of 12 1/2 in"),)


def test_what_else_is_cut_so_is_said_where_no_template_is_printed():
    square = np.array([[0.0, 0], [12, 0], [12, 12], [0, 12]])
    lines = ("muslin", "also Q A1", "turned over: P1r")
    large = PatchTemplate("P1", square, lines, by_ruler=True, cut="a square of 12 1/2 in")
    (section,) = template_plates([large], QUARTER, "letter")
    assert section.body[0].rows == ((Span("P1", "strong"), "a square of 12 1/2 in; also Q A1; turned over: P1r"),)


def test_the_octagon_of_a_large_snowball_is_cut_with_the_ruler():
    # Common practice, no source: a square, its corners off. 18 in finished: the corner's side 6 in; the slanted line
    # moves out by 1/4 in, so that its marks stand 6 + (2 - sqrt 2) / 4 = 6.146 in from the raw corner, 6 1/8 on a ruler.
    octagon = max(find("snowball").patches, key=lambda each: each.area)
    shaped = shape_of(tuple((x * 18, y * 18) for x, y in octagon.outline))
    given = PatchTemplate("B1", finished_points(shaped), (), corners=corners_off(shaped, QUARTER))
    (section,) = template_plates([given], QUARTER, "letter")
    steps = section.body[-1].items
    assert steps == (
        "Cut a square of 18 1/2 in.",
        "At each corner make a mark 6 1/8 in from the corner along both edges; cut from mark to mark.",
    )
    # What is cut so covers the exact cutting line, and by less than 1/16 in.
    side, mark = 18.5, 6.125
    cut = Polygon(
        [
            (mark, 0),
            (side - mark, 0),
            (side, mark),
            (side, side - mark),
            (side - mark, side),
            (mark, side),
            (0, side - mark),
            (0, mark),
        ]
    )
    exact = Polygon(cutting_line(shaped, QUARTER.inches) + 0.25)
    assert cut.buffer(1e-9).covers(exact)
    assert exact.buffer(1 / 16).covers(cut)


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
    # Half of each is cut on a fold, and all three stand on one page.
    assert len(plates) == 1


def test_a_template_of_many_pages_is_refused():
    large = np.array([[0.0, 0], [60, 0], [90, 50], [10, 60]])
    with pytest.raises(PageError, match=r"on \d+ pages: a template is printed on at most 9; make its block smaller"):
        template_plates([PatchTemplate("A", large, ())], QUARTER, "letter")
    with pytest.raises(PageError, match=r"make the block (\d+) in or smaller") as caught:
        template_plates([PatchTemplate("A", large, (), block=inches(90))], QUARTER, "letter")
    # What is offered can be printed.
    side = int(re.search(r"make the block (\d+) in", str(caught.value))[1])
    assert template_plates([PatchTemplate("A", large * side / 90, ())], QUARTER, "letter")


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


def test_templates_are_tried_in_other_orders_before_a_page_is_added():
    # Those of a block of 12 in with triangles in squares: the largest first takes two pages.
    tall = np.array([[0.0, 0], [4, 0], [2, 4]])
    thin = np.array([[0.0, 0], [2, 4], [0, 4]])
    given = [PatchTemplate("A2", tall, ("cut 4",)), PatchTemplate("B1", thin, ("cut 8",)), _square(2, "C1")]
    assert len(template_plates(given, QUARTER, "letter")) == 1


def test_without_templates_there_is_no_page():
    assert template_plates([], QUARTER, "a4") == ()
