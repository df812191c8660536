"""The pattern booklet."""

from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from seamlore.printing.content import Figure, Plate, Section, Table, Wide
from seamlore.printing.pages import to_pdf
from seamlore.sheets.booklet import booklet


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_both_test_squares_measure_true_on_every_rendered_page(pattern, paper, rendered, measured):
    pages = rendered(to_pdf(booklet(pattern, paper), paper), paper)
    assert len(pages) >= 3
    for page in pages:
        inch, cm = measured(page)
        assert_allclose(inch, 1.0, atol=1.01 / 300)
        assert_allclose(cm, 5.0, atol=1.01 / 300 * 2.54)


def test_the_cover_is_one_page_with_the_quilt_and_its_finished_sizes(pattern, opened):
    for paper in ("letter", "a4"):
        cover = booklet(pattern, paper)
        first = next(index for index, block in enumerate(cover.blocks) if type(block).__name__ == "NewPage")
        with opened(to_pdf(replace(cover, blocks=cover.blocks[:first]), paper)) as pdf:
            assert len(pdf.pages) == 1
    table = next(block for block in cover.blocks if isinstance(block, Table))
    # 3 x 8 + 2 x 3 + 2 x 4 = 38 in; 2 x 8 + 3 + 2 x 4 = 27 in.
    assert [row[1] for row in table.rows][:3] == ["38 x 27 in", "8 in", "6 Shoo Fly, in 2 rows of 3"]


def test_fabrics_come_in_order_of_use_backing_after_them(pattern):
    section = next(each for each in booklet(pattern).blocks if getattr(each, "heading", "") == "Fabric to buy")
    table = section.body[0]
    assert [row[1].text for row in table.rows] == ["Muslin", "Backing"]
    assert "42 in wide" in str(section.beside[0])


def test_the_seam_allowance_is_said_to_be_in_the_sizes(pattern):
    section = next(each for each in booklet(pattern).blocks if getattr(each, "heading", "") == "Cutting")
    assert "All sizes include the seam allowance of 1/4 in" in str(section.body[0])


def test_cautions_stand_where_cutting_begins_and_at_the_end(pattern):
    text = str(booklet(pattern).blocks)
    for said in ("Blade and iron", "Handling the old quilt", "Not in a baby's bed", "conservator", "rules"):
        assert said in text


def test_a_step_shows_its_patches_and_dims_the_rest(pattern):
    section = next(each for each in booklet(pattern).blocks if getattr(each, "heading", "") == "1  Corners")
    (beside,) = section.body
    assert isinstance(beside.stacks[0][0], Figure)
    assert beside.stacks[0][0].picture.title == "The block: Corners"


def test_templates_are_the_last_pages(pattern):
    blocks = booklet(pattern).blocks
    assert isinstance(blocks[-1], Plate)
    assert not any(isinstance(each, Wide | Section) for each in blocks[blocks.index(blocks[-1]) :])


def test_a_booklet_without_templates_or_diagrams_prints(pattern):
    bare = replace(pattern, templates=(), cutting=(), blocks=(), sewing=(), finishing=(), buy=(), finishing_steps=())
    assert to_pdf(booklet(bare))[:5] == b"%PDF-"


def test_a_quilt_without_a_name_is_said_to_have_none(pattern):
    document = booklet(replace(pattern, name=""))
    assert document.title.startswith("A quilt without a name")
    assert to_pdf(document)[:5] == b"%PDF-"
