"""The page on keeping, and the shelf as a collection: found, ticked, compared, set aside, deleted, sent and brought in."""

from __future__ import annotations

import re
import threading

import pytest

from seamlore.shelf.collection import Collection
from seamlore.steps.shelf.find import Wanted, find
from seamlore.steps.study.sections import Choice, Keeping
from seamlore.steps.study.tape import Tape
from seamlore.web.pages import exports


@pytest.fixture
def quilt(desk):
    """A quilt without a photograph, its figures worked out; gives its number."""

    def make(name, block="shoo fly"):
        number = desk.begin(name, None, "began")
        tape = Tape(width="56 in", height="72 in", block="8 in", columns=7, rows=9)
        desk.changes(number, [(tape, 0, "measured"), (Choice(block=block), 0, "chose")])
        assert desk.carding.now(number)
        return number

    return make


def test_what_is_typed_is_kept_and_said_at_the_top(client, desk, quilt, answer_in, base_of):
    number = quilt("Star")
    given = {"accession": "2019.4", "acquired_how": "bought", "acquired": "May 2019", "tags": "blue, worn"}
    answer = client.post(f"/study/{number}/keep", data={"base": base_of(number, "keeping"), **given})
    assert answer_in(answer.text) == "Number 2019.4, bought May 2019."
    assert desk.study(number).section(Keeping).tags == ("blue", "worn")
    assert client.get(f"/study/{number}/keep").text.count("changed where it comes from and is kept") >= 1


def test_a_slip_is_said_and_what_was_kept_stays(client, desk, quilt, base_of):
    number = quilt("Star")
    answer = client.post(f"/study/{number}/keep", data={"base": base_of(number, "keeping"), "made_of": "nobody"})
    assert answer.status_code == 422
    assert "none on this shelf" in answer.text
    assert desk.study(number).section(Keeping) == Keeping()


def test_two_windows_do_not_overwrite_each_other(client, quilt, base_of):
    number = quilt("Star")
    base = base_of(number, "keeping")
    assert client.post(f"/study/{number}/keep", data={"base": base, "accession": "1"}).status_code == 200
    assert client.post(f"/study/{number}/keep", data={"base": base, "accession": "2"}).status_code == 409


def test_typing_finds_and_ticks_stay(client, quilt):
    one, two = quilt("Star of hope"), quilt("Old basket", "nine patch")
    headers = {"hx-request": "true"}
    found = client.get("/quilts", params={"q": "bask", "quilt": one}, headers=headers).text
    assert "Old basket" in found
    assert "1 found" in found
    assert re.search(rf'name="quilt" value="{one}" checked', found)
    assert f'href="/study/{two}/look"' in found
    assert "2 quilts" in client.get("/quilts", headers=headers).text
    # A span that is half typed is no mistake yet.
    half = client.get("/quilts", params={"years": "18 to"}, headers=headers)
    assert half.status_code == 200
    assert "write them as 1880 to 1910" in half.text


def test_a_long_shelf_comes_page_by_page(client, desk, monkeypatch):
    from seamlore.steps.shelf import find as finding

    monkeypatch.setattr(finding, "PAGE", 2)
    monkeypatch.setattr(find, "__kwdefaults__", {"start": 0, "most": 2})
    for number in range(5):
        desk.begin(f"quilt {number}", None, "began")
    seen = []
    address = "/quilts?order=name&part=more&start=0"
    while address:
        text = client.get(address, headers={"hx-request": "true"}).text
        seen += re.findall(r'class="quilt-name">(.*?)<', text)
        more = re.search(r'hx-get="(.*?)"', text)
        address = more[1].replace("&amp;", "&") if more else ""
    assert seen == [f"quilt {number}" for number in range(5)]


def test_two_to_four_stand_side_by_side(client, quilt):
    one, two = quilt("Star"), quilt("Basket", "nine patch")
    page = client.get(f"/compare?quilt={one}&quilt={two}").text
    assert "They differ in blocks" in page
    assert page.count("<svg") == 2
    for query in (f"quilt={one}", "&".join(f"quilt={n}" for n in range(1, 7)), ""):
        assert client.get(f"/compare?{query}").status_code == 422


