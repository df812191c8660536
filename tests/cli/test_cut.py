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
    assert set(record["fabrics"][0]) == {"fabric", "width", "length", "least_length", "places"}
    # By hand: nine squares of 4 1/2 in lie across 42 in, so 40 take five rows.
    assert record["fabrics"][1]["length"] == 22.5


def test_a_person_reads_length_bound_waste_and_cuts(pieces: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["cut", str(pieces), "--width", "42in"]) == 0
    said = capsys.readouterr().out
    assert "cream: cut 22 1/2 in of 42 in wide; no plan needs less" in said
    assert "% is waste" in said
    assert "Strip 1: cut " in said
    assert '"square", 4 1/2 x 4 1/2 in' in said
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
        (HEAD + "A,p,1,1,1000000,no\n", "1,000,000 pieces"),
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
