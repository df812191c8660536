"""`seamlore cut`: the format others rely on, words for a person, and one line for what cannot be cut."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from seamlore.cli.main import run
from tests.packing.replay import faults

HEAD = "fabric,piece,width,height,count,may_turn\n"


@pytest.fixture
def pieces(tmp_path: Path) -> Path:
    """A list of pieces on two fabrics."""
    path = tmp_path / "pieces.csv"
    path.write_text(HEAD + "red,sashing,2 1/2,12 1/2,17,yes\ncream,square,4.5,4.5,40,no\n", encoding="utf-8")
    return path


def test_json_is_one_object_that_replays(pieces: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["cut", str(pieces), "--width", "42in", "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    rows = list(csv.DictReader(pieces.read_text().replace(" 1/2", ".5").splitlines()))
    assert faults(record, rows) == []
    assert record["unit"] == "in"
    assert {"fabric", "width", "length", "least_length", "places", "plans"} <= set(record["fabrics"][0])
    # By hand: nine squares of 4 1/2 in lie across 42 in, so 40 take five rows.
    assert record["fabrics"][1]["length"] == 22.5


def test_a_person_reads_length_bound_waste_and_cuts(pieces: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["cut", str(pieces), "--width", "42in"]) == 0
    said = capsys.readouterr().out
    assert "cream: cut 22 1/2 in of 42 in wide (buy 5/8 yd); no plan needs less" in said
    assert "% is waste" in said
    assert "1. Cut 5 strips of 4 1/2 in off the fabric" in said
    assert '2. Cross-cut 4 1/2 in, 40 in all, from 5 that lie alike: "square", 4 1/2 x 4 1/2 in.' in said
    assert "settings of the ruler" in said
    assert "blade" in said


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("", "an empty file"),
        (HEAD, "without pieces"),
        ("fabric,piece,width,height,number,may_turn\nA,p,1,1,1,no\n", '"number"'),
        ("fabric,piece,width,height,count\nA,p,1,1,1\n", "may_turn"),
        (HEAD + "A,p,50,50,1,yes\n", "row 2"),
        (HEAD + "A,p,50,5,1,no\n", "50 x 5 in"),
        (HEAD + "A,q,1,1,1,no\nA,p,1,1,-3,no\n", 'row 3: count "-3"'),
        (HEAD + "A,p,1,1,0,no\n", 'count "0"'),
        (HEAD + "A,p,1,one,1,no\n", 'height "one"'),
        (HEAD + "A,p,0,1,1,no\n", 'width "0"'),
        (HEAD + "A,p,nan,1,1,no\n", 'width "nan"'),
        (HEAD + "A,p,1,1,1,maybe\n", 'may_turn "maybe"'),
        (HEAD + "A,p,1,1,1\n", "5 values"),
        (HEAD + "A,p,1,1,1000001,no\n", "1,000,001 pieces"),
        (HEAD.replace("\n", ",repeat\n") + "A,p,4,4,3,no,50 x 6\n", "row 2: a repeat of 50 in across"),
        (HEAD.replace("\n", ",repeat\n") + "A,p,4,4,3,no,wide\n", 'row 2: repeat "wide"'),
        (HEAD.replace("\n", ",repeat\n") + "A,p,4,4,3,no,0 x 6\n", 'row 2: repeat "0 x 6"'),
        (HEAD + "A,p,1.00001,1,1,no\n", "parts"),
        (HEAD + ",p,1,1,1,no\n", "fabric of 0"),
    ],
)
def test_bad_lists_are_one_line_and_exit_2(
    text: str, named: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "pieces.csv"
    path.write_text(text, encoding="utf-8")
    assert run(["cut", str(path), "--width", "42in", "--json"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert named in said.err


@pytest.mark.parametrize("width", ["0in", "-3in", "wide"])
def test_a_width_that_is_none_is_refused(pieces: Path, width: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["cut", str(pieces), "--width", width]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_stash_is_used_first_and_the_rest_is_bought(
    pieces: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    stash = tmp_path / "stash.txt"
    stash.write_text(
        "Cream: 2 fat quarters\ncream: buy 42 in wide at 9.90 a yard\nGreen: 1 yd of 42 in\n", encoding="utf-8"
    )
    assert run(["cut", str(pieces), "--width", "42in", "--stash", str(stash), "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    rows = list(csv.DictReader(pieces.read_text().replace(" 1/2", ".5").splitlines()))
    assert faults(record, rows) == []
    cream = record["fabrics"][1]
    # By hand: 16 squares of 4 1/2 in from each fat quarter of 18 x 21 in, so 8 of 40 are left: one row, 1/8 yd of it.
    assert [len(used["places"]) * used["times"] for used in cream["from_stash"]] == [32]
    assert (cream["length"], cream["buy"], cream["price"]) == (4.5, "1/8 yd", 1.24)
    assert run(["cut", str(pieces), "--width", "42in", "--stash", str(stash)]) == 0
    said = capsys.readouterr().out
    assert "From the stash, 2 fat quarters of 21 x 18 in" in said
    assert 'Nothing asks for "Green" of the stash.' in said


@pytest.mark.parametrize(
    ("words", "stash", "named"),
    [
        (
            ["--stash-only"],
            "cream: 1 yd of 42 in\n",
            'row 2: 17 of "sashing", 2 1/2 x 12 1/2 in: no fabric of "red" is left',
        ),
        (["--extra", "80%"], "", "80 % of extra fabric"),
        (["--extra", "some"], "", '--extra "some"'),
        (["--shrinkage", "40%"], "", "a shrinkage of 40 %"),
        (["--layers", "0"], "", "0 layers"),
        ([], "cream: 0 fat quarters\n", "line 1"),
        ([], "cream 2 yards\n", "stash.txt, line 1"),
        ([], "red: 900 squares of 5 in\n", "at most 500"),
    ],
)
def test_bad_wishes_are_one_line_and_exit_2(
    words: list[str], stash: str, named: str, pieces: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "stash.txt"
    path.write_text(stash, encoding="utf-8")
    assert run(["cut", str(pieces), "--width", "42in", "--stash", str(path), *words]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert named in said.err


def test_washing_before_cutting_takes_more(pieces: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["cut", str(pieces), "--width", "42in", "--shrinkage", "5%", "--json"]) == 0
    cream = json.loads(capsys.readouterr().out)["fabrics"][1]
    # By hand: 39.9 in are left of 42, 8 squares across, five rows of 4 1/2 in; 22 1/2 / 0.95 = 23.7 in, 3/4 yd.
    assert cream["width"] == pytest.approx(39.9, abs=0.5)
    assert (cream["length"], cream["buy"]) == (22.5, "3/4 yd")
