"""What every page of a study can do: undo in words and where it was, its name and unit, a photograph that is missing."""

from __future__ import annotations

import html

import numpy as np
import pytest

from seamlore.photo.files.encoding import to_jpeg
from seamlore.steps.study.sections import About, Corrections, LabelWords, Photograph, Photographs
from seamlore.steps.study.tape import Tape
from seamlore.web.desk import Desk
from seamlore.web.pages.studies import begin_study

PICTURE = to_jpeg(np.full((80, 100, 3), 140, np.uint8))
PAGES = ("look", "draft", "fabrics", "date", "make", "sew", "tell")


@pytest.fixture
def star(desk):
    return begin_study(desk, PICTURE, "star.jpg")


def move(client, number, which, moves, page="look"):
    there = f"http://127.0.0.1:4000/study/{number}/{page}"
    return client.post(
        f"/study/{number}/{which}", data={"moves": moves}, headers={"referer": there}, follow_redirects=False
    )


def test_undo_says_what_it_took_back_on_the_page_where_that_was(client, desk, star):
    desk.change(star, LabelWords(place="Ohio"), 0, "changed the words of the label")
    answer = move(client, star, "undo", desk.study(star).standing.moves, page="draft")
    assert answer.headers["location"] == f"/study/{star}/tell"
    assert "Taken back: changed the words of the label." in client.get(f"/study/{star}/tell").text
    assert "Taken back" not in client.get(f"/study/{star}/date").text
    answer = move(client, star, "redo", desk.study(star).standing.moves, page="draft")
    assert answer.headers["location"] == f"/study/{star}/tell"
    assert "Made again: changed the words of the label." in client.get(f"/study/{star}/tell").text
    desk.change(star, Tape(width="74 in"), 0, "entered tape measurements")
    assert "Made again" not in client.get(f"/study/{star}/tell").text


def test_a_repeated_undo_is_answered_as_the_first_and_takes_back_one_step(client, desk, star):
    for base, width in enumerate(("70 in", "72 in", "74 in")):
        desk.change(star, Tape(width=width), base, "entered tape measurements")
    moves = desk.study(star).standing.moves
    first, again = (move(client, star, "undo", moves) for _ in range(2))
    assert (first.status_code, first.headers["location"]) == (again.status_code, again.headers["location"])
    assert desk.study(star).section(Tape).width == "72 in"


@pytest.mark.parametrize("moves", ["0", "999", "-1", "x", "²", "9" * 5000])
def test_an_undo_from_a_page_of_before_takes_nothing_back_and_says_so(client, desk, star, moves):
    desk.change(star, Tape(width="74 in"), 0, "entered tape measurements")
    answer = move(client, star, "undo", moves)
    assert answer.status_code == 409
    assert "Something else was done in another window" in answer.text
    assert desk.study(star).section(Tape).width == "74 in"


def test_words_and_story_that_were_changed_at_once_are_one_step(client, desk, star):
    given = {"place": "Ohio", "story": "Found in a trunk.", "base": "0", "about_base": "0"}
    assert client.post(f"/study/{star}/tell", data=given).status_code == 200
    move(client, star, "undo", desk.study(star).standing.moves)
    study = desk.study(star)
    assert (study.section(LabelWords).place, study.section(About).story) == ("", "")
    assert study.can_redo == "changed the words of the label and changed the story"


def test_a_new_name_and_a_unit_are_undone_on_the_page_where_they_were_set(client, desk, star):
    there = f"http://127.0.0.1:4000/study/{star}/date"
    client.post(f"/study/{star}/name", data={"name": "Aunt's star", "was": "star"}, headers={"referer": there})
    client.post(f"/study/{star}/unit", data={"unit": "cm"}, headers={"referer": there})
    for before in ("Aunt's star", "star"):
        answer = move(client, star, "undo", desk.study(star).standing.moves, page="look")
        assert answer.headers["location"] == f"/study/{star}/date"
        assert desk.study(star).entry.name == before
    assert 'Taken back: named it "Aunt\'s star".' in html.unescape(client.get(f"/study/{star}/date").text)
    assert desk.study(star).job.unit.value == "in"


