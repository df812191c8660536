"""The page on telling, asked in process: its sheets open as PDF and say what they must."""

from io import BytesIO

import numpy as np
import pikepdf
import pytest
from msgspec.structs import replace

from seamlore.photo.files.encoding import to_jpeg
from seamlore.steps.study.sections import About, Corrections, Keeping, LabelWords
from seamlore.study.record import measured, read_study
from seamlore.web.pages.studies import begin_study


@pytest.fixture
def send(client, demo, desk):
    def sent(**fields):
        revisions = desk.study(demo).revisions
        values = {"base": revisions["label"], "about_base": revisions["about"], **fields}
        return client.post(f"/study/{demo}/tell", data=values)

    return sent


@pytest.mark.parametrize("name", ["study-sheet", "booklet", "label"])
def test_each_sheet_is_a_tagged_pdf_to_be_saved_under_the_quilts_name(client, demo, desk, name):
    answer = client.get(f"/study/{demo}/tell/{name}.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"].startswith('attachment; filename="')
    with pikepdf.open(BytesIO(answer.content)) as pdf:
        assert len(pdf.pages) >= 1
        assert "/StructTreeRoot" in pdf.Root


def test_words_for_the_label_and_the_story_are_kept_together(send, desk, demo):
    assert send(maker="Ida Krebs", story="Found in a trunk.").status_code == 200
    study = desk.study(demo)
    assert study.section(LabelWords).maker == "Ida Krebs"
    assert study.section(About).story == "Found in a trunk."


def test_a_word_changed_on_an_old_page_changes_neither_label_nor_story(client, demo, desk, send):
    send(maker="Ida Krebs", story="Found in a trunk.")
    about = desk.study(demo).revisions["about"]
    answer = client.post(
        f"/study/{demo}/tell", data={"base": "0", "about_base": about, "maker": "x", "story": "other"}
    )
    assert answer.status_code == 409
    assert desk.study(demo).section(About).story == "Found in a trunk."


def test_what_is_not_known_is_listed(client, demo):
    page = client.get(f"/study/{demo}/tell").text
    assert "Still not known" in page


def test_without_a_draft_there_is_nothing_to_print_and_the_page_says_so(client, shelf, answer_in):
    number = shelf.create("Bare")
    page = client.get(f"/study/{number}/tell").text
    assert answer_in(page) == "The draft comes first; then the sheets."
    assert client.get(f"/study/{number}/tell/booklet.pdf").status_code == 422


def test_the_record_says_all_that_is_known_and_can_be_read_again(client, demo, desk):
    assert read_study(client.get(f"/study/{demo}/tell/study.json").content).story == ""
    answer = client.get(f"/study/{demo}/tell/study.json?with=names")
    assert answer.headers["content-type"] == "application/json"
    assert "-study.json" in answer.headers["content-disposition"]
    found, job = read_study(answer.content), desk.study(demo).job
    assert measured(found) == job.adjustment.measured
    assert (found.reading, found.story) == (job.reading, job.inputs.about.story)
    assert [each.text for each in found.explanations if each.chosen] == [job.chosen.text]
    assert found.decisions


def test_what_is_left_out_of_a_sheet_is_said_beside_it_with_a_tick(client, demo, desk, send):
    page = client.get(f"/study/{demo}/tell").text
    assert page.count("it was not said whether living people are named") == 2
    keeping = desk.study(demo).section(Keeping)
    desk.change(demo, replace(keeping, names="none living"), desk.study(demo).revisions["keeping"], "said")
    assert "it was not said whether" not in client.get(f"/study/{demo}/tell").text
    assert read_study(client.get(f"/study/{demo}/tell/study.json").content).story != ""


def test_a_photographed_quilt_that_is_not_drafted_has_its_sheet_and_label(client, desk, answer_in):
    picture = to_jpeg(np.full((300, 240, 3), (150, 60, 60), np.uint8))
    number = begin_study(desk, picture, "plain.jpg")
    desk.change(number, Corrections(setting="none"), desk.study(number).revisions["corrections"], "none")
    desk.study(number).job.look  # noqa: B018 - kept by the memo
    page = client.get(f"/study/{number}/tell").text
    assert answer_in(page) == "Study sheet and label are ready to print; the pattern waits for a draft."
    assert "booklet.pdf" not in page
    for name in ("study-sheet", "label"):
        assert client.get(f"/study/{number}/tell/{name}.pdf").content.startswith(b"%PDF-")
