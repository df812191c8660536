"""Bad input to the commands that work with lists, notes, zips and the shelf, row by row, as in `test_bad_input`."""

from __future__ import annotations

import json

import pytest

from seamlore.shelf.shelf import Shelf

from .refused import assert_refused, put
from .test_bad_input import MANY, QUILT

HEAD = "fabric,piece,width,height,count,may_turn\n"
FILES: dict[str, str | bytes] = {
    "good.csv": HEAD + "a,b,2,3,4,yes\n",
    "superscript.csv": HEAD + "a,b,²,3,4,yes\n",
    "digits.csv": HEAD + f"a,b,{MANY},3,4,yes\n",
    "nan.csv": HEAD + "a,b,nan,3,4,yes\n",
    "power.csv": HEAD + "a,b,1e308,3,4,yes\n",
    "fine.csv": HEAD + "a,b,1/" + "9" * 30 + ",3,4,yes\n",
    "nothing.csv": HEAD + "a,b,0,3,4,yes\n",
    "less.csv": HEAD + "a,b,2,3,-1,yes\n",
    "count.csv": HEAD + "a,b,2,3,²,yes\n",
    "maybe.csv": HEAD + "a,b,2,3,4,maybe\n",
    "wide.csv": HEAD + "a,b,43,43,1,yes\n",
    "short.csv": HEAD + "a,b,2\n",
    "escape.csv": HEAD + "a\x1b[31m,b,2,3,4,yes\n",
    "name.csv": HEAD + "x" * 3000 + ",b,2,3,4,yes\n",
    "many.csv": HEAD + "".join(f"a,b{number},2,3,1,yes\n" for number in range(5000)),
    "repeat.csv": HEAD.strip() + ",repeat\na,b,2,3,4,no,²\n",
    "stash.txt": "Red: lots",
    "deep.json": '{"a":' * 3000,
    "empty.json": "{}",
    "list.json": "[1, 2]",
    "huge.json": "[" + "1," * 12_000_000 + "1]",
    "notes.json": json.dumps({"@context": "http://www.w3.org/ns/anno.jsonld", "type": "AnnotationPage", "items": []}),
    "bytes.txt": b"\xff\xfe\x00",
    "no.zip": "PK nonsense",
    "empty.zip": b"PK\x05\x06" + b"\0" * 18,
    "a-file": "x",
}
CUT = ["--width", "42in"]
DECIDE = ["decide", "--rows", "8", "--columns", "7", "--block", "8in"]
MAKE = ["make", "shoo fly", *QUILT]
SEW = ["sew", "shoo fly", "--size", "9in"]
SHELF = ["shelf", "--shelf", "shelf"]
LENGTHS = {MANY + "in": "", "nan in": "cannot be read", "²in": "cannot be read", "1e308in": "not a unit"}
ROWS = [
    *((["cut", "good.csv", "--width", length], said) for length, said in LENGTHS.items()),
    (["cut", "good.csv", "--width", "0in"], "more than 0"),
    (["cut", "good.csv", "--width", "42"], "no unit"),
    *((["cut", "good.csv", *CUT, "--extra", share], "") for share in ("nan%", MANY, "-5%", "²")),
    *((["cut", "good.csv", *CUT, "--shrinkage", share], "") for share in ("100%", "inf", "nan")),
    *((["cut", "good.csv", *CUT, "--layers", number], "") for number in ("²", MANY, "0")),
    (["cut", "good.csv", *CUT, "--stash-only"], "none is to be bought"),
    *((["cut", "good.csv", *CUT, "--stash", name], "") for name in ("stash.txt", "nowhere", "bytes.txt", "/dev/zero")),
    *((["cut", name, *CUT], "") for name in ("", ".", "n" * 300, "nowhere", "/dev/null", "bytes.txt")),
    (["cut", "/dev/zero", *CUT], "bytes"),
    *(
        (["cut", f"{name}.csv", *CUT], said)
        for name, said in {
            "superscript": "²", "digits": "", "nan": "", "power": "", "fine": "", "nothing": "", "less": "", "count": "²",
            "maybe": "maybe", "wide": "wide", "short": "", "escape": "control characters", "name": "", "many": "200",
            "repeat": "²",
        }.items()
    ),
    (["assess", "", ""], "is a directory"),
    (["assess", "nowhere", "empty.json"], "no such file"),
    *(
        (["assess", name, "empty.json"], "")
        for name in ("deep.json", "empty.json", "list.json", "bytes.txt", "/dev/zero", "huge.json")
    ),
    *((["assess", "notes.json", name], "") for name in ("empty.json", "deep.json", "nowhere", "bytes.txt")),
    *((["decide", "--rows", rows, *DECIDE[3:]], "") for rows in ("²", MANY, "0", "-1", "nan", "1e3")),
    *(([*DECIDE[:6], length], said) for length, said in {**LENGTHS, "0in": "", "8": "no unit"}.items()),
    *(
        ([*DECIDE, option, length], said)
        for option in ("--sashing", "--widest", "--allowance", "--seam")
        for length, said in LENGTHS.items()
    ),
    *(([*DECIDE, option, "300in"], "narrower than the block") for option in ("--allowance", "--seam")),
    ([*DECIDE, "--seam", "0in"], "at least 1/16 in"),
    *(([*DECIDE, "--cut", sides], "a quilt has left") for sides in ("middle", "x" * 5000, "left,\x1b[31m", "²")),
    *(
        ([*DECIDE, "--lost", blocks], "row,column")
        for blocks in ("0,0", "9,9", "²,1", MANY + ",1", "1", "x" * 5000, "1,2,3")
    ),
    *(([*DECIDE, "--wished", size], "") for size in ("0in", "nan", "52", "52x63", MANY + "in x 3in")),
    (["sew", ""], "the catalogue has none"),
    (["sew", "shoo fly"], "size"),
    *((["sew", "shoo fly", "--size", length], said) for length, said in {**LENGTHS, "0in": ""}.items()),
    ([*SEW, "--seam", "0in"], "at least 1/16 in"),
    ([*SEW, "--method", "x" * 3000], "not one of"),
    ([*SEW, "--booklet", "x.pdf"], ""),
    *(
        ([*SEW, "--lesson", name], said)
        for name, said in {
            "": "a file has a name", "n" * 300 + ".pdf": "file name too long", "nowhere/x.pdf": "no such file",
            "x.exe": "", "/proc/x.pdf": "cannot be written",
        }.items()
    ),
    ([*SEW, *(word for size in range(1, 9) for word in ("--size", f"{size}in")), "--lesson", "x.pdf"], "4"),
    *(
        ([*MAKE, option, value], "")
        for option, values in {
            "--stash": ("nowhere", "bytes.txt", "/dev/zero", "stash.txt"),
            "--spare": ("nan%", MANY, "-1%", "²"),
            "--pace": ("nan", MANY, "0%", "²"),
            "--gap": ("0in", "nan in", MANY + "in", "²"),
            "--price": (f"A={MANY}", "²", "A=nan", "x" * 5000, "A=-1"),
            "--filling-price": ("nan", MANY, "-1", "²"),
            "--backing-repeat": ("0in", "nan in", MANY + "in"),
            "--half-squares": ("3", "²", MANY),
            "--edge": ("x" * 3000, "\x1b[31m"),
            "--held-by": ("glue",),
            "--shrinkage": ("100%", "nan"),
        }.items()
        for value in values
    ),
    ([*SHELF, "find", "x" * 100_000], "at most 500"),
    ([*SHELF, "find", "word " * 13], "13 words to look for: at most 12"),
    ([*SHELF, "find", "\x1b[31m"], "control characters"),
    ([*SHELF, "take", "no.zip"], "no zip file"),
    ([*SHELF, "take", "empty.zip"], "no study.json"),
    ([*SHELF, "take", "nowhere.zip"], "no such file"),
    ([*SHELF, "take", "/dev/zero"], "it is no file"),
    ([*SHELF, "take", "."], "it is no file"),
    *(
        ([*SHELF, what, *named], "there is none on this shelf")
        for what in ("aside", "back", "delete", "duplicate")
        for named in (["nobody"], [MANY], ["\x1b[31m"])
    ),
    ([*SHELF, "send", "nobody", "--out", "x.zip"], "there is none on this shelf"),
    ([*SHELF, "export", "nobody", "--format", "csv", "--out", "x.csv"], "there is none on this shelf"),
    ([*SHELF, "export", "nobody", "--format", "x" * 3000, "--out", "x.csv"], ""),
    ([*SHELF, "catalogue", "nobody", "--out", "x.pdf"], "there is none on this shelf"),
    ([*SHELF, "catalogue", "--out", ""], "a file has a name"),
    ([*SHELF, "web", "nobody", "--out", "x"], "there is none on this shelf"),
    ([*SHELF, "web", "--out", ""], "a folder has a name"),
    *(([*SHELF, "restore", name], "not in the row of backups") for name in ("nobody", "../../passwd", "\x1b")),
    ([*SHELF, "nonsense"], "No such command"),
]  # fmt: skip


@pytest.fixture(scope="module")
def here(tmp_path_factory):
    return put(tmp_path_factory.mktemp("bad"), FILES)


@pytest.mark.timeout(120)
@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize(("words", "message"), ROWS, ids=[" ".join(words)[:40] for words, _ in ROWS])
def test_bad_input_is_one_short_line_and_exit_2(capsys, monkeypatch, here, tmp_path, words, message):
    monkeypatch.chdir(here)
    if words[:3] == SHELF:  # where none is nothing is looked for
        Shelf(tmp_path).close()
    words = [
        str(tmp_path) if word == "shelf" and words[0] == "shelf" and n == 2 else word for n, word in enumerate(words)
    ]
    assert_refused(capsys, here, words, message)
