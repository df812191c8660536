"""Words on every page and every sheet: the trade's, in US or in British, and none of the program's own."""

from __future__ import annotations

import datetime
import html
import re
from dataclasses import replace

import pytest

from seamlore.printing.pages import to_source
from seamlore.sheets.booklet import booklet
from seamlore.sheets.label import label
from seamlore.sheets.study_sheet import study_sheet
from seamlore.steps.booklet import booklet_content, booklet_lead
from seamlore.steps.settings import wording_of
from seamlore.steps.sheet_content import study_content
from seamlore.steps.study.own_words import own_words
from seamlore.steps.study.sections import Choice, Evidence, Making
from seamlore.steps.tell import label_content
from seamlore.wording import speaking, table

STEPS = (
    "look",
    "draft",
    "draft/beside",
    "draft/proportions",
    "draft/files",
    "fabrics",
    "date",
    "assess",
    "decide",
    "make",
    "sew",
    "tell",
    "keep",
)
DAY = datetime.date(2026, 11, 30)
EVIDENCE = """horizon = "1800/2026"
[[evidence]]
part = "blocks"
says = "a gray ground with sprigs"
when = "1880/1910"
trust = 0.7
[[evidence]]
part = "backing"
says = "feed sack with a chain-stitched edge"
when = "193X"
trust = 0.9
[[order]]
earlier = "blocks"
later = "backing"
"""
# What a reader sees of a page: no code, no fields, no data.
_UNSEEN = re.compile(r"<!--.*?-->|<(textarea|script|style|datalist)\b.*?</\1>|<[^>]*>", re.S | re.I)
_SAID = re.compile(r"(?:aria-label|title|placeholder|alt|data-says)=\"([^\"]*)\"")
_US = re.compile(rf"(?<![-\w#/.=])({'|'.join(sorted(table(), key=len, reverse=True))})(?![\w=])", re.I)
_BRITISH = re.compile(rf"(?<![\w-])({'|'.join(sorted(table().values(), key=len, reverse=True))})(?![\w=])", re.I)
# Words of the program, not of a quilt; "choice" and the like are names of what is kept.
_INTERNAL = re.compile(
    r"\b(revision|section|choice|payload|JSON|boolean|null|None|NaN|undefined|exception|traceback|homography|"
    r"bounding box|pixel|px|CIELAB|srgb|\d{3}X|\d\.\d{4,}|stale|htmx|endpoint|lattice|spacing)\b"
)


def seen(page):
    said = " | ".join(_SAID.findall(page))
    return " ".join(html.unescape(_UNSEEN.sub(" ", page) + " | " + said).split())


@pytest.fixture
def full(desk, demo):
    """The demo study with evidence, a fabric's own name and a blanket for its filling; gives its number."""
    study = desk.study(demo)
    choice = study.section(Choice)
    fabrics = {**choice.fabrics, "A": "gray shirtings"}
    desk.change(demo, Evidence(text=EVIDENCE), study.revisions["evidence"], "wrote the evidence")
    renamed = type(choice)(**{**{f: getattr(choice, f) for f in choice.__struct_fields__}, "fabrics": fabrics})
    desk.change(demo, renamed, study.revisions["choice"], "named the fabrics")
    return demo


def pages(client, number):
    found = {step: client.get(f"/study/{number}/{step}") for step in STEPS} | {"shelf": client.get("/")}
    assert {answer.status_code for answer in found.values()} == {200}
    return {step: seen(answer.text) for step, answer in found.items()}


def sheets(job):
    paper = job.inputs.making.paper
    made = {
        "study sheet": study_sheet(study_content(job, printed=DAY), paper),
        "booklet": booklet(
            booklet_content(job.plan, printed=DAY, lead=booklet_lead(job), cloths=job.cloths[0]), paper
        ),
        "label": label(label_content(job, printed=DAY), paper),
    }
    strings = {}
    for name, document in made.items():
        # The house's own lines are code; what is said stands in strings.
        source = to_source(document, paper).replace('\\"', "'")
        strings[name] = " ".join(re.findall(r'"([^"]*)"', source))
    return strings