def test_the_first_photograph_is_undone_and_made_again_like_anything_else(client, desk, star):
    move(client, star, "undo", desk.study(star).standing.moves)
    assert "There is no photograph yet." in client.get(f"/study/{star}/look").text
    move(client, star, "redo", desk.study(star).standing.moves)
    assert desk.study(star).photograph.name == "star.jpg"


# A photograph that is missing


def missing(client, desk, shelf, number, spoil):
    """A table that is opened again after the photograph was spoiled: nothing of it is in memory."""
    spoil(shelf.photograph(desk.study(number).photograph.reference))
    fresh = Desk(shelf)
    client.app.app.state.desk = fresh
    return fresh


SPOILT = {"gone": lambda path: path.unlink(), "damaged": lambda path: path.write_bytes(b"half of it")}


@pytest.mark.parametrize("how", SPOILT)
def test_without_its_photograph_a_study_is_there_on_every_page_and_takes_it_again(client, desk, shelf, star, how):
    desk.change(star, Tape(width="74 in", height="88 in", block="9 in", rows=3, columns=4), 0, "entered")
    table = missing(client, desk, shelf, star, SPOILT[how])
    for page in PAGES:
        answer = client.get(f"/study/{star}/{page}")
        assert answer.status_code == 200, page
        assert "The photograph star.jpg is missing" in answer.text, page
        assert f"/study/{star}/photograph/again" in answer.text, page
    assert client.get(f"/study/{star}/tell/label.pdf").content.startswith(b"%PDF")
    client.post(f"/study/{star}/tell", data={"place": "Ohio", "base": "0", "about_base": "0"})
    assert table.study(star).section(LabelWords).place == "Ohio"
    file = {"photograph": ("whatever it is called now.jpg", PICTURE)}
    answer = client.post(f"/study/{star}/photograph/again", files=file, follow_redirects=False)
    assert answer.status_code == 303
    study = table.study(star)
    assert (study.kept.missing, study.job.inputs.photo, study.photograph.name) == ("", PICTURE, "star.jpg")
    assert "is missing" not in client.get(f"/study/{star}/date").text


def test_another_picture_is_not_taken_for_the_one_that_is_missing(client, desk, shelf, star):
    table = missing(client, desk, shelf, star, SPOILT["gone"])
    other = to_jpeg(np.full((80, 100, 3), 90, np.uint8))
    for data in (other, PICTURE[:-1], b""):
        answer = client.post(f"/study/{star}/photograph/again", files={"photograph": ("star.jpg", data)})
        assert answer.status_code == 422
        assert "not the file that is missing" in answer.text
    assert table.study(star).kept.missing
    answer = client.post(
        f"/study/{star}/photograph", files={"photograph": ("other.jpg", other)}, follow_redirects=False
    )
    assert answer.status_code == 303
    assert table.study(star).photograph.name == "other.jpg"


def test_the_page_of_all_quilts_is_there_when_a_photograph_is_missing(client, desk, shelf, star):
    missing(client, desk, shelf, star, SPOILT["gone"])
    assert "1 quilt on the shelf" in client.get("/").text
    picture = client.get(f"/study/{star}/picture/small.jpg")
    assert (picture.status_code, picture.headers["cache-control"]) == (200, "no-store")
    assert "The photograph is missing" in picture.text


# Several photographs


