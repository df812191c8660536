"""The study sheet."""

import shutil
import subprocess
from dataclasses import replace

import pytest

from seamlore.printing.content import Beside, Figure, Plate, Section, Table, Title, Wide
from seamlore.printing.pages import to_pdf
from seamlore.sheets.study_sheet import study_sheet


def _headings(document):
    return [block.heading for block in document.blocks if isinstance(block, Section)]


def test_no_page_has_test_squares_since_nothing_on_it_is_at_true_scale(study):
    document = study_sheet(study)
    assert document.squares == "plates"
    assert not any(isinstance(block, Plate) for block in document.blocks)


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")
@pytest.mark.parametrize("many", [12, 144])
def test_however_many_blocks_differ_every_remark_stands_on_a_page(study, tmp_path, many):
    remarks = tuple(f"block {number} is turned 180 degrees and different from the rest" for number in range(many))
    (tmp_path / "sheet.pdf").write_bytes(to_pdf(study_sheet(replace(study, remarks=remarks))))
    # What lies past the paper's edge is not in this reader's words (poppler).
    read = subprocess.run(["pdftotext", "sheet.pdf", "-"], cwd=tmp_path, check=True, capture_output=True, text=True)
    shown = " ".join(read.stdout.split())
    assert all(f"Block {number} is turned" in shown for number in range(many))


def test_the_quilt_stands_as_found_beside_as_drafted(study):
    wide = next(block for block in study_sheet(study).blocks if isinstance(block, Wide))
    (beside,) = wide.body
    assert isinstance(beside, Beside)
    titles = [stack[0].picture.title for stack in beside.stacks if isinstance(stack[0], Figure)]
    assert titles == ["The quilt as found", "Trial"]


def test_what_is_not_known_and_what_to_measure_come_before_the_figures(study):
    assert _headings(study_sheet(study)) == [
        "The sums",
        "Measure next",
        "Not known",
        "Take care",
        "Every figure",
        "The block",
        "How it lies",
    ]


def test_every_figure_says_how_it_is_known(study):
    section = next(each for each in study_sheet(study).blocks if getattr(each, "heading", "") == "Every figure")
    (table,) = section.body
    assert isinstance(table, Table)
    assert table.columns[-1].head == "How it is known"
    assert all(row[-1] for row in table.rows)


def test_a_long_lead_keeps_its_first_sentence_at_the_head(study):
    told = "It came out of a chest. " * 10
    document = study_sheet(replace(study, lead=f"56 blocks of 9 in. {told}"))
    assert document.blocks[0].subtitle == "56 blocks of 9 in."
    section = next(each for each in document.blocks if getattr(each, "heading", "") == "As told")
    assert section.body[0].words == told.strip()


def test_a_study_with_next_to_nothing_still_prints(study, opened):
    bare = replace(
        study,
        reading=None,
        photo=None,
        drafted=None,
        facts=(),
        sums=(),
        accounts=(),
        to_measure=None,
        unknown=(),
        remarks=(),
        lead="",
    )
    document = study_sheet(bare)
    assert [type(block) for block in document.blocks] == [Title, Section]
    with opened(to_pdf(document)) as pdf:
        assert len(pdf.pages) == 1


def test_a_reading_without_blocks_shows_its_remarks_alone(study):
    import msgspec

    none = msgspec.structs.replace(
        study.reading, setting="none", rows=None, columns=None, row_spans=None, column_spans=None, blocks=None
    )
    assert "Remarks" in _headings(study_sheet(replace(study, reading=none)))


def test_a_quilt_without_a_name_is_said_to_have_none(study):
    document = study_sheet(replace(study, name=" "))
    assert document.title.startswith("A quilt without a name")
    assert to_pdf(document)[:5] == b"%PDF-"
