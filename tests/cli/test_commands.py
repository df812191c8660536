"""The command line: one JSON object, one line for what cannot be done, help that is there at once."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from seamlore.cli.main import COMMANDS, run
from seamlore.photo.files.encoding import to_jpeg

DEMO = Path(__file__).resolve().parents[2] / "src" / "seamlore" / "demo" / "demo.jpg"


def said(capsys, *words):
    code = run(list(words))
    out, err = capsys.readouterr()
    return code, out, err


def record(capsys, *words):
    code, out, err = said(capsys, *words)
    assert (code, err) == (0, "")
    assert out.count("\n") == 1
    return json.loads(out)


def test_help_loads_no_heavy_library():
    code = "import sys, seamlore.cli.main as m; m.run(['--help']); print([n for n in sys.modules if n in ('numpy','cv2','shapely','typst','PIL','msgspec')])"
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.endswith("[]\n")


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_in_whole_sentences(capsys, command):
    code, out, _ = said(capsys, command, "--help")
    assert code == 0
    assert "." in out.split("Options:")[0]


def test_a_block_is_shown_as_one_json_object(capsys):
    block = record(capsys, "draft", "shoo fly", "--json")
    assert block["divisions"] == 3
    assert sum(patch["area"] for patch in block["patches"]) == pytest.approx(1)
    assert block["matches"][0]["name"] == "Shoo Fly"


def test_a_draft_printed_as_text_is_read_back(capsys, tmp_path):
    code, text, _ = said(capsys, "draft", "ohio star", "--size", "12in", "--rows", "4", "--columns", "5", "--text")
    assert code == 0
    path = tmp_path / "star.txt"
    path.write_text(text)
    assert record(capsys, "draft", str(path), "--json")["finished"] == [60, 48]


def test_a_plan_has_the_fields_that_others_rely_on(capsys):
    # A half-square triangle of 3 in finished is cut 3 7/8 in: grannymaudsgirl, 11 June 2018 (trade facts A4 2).
    plan = record(capsys, "make", "shoo fly", "--size", "9in", "--rows", "7", "--columns", "8", "--json")
    assert plan["finished"] == [72, 63]
    assert plan["unit"] == "in"
    triangles = next(each for each in plan["cutting"] if each["shape"] == "half-square triangle")
    assert triangles["cut"] == [3.875, 3.875]
    assert triangles["yields"] == 2
    assert {"fabric", "width", "length", "least_length", "buy"} <= plan["fabrics"][0].keys()
    assert {"backing", "filling", "edge_finish"} <= plan.keys()


def test_evidence_is_dated_as_one_json_object(capsys, tmp_path):
    path = tmp_path / "evidence.toml"
    path.write_text(
        'horizon = "1900/1903"\n[[evidence]]\npart = "top"\nsays = "a label"\nwhen = "1901/1902"\ntrust = 0.5\n'
        '[[order]]\nearlier = "top"\nlater = "finish"\n'
    )
    dated = record(capsys, "date", str(path), "--json")
    top = dated["parts"]["top"]
    # By hand: likelihoods 1/8 3/8 3/8 1/8 for the top, times 4 3 2 1 years left for the finish: 4 9 6 1 of 20.
    np.testing.assert_allclose(top["p"], [0.2, 0.45, 0.3, 0.05])
    assert (top["median"], top["p05"], top["p95"]) == (1901, 1900, 1902)
    assert dated["orders"] == [{"earlier": "top", "later": "finish"}]


def test_a_search_among_clues_that_finds_none_says_so_in_one_line(capsys):
    code, out, err = said(capsys, "date", "--clues", "no such thing")
    assert (code, out.count("\n"), err) == (0, 1, "")
    assert '"no such thing"' in out
    assert record(capsys, "date", "--clues", "no such thing", "--json") == {"clues": []}
    assert [each["key"] for each in record(capsys, "date", "--clues", "turkey plain", "--json")["clues"]] == [
        "turkey red"
    ]


def test_what_is_taken_for_usual_is_printed_with_the_dates(capsys, tmp_path):
    path = tmp_path / "evidence.toml"
    entry = '[[evidence]]\npart = "top"\nclue = "crazy quilt"\n'
    path.write_text("usual_order = true\n" + entry + "[shares]\nquilting = 0.3\n")
    _, out, _ = said(capsys, "date", str(path))
    told = out.split("Taken for usual")[1]
    assert "30 quilted a long time after the top" in told
    assert "18 out of a scrap bag" in told
    path.write_text(entry)
    assert "Taken for usual" not in said(capsys, "date", str(path))[1]


@pytest.fixture
def plain_photo(tmp_path):
    path = tmp_path / "plain.jpg"
    path.write_bytes(to_jpeg(np.full((300, 400, 3), 150, np.uint8)))
    return str(path)


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["lok"], 'did you mean "look"'),
        (["look"], "PHOTO"),
        (["look", "nowhere.jpg"], "no such file"),
        (["look", __file__], "not a picture"),
        (["look", "{photo}", "--size", "0x5in"], "must be more than 0"),
        (["look", "{photo}", "--size", "74x88"], "no unit"),
        (["look", "{photo}", "--corners", "1,2 3,4"], "four pairs"),
        (["look", "{photo}", "--corners", "10,10 300,10 10,200 300,200"], "cross"),
        (["look", "{photo}", "--corners", "10,10 9000,10 300,200 10,200"], "400 pixels wide"),
        (["look", "{photo}", "--rows", "0"], "0 rows"),
        (["draft", "shofly"], 'did you mean "Shoo Fly"'),
        (["draft", "no.block"], "no such file"),
        (["make", "shoo fly"], "--size"),
        (["make", "shoo fly", "--size", "9in", "--rows", "7"], "--columns"),
        (["make", "shoo fly", "--size", "9in", "--rows", "-2", "--columns", "3"], "at least one block"),
        (["make", "shoo fly", "--size", "9", "--rows", "2", "--columns", "3"], "no unit"),
        (["make", "shoo fly", "--size", "1/2in", "--rows", "2", "--columns", "3", "--seam", "1in"], "seam"),
        (["date", "nowhere.toml"], "no such file"),
        (["make", "--jsn"], "No such option"),
    ],
)
def test_bad_input_is_one_line_and_exit_2(capsys, plain_photo, words, message):
    code, out, err = said(capsys, *(word.replace("{photo}", plain_photo) for word in words))
    assert code == 2
    assert out == ""
    assert err.count("\n") == 1
    assert message in err


@pytest.mark.parametrize(
    ("grid", "message"),
    [
        ("A1 A1\nA1 B\nC", "line 7"),
        ("A A\nA .", "gap"),
        ("A A\nA A\npatch A 0,0 1,0 1,1 0,1", "overlap"),
    ],
)
def test_a_block_that_cannot_be_pieced_is_refused_with_its_place(capsys, tmp_path, grid, message):
    path = tmp_path / "odd.block"
    path.write_text(f"block Odd\nA dark\n{'B light' if 'B' in grid else ''}\n\n{grid}\n")
    code, _, err = said(capsys, "draft", str(path))
    assert code == 2
    assert message in err
    assert err.count("\n") == 1


def test_a_picture_is_written_whole_or_not_at_all(capsys, tmp_path):
    code, _, _ = said(capsys, "draft", "shoo fly", "--svg", str(tmp_path / "block.svg"))
    assert code == 0
    assert (tmp_path / "block.svg").read_text().startswith("<svg")
    code, _, err = said(capsys, "draft", "shoo fly", "--svg", str(tmp_path / "nowhere" / "block.svg"))
    assert code == 2
    assert "cannot be written" in err
    assert [each.name for each in tmp_path.iterdir()] == ["block.svg"]


def test_a_photograph_is_read_into_the_fields_that_others_rely_on(capsys):
    # The demo photograph, whose truth is known; truth.json is made by tools/render_demo.py.
    truth = json.loads(DEMO.with_name("truth.json").read_text())
    corners = " ".join(f"{x:.1f},{y:.1f}" for x, y in truth["corners"])
    reading = record(capsys, "look", str(DEMO), "--size", "74.5x89.5in", "--corners", corners, "--json")
    assert (reading["rows"], reading["columns"], reading["setting"]) == (8, 7, "straight")
    assert len(reading["row_spans"]) == 8
    assert len(reading["column_spans"]) == 7
    assert reading["corners_from"] == "given"
    assert reading["unit"] == "in"