def test_another_photograph_is_read_without_what_was_set_right_on_the_first_and_the_rest_stay(client, desk, star):
    first = desk.study(star).section(Photographs).photographs[0]
    back = Photograph(reference="b" * 64 + ".jpg", name="back.jpg", shows="back", taken="2024-05-01")
    desk.change(star, Photographs(photographs=(first, back)), 1, "added its back")
    desk.change(star, Corrections(rows=3), 0, "said there are 3 rows")
    assert desk.study(star).section(Corrections).rows == 3
    other = to_jpeg(np.full((80, 100, 3), 90, np.uint8))
    client.post(f"/study/{star}/photograph", files={"photograph": ("other.jpg", other)})
    study = desk.study(star)
    assert study.section(Corrections) == Corrections()
    assert [(each.name, each.shows) for each in study.section(Photographs).photographs] == [
        ("other.jpg", "front"),
        ("back.jpg", "back"),
    ]
    move(client, star, "undo", study.standing.moves)
    assert desk.study(star).section(Corrections).rows == 3


# Backups


def test_a_backup_is_made_and_put_back_by_a_button_and_said(client, desk, shelf, star):
    desk.backing_up._thread.join()
    answer = client.post("/backup")
    made = shelf.backups()[0]
    assert f"A backup was made: {made.says}" in answer.text
    desk.change(star, Tape(width="74 in"), 0, "entered tape measurements")
    assert made.name in client.get("/").text
    answer = client.post("/restore", data={"backup": made.name})
    assert f"The shelf is as it was on {made.says}" in answer.text
    assert desk.study(star).section(Tape).width == ""
    client.post("/restore", data={"backup": shelf.backups()[0].name})
    assert len(shelf.backups()) == 4
    assert desk.study(star).section(Tape).width == "74 in"


def test_a_backup_that_is_not_in_the_row_is_refused(client, desk, shelf, star):
    for name in ("", "../shelf.sqlite", "shelf-2026-01-01-000000.sqlite"):
        answer = client.post("/restore", data={"backup": name})
        assert answer.status_code == 422
        assert "row of backups" in answer.text
    assert desk.study(star).photograph is not None


def test_backups_are_made_by_themselves_after_a_change_and_when_the_table_is_closed(shelf):
    table = Desk(shelf)
    table.close()
    assert shelf.backups() == ()
    number = begin_study(table, PICTURE, "star.jpg")
    table.backing_up._thread.join()
    assert len(shelf.backups()) == 1
    table.change(number, Tape(width="74 in"), 0, "entered")
    assert len(shelf.backups()) == 1
    # A backup is dated to the second, a change to a thousandth.
    shelf._database._open.execute("UPDATE studies SET changed = '2999-01-01T00:00:00+00:00'")
    table.close()
    assert len(shelf.backups()) == 2


def test_a_backup_that_could_not_be_made_by_itself_is_said_on_the_first_page(client, desk, shelf, star, monkeypatch):
    desk.backing_up._thread.join()
    from seamlore.shelf.change import ShelfError

    def refuse():
        raise ShelfError("the backup", "there is no room left on the disk", "make room there")

    monkeypatch.setattr(shelf, "backup", refuse)
    monkeypatch.setattr(shelf, "backup_is_due", lambda every: True)
    desk.backing_up._if_due(None)
    assert "The last backup could not be made: the backup: there is no room left" in client.get("/").text


def test_a_change_that_the_disk_refuses_is_said_and_what_the_page_shows_is_what_is_kept(client, desk, shelf, star):
    with shelf._database.reading() as connection:
        connection.execute("PRAGMA query_only = ON")
    answer = client.post(
        f"/study/{star}/tell", data={"place": "Ohio", "base": "0", "about_base": "0"}, headers={"hx-request": "true"}
    )
    assert answer.status_code == 422
    assert "nothing was kept of this" in answer.text
    assert 'value="Ohio"' not in client.get(f"/study/{star}/tell").text
    with shelf._database.reading() as connection:
        connection.execute("PRAGMA query_only = OFF")
    answer = client.post(f"/study/{star}/tell", data={"place": "Ohio", "base": "0", "about_base": "0"})
    assert 'value="Ohio"' in answer.text
