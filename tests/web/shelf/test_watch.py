"""A watched folder: a photograph that arrives begins a study, once it is all there."""

from __future__ import annotations

import re
import time

import numpy as np
import pytest

from seamlore.photo.files.encoding import to_jpeg
from seamlore.shelf.shelf import Shelf
from seamlore.web.app import make_app
from seamlore.web.desk import Desk
from seamlore.web.watch import Watch

PICTURE = to_jpeg(np.full((80, 100, 3), 140, np.uint8))


def until(condition, seconds=60.0):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if condition():
            return True
        time.sleep(0.05)
    return False


@pytest.fixture
def watched(tmp_path):
    folder = tmp_path / "arrivals"
    folder.mkdir()
    (folder / "before.jpg").write_bytes(PICTURE)
    with Shelf(tmp_path / "shelf") as shelf:
        desk = Desk(shelf)
        watch = Watch(folder, desk, every_s=0.05)
        yield folder, desk
        watch.stop()


@pytest.fixture
def client(watched, client_of):
    _, desk = watched
    return client_of(make_app(desk.shelf, desk=desk))


def shown(client, address):
    return " ".join(re.sub(r"<[^>]+>", "", client.get(address).text).split())


def test_a_photograph_that_arrives_begins_a_study_and_what_was_there_before_does_not(watched):
    folder, desk = watched
    (folder / "blue_star.jpg").write_bytes(PICTURE)
    assert until(desk.shelf.studies)
    assert [each.name for each in desk.shelf.studies()] == ["blue star"]


def test_a_file_that_is_no_picture_is_refused_and_left_where_it_is(watched):
    folder, desk = watched
    (folder / "notes.jpg").write_bytes(b"these are words")
    assert until(lambda: desk.refused)
    assert desk.shelf.studies() == ()
    assert (folder / "notes.jpg").read_bytes() == b"these are words"


def test_what_was_refused_is_said_on_the_first_page_with_its_reason(watched, client):
    folder, desk = watched
    (folder / "notes.jpg").write_bytes(b"these are words")
    (folder / "IMG_0012.CR2").write_bytes(b"raw")
    assert until(lambda: len(desk.refused) == 2)
    page = shown(client, "/")
    assert "2 photographs in the watched folder could not be taken; they lie there untouched:" in page
    assert "IMG_0012.CR2 is a raw file of a camera" in page
    assert desk.refused["notes.jpg"].split(":")[0] in page


def test_a_refused_file_that_is_mended_begins_its_study_and_is_spoken_of_no_more(watched, client):
    folder, desk = watched
    (folder / "star.jpg").write_bytes(b"half a pict")
    assert until(lambda: desk.refused)
    (folder / "star.jpg").write_bytes(PICTURE)
    assert until(desk.shelf.studies)
    assert "could not be taken" not in shown(client, "/")


def test_a_refused_file_that_is_taken_away_is_spoken_of_no_more(watched):
    folder, desk = watched
    (folder / "notes.jpg").write_bytes(b"these are words")
    assert until(lambda: desk.refused)
    (folder / "notes.jpg").unlink()
    assert until(lambda: not desk.refused)


def test_what_arrives_while_the_page_is_open_is_said_on_it(watched, client):
    folder, desk = watched
    assert "come onto the shelf" not in shown(client, "/arrivals?after=0")
    (folder / "blue_star.jpg").write_bytes(PICTURE)
    assert until(desk.shelf.studies)
    assert "1 quilt has come onto the shelf since this page was shown. Show it" in shown(client, "/arrivals?after=0")
    assert "come onto the shelf" not in shown(client, "/arrivals?after=1")


def test_what_was_said_of_arrivals_is_not_said_again(watched, client):
    again = re.search(r'hx-get="(/arrivals[^"]*)"', client.get("/").text).group(1).replace("&amp;", "&")
    assert client.get(again).status_code == 204
    folder, desk = watched
    (folder / "notes.jpg").write_bytes(b"these are words")
    assert until(lambda: desk.refused)
    assert client.get(again).status_code == 200


def test_without_a_watched_folder_the_first_page_asks_for_no_arrivals(tmp_path, client_of):
    with Shelf(tmp_path / "shelf") as shelf:
        page = client_of(make_app(shelf)).get("/").text
    assert "arrivals" not in page
