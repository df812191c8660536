"""The pattern booklet."""

from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from seamlore.draft.quilt import Sashing
from seamlore.draft.where import in_block
from seamlore.drawing.shapes import Area, walk
from seamlore.lengths import inches
from seamlore.printing.content import Contents, Figure, Fitted, Plate, Section, Table, Wide
from seamlore.printing.pages import to_pdf
from seamlore.sheets.booklet import booklet


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_both_test_squares_measure_true_on_the_pages_of_templates(pattern, paper, rendered, measured):
    printed = booklet(pattern, paper)
    pages = rendered(to_pdf(printed, paper), paper)
    plates = [each for each in printed.blocks if isinstance(each, Plate)]
    assert 1 <= len(plates) < len(pages)
    for page in pages[-len(plates) :]:
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


@pytest.mark.parametrize(
    ("sashing", "said"),
    [
        (Sashing(inches(2), inches(2)), "2 in finished"),
        (Sashing(inches(0), inches(2)), "2 in between rows, finished"),
        (Sashing(inches(3), inches(2), outer=True), "3 in between columns and 2 in between rows, finished, round the outside too"),
    ],
)  # fmt: skip
def test_the_cover_says_where_sashing_runs_when_not_everywhere_alike(pattern, sashing, said):
    quilt = replace(pattern.quilt, sashing=sashing)
    table = next(each for each in booklet(replace(pattern, quilt=quilt)).blocks if isinstance(each, Table))
    assert ("Sashing", said) in [(row[0].text, row[1]) for row in table.rows]


def test_fabrics_come_in_order_of_use_backing_after_them(pattern):
    section = next(each for each in booklet(pattern).blocks if getattr(each, "heading", "") == "Fabric to buy")
    table = section.body[0]
    assert [row[1].text for row in table.rows] == ["Muslin", "Backing"]
    assert "42 in wide" in str(section.beside[0])


def test_the_seam_allowance_is_said_to_be_in_the_sizes(pattern):
    section = next(each for each in booklet(pattern).blocks if getattr(each, "heading", "") == "Cutting")
    assert "All sizes include the seam allowance of 1/4 in" in str(section.body[0])


def test_of_several_kinds_it_says_what_the_first_letters_of_a_piece_are(pattern):
    def told(content):
        return str(next(each for each in booklet(content).blocks if getattr(each, "heading", "") == "How to read it"))

    assert "A1 and A2 are cut from Fabric A" in told(pattern)
    one = pattern.blocks[0]
    signed = replace(pattern, blocks=(replace(one, name="Shoo Fly (S)", labels=tuple(f"S {x}" for x in one.labels)),))
    assert "S A1 is A1 of Shoo Fly (S), and its drawings say A1 alone" in told(signed)


def test_cautions_stand_before_anything_is_cut(pattern):
    text = str(booklet(pattern).blocks)
    for said in ("Blade and iron", "Not in a baby's bed", "rules"):
        assert said in text


def test_old_cloth_is_warned_of_where_old_cloth_is_handled_and_nowhere_else(pattern):
    assert "conservator" not in str(booklet(pattern).blocks)
    text = str(booklet(replace(pattern, old_cloth=True)).blocks)
    for said in ("Handling the old quilt", "conservator"):
        assert said in text


def test_a_step_shows_what_is_joined_and_says_how_many_and_how_large(pattern):
    section = next(each for each in booklet(pattern).blocks if getattr(each, "heading", "") == "1  Corners")
    figure, words = section.body
    assert isinstance(figure, Figure)
    assert figure.picture.title == "The block: Corners"
    assert figure.picture.description.startswith(
        "The block: Corners: A1 and B1 side by side, then joined along 1 seam"
    )
    assert words.items == ("Sew.", "Press.")
    assert [each.words for each in section.beside] == ["Make 4.", "It should now measure 3 1/4 in square."]
    assert section.whole
    assert section.level == 3


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


def test_a_booklet_has_contents_a_layout_and_a_page_to_color(pattern):
    blocks = booklet(pattern).blocks
    assert any(isinstance(each, Section) and any(isinstance(one, Contents) for one in each.body) for each in blocks)
    (contents,) = [each for each in blocks if isinstance(each, Section) and each.heading == "Contents"]
    # A list of what there is does not name itself.
    assert not contents.listed
    fitted = [each.figure.picture for each in blocks if isinstance(each, Fitted)]
    assert [drawn.title for drawn in fitted] == ["Layout of the quilt", "Trial to color"]
    uncolored = fitted[-1]
    fills = {shape.fill for shape in walk(uncolored.shapes) if isinstance(shape, Area) and shape.fill}
    assert fills == {"#ffffff"}


def test_the_plain_booklet_has_no_color_and_keeps_every_cloth_apart(pattern):
    # Three cloths: light and dark of the block, the dark of the border too, and the sashing.
    plain = booklet(pattern, plain=True)
    assert plain.plain
    cover = next(each for each in plain.blocks if isinstance(each, Wide)).body[0].picture
    in_color = next(each for each in booklet(pattern).blocks if isinstance(each, Wide)).body[0].picture
    seen, wanted = (
        {shape.fill for shape in walk(drawn.shapes) if isinstance(shape, Area) and shape.fill}
        for drawn in (cover, in_color)
    )
    assert len(seen) == len(wanted) == 3
    for paint in seen:
        for color in (paint,) if isinstance(paint, str) else (paint.ground, paint.ink):
            assert color[1:3] == color[3:5] == color[5:7]


def test_the_cover_shows_each_patch_in_its_own_cloth_but_not_without_color(pattern):
    own = replace(pattern, patch_cloths={in_block(0, 0, 0): "#12ab34"})
    for plain in (False, True):
        cover = next(each for each in booklet(own, plain=plain).blocks if isinstance(each, Wide)).body[0].picture
        fills = {shape.fill for shape in walk(cover.shapes) if isinstance(shape, Area)}
        assert ("#12ab34" in fills) != plain
