"""A catalogue and a web page of chosen quilts: whole, indexed, standing by themselves, nothing private in them."""

from __future__ import annotations

import datetime
import io
import json
import re
import zipfile
from html.parser import HTMLParser

import numpy as np
import pytest

from seamlore.errors import SeamloreError
from seamlore.photo.files.encoding import to_jpeg
from seamlore.printing.pages import to_source
from seamlore.sheets.catalogue import CatalogueContent, Entry, catalogue
from seamlore.shelf.shelf import Shelf
from seamlore.steps.leaving.catalogue import catalogue_pdf
from seamlore.steps.leaving.web import web_folder, web_zip
from seamlore.steps.shelf.working import work_out_all
from seamlore.steps.study.kept import changes_for
from seamlore.steps.study.sections import About, Choice, Keeping, LabelWords, Photograph, Photographs
from seamlore.steps.study.tape import Tape

DAY = datetime.date(2026, 11, 30)
SECRETS = ("Ida Roe", "90 dollars", "1 Elm Street", "box 3", "Camera")


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    with Shelf(tmp_path_factory.mktemp("shelf")) as opened:
        for name, block in (("Star & <b>", "nine patch"), ("Ladder", "shoo fly")):
            sections = (
                About(story="From Ida Roe."),
                Tape(width="56 in", height="72 in", block="8 in", columns=7, rows=9),
                Choice(block=block),
                LabelWords(maker="Ida Roe"),
                Keeping(accession=f"7.{name[0]}", price="90 dollars", address="1 Elm Street", kept_at="box 3"),
            )
            opened.create(name, changes_for([(each, 0, "entered") for each in sections], None))
        work_out_all(opened)
        # Not read: nothing stands in this picture.
        data = to_jpeg(np.full((1200, 2000, 3), 120, np.uint8)).replace(b"JFIF", b"JFIF", 1)
        photographs = Photographs(
            photographs=(Photograph(reference=opened.add_photograph(data, "jpg"), size=(2000, 1200), shows="back"),)
        )
        opened.apply_all(2, changes_for([(photographs, 0, "added the back")], None))
        work_out_all(opened)
        yield opened


class Links(HTMLParser):
    """What a page asks for, and where it leads."""

    def __init__(self, text):
        super().__init__()
        self.asked, self.leads, self.words = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        told = dict(attrs)
        self.asked += [told[key] for key in ("src", "href") if key in told and tag in ("img", "link", "script")]
        self.leads += [told["href"]] if tag == "a" else []
        assert tag != "script"

    def handle_data(self, data):
        self.words.append(data)


def test_the_pages_stand_by_themselves_and_every_link_leads_somewhere(shelf):
    files = web_folder(shelf, [1, 2], made=DAY, title="Two quilts")
    pages = {name: Links(data.decode()) for name, data in files.items() if name.endswith(".html")}
    assert set(pages) == {"index.html", "star-b.html", "ladder.html"}
    for page in pages.values():
        for link in page.asked + page.leads:
            assert link in files or link == "data:,", link
    assert pages["index.html"].leads[:2] == ["ladder.html", "star-b.html"]
    assert "url(" not in files["style.css"].decode()
    assert "@import" not in files["style.css"].decode()
    star = " ".join(pages["star-b.html"].words)
    assert "Star & <b>" in star
    assert "8 in" in star
    assert "63 Nine Patch blocks" in star


def test_photographs_on_pages_are_made_for_screens_and_the_manifest_names_them(shelf):
    files = web_folder(shelf, [2], made=DAY, address="https://my.example/ladder")
    told = json.loads(files["index-manifest.json"])
    assert told["id"] == "https://my.example/ladder/index-manifest.json"
    body = told["items"][0]["items"][0]["items"][0]["body"]
    assert (body["width"], body["height"]) == (1600, 960)
    assert body["id"].removeprefix("https://my.example/ladder/") in files


def test_nothing_private_stands_in_the_folder_unless_it_is_chosen(shelf):
    content = b"\n".join(web_folder(shelf, [1, 2], made=DAY).values())
    assert not [secret for secret in SECRETS if secret.encode() in content]
    assert b"since it was not said whether living people are named" in content
    assert b"Ida Roe" in web_folder(shelf, [1], made=DAY, chosen=["names"])["index.html"]


def test_the_zip_of_the_folder_is_the_same_each_time(shelf):
    files = web_folder(shelf, [1], made=DAY)
    assert web_zip(files) == web_zip(dict(reversed(files.items())))
    with zipfile.ZipFile(io.BytesIO(web_zip(files))) as packed:
        assert {name.removeprefix("quilts/") for name in packed.namelist()} == set(files)


@pytest.mark.parametrize("numbers", [[], list(range(400))])
def test_none_and_too_many_are_refused(shelf, numbers):
    with pytest.raises(SeamloreError, match="can be taken at once"):
        web_folder(shelf, numbers, made=DAY)


def test_a_catalogue_is_printed_and_tells_how_far_it_is(shelf):
    told = []
    data = catalogue_pdf(shelf, [1, 2], printed=DAY, title="Two quilts", tell=lambda stage, part: told.append(part))
    assert data.startswith(b"%PDF-")
    assert told == sorted(told)
    assert told[-1] < 1
    assert catalogue_pdf(shelf, [2, 1], printed=DAY, title="Two quilts") == data


def test_the_index_names_each_entry_by_its_number_and_what_is_not_dated_apart():
    entries = (
        Entry("Ash", "2.1", blocks=("Shoo Fly", "Bow Tie"), first_year=1887),
        Entry("beech", "", blocks=("Shoo Fly",)),
        Entry("Alder", "1.1", first_year=1889),
    )
    document = catalogue(CatalogueContent("Trees", "3 quilts", DAY, entries))
    index = {block.heading: dict(block.body[0].rows) for block in document.blocks[-4:]}
    assert index == {
        "Index: by name": {"Alder": "3", "Ash": "1", "beech": "2"},
        "Index: by block": {"Bow Tie": "1", "Shoo Fly": "1, 2"},
        "Index: by years": {"from 1880 on": "1, 3", "not dated": "2"},
        "Index: by accession number": {"1.1": "3", "2.1": "1"},
    }
    assert [block.heading for block in document.blocks[1:4]] == ["1. Ash", "2. beech", "3. Alder"]


def test_nothing_private_is_printed_in_a_catalogue(shelf, monkeypatch):
    from seamlore.printing import pages

    sources = []
    monkeypatch.setattr(pages, "to_pdf", lambda document, paper: sources.append(to_source(document, paper)) or b"")
    for chosen in ((), ("names",)):
        catalogue_pdf(shelf, [1, 2], printed=DAY, chosen=chosen)
    assert not [secret for secret in SECRETS if secret in sources[0]]
    assert "Ida Roe" in sources[1]
    assert len(re.findall(r"90 dollars|box 3", sources[1])) == 0
