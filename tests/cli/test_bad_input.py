"""Bad input, row by row: one line on the error stream, exit 2, nothing printed, nothing written, in time."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from seamlore.cli.main import run

from .refused import assert_refused, put

DEMO = str(Path(__file__).resolve().parents[2] / "src" / "seamlore" / "demo" / "demo.jpg")
MANY = "9" * 5000
QUILT = ["--size", "9in", "--rows", "2", "--columns", "2"]
DRAFT = "quilt Q\nmade of Shoo Fly\nfinished 9 in\nrows 2\ncolumns 2\n"
BLOCK = "block X\nA dark\n"
# What the files that the rows name hold.
FILES: dict[str, str | bytes] = {
    "own.block": BLOCK + "\nA\n",
    "deep.json": '{"a":' * 3000,
    "deeper.json": "{" + '"corners":' + "[" * 100_000,
    "empty.json": "{}",
    "brackets.txt": BLOCK + "\n" + "(" * 500 + "A" + ")" * 500,
    "strips.txt": BLOCK + "\n" + "A|" * 3000 + "A",
    "seventeen.txt": BLOCK + "\n" + "|".join("A" * 17),
    "named.txt": "block " + "X" * 3000 + "\nA dark\n\nA",
    "escape.txt": "block X\x1b[31m\nA dark\n\nA",
    "long.txt": BLOCK + "# remark\n" * 30_000 + "\nA",
    "superscript.txt": BLOCK + "divisions ²\n\nA",
    "columns.txt": BLOCK + f"columns {MANY}\n\nA",
    "far.txt": BLOCK + "divisions 4\npatch A 0,0 99999999999,0 4,4",
    "sliver.txt": BLOCK + "divisions 4\npatch A 0,0 1/999999999999,0 4,4",
    "parts.txt": BLOCK + "B light\n\n" + "\n".join([" ".join(["A-B-A-B-A|B|A"[:9]] * 64)] * 64),
    "bytes.txt": b"\xff\xfe\x00",
    "rows.txt": DRAFT.replace("rows 2", "rows ²"),
    "digits.txt": DRAFT.replace("9 in", MANY + " in"),
    "bare.txt": DRAFT.replace("9 in", "90 x 120"),
    "border.txt": DRAFT + "border 4 in, " + "x" * 90_000,
    "borders.txt": DRAFT + "border 1 in\n" * 3000,
    "fabric.txt": DRAFT + "fabric A = " + "x" * 200,
    "blocks.txt": DRAFT.replace("rows 2", "rows 500").replace("columns 2", "columns 500"),
    "thin.txt": DRAFT + "border 1/999999999999999 in",
    "power.txt": DRAFT + "sashing 1e308 in",
    "quilt.txt": DRAFT.replace("quilt Q", "quilt " + "Q" * 300),
    "patches.csv": "fabric,value,patches\nx,light,²\n",
    "area.csv": f"fabric,value,area\nx,light,{MANY} sq in\n",
    "many.csv": "fabric,value\n" + "".join(f"x{number},light\n" for number in range(5000)),
    "unit.csv": "fabric,value,area\nx,light,18 x 22\n",
    "name.csv": 'fabric,value\n"' + "x" * 3000 + '",light\n',
    "zero.csv": "fabric,value,area\nx,dark,18 x 22 in\n",
    "nul.csv": "fabric,value\nx,light\x00\n",
    "read-only.svg": "mine",
    "a-file": "x",
    "huge.toml": "# " + "x" * 300_000,
}
ROWS = [
    # Lengths and pairs.
    (["draft", "shoo fly", "--size", MANY + "in"], "at most 500 characters"),
    (["draft", "shoo fly", "--size", "1/" + "9" * 100 + "in"], "at most 20 digits"),
    (["draft", "shoo fly", "--size", "1/9999999999999in"], "less than 1/1,000 in"),
    (["draft", "shoo fly", "--size", "nan in"], "cannot be read"),
    (["draft", "shoo fly", "--size", "inf"], "cannot be read"),
    (["draft", "shoo fly", "--size", "1e308in"], "not a unit"),
    (["draft", "shoo fly", "--size", "²in"], "cannot be read"),
    (["draft", "shoo fly", "--size", "74 in x 88"], "only the first number has a unit"),
    (["draft", "shoo fly", "--size", "6 x 7 ft 4 in"], "could be in ft or in"),
    (["draft", "shoo fly", "--size", "1,880x2,240mm"], "could be 1880 or 1.880"),
    (["draft", "shoo fly", "--size", "91/2in"], "could be 9 1/2"),
    (["draft", "shoo fly", *QUILT, "--sashing", "2 by 3"], "no unit"),
    (["draft", "shoo fly", *QUILT, "--sashing", "2 in by 3"], "only the first number has a unit"),
    (["draft", "shoo fly", *QUILT, "--set", f"strips {MANY}in"], "at most 500"),
    (["draft", "shoo fly", *QUILT, "--set", "strips"], "nothing was given"),
    (["draft", "shoo fly", *QUILT, "--cut", "left nan in"], "cannot be read"),
    (["draft", "shoo fly", *QUILT, "--try", f"sashing {MANY}in"], "at most 500"),
    (["draft", "shoo fly", *QUILT, "--try", "sashing 1/999999999999999in"], "less than"),
    (["draft", "shoo fly", *QUILT, "--bed", "queen", "--drop", "1e308in"], "not a unit"),
    (["look", DEMO, "--size", "74x88"], "no unit"),
    (["look", DEMO, "--size", "74in"], "a size is two lengths"),
    (["look", DEMO, "--size", "1/999999in x 5in"], "less than"),
    # What cannot be sewn.
    (["make", "shoo fly", *QUILT, "--binding-width", "300in"], "at most 12 in wide"),
    (["make", "shoo fly", *QUILT, "--binding-width", "1/4in"], "wider than their two seams"),
    (["make", "shoo fly", *QUILT, "--binding-width", "0in"], "more than 0"),
    (["make", "shoo fly", *QUILT, "--seam", "0in"], "at least 1/16 in"),
    (["make", "shoo fly", *QUILT, "--seam", "1mm"], "at least"),
    (["make", "shoo fly", *QUILT, "--width", "0in"], "fabric is wider"),
    (["make", "shoo fly", *QUILT, "--backing-width", "0in"], "fabric is wider"),
    (["make", "shoo fly", *QUILT, *["--border", "1in"] * 30], "at most 20"),
    (["draft", "shoo fly", *QUILT, "--scrappy", "A", "--seam", "0in", "--fabrics", "zero.csv"], "at least 1/16 in"),
    # Numbers.
    (["draft", "shoo fly", "--size", "9in", "--rows", "²", "--columns", "2"], "--rows"),
    (["draft", "shoo fly", "--size", "9in", "--rows", MANY, "--columns", "2"], "--rows"),
    (["draft", "shoo fly", "--size", "9in", "--rows", "500", "--columns", "500"], "10,000 blocks"),
    (["draft", "shoo fly", "--layouts", MANY], "whole number"),
    (["draft", "shoo fly", "--layouts", "-1"], "from 1 by 1"),
    (["draft", "shoo fly", "--units", MANY], "it has 4 units"),
    (["draft", "shoo fly", "--draw", f"1/3,0 {MANY},1"], "a seam runs between"),
    (["look", DEMO, "--rows", MANY], "--rows"),
    (["look", DEMO, "--rows", "²"], "--rows"),
    (["look", DEMO, "--divisions", "99999"], "divisions"),
    (["look", DEMO, "--corners", f"{'9' * 400},1 2,2 3,3 4,4"], "four pairs"),
    (["look", DEMO, "--corners", "nan,nan 1,1 2,2 3,3"], "four pairs"),
    (["look", DEMO, "--corners", "²,1 2,2 3,3 4,4"], "four pairs"),
    (["open", "--port", MANY], "--port"),
    # Names and words.
    (["draft", ""], "the catalogue has none"),
    (["look", ""], "a folder"),
    (["date", ""], "is a directory"),
    (["draft", "(" * 500 + "A" + ")" * 500], "the catalogue has none"),
    (["draft", "n" * 300 + ".block"], "file name too long"),
    (["date", "n" * 300], "file name too long"),
    (["draft", "a\0b.block"], "cannot be read"),
    (["draft", "\x1b[31mred"], "\\x1b[31mred"),
    (["\x1b[31m"], "is not a command"),
    (["draft", "--" + "nonsense" * 1000], "No such option"),
    (["draft", "shoo fly", *QUILT, "--color", "A=\x1b[31m"], "color"),
    (["draft", "shoo fly", *QUILT, "--color", "A=#" + "f" * 5000], "color"),
    (["draft", "shoo fly", *QUILT, "--fabric", "A=" + "x" * 5000], "fabric of 5004 characters"),
    (["draft", "shoo fly", *QUILT, "--border", "4in, " + "x" * 5000], "at most 80"),
    (["draft", "shoo fly", *QUILT, "--every-other", "x" * 5000], "the catalogue has none"),
    (["draft", "shoo fly", *QUILT, "--turn", "x" * 5000], "pattern of turns"),
    # Files to read.
    (["draft", "deep.json"], "nested too deeply"),
    (["draft", "deeper.json"], "nested too deeply"),
    (["draft", "brackets.txt"], "at most 500 characters"),
    (["draft", "strips.txt"], "at most 500 characters"),
    (["draft", "seventeen.txt"], "at most 16 strips"),
    (["draft", "named.txt"], "at most 120"),
    (["draft", "escape.txt"], "no control characters"),
    (["draft", "long.txt"], "at most 200,000"),
    (["draft", "superscript.txt"], "divisions ²"),
    (["draft", "columns.txt"], "line 3"),
    (["draft", "far.txt"], "line 4"),
    (["draft", "sliver.txt"], "block X"),
    (["draft", "parts.txt"], "at most 16,384"),
    (["draft", "bytes.txt"], "UTF-8"),
    (["draft", "rows.txt"], "from 1 to 500"),
    (["draft", "digits.txt"], "line 3"),
    (["draft", "bare.txt"], "no unit"),
    (["draft", "border.txt"], "at most 500"),
    (["draft", "borders.txt"], "at most 20"),
    (["draft", "fabric.txt"], "at most 80"),
    (["draft", "blocks.txt"], "10,000 blocks"),
    (["draft", "thin.txt"], "less than"),
    (["draft", "power.txt"], "not a unit"),
    (["draft", "quilt.txt"], "at most 120"),
    (["draft", "/dev/zero"], "at most 20,000,000 bytes"),
    (["date", "/dev/zero"], "at most 200,000 bytes"),
    (["date", "huge.toml"], "at most 200,000 bytes"),
    (["draft", "."], "the catalogue has none"),
    (["draft", "./"], "is a directory"),
    (["draft", "--uncropped", "empty.json"], "not a reading"),
    *(
        (["draft", "shoo fly", *QUILT, "--scrappy", "A", "--fabrics", name], said)
        for name, said in {
            "/dev/null": "no fabrics",
            "patches.csv": "whole number of patches",
            "area.csv": "an area of",
            "many.csv": "2,000 fabrics",
            "unit.csv": "an area of",
            "name.csv": "at most 80",
            "nul.csv": "control characters",
            "n" * 300: "file name too long",
        }.items()
    ),
    # Files and folders to write.
    *(
        (["draft", "shoo fly", "--svg", name], said)
        for name, said in {
            "": "a file has a name",
            "nowhere/x.svg": "no such file or directory",
            "/proc/x.svg": "cannot be written",
            "n" * 300: "file name too long",
            "a\0b": "cannot be written",
            ".": "it is a folder",
            "pipe": "cannot be written",
            "{full}": "no space left on device",
            "read-only.svg": "it is read-only",
        }.items()
    ),
    (["draft", "own.block", "--svg", "own.block"], "it is read here"),
    (["demo", "--out", ""], "a folder has a name"),
    (["demo", "--out", "/proc/x"], "results cannot be put there"),
    (["demo", "--out", "n" * 300], "file name too long"),
    (["demo", "--out", "a-file"], "it is a file"),
    (["shelf", "--shelf", ""], "a folder has a name"),
    (["shelf", "--shelf", "a-file"], "it is a file"),
    (["shelf", "--shelf", "n" * 300], "file name too long"),
]


@pytest.fixture(scope="module")
def here(tmp_path_factory):
    folder = put(tmp_path_factory.mktemp("bad"), FILES)
    (folder / "read-only.svg").chmod(0o444)
    os.mkfifo(folder / "pipe")
    return folder


@pytest.mark.timeout(60)
@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize(("words", "message"), ROWS, ids=[" ".join(words)[:40] for words, _ in ROWS])
def test_bad_input_is_one_short_line_and_exit_2(capsys, monkeypatch, here, device, words, message):
    monkeypatch.chdir(here)
    words = [device("full") if word == "{full}" else word for word in words]
    assert_refused(capsys, here, words, message)


def program(*words: str, **how):
    return subprocess.run([sys.executable, "-m", "seamlore.cli.main", *words], timeout=60, check=False, **how)


@pytest.mark.parametrize("words", [["draft", "shoo fly"], ["draft", "--list", "--json"], ["--help"]])
def test_a_full_output_is_said_in_one_line(words):
    with open("/dev/full", "wb") as full:
        done = program(*words, stdout=full, stderr=subprocess.PIPE, text=True)
    assert done.returncode == 2
    assert done.stderr == (
        "what was to be printed: it cannot be written: no space left on device; send it to another place\n"
    )


def test_a_full_error_stream_leaves_the_exit_code():
    with open("/dev/full", "wb") as full:
        assert program("draft", "shofly", stdout=subprocess.DEVNULL, stderr=full).returncode == 2


def test_a_reader_that_has_seen_enough_is_no_fault():
    read, written = os.pipe()
    os.close(read)
    with os.fdopen(written, "wb") as closed:
        done = program("draft", "--list", stdout=closed, stderr=subprocess.PIPE, text=True)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_terminal_that_knows_no_sign_of_a_name_is_shown_its_number(tmp_path):
    (tmp_path / "b.block").write_text("block Star ★\nA dark\n\nA\n", encoding="utf-8")
    done = program(
        "draft", str(tmp_path / "b.block"), capture_output=True, text=True,
        env={**os.environ, "PYTHONIOENCODING": "latin-1", "PYTHONUTF8": "0"},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert "Star \\u2605" in done.stdout


@pytest.mark.parametrize("way", [["draft", "shoo fly"], ["draft", "shoo fly", "--json"]])
def test_a_picture_sent_to_the_output_stands_before_what_is_said(tmp_path, way):
    # Not /dev/stdout itself: a wrong change could replace it for the whole machine.
    (tmp_path / "output").symlink_to("/proc/self/fd/1")
    with (tmp_path / "all").open("wb") as output:
        done = program(*way, "--svg", str(tmp_path / "output"), stdout=output, stderr=subprocess.PIPE, text=True)
    text = (tmp_path / "all").read_text()
    assert (done.returncode, done.stderr) == (0, "")
    assert text.startswith("<svg")
    assert "Shoo Fly" in text.split("</svg>")[1]


def test_a_seam_of_three_quarters_of_a_centimeter_is_shown_as_it_is(capsys):
    words = ["make", "shoo fly", "--size", "24cm", "--rows", "2", "--columns", "2"]
    assert run(words) == 0
    said = capsys.readouterr().out
    assert run([*words, "--json"]) == 0
    written = capsys.readouterr().out
    assert "seam allowance 0.75 cm" in said
    assert '"seam_allowance": 0.75' in written
    assert "0.8 cm" not in said + written


@pytest.mark.parametrize(
    ("given", "block"),
    [("90x120mm", [9, 12]), ("0.09 x 0.12 m", [9, 12]), ("1 x 2 ft", [12, 24]), ("1x2yd", [36, 72])],
)
def test_a_pair_keeps_its_size_to_the_last_page(capsys, given, block):
    assert (
        run(["make", "shoo fly", "--size", given, "--rows", "1", "--columns", "1", "--width", "300in", "--json"]) == 0
    )
    width, height = block
    assert f'"finished": [{width:.1f}, {height:.1f}]' in capsys.readouterr().out
