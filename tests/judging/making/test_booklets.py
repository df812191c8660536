"""The booklets of a few catalogue blocks and of twenty whole quilts say all that is sewn; what is left out is found."""

from __future__ import annotations

import io
import shutil
from dataclasses import replace
from random import Random

import pikepdf
import pytest
from pdfua import validate

from judging.making.booklet_quilts import QUILTS
from judging.making.booklets import faults, laid_out, of_block, of_text, pdf_faults, spoken, structure_faults, text_of
from seamlore.draft.catalogue import all_blocks
from seamlore.drawing.picture import picture
from seamlore.drawing.shapes import Area, box
from seamlore.printing.content import Document, Figure, Plate, Section, Title
from seamlore.printing.pages import to_pdf

NAMES = [each.name for each in all_blocks()]
# Looked at as trees with their pictures, and printed and looked at page by page; what is told in the booklet of every block is
# looked at in `tests/sewing/test_every_block.py`, all of it by `python -m judging.making.booklets`.
LAID_OUT = Random(26).sample(NAMES, 12)
PRINTED = Random(25).sample([*NAMES, *QUILTS], 2)
# Pieces that are cut with the ruler, a template and foundations glued from pages, side and corner triangles, a border, more kinds
# than one: every kind of page.
EVERY_KIND = """quilt Every kind
finished 15 in
row S O
row   O
row O S
set on point
border 3 in, green
kind S Storm at Sea
kind O Snowball and Nine Patch
"""


@pytest.mark.parametrize("first", range(2))
def test_the_booklet_of_a_catalogue_block_tells_every_step_and_every_piece(first):
    for name in LAID_OUT[first::2]:
        quilt = of_block(name)
        content, document = laid_out(quilt)
        assert faults(quilt, content, document)[1] == [], name


@pytest.mark.parametrize("name", QUILTS)
def test_the_booklet_of_a_whole_quilt_tells_every_step_and_every_piece(name):
    quilt = of_text(QUILTS[name])
    content, document = laid_out(quilt)
    steps, amiss = faults(quilt, content, document)
    assert amiss == []
    assert steps > 1


@pytest.mark.parametrize(("name", "paper"), [*zip(PRINTED, ["letter", "a4"], strict=True)])
def test_a_printed_booklet_is_well_formed_tagged_within_its_pages_and_has_none_nearly_empty(name, paper, tmp_path):
    quilt = of_text(QUILTS[name]) if name in QUILTS else of_block(name)
    pdf = to_pdf(laid_out(quilt, paper)[1], paper)
    pages, amiss = pdf_faults(pdf, paper)
    assert amiss == []
    assert pages > 4
    assert findings(pdf, tmp_path) == []


def test_every_kind_of_page_is_printed_well_formed_and_within_its_page(tmp_path):
    document = laid_out(of_text(EVERY_KIND), "a4", plain=True)[1]
    headings = [each.heading for each in document.blocks if isinstance(each, Plate | Section)]
    for kind in ("Contents", "Cutting", "In one go", "Layout", "The top", "Finish", "Cut without a template"):
        assert kind in headings or any(kind in text_of(each) for each in document.blocks), kind
    plates = [each for each in document.blocks if isinstance(each, Plate)]
    for kind in ("Templates", "Foundations"):
        assert any("part 1 of" in text_of(each) for each in plates if kind in each.heading), kind
    pdf = to_pdf(document, "a4")
    assert pdf_faults(pdf, "a4")[1] == []
    assert findings(pdf, tmp_path) == []


def findings(pdf, folder):
    """What pdfua (a checker of PDF/UA-1, ISO 14289-1: 16 of its 106 rules that a machine can check) finds."""
    (folder / "given.pdf").write_bytes(pdf)
    return [each.rule_id for each in validate(str(folder / "given.pdf")).findings]


