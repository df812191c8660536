"""The study sheet."""

from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from seamlore.printing.content import Beside, Figure, Section, Table, Title, Wide
from seamlore.printing.pages import to_pdf
from seamlore.sheets.study_sheet import study_sheet


def _headings(document):
    return [block.heading for block in document.blocks if isinstance(block, Section)]


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_both_test_squares_measure_true_on_every_rendered_page(study, paper, rendered, measured):
    # 1 in and 5 cm by definition (yard and pound agreement, 1959), within a dot of 300 an inch.
    for page in rendered(to_pdf(study_sheet(study, paper), paper), paper):
        inch, cm = measured(page)
        assert_allclose(inch, 1.0, atol=1.01 / 300)
        assert_allclose(cm, 5.0, atol=1.01 / 300 * 2.54)


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
        "Every figure",
        "The block",
        "How it lies",
        "Take care",
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
