"""Foundations on paper: at true scale, mirrored, small ones together, large ones in tiles."""

import datetime

import pytest
from shapely import Polygon, box
from shapely.affinity import rotate

from seamlore.draft.catalogue import find
from seamlore.draft.repeated import repeated
from seamlore.drawing.shapes import Area, Text, walk
from seamlore.lengths import inches
from seamlore.making.plan import plan
from seamlore.pictures.lettering import words_width
from seamlore.pictures.sewing.foundations import foundation_picture
from seamlore.printing.content import Plate
from seamlore.sewing.foundation import foundations
from seamlore.sewing.top import sewn_top
from seamlore.sheets.booklet import booklet
from seamlore.sheets.foundation_pages import NOT_PRINTED, foundation_plates
from seamlore.sheets.lesson import lesson
from seamlore.sheets.pattern import BlockFoundation
from seamlore.steps.booklet import booklet_content
from seamlore.steps.sewing.foundations import block_foundation
from seamlore.steps.sewing.lesson import lesson_content

QUARTER = inches("1/4")
DAY = datetime.date(2026, 11, 30)


def given(name, side):
    block = find(name)
    found = foundations([tuple((x * side, y * side) for x, y in each.outline) for each in block.patches], QUARTER)
    return BlockFoundation("The block", tuple(each.place for each in block.patches), found)


def test_a_foundation_is_as_large_as_the_block_with_its_allowances():
    small = given("economy patch", 4)
    drawn = foundation_picture(small.foundations.sections[0], small.labels, QUARTER, "The block")
    # 4 1/2 in, and half a millimeter of margin on either side.
    assert drawn.width_mm == pytest.approx(4.5 * 25.4 + 1)
    assert drawn.height_mm == pytest.approx(4.5 * 25.4 + 1)


def test_what_goes_on_one_page_is_on_one_page_and_what_does_not_is_tiled():
    for side, pages in ((5, 1), (9, 4)):
        plates = list(foundation_plates([given("economy patch", side)], QUARTER, "letter"))
        assert len(plates) == pages
        # Its name is written along an edge once; tiles, which would cut it, are named one by one.
        for plate in plates:
            words = [each.words for each in walk(plate.picture.shapes) if isinstance(each, Text)]
            assert words.count("The block") == (pages == 1)
            assert any(each.startswith("Foundation of The block") for each in words) == (pages > 1)


def test_two_parts_of_a_long_section_stand_side_by_side_on_one_page():
    # 9 1/2 by 3 1/2 in each: two parts of 126 by 90 mm, upright two of them on letter paper of 181.9 mm.
    shoo = given("shoo fly", 9)
    assert len(shoo.foundations.sections) == 3
    assert len(list(foundation_plates([shoo], QUARTER, "letter"))) == 3


def test_sections_are_gathered_on_a_page():
    pinwheel = given("pinwheel", 4)
    assert len(pinwheel.foundations.sections) == 2
    assert len(list(foundation_plates([pinwheel], QUARTER, "a4"))) == 1


def test_without_foundations_there_are_no_pages():
    assert list(foundation_plates([], QUARTER, "a4")) == []


def test_sections_that_are_alike_are_printed_once_and_how_often_they_are_copied_is_written():
    shoo = sewn_top(repeated("q", find("shoo fly"), inches(4), inches(4), 1, 1)).blocks[0]
    found = block_foundation(shoo, "The block", QUARTER)
    # Top and bottom rows are one, turned; the middle row holds squares alone.
    assert [[each.name for each in alike] for alike in found.printed] == [["A", "C"]]
    assert "B: B2, A2 and A2" not in found.said[0]
    assert "sewn sooner without a foundation" in found.said[0]
    (plate,) = foundation_plates([found], QUARTER, "letter")
    words = [each.words for each in walk(plate.picture.shapes) if isinstance(each, Text)]
    assert words.count("The block, A, C: 2 for each block") == 1


def test_a_sampler_of_many_kinds_has_the_foundations_of_each():
    names = ["economy patch", "shoo fly", "churn dash", "ohio star", "pinwheel", "friendship star"]
    tops = [sewn_top(repeated("q", find(name), inches(6), inches(6), 1, 1)).blocks[0] for name in names]
    assert all(block_foundation(made, "The block", QUARTER) for made in tops)


def test_what_is_written_on_a_foundation_stands_in_its_allowance():
    found = given("ohio star", 9)
    for section in found.foundations.sections:
        drawn = foundation_picture(section, found.labels, QUARTER, "A", "Ohio Star, A, B: 2 for each block")
        cutting, sewing = (each.rings[0] for each in walk(drawn.shapes) if isinstance(each, Area))
        (words,) = (each for each in walk(drawn.shapes) if isinstance(each, Text) and "each block" in each.words)
        half = words_width(words.words, words.size_pt) / 2
        lying = box(words.x - half, words.y - 1, words.x + half, words.y + 1)
        standing = rotate(lying, words.turn_deg, origin=(words.x, words.y))
        assert Polygon(cutting).contains(standing)
        assert not Polygon(sewing).intersects(standing)
        assert -90 <= words.turn_deg < 90


def test_a_foundation_on_more_than_nine_pages_is_not_printed_and_hinders_nothing():
    # 36 in and two margins take 5 by 5 pages; everything else of the block is cut with the ruler.
    quilt = repeated("q", find("square in a square"), inches(36), inches(36), 1, 1)
    printed = booklet(booklet_content(plan(quilt), printed=DAY))
    assert NOT_PRINTED in str(printed.blocks)
    assert not any(isinstance(each, Plate) and "Foundations" in each.heading for each in printed.blocks)
    content = lesson_content(find("square in a square"), [(inches(36), inches(36))], printed=DAY)
    assert NOT_PRINTED in str(lesson(content).blocks)
    small = lesson_content(find("square in a square"), [(inches(12), inches(12))], printed=DAY)
    assert NOT_PRINTED not in str(lesson(small).blocks)