def test_the_checker_finds_a_table_without_heads(shoo, tmp_path):
    with pikepdf.open(io.BytesIO(to_pdf(shoo[2], "letter"))) as opened:
        for each in opened.objects:
            if isinstance(each, pikepdf.Dictionary) and str(each.get("/S", "")) == "/TH":
                each["/S"] = pikepdf.Name("/TD")
        broken = io.BytesIO()
        opened.save(broken)
    assert set(findings(broken.getvalue(), tmp_path)) == {"UA-15-003"}


@pytest.fixture(scope="module")
def shoo():
    quilt = of_block("Shoo Fly")
    return quilt, *laid_out(quilt)


def without(document, words):
    return replace(document, blocks=tuple(each for each in document.blocks if words not in text_of(each)))


def test_a_step_that_is_left_out_is_found(shoo):
    quilt, content, document = shoo
    assert (
        "steps are not those of the record, one after the other"
        in faults(quilt, content, without(document, "2  Row 1"))[1]
    )


def test_a_piece_that_is_never_sewn_is_found(shoo):
    quilt, content, document = shoo
    fabric = content.cutting[0]
    more = replace(fabric, lines=(*fabric.lines, replace(fabric.lines[0], label="Z9")))
    assert faults(quilt, replace(content, cutting=(more,)), document)[1] == ["Z9 is cut and never sewn"]


def test_a_strip_that_is_listed_for_several_sides_is_sewn_on_at_each_of_them():
    told = "Join border 1 (sides), the field and border 1 (sides), side by side."
    assert not spoken("border 1, sides and bottom", told)
    assert spoken("border 1, sides and bottom", f"{told} Join border 1 (bottom) and the top.")


def test_a_template_that_is_not_printed_is_found(shoo):
    quilt, content, document = shoo
    more = replace(content.templates[0], label="Z9")
    assert faults(quilt, replace(content, templates=(more,)), document)[1] == ["no template and no size for Z9"]


def test_what_is_wrong_with_a_pdf_is_found(shoo):
    pdf = to_pdf(shoo[2], "letter")
    assert pdf_faults(pdf, "a4")[1] == ["a page that is not a4"]
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert list(structure_faults(opened)) == []
        del opened.Root["/Lang"]
        tree = [each for each in opened.objects if isinstance(each, pikepdf.Dictionary) and "/S" in each]
        figure = next(each for each in tree if str(each["/S"]) == "/Figure")
        del figure["/Alt"]
        for head in (each for each in tree if str(each["/S"]) == "/TH"):
            head["/S"] = pikepdf.Name("/TD")
        title = next(each for each in tree if str(each["/S"]) == "/H1")
        title["/S"] = pikepdf.Name("/Header")
        said = set(structure_faults(opened))
    wanted = {"no language", "a figure without words", "a table without heads", "headings leave a level out"}
    assert wanted | {"tag /Header is no standard one"} <= said


def test_marks_that_are_in_no_tag_are_found(shoo):
    with pikepdf.open(io.BytesIO(to_pdf(shoo[2], "letter"))) as opened:
        first = next(
            each
            for each in opened.objects
            if isinstance(each, pikepdf.Dictionary) and str(each.get("/S", "")) == "/H1"
        )
        del first["/K"]
        assert "page 1: marks that are not in the tree" in set(structure_faults(opened))


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm is not installed")
def test_a_page_that_is_nearly_empty_and_what_runs_past_the_edge_are_found(shoo):
    pdf = to_pdf(Document("x", (Title("", "x"),), shoo[1].printed, squares="plates"))
    assert pdf_faults(pdf, "letter")[1] == ["page 1: nearly empty"]
    wide = picture(300, 120, [Area((box(0, 0, 300, 120),), "#33456a")], title="w", description="w")
    past = replace(wide, width_mm=100.0)
    pdf = to_pdf(Document("x", (Title("", "x"), Section("s", (Figure(past),))), shoo[1].printed, squares="plates"))
    assert pdf_faults(pdf, "letter")[1] == ["page 1: something is printed past the edge"]
