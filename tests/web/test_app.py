"""Every error in one shape: a page for a reader, a notice for a part of a page, JSON for a script."""

import pytest

from seamlore.steps.study.tape import Tape
from seamlore.web.app import make_app
from seamlore.web.desk import Desk

PART = {"hx-request": "true"}
SCRIPT = {"accept": "application/json"}


def test_a_reader_gets_a_page_with_a_way_back(client):
    answer = client.get("/nowhere")
    assert answer.status_code == 404
    assert "There is no such page" in answer.text
    assert 'href="/"' in answer.text


def test_a_part_of_a_page_gets_a_notice_that_takes_the_place_of_nothing(client):
    answer = client.get("/nowhere", headers=PART)
    assert answer.headers["hx-retarget"] == "#notices"
    assert "<html" not in answer.text
    assert 'role="alert"' in answer.text


def test_a_script_gets_the_same_in_json(client):
    answer = client.get("/study/77/look", headers=SCRIPT)
    assert answer.status_code == 404
    assert set(answer.json()) == {"error", "says"}
    assert "77" in answer.json()["says"]


def test_a_stale_change_names_what_changed_and_leads_to_how_it_stands(client, demo, desk):
    desk.change(demo, Tape(width="70 in"), desk.study(demo).revisions["tape"], "changed elsewhere")
    came_from = f"http://127.0.0.1:4000/study/{demo}/look"
    answer = client.post(
        f"/study/{demo}/look/tape", data={"base": "1", "width": "71 in"}, headers={"referer": came_from}
    )
    assert answer.status_code == 409
    assert "the tape measurements of this quilt changed elsewhere" in answer.text
    assert f'href="/study/{demo}/look"' in answer.text
    assert desk.study(demo).section(Tape).width == "70 in"


def test_the_way_back_is_never_to_another_host(client, demo):
    answer = client.post(
        f"/study/{demo}/look/tape",
        data={"base": "0"},
        headers={"referer": "http://127.0.0.1:4000//elsewhere.example/x"},
    )
    assert answer.status_code == 409
    assert 'href="http' not in answer.text


def test_a_mistake_of_the_program_is_said_in_words_and_keeps_what_was_entered(client, demo, desk, monkeypatch):
    monkeypatch.setattr(desk.shelf, "standing", lambda number: 1 / 0)
    answer = client.get(f"/study/{demo}/make")
    assert answer.status_code == 500
    assert "Seamlore has made a mistake" in answer.text
    assert "Nothing that you entered before is lost" in answer.text
    assert "Traceback" not in answer.text


@pytest.mark.parametrize("path", ["/static/seamlore.css", "/static/table.js", "/fonts/SourceSans3_400Regular.ttf"])
def test_what_pages_are_made_of_comes_from_here(client, path):
    assert client.get(path).status_code == 200


def test_a_desk_that_is_given_is_the_one_that_is_used(shelf, client_of):
    desk = Desk(shelf)
    shelf.create("Star")
    page = client_of(make_app(shelf, desk=desk)).get("/")
    assert "1 quilt on the shelf" in page.text
