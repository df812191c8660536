"""The first page: photographs brought in, refused in words, and what every study page shares."""

from __future__ import annotations

import io
import struct
import zlib

import numpy as np
import pytest
from PIL import Image

from seamlore.photo.files.encoding import to_jpeg

PICTURE = to_jpeg(np.full((80, 100, 3), 140, np.uint8))


def png_header(width, height):
    """A PNG that claims a size (W3C PNG specification, IHDR) and has no picture behind it."""
    body = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + body + struct.pack(">I", zlib.crc32(body))


def dot():
    file = io.BytesIO()
    Image.new("RGB", (1, 1)).save(file, "PNG")
    return file.getvalue()


BAD = {
    "notes.txt": b"these are words",
    "empty.jpg": b"",
    "cut.jpg": PICTURE[: len(PICTURE) // 2],
    "dot.png": dot(),
    "huge.png": png_header(20_000, 15_000),
    "drawn.svg": b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
}


def sent(client, files, **headers):
    given = [("photograph", (name, data)) for name, data in files.items()]
    return client.post("/studies", files=given, headers=headers, follow_redirects=False)


def test_one_photograph_begins_a_study_and_goes_to_its_first_page(client, shelf):
    answer = sent(client, {"blue_star.jpg": PICTURE})
    assert answer.status_code == 303
    assert answer.headers["location"] == "/study/1/look"
    assert [each.name for each in shelf.studies()] == ["blue star"]


@pytest.mark.parametrize("name", BAD)
def test_what_is_no_usable_picture_is_refused_by_name_and_nothing_is_begun(client, shelf, name):
    answer = sent(client, {name: BAD[name]})
    assert answer.status_code == 422
    assert name in answer.text
    assert shelf.studies() == ()


def test_of_ten_at_once_the_good_ones_are_kept_and_each_refusal_is_said(client, shelf):
    good = {f"quilt {n}.jpg": PICTURE for n in range(4)}
    answer = sent(client, {**good, **BAD})
    assert len(shelf.studies()) == 4
    assert "4 quilts are on the shelf now" in answer.text
    for name in BAD:
        assert name in answer.text


def test_more_files_than_are_taken_are_refused_in_words(client, shelf):
    answer = sent(client, {f"{n}.jpg": b"x" for n in range(51)})
    assert answer.status_code == 400
    assert shelf.studies() == ()


def test_a_path_in_a_file_name_leads_nowhere(client, shelf):
    sent(client, {"../../evil.jpg": PICTURE})
    assert [each.name for each in shelf.studies()] == ["evil"]
    assert all(path.parent == shelf.folder / "photographs" for path in shelf.folder.rglob("*.jpg"))


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/fonts/..%2f..%2fapp.py",
        "/study/1/picture/tile/0/0/-1",
        "/study/x/look",
    ],
)
def test_a_path_trick_finds_nothing(client, path):
    assert client.get(path).status_code == 404


@pytest.mark.parametrize("path", ["/study/999/look", "/study/99999999999999999999/look"])
def test_a_study_that_is_not_there_is_said_to_be_missing(client, path):
    answer = client.get(path)
    assert answer.status_code == 404
    assert "none on this shelf" in answer.text


def test_markup_in_a_name_is_shown_as_it_was_typed_on_every_page(client, demo, desk):
    desk.shelf.rename(demo, "<script>alert(1)</script>&\"'")
    for page in ("/", *(f"/study/{demo}/{step}" for step in ("look", "draft", "fabrics", "date", "make", "tell"))):
        text = client.get(page).text
        assert "<script>alert(1)" not in text, page
        assert "&lt;script&gt;alert(1)" in text, page


def test_a_name_changed_in_another_window_is_not_overwritten(client, demo, shelf):
    shelf.rename(demo, "Aunt Ida's")
    answer = client.post(f"/study/{demo}/name", data={"name": "Mine", "was": "Pink and Birds"})
    assert answer.status_code == 409
    assert shelf.entry(demo).name == "Aunt Ida's"


def test_a_form_sent_by_script_is_told_to_load_the_page_again(client, demo):
    there = f"/study/{demo}/tell"
    headers = {"hx-request": "true", "referer": f"http://127.0.0.1:4000{there}"}
    answer = client.post(f"/study/{demo}/unit", data={"unit": "cm"}, headers=headers)
    assert answer.status_code == 204
    assert answer.headers["hx-refresh"] == "true"
