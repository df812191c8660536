"""`seamlore sew`: the steps as data, the booklet and the lesson as files."""

import json

import pytest

from seamlore.cli.main import run

DRAFT = "quilt Porch\nmade of Shoo Fly\nfinished 9 in\nrows 2\ncolumns 2\nset on point\n"


def said(capsys, *words):
    code = run(["sew", *words])
    out, err = capsys.readouterr()
    return code, out, err


def test_the_steps_are_told_as_one_object(capsys):
    code, out, err = said(capsys, "ohio star", "--size", "9in", "--json")
    assert (code, err) == (0, "")
    record = json.loads(out)
    steps = record["blocks"][0]["steps"]
    # Cells of a nine-patch grid are sewn as units, then rows, then the block: 3 in finished, 3 1/2 in with the allowance.
    assert [step["measures"] for step in steps][1:] == [[3.5, 3.5], [9.5, 3.5], [9.5, 3.5], [9.5, 9.5]]
    assert [step["count"] for step in steps] == [8, 4, 2, 1, 1]
    assert record["unit"] == "in"


def test_quilted_in_the_ditch_no_seam_is_pressed_open(capsys):
    def ways(*more):
        _, out, _ = said(capsys, "ohio star", "--size", "9in", "--json", *more)
        record = json.loads(out)
        return record["quilted"], {seam["press"] for step in record["blocks"][0]["steps"] for seam in step["seams"]}

    off, ditch = ways(), ways("--in-the-ditch")
    assert (off[0], "open" in off[1]) == ("off the seams", True)
    assert (ditch[0], "open" in ditch[1]) == ("in the ditch", False)


def test_over_papers_the_allowance_is_folded_behind(capsys):
    _, out, _ = said(capsys, "ohio star", "--size", "9in", "--method", "papers", "--json")
    assert json.loads(out)["blocks"][0]["steps"][-1]["measures"] == [9, 9]


def test_booklet_and_lesson_are_written(capsys, tmp_path):
    draft = tmp_path / "porch.draft.txt"
    draft.write_text(DRAFT)
    code, out, _ = said(capsys, str(draft), "--booklet", str(tmp_path / "b.pdf"), "--paper", "A4", "--plain")
    assert code == 0
    assert "The top" in out
    assert (tmp_path / "b.pdf").read_bytes().startswith(b"%PDF")
    code, _, _ = said(capsys, "shoo fly", "--size", "9in", "--size", "12in", "--lesson", str(tmp_path / "l.html"))
    assert code == 0
    assert "HowTo" in (tmp_path / "l.html").read_text()


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (["shoo fly"], "the block Shoo Fly alone: sewing needs its finished size; add --size, such as 9in"),
        (["shoo fly", "--size", "9in", "--paper", "legal"], 'paper "legal": pages are laid out for letter or a4'),
        (["shoo fly", "--size", "9in", "--booklet", "b.pdf"], "a booklet is of a whole quilt; use --lesson"),
        (["shoo fly", "--size", "9in", "--lesson", "l.doc"], "end its name with .pdf or .html"),
        (
            ["kaleidoscope", "--size", "90in", "--lesson", "l.pdf"],
            "a template is printed on at most 9; make the block",
        ),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line_and_nothing_is_written(capsys, tmp_path, monkeypatch, words, line):
    monkeypatch.chdir(tmp_path)
    code, out, err = said(capsys, *words)
    assert code == 2
    assert out == ""
    assert err.count("\n") == 1
    assert line in err
    assert list(tmp_path.iterdir()) == []
