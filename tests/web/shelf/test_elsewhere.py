"""The page on one cloth: which other quilts it may stand in, and taking a date from one of them."""

from __future__ import annotations

import re

import pytest

from seamlore.shelf.collection import Collection
from seamlore.steps.shelf.cards import work_out
from seamlore.steps.study.sections import Evidence
from seamlore.steps.study.tape import Tape

DATED = 'usual_order = true\n\n[[evidence]]\npart = "blocks"\nclue = "crazy quilt"\n'
PART = {"hx-request": "true"}


@pytest.fixture
def two(desk, demo):
    """The demo study, and another with the same cloths, dated."""
    other = Collection(desk.shelf).duplicate(demo)
    desk.shelf.rename(other, "Its twin")
    desk.change(other, Evidence(text=DATED), desk.study(other).revisions["evidence"], "dated")
    study = desk.study(other)
    work_out(desk.shelf, study.standing, study.job)
    return demo, other


def test_a_cloth_is_found_in_the_other_quilt_and_its_date_is_taken_only_when_asked(client, desk, two, answer_in):
    mine, other = two
    page = client.get(f"/study/{mine}/fabrics/2")
    assert page.status_code == 200
    assert answer_in(page.text) == "This cloth may stand in 1 other quilt"
    assert f'<a href="/study/{other}/fabrics#fabric-' in page.text
    assert "Here that would say" in page.text
    assert not desk.study(mine).section(Evidence).text
    picture = client.get(f"/study/{other}/picture/cloth/1.webp")
    assert picture.content[8:12] == b"WEBP"
    form = dict(re.findall(r'type="hidden" name="(base|quilt)" value="(\d+)"', page.text))
    taken = client.post(f"/study/{mine}/fabrics/2/date", data=form, headers=PART)
    assert taken.status_code == 200
    assert "stands in the evidence now" in taken.text
    assert 'says = "shares a cloth with' in desk.study(mine).section(Evidence).text
    form["base"] = str(desk.study(mine).revisions["evidence"])
    again = client.post(f"/study/{mine}/fabrics/2/date", data=form, headers=PART)
    assert again.status_code == 422
    assert "in the evidence already" in again.text


def test_a_fabric_that_is_not_there_and_a_quilt_that_is_not_in_the_list_are_refused(client, desk, demo):
    for wrong in (0, 9999):
        refused = client.get(f"/study/{demo}/fabrics/{wrong}")
        assert refused.status_code == 422
        assert "were told apart in this quilt" in refused.text
    gone = client.post(f"/study/{demo}/fabrics/1/date", data={"quilt": "77", "base": "0"}, headers=PART)
    assert gone.status_code == 422
    assert "not found in it any more" in gone.text
    assert client.get(f"/study/{demo}/picture/cloth/999.webp").status_code == 422


def test_without_a_size_it_is_said_what_to_measure(client, desk, demo):
    tape = desk.study(demo).section(Tape)
    bare = type(tape)(**{name: getattr(tape, name) for name in ("block", "columns", "rows")})
    desk.change(demo, bare, desk.study(demo).revisions["tape"], "took the size away")
    desk.study(demo).job.look  # noqa: B018 - kept by the memo
    page = client.get(f"/study/{demo}/fabrics/1")
    assert page.status_code == 200
    assert "give the quilt&#39;s width and height by tape" in page.text


def test_the_page_of_fabrics_leads_there(client, demo):
    page = client.get(f"/study/{demo}/fabrics")
    assert f'data-base="/study/{demo}/fabrics/"' in page.text
    assert client.get(f"/study/{demo}/fabrics/1").status_code == 200
