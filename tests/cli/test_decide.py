"""`seamlore decide`: counts and sizes in, what could be made out."""

from __future__ import annotations

import json

import pytest

from seamlore.cli.main import run

ASKED = [
    "decide",
    "--rows",
    "8",
    "--columns",
    "7",
    "--block",
    "8in",
    "--sashing",
    "3in",
    "--cut",
    "left,top,right,bottom",
]


def test_the_worked_case(capsys):
    """Arithmetic: 7 x 8 blocks of 8 in, 3 in sashing, outer ring cut: 30 whole, 22 edge, 4 corners; 5 x 6 at 52 x 63 in."""
    assert run([*ASKED, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [len(found[name]) for name in ("whole", "edge", "corners")] == [30, 22, 4]
    small = found["small_quilt"]
    assert (small["columns"], small["rows"], small["size"]) == (5, 6, [52.0, 63.0])
    assert len(found["things"]) >= 12


def test_in_words(capsys):
    assert run([*ASKED, "--allowance", "1/8in", "--lost", "2,2 3,3"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("28 whole blocks")
    assert "1/8 in of every point is lost" in said


def test_no_whole_block_is_said_kindly_and_the_rest_is_counted(capsys):
    assert run(["decide", "--rows", "2", "--columns", "2", "--block", "8in", "--cut", "left,top,right,bottom"]) == 0
    assert "what the cut and doubtful blocks and the backing can still give" in capsys.readouterr().out


@pytest.mark.parametrize(
    "words",
    [
        ["--wished", "7x9in"],
        ["--widest", "1in"],
        ["--block", "0in"],
        ["--cut", "up"],
        ["--lost", "9,9"],
        ["--allowance", "-1in"],
        ["--rows", "0"],
    ],
)
def test_bad_input_gets_one_line(capsys, words):
    asked = list(ASKED)
    assert run([*asked, *words]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "Traceback" not in err


def test_blocks_without_any_allowance_left_finish_smaller_by_both_seams(capsys):
    words = ["decide", "--rows", "8", "--columns", "7", "--block", "8in", "--allowance", "0in", "--json"]
    assert run(words) == 0
    assert json.loads(capsys.readouterr().out)["block"]["finished"] == [7.5, 7.5]


def test_seams_to_open_and_what_the_old_backing_could_back(capsys):
    """By hand: 2 by 3 blocks of 8 in edge to edge have 4 short seams of 8 in and a long one of 24 in; 48 x 56 in backs one lap quilt."""
    words = ["decide", "--rows", "2", "--columns", "3", "--block", "8in", "--backing", "48x56in"]
    assert run([*words, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["seams"] == 4 * 8 + 24
    assert found["opening_hours"] == [round(56 * 0.1 / 60, 2), round(56 * 0.35 / 60, 2)]
    backs = {each["name"]: each for each in found["backing"]}
    assert (backs["small lap quilt"]["count"], backs["small lap quilt"]["size"]) == (1, [48, 56])
    assert backs["small lap quilt"]["touches"] == "skin"
    assert run(words) == 0
    printed = capsys.readouterr().out
    assert "56 in of seams to open: under an hour" in printed
    assert "1 x small lap quilt, cut 48 x 56 in   touches skin: only after hazards are ruled out" in printed


def test_setting_anew_without_the_cut_blocks(capsys):
    """By hand, the inner 6 rows of 5 of 8 in with 2 in sashing and a border of 3: 48 x 58 and 54 x 64 in; 24 short strips, 5 long."""
    words = ["--new-sashing", "2in", "--new-border", "3in", "--cut-blocks", "left out", "--json"]
    assert run([*ASKED, *words]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [(each["name"], each["count"], each["finished"]) for each in found["strips"]] == [
        ("vertical sashing", 48, [8.0, 3.0]), ("horizontal sashing", 7, [66.0, 3.0]),
    ]  # fmt: skip
    anew = found["reset"]
    assert (anew["rows"], anew["columns"], anew["finished"]) == (6, 5, [54.0, 64.0])
    cuts = {(each["fabric"], each["count"], *each["cut"]) for each in anew["cutting"]}
    assert cuts == {
        ("new sashing", 5, 48.5, 2.5), ("new sashing", 24, 8.5, 2.5),
        ("new border", 2, 58.5, 3.5), ("new border", 2, 54.5, 3.5),
    }  # fmt: skip
    # 6 x 4 gaps of 8 in and 5 of 52 in, two seams each; then 52 and 63 in twice, round them.
    assert anew["seams"] == 2 * (6 * 4 * 8 + 5 * 52) + 2 * (52 + 63)


@pytest.mark.parametrize(
    "words",
    [
        ["--cut-off", "8in"],
        ["--cut-off", "0in"],
        ["--cut", "", "--cut-blocks", "completed"],
        ["--new-sashing", "9in"],
        ["--cut-blocks", "burned"],
    ],
)
def test_a_new_setting_that_cannot_be_gets_one_line(capsys, words):
    assert run([*ASKED, *words]) == 2
    assert capsys.readouterr().err.count("\n") == 1
