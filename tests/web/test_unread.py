"""Blocks that were not read: what the pages on looking and drafting say and ask of them."""

from __future__ import annotations

import html
import json
import re
from dataclasses import replace
from datetime import date

import msgspec
import pytest

from seamlore.draft.catalogue import find
from seamlore.draft.text.notation import write_block
from seamlore.printing.content import Table
from seamlore.sheets.booklet import booklet
from seamlore.steps.booklet import booklet_content
from seamlore.steps.draft.doubtful import doubtful_words
from seamlore.steps.sheet_content import remarks
from seamlore.steps.study.job import Job
from seamlore.steps.study.memo import Memo

GONE = [(0, 0), (2, 3), (5, 6)]
PART = {"hx-request": "true"}


@pytest.fixture
def as_if_unread(desk, demo):
    """Read the demo as if some of its blocks, or all, had not been read."""

    def give(cells, sure=None):
        job = desk.study(demo).job
        look = job.look
        blocks = tuple(
            msgspec.structs.replace(each, kind=None, differs=True)
            if cells is None or (each.row, each.column) in cells
            else each
            for each in look.reading.blocks
        )
        given = {"kinds": None, "block": None, "fabrics": None} if cells is None else {}
        if sure is not None:
            given = {"kinds": tuple(msgspec.structs.replace(kind, confidence=sure) for kind in look.reading.kinds)}
        reading = msgspec.structs.replace(look.reading, blocks=blocks, **given)
        desk.memo = Memo()
        desk.memo.get(job.read_key, lambda: replace(look, reading=reading))
        return reading

    return give


def overlay_of(text):
    return json.loads(html.unescape(re.search(r"data-reading='([^']*)'", text).group(1)))


def keys(text):
    return re.findall(r'<button name="drawing" value="([^"]*)"', text)


def test_no_seam_is_drawn_over_a_block_that_was_not_read(client, demo, as_if_unread):
    reading = as_if_unread(GONE, sure=1.0)
    text = client.get(f"/study/{demo}/look").text
    data = overlay_of(text)
    assert [(each["row"], each["column"]) for each in data["cells"] if not each["read"]] == GONE
    patches = len(reading.kinds[0].patches)
    assert len(data["seams"]) == patches * (len(data["cells"]) - len(GONE))
    assert "3 of 56 blocks were not read." in text
    # Nothing that a photograph shows is said to be certain.
    assert "For each, 99 in 100 that nearly all of its seams are right." in text
    assert f'href="/study/{demo}/draft?unread=1#unread"' in text


def test_what_is_not_read_is_shown_with_one_tap_and_marked_as_shown(client, demo, desk, base_of, as_if_unread):
    as_if_unread(GONE)
    assert "3 not read: how are they pieced?" in client.get(f"/study/{demo}/draft").text
    groups = client.get(f"/study/{demo}/draft/unread").text
    at = re.search(r"offers\?at=(\d+,\d+)", groups).group(1)
    assert client.get(f"/study/{demo}/draft/under/{at}.jpg").headers["content-type"] == "image/jpeg"
    given = client.get(f"/study/{demo}/draft/unread/offers?at={at}").text
    assert 2 <= len(keys(given)) <= 6
    sent = {"base": base_of(demo, "choice"), "at": at, "drawing": html.unescape(keys(given)[0])}
    answer = client.post(f"/study/{demo}/draft/unread", data=sent, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, f"/study/{demo}/draft?unread=1#unread")
    assert len(desk.study(demo).job.quilt.not_read) < len(GONE)
    text = client.get(f"/study/{demo}/draft").text
    assert "not read from the photograph: " in re.search(r'id="shown-by-hand">([^<]*)<', text).group(1)
    assert desk.study(demo).can_undo.startswith("showed that")


def test_where_nothing_was_read_the_first_tap_begins_the_draft(client, demo, desk, base_of, as_if_unread, answer_in):
    as_if_unread(None)
    desk.change(
        demo,
        msgspec.structs.replace(desk.study(demo).job.inputs.choice, block=None),
        int(base_of(demo, "choice")),
        "x",
    )
    text = client.get(f"/study/{demo}/draft").text
    assert answer_in(text) == "There is no draft yet."
    assert "None of the blocks is drafted yet: show below" in text
    at = re.search(r"offers\?at=(\d+,\d+)", client.get(f"/study/{demo}/draft/unread").text).group(1)
    key = html.unescape(keys(client.get(f"/study/{demo}/draft/unread/offers?at={at}").text)[0])
    sent = {"base": base_of(demo, "choice"), "at": at, "drawing": key, "alone": "yes"}
    assert client.post(f"/study/{demo}/draft/unread", data=sent, follow_redirects=False).status_code == 303
    quilt = desk.study(demo).job.quilt
    assert len(quilt.not_read) == 55
    assert "55 not read" in answer_in(client.get(f"/study/{demo}/draft").text)


def test_a_drawing_that_was_not_offered_is_refused(client, demo, base_of, as_if_unread):
    as_if_unread(GONE)
    for given in (
        {"at": "0,0", "drawing": "none"},
        {"at": "x", "drawing": "plain"},
        {"at": "1,1", "drawing": "plain"},
    ):
        answer = client.post(f"/study/{demo}/draft/unread", data={"base": base_of(demo, "choice"), **given})
        assert (answer.status_code, "reload the page" in answer.text) == (422, True)
    assert client.get(f"/study/{demo}/draft/unread/offers?at=1,1").status_code == 422


def test_every_page_and_sheet_that_reckons_says_what_is_not_read_and_what_is_doubtful(
    client, demo, desk, as_if_unread, monkeypatch
):
    as_if_unread(GONE, sure=0.61)
    monkeypatch.setattr("seamlore.steps.study.cloths.crossings_differ", lambda look: True)
    left = "3 of 56 blocks are not read: row 1, column 1; row 3, column 4; row 6, column 7. Nothing is {} for them"
    doubt = "row 8, columns 1 to 7; 61 in 100 that each is drawn right"
    job = desk.study(demo).job
    content = booklet_content(job.plan, printed=date(2026, 12, 1), doubtful=doubtful_words(job))
    cover = str(next(each for each in booklet(content, "letter").blocks if isinstance(each, Table)))
    pages = {name: client.get(f"/study/{demo}/{name}").text for name in ("draft", "make", "decide")}
    assert "53 of 56 blocks are doubtful: row 1, columns 2 to 7;" in doubtful_words(job)
    for page in (*pages.values(), cover, " ".join(remarks(job))):
        assert doubt in page
        assert "none are drafted" in page
    assert left.format("cut, bought or sewn") in pages["make"]
    assert left.format("cut, bought or sewn") in cover
    assert left.format("reckoned") in pages["decide"]
    # What she has named or drawn herself is not doubted.
    named = replace(
        job.inputs, choice=msgspec.structs.replace(job.inputs.choice, block=write_block(find("shoo fly")))
    )
    assert "doubtful" not in doubtful_words(Job(named, memo=job.memo))
