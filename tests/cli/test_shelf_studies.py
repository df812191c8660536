"""`seamlore shelf find, work, send, take, aside, back, duplicate, delete` on a shelf of a few quilts."""

from __future__ import annotations

import json

import pytest

from seamlore.cli.main import run
from seamlore.shelf.shelf import Shelf
from seamlore.steps.study.kept import changes_for
from seamlore.steps.study.sections import Choice
from seamlore.steps.study.tape import Tape


@pytest.fixture
def folder(tmp_path):
    with Shelf(tmp_path / "shelf") as shelf:
        for name, block in (("Star", "nine patch"), ("Basket", "shoo fly")):
            tape = Tape(width="56 in", height="72 in", block="8 in", columns=7, rows=9)
            shelf.create(name, changes_for([(tape, 0, "measured"), (Choice(block=block), 0, "chose")], None))
    return tmp_path / "shelf"


@pytest.fixture
def told(folder, capsys):
    def ask(*words, code=0):
        assert run(["shelf", "--shelf", str(folder), "--json", *words]) == code
        said = capsys.readouterr()
        return json.loads(said.out) if code == 0 else said.err

    return ask


def test_figures_are_worked_out_and_quilts_found_by_them(told):
    assert told("find", "--block", "Shoo Fly")["count"] == 1
    assert told("find")["studies"][0]["blocks"] is None
    assert told("work") | {"folder": ""} == {"folder": "", "worked_out": 2, "not": []}
    assert [each["name"] for each in told("find", "--block", "Shoo Fly")["studies"]] == ["Basket"]
    assert told("find", "sta", "--setting", "straight")["count"] == 1
    assert "write them as 1880 to 1910" in told("find", "--years", "long ago", code=2)
    assert "did you mean" in told("find", "--order", "nme", code=2)


def test_a_study_goes_out_comes_in_is_set_aside_and_deleted(told, tmp_path):
    zipped = tmp_path / "star.zip"
    assert told("send", "star", "--out", str(zipped), "--with", "all")["left_out"] == []
    assert told("take", str(zipped))["taken"][0]["fresh"] is False
    assert "set it aside first" in told("delete", "Star", "--yes", code=2)
    told("aside", "Star")
    assert told("find")["count"] == 1
    assert told("find", "--aside")["count"] == 1
    told("back", "Star")
    assert told("duplicate", "Star")["made"] == "Star 2"
    told("aside", "Star")
    told("delete", "Star", "--yes")
    assert told("take", str(zipped))["taken"][0] | {"number": 0} == {"number": 0, "name": "Star", "fresh": True}
    assert "did you mean" in told("send", "Basked", "--out", str(zipped), code=2)
    assert "cannot be read" in told("take", str(tmp_path / "nothing.zip"), code=2)


def test_quilts_go_out_as_a_catalogue_a_page_and_a_table(told, tmp_path):
    told("work")
    assert told("catalogue", "--out", str(tmp_path / "all.pdf"), "--title", "All")["bytes"] > 1000
    assert "index.html" in told("web", "Star", "--out", str(tmp_path / "site"))["files"]
    assert (tmp_path / "site" / "pictures").is_dir()
    told("export", "Star", "Basket", "--format", "csv", "--out", str(tmp_path / "all.csv"))
    assert (tmp_path / "all.csv").read_text(encoding="utf-8").count("\n") == 3
    assert "one file holds one quilt" in told(
        "export", "Star", "Basket", "--format", "svg", "--out", str(tmp_path / "x.svg"), code=2
    )


@pytest.mark.parametrize(
    "words",
    [
        [], ["find"], ["work"], ["backup"], ["restore"], ["cloth", "Star", "1"], ["aside", "Star"],
        ["send", "Star", "--out", "x.zip"], ["catalogue", "--out", "x.pdf"], ["web", "--out", "x"],
        ["export", "Star", "--format", "csv", "--out", "x.csv"],
    ],
)  # fmt: skip
def test_a_folder_without_a_shelf_is_refused_and_none_is_begun_there(words, tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    missing = tmp_path / "typo"
    assert run(["shelf", "--shelf", str(missing), *words]) == 2
    assert "there is no shelf in it" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_a_cloth_without_a_photograph_is_refused(told):
    assert "add a photograph" in told("cloth", "Star", "1", code=2)