def test_a_quilt_without_a_photograph_is_shown_as_drafted(client, quilt):
    answer = client.get(f"/study/{quilt('Star')}/picture/small.jpg")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert "polygon" in answer.text or "path" in answer.text
    assert "No photograph" not in answer.text


def test_a_small_photograph_is_kept_and_read_no_more(client, desk, demo, monkeypatch):
    first = client.get(f"/study/{demo}/picture/small.jpg").content
    monkeypatch.setattr(desk, "study", None)
    assert client.get(f"/study/{demo}/picture/small.jpg").content == first


def test_set_aside_taken_back_and_deleted_only_after_the_question(client, desk, quilt):
    number = quilt("Star")
    client.post(f"/study/{number}/aside")
    assert "Star" not in client.get("/").text
    assert "Star" in client.get("/?aside=1").text
    client.post(f"/study/{number}/back")
    assert "Star" in client.get("/").text
    assert "Set it aside first" in client.get(f"/study/{number}/delete").text
    assert client.post(f"/study/{number}/delete", data={"name": "Star"}).status_code == 422
    client.post(f"/study/{number}/aside")
    assert "cannot be undone" in client.get(f"/study/{number}/delete").text
    assert client.post(f"/study/{number}/delete", data={"name": "Other"}).status_code == 422
    assert Collection(desk.shelf).is_aside(number)
    client.post(f"/study/{number}/delete", data={"name": "Star"})
    assert client.get(f"/study/{number}/keep").status_code == 404


def test_a_duplicate_is_on_the_shelf_at_once(client, desk, quilt):
    quilt("Star")
    answer = client.post("/study/1/duplicate", follow_redirects=False)
    assert answer.headers["location"] == "/study/2/keep"
    assert [each.name for each in find(desk.shelf, Wanted(order="name")).quilts] == ["Star", "Star 2"]


def test_a_step_is_looked_at_and_made_so_again(client, desk, quilt):
    number = quilt("Star")
    desk.change(number, Choice(block="nine patch"), desk.study(number).revisions["choice"], "chose another")
    page = client.get(f"/study/{number}/was/2").text
    assert "shoo fly" in page
    assert "otherwise now" in page
    client.post(f"/study/{number}/was/2")
    assert desk.study(number).section(Choice).block == "shoo fly"
    client.post(f"/study/{number}/undo")
    assert desk.study(number).section(Choice).block == "nine patch"


def test_a_zip_goes_out_and_comes_in(client, desk, quilt, base_of):
    number = quilt("Star")
    client.post(f"/study/{number}/keep", data={"base": base_of(number, "keeping"), "price": "90 dollars"})
    answer = client.get(f"/study/{number}/keep/study.zip")
    assert b"90 dollars" not in answer.content
    whole = client.get(f"/study/{number}/keep/study.zip?with=price&with=owner&with=address&with=camera&with=names")
    same = client.post("/take", files={"zip": ("star.zip", whole.content)})
    assert "was on the shelf already" in same.text
    other = client.post("/take", files={"zip": ("star.zip", answer.content)})
    assert other.status_code == 422
    assert "as a copy" in other.text
    client.post("/take", files={"zip": ("star.zip", answer.content)}, data={"copy": "1"})
    assert [each.name for each in desk.shelf.studies()] == ["Star 2", "Star"]
    bad = client.post("/take", files={"zip": ("notes.zip", b"words")})
    assert "notes.zip: it is no zip file" in bad.text
    assert client.post("/take").status_code == 422


def test_across_the_shelf_marks_the_quilt_in_hand(client, quilt):
    one = quilt("Star")
    quilt("Basket", "nine patch")
    page = client.get(f"/across?quilt={one}").text
    assert "What 2 quilts show" in page
    assert "Star is shown in red" in page
    assert "8 in: 2 (this quilt)" in page
    assert "shown in red" not in client.get("/across").text


def test_ticked_quilts_are_saved_in_an_open_format(client, quilt):
    one, two = quilt("Star"), quilt("Basket", "nine patch")
    answer = client.get(f"/export?format=csv&quilt={one}&quilt={two}")
    assert answer.headers["content-disposition"] == 'attachment; filename="quilts.csv"'
    assert "Shoo Fly" in answer.text
    assert "Nine Patch" in answer.text
    assert client.get(f"/export/svg?quilt={one}").headers["content-type"] == "image/svg+xml"
    assert client.get("/export?format=csv").status_code == 422
    assert client.get(f"/export/lido?quilt={one}&address=my%20quilts").status_code == 422