def test_in_british_words_no_page_and_no_sheet_says_an_american_one(client, desk, full):
    us = pages(client, full)
    assert client.post("/words", data={"words": "british"}).status_code == 200
    assert wording_of(desk.shelf.folder) == "british"
    job = desk.study(full).job
    british = pages(client, full)
    with speaking("british", keep=own_words(job)):
        british |= sheets(job)
    assert "wadding" in british["make"].lower()
    assert "colour" in british["fabrics"]
    for name, text in british.items():
        own = text.replace("gray shirtings", "").replace("a gray ground with sprigs", "")
        left = [found[0] for found in _US.finditer(own)]
        # "meter" as an ending of a code's name, "y" endings and the like are no words: nothing may be left.
        assert not left, (name, left)
    assert "gray shirtings" in british["make"] + british["booklet"]
    assert us != british


@pytest.mark.parametrize("name", ["draft/quilt.svg", "draft/block.svg"])
def test_a_picture_that_is_saved_is_in_the_words_that_are_set(client, desk, full, name, monkeypatch):
    # Words of the trade that a picture may say; the demo's says none of the table.
    from seamlore.steps.draft import stage

    drawn = stage.to_svg
    monkeypatch.setattr(
        stage, "to_svg", lambda given: drawn(replace(given, description="Gray batting, gray shirtings."))
    )
    assert "Gray batting, gray shirtings." in client.get(f"/study/{full}/{name}").text
    client.post("/words", data={"words": "british"})
    assert "Grey wadding, gray shirtings." in client.get(f"/study/{full}/{name}").text


def test_in_us_words_no_page_and_no_sheet_says_a_british_one(client, desk, full):
    for name, text in (pages(client, full) | sheets(desk.study(full).job)).items():
        assert not _BRITISH.findall(text), name


def test_no_page_and_no_sheet_says_a_word_of_the_program(client, desk, full):
    for name, text in (pages(client, full) | sheets(desk.study(full).job)).items():
        assert not _INTERNAL.findall(text), (name, _INTERNAL.findall(text))


@pytest.mark.parametrize(
    ("step", "fields", "status"),
    [
        ("look/corrections", {"corners": "[[-9000, -90], [900, 10], [900, 900], [10, 900]]"}, 422),
        ("look/corrections", {"corners": "[[10, 10], [900, 900], [900, 10], [10, 900]]"}, 422),
        ("look/corrections", {"rows": "x"}, 422),
        ("look/tape", {"width": "1e308", "base": "0"}, 409),
        ("look/corrections", {"rows": "9", "base": "7"}, 409),
        ("draft/setting", {"sashing": "x"}, 422),
        ("draft/size", {"what": "sashing", "value": "3 in", "base": "0"}, 409),
        ("draft/block/seam", {"start": "9,9", "end": "x"}, 422),
        ("draft/block/place", {"patch": "x", "place": "A"}, 422),
        ("draft/block/text", {"text": "nonsense"}, 422),
        ("fabrics/names", {"fabric-A": "indigo", "base": "0"}, 409),
        ("make", {"seam_allowance": "0"}, 422),
    ],
)
def test_no_refusal_says_a_word_of_the_program(client, desk, full, step, fields, status):
    section = {"corrections": "corrections", "tape": "tape", "make": "making"}.get(step.split("/")[-1], "choice")
    given = {"base": desk.study(full).revisions[section], **fields}
    answer = client.post(f"/study/{full}/{step}", data=given, headers={"hx-request": "true"})
    said = seen(answer.text)
    assert answer.status_code == status, said
    assert not _INTERNAL.findall(said)
    assert not re.search(r"\d{2,},\s?\d{2,}", said), said


def test_other_words_are_refused(client, desk):
    assert client.post("/words", data={"words": "french"}).status_code == 422
    assert wording_of(desk.shelf.folder) == "us"


def test_what_is_no_setting_is_mended_by_setting_it(client, desk):
    (desk.shelf.folder / "settings.json").write_text("{", encoding="utf-8")
    assert client.get("/").status_code == 200
    client.post("/words", data={"words": "british"})
    assert wording_of(desk.shelf.folder) == "british"


@pytest.mark.parametrize("filling", ["batting", "none"])
def test_the_plan_calls_the_filling_what_it_is(client, desk, full, filling):
    study = desk.study(full)
    desk.change(full, Making(filling=filling), study.revisions["making"], "changed how it is made")
    assert ("Batting" in pages(client, full)["make"]) == (filling == "batting")
