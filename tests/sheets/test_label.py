"""The label."""

from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from seamlore.drawing.metrics import width_em
from seamlore.drawing.shapes import MM_PER_PT, Area, Text, walk
from seamlore.errors import PageError
from seamlore.lengths import centimeters, inches
from seamlore.printing.pages import to_pdf
from seamlore.sheets.label import label, label_picture


def _boxes(drawn):
    areas = [each for each in walk(drawn.shapes) if isinstance(each, Area)]
    return [(each.rings[0][2][0] - each.rings[0][0][0], each.rings[0][2][1] - each.rings[0][0][1]) for each in areas]


def test_it_is_printed_on_one_page_at_the_size_asked(label_content, opened):
    with opened(to_pdf(label(label_content))) as pdf:
        assert len(pdf.pages) == 1
    cut, finished, _ = _boxes(label_picture(label_content))
    assert_allclose(finished, (5 * 25.4, 4 * 25.4))
    # A quarter inch is turned under on each side.
    assert_allclose(cut, (5.5 * 25.4, 4.5 * 25.4))


def test_the_maker_is_unknown_unless_told(label_content):
    assert "Maker unknown" in label_picture(label_content).description
    told = label_picture(replace(label_content, maker="made by Ada Roe"))
    assert "Made by Ada Roe" in told.description
    assert "unknown" not in told.description


def test_what_is_not_known_is_on_the_label(label_content):
    assert "Not known: where it was made" in label_picture(label_content).description


def test_no_word_reaches_the_edge_that_is_turned_under(label_content):
    for size in ((5, 4), (4, 3), (6, 2.5)):
        drawn = label_picture(replace(label_content, width=inches(size[0]), height=inches(size[1])))
        for each in walk(drawn.shapes):
            if isinstance(each, Text):
                half = width_em(each.words, "semibold") * each.size_pt * MM_PER_PT / 2
                assert each.x - half > 0.5 + 6.35 + 5
                assert each.x + half < drawn.width_mm - 0.5 - 6.35 - 5
                assert 0.5 + 6.35 + 4 < each.y < drawn.height_mm - 0.5 - 6.35 - 4


def test_no_ink_is_laid_on_in_areas_so_that_none_can_run(label_content):
    assert not [each for each in walk(label_picture(label_content).shapes) if isinstance(each, Area) and each.fill]


def test_a_larger_label_is_set_in_larger_type(label_content):
    sizes = [
        max(each.size_pt for each in walk(label_picture(label).shapes) if isinstance(each, Text))
        for label in (replace(label_content, width=centimeters(6), height=centimeters(5)), label_content)
    ]
    assert sizes[0] < sizes[1]


def test_a_label_too_small_for_its_words_is_refused_with_the_size_they_need(label_content):
    with pytest.raises(PageError, match=r"a label of 2 x 1 in: its words need about .* in by .* in; make it larger"):
        label(replace(label_content, width=inches(2), height=inches(1)))


def test_a_label_larger_than_the_page_is_refused(label_content):
    with pytest.raises(PageError, match="make it smaller"):
        label(replace(label_content, width=inches(9)))


def test_a_quilt_without_a_name_is_said_to_have_none(label_content):
    document = label(replace(label_content, name=""))
    assert document.title.startswith("A quilt without a name")
    assert to_pdf(document)[:5] == b"%PDF-"