def test_ticked_quilts_are_printed_as_a_catalogue_and_saved_as_a_web_page(client, quilt):
    one, two = quilt("Star"), quilt("Basket", "nine patch")
    assert client.get(f"/catalogue.pdf?quilt={one}").content.startswith(b"%PDF-")
    assert client.get("/catalogue.pdf?paper=a4&title=All").headers["content-type"] == "application/pdf"
    answer = client.get(f"/web.zip?quilt={one}&quilt={two}")
    assert answer.content.startswith(b"PK")
    assert client.get("/web.zip").status_code == 422


def test_a_catalogue_is_printed_behind_its_page_which_says_how_far_it_is(client, desk, quilt, answer_in):
    one, two = quilt("Star"), quilt("Basket", "nine patch")
    query = f"quilt={one}&quilt={two}&title=Both"
    page = client.get(f"/catalogue?{query}")
    assert answer_in(page.text) == "2 quilts, with pictures and an index"
    files = desk.files
    (waiting,) = files._made.values()
    assert waiting.over.wait(60)
    done = client.get(f"/catalogue?{query}", headers={"hx-request": "true"})
    assert "The catalogue is there" in done.text
    assert "hx-trigger" not in done.text
    saved = client.get(f"/catalogue.pdf?{query}")
    assert saved.content == waiting.data
    assert saved.content.startswith(b"%PDF-")


def test_a_catalogue_that_is_still_printed_is_told_of_and_can_be_stopped(client, desk, quilt, monkeypatch):
    number, begun, going = quilt("Star"), threading.Event(), threading.Event()

    def slow(shelf, numbers, *, tell, **given):
        tell("Looking at Star", 0.4)
        begun.set()
        going.wait(30)
        tell("Printing", 0.8)
        return b"%PDF-"

    monkeypatch.setattr(exports, "catalogue_pdf", slow)
    page = client.get(f"/catalogue?quilt={number}")
    assert begun.wait(30)
    page = client.get(f"/catalogue?quilt={number}", headers={"hx-request": "true"})
    assert 'value="40"' in page.text
    assert "Looking at Star" in page.text
    assert 'hx-trigger="every' in page.text
    (waiting,) = desk.files._made.values()
    assert client.post(f"/catalogue/stop?quilt={number}", headers={"hx-request": "true"}).status_code == 204
    going.set()
    assert waiting.over.wait(30)
    assert waiting.work.fault == "It was stopped."
    assert waiting.data == b""


def test_a_catalogue_of_no_such_quilt_says_so_on_its_page(client, desk):
    page = client.get("/catalogue?quilt=99")
    (waiting,) = desk.files._made.values()
    assert waiting.over.wait(30)
    page = client.get("/catalogue?quilt=99")
    assert "study number 99" in page.text
    assert page.status_code in (200, 422)


def test_what_is_worth_noticing_is_kept_edited_and_left_out(client, desk, quilt, base_of, answer_in):
    number = quilt("Star")
    desk.changes(
        number, [(Tape(width="92 in", height="100 in", block="8 in", sashing="4 in", columns=7, rows=8), 1, "m")]
    )
    page = client.get(f"/study/{number}/noticing")
    assert "wider than custom" in page.text

    def sent(**given):
        return client.post(f"/study/{number}/noticing", data={"base": base_of(number, "noticed"), **given})

    assert "It is wide." in sent(key="proportion", says="It is wide.").text
    assert answer_in(sent(key="own", says="Mine.").text) == "2 things to point at"
    assert answer_in(sent(key="proportion", act="drop").text) == "1 thing to point at"
    assert client.get(f"/talk.pdf?quilt={number}&people=4").content.startswith(b"%PDF-")
    assert client.get(f"/study/{number}/made-label.pdf?made=parts&year=2026&mirrored=1").content.startswith(b"%PDF-")
    assert client.get(f"/study/{number}/made-label.pdf?made=parts").status_code == 422
    assert client.get("/talk.pdf").status_code == 422
    client.post(f"/study/{number}/undo")
    assert answer_in(client.get(f"/study/{number}/noticing").text) == "2 things to point at"
