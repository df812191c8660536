"""Bad posts, row by row: 422 with one sentence, no traceback, nothing kept that was refused."""

from __future__ import annotations

import re

import msgspec
import pytest

from seamlore.steps.edit.redraft import fields_of

MANY = "9" * 5000
LONG = "x" * 300_000
# Numbers that json reads and no photograph has.
PLACES = {
    "nested deeply": "[" * 900 + "]" * 900,
    "nested without end": "[" * 1900,
    "very long": "[" + "1," * 50_000 + "1]",
    "not a number": "[[NaN,1],[2,2],[3,3],[4,4]]",
    "infinite": "[[Infinity,1],[2,2],[3,3],[4,4]]",
    "too large": "[[1e308,1],[2,2],[3,3],[4,4]]",
    "many digits": f"[[{'9' * 1500},1],[2,2],[3,3],[4,4]]",
    "an object": '{"a": 1}',
    "words": '["a", "b"]',
    "true": "[[true,1],[2,2],[3,3],[4,4]]",
    "a number": "7",
    "three corners": "[[1,1],[2,2],[3,3]]",
    "far outside": "[[0,0],[900000,0],[900000,900000],[0,900000]]",
}
ROWS = [
    *(("look/corrections", "corrections", {"corners": place}) for place in PLACES.values()),
    *(("look/corrections", "corrections", {"edge": place}) for place in ("[9,1,1]", "[1,2]", "[0,1e308,1]", "[]")),
    *(("look/corrections", "corrections", {"row_line": place}) for place in ("[NaN,0]", "[1]", '"x"', "[0,1e308]")),
    *(
        ("look/corrections", "corrections", {"rows": count})
        for count in ("²", MANY, "9" * 10, "0", "61", "-1", "1e3", "٣")
    ),
    ("look/corrections", "corrections", {"divisions": "²"}),
    *(
        ("look/tape", "tape", {"width": length})
        for length in (MANY + "in", "1/" + "9" * 100 + "in", "nan", "inf in", "1e308 in", "²", "9²", "1,880 mm",
                       "91/2", "-9 in", "9\x1b[31m in", LONG, "1/9999999 in", "74 x 88 in")
    ),
    ("look/tape", "tape", {"rows": "²"}),
    ("look/tape", "tape", {"rows": MANY}),
    ("look/tape", "tape", {"columns": "201"}),
    ("look/account", "choice", {"account": LONG}),
    *(
        ("fabrics/found", "fabrics", {"of": of, "fabric": fabric, "do": "name", "name": "x"})
        for of in ("", LONG)
        for fabric in ("0", MANY, "-1", "²")
    ),
    ("make", "making", {"seam_allowance": "0in"}),
    ("make", "making", {"seam_allowance": "0"}),
    ("make", "making", {"seam_allowance": MANY}),
    ("make", "making", {"binding_width": "300in"}),
    ("make", "making", {"binding_width": "1/8in"}),
    ("make", "making", {"fabric_width": "0in"}),
    ("make", "making", {"backing_width": "²"}),
    *(("draft/setting", "choice", {name: value}) for name in ("rows", "block_width") for value in ("²", MANY, "nan")),
    ("draft/size", "choice", {"what": "sashing", "value": MANY}),
    ("draft/size", "choice", {"what": "sashing", "value": "²"}),
    ("draft/size", "choice", {"what": LONG, "value": "2 in"}),
    ("draft/begin", "choice", {"name": LONG}),
    ("draft/begin", "choice", {"name": "shoo fly", "size": "²", "rows": "2", "columns": "2"}),
    ("draft/begin", "choice", {"name": "shoo fly", "size": "9 in", "rows": "²", "columns": MANY}),
    *(
        ("draft/cells", "choice", form)
        for form in ({"do": "turn"}, {"do": "turn", "cell": "²,0"}, {"do": "turn", "cell": MANY + ",0"},
                     {"do": "turn", "cell": "99,99"}, {"do": LONG, "cell": "0,0"}, {"do": "copy", "of": "?"},
                     {"do": "kind", "cell": "0,0", "put": LONG}, {"do": "new", "cell": "0,0", "name": LONG},
                     {"do": "kind", "cell": "0,0", "put": ""}, {"do": "new", "cell": "0,0", "name": ""},
                     {"do": "turn", "of": LONG}, {"do": "fabric", "cell": "0,0", "letter": "²", "fabric": "x"},
                     {"do": "fabric", "cell": "0,0", "letter": "A", "fabric": LONG},
                     {"do": "fabric", "cell": "0,0", "letter": "A", "fabric": "a\x1b[31m"})
    ),
    ("draft/block/seam", "choice", {"start": MANY + ",0", "end": "1,1"}),
    ("draft/block/seam", "choice", {"start": "²,0", "end": "1,1"}),
    ("draft/block/seam", "choice", {"start": "nan,0", "end": "1,1"}),
    ("draft/block/take-out", "choice", {"first": MANY, "second": "²"}),
    ("draft/block/place", "choice", {"patch": "²", "place": "A"}),
    ("draft/block/place", "choice", {"patch": "999999999", "place": "A"}),
    ("draft/block/place", "choice", {"patch": "0", "place": "\x1b[31m"}),
    ("draft/block/swatch", "choice", {"patch": "0", "fabric": "999999999"}),
    ("draft/block/value", "choice", {"place": "A", "value": LONG}),
    ("draft/block/divisions", "choice", {"divisions": "²"}),
    ("draft/block/divisions", "choice", {"divisions": MANY}),
    ("draft/block/name", "choice", {"name": "\x00"}),
    ("draft/text", "choice", {"text": LONG}),
    ("draft/text", "choice", {"text": "quilt Q\x1b[31m"}),
    ("draft/block/text", "choice", {"text": "block X\nA dark\n\n" + "(" * 500 + "A" + ")" * 500}),
    ("draft/block/text", "choice", {"text": LONG}),
    ("fabrics/names", "choice", {"fabric-A": "x" * 81}),
    ("fabrics/names", "choice", {"fabric-A": "red\x1b[31m"}),
    ("date/add", "evidence", {"kind": "evidence", "part": "top", "says": "x", "when": "1900", "sure": "²"}),
    ("date/add", "evidence", {"kind": "evidence", "part": "top", "says": "x", "when": "1900", "sure": MANY}),
    ("date/add", "evidence", {"kind": "evidence", "part": "top", "says": "x", "when": "1900", "sure": "nan"}),
    ("date/add", "evidence", {"kind": "evidence", "part": "top", "says": LONG, "when": "1900", "sure": "0.5"}),
    ("date/add", "evidence", {"kind": "evidence", "part": "t\x7f", "says": "x", "when": "1900", "sure": "0.5"}),
    ("date/add", "evidence", {"kind": "gaps", "earlier": "a", "later": "b", "years": "²"}),
    ("date/add", "evidence", {"kind": "gaps", "earlier": "a", "later": "b", "years": MANY}),
    ("date/remove", "evidence", {"kind": "evidence", "index": "²"}),
    ("date/remove", "evidence", {"kind": "evidence", "index": MANY}),
    ("date/text", "evidence", {"text": LONG}),
    ("date/text", "evidence", {"text": "horizon = \x1b"}),
    ("tell", "label", {"maker": "x" * 201}),
    ("tell", "label", {"maker": "\x00"}),
    ("tell", "label", {"story": "x" * 5001}),
    ("tell", "label", {"story": "a\x1b[31mb"}),
    ("name", "about", {"name": "x" * 5000}),
    ("name", "about", {"name": ""}),
    ("name", "about", {"name": "a\x1bb"}),
]  # fmt: skip


def standing(job, path: str) -> dict[str, str]:
    """What stands in the fields of a form that is sent whole."""
    inputs = job.inputs
    sections = {"look/tape": [inputs.tape], "make": [inputs.making], "tell": [inputs.label, inputs.about]}
    fields = [msgspec.to_builtins(each) for each in sections.get(path, [])]
    if path == "draft/setting":
        fields = [fields_of(job.quilt)]
    return {
        name: str(value) for each in fields for name, value in each.items() if value and isinstance(value, str | int)
    }


def sentences(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", text).split())


@pytest.mark.filterwarnings("error:::seamlore")
@pytest.mark.parametrize("part", [True, False], ids=["part", "page"])
def test_a_bad_post_is_refused_in_words_and_nothing_is_kept(client, desk, demo, part):
    headers = {"hx-request": "true"} if part else {}
    before = desk.shelf.read_all(demo), desk.shelf.entry(demo).name
    job, revisions = desk.study(demo).job, desk.study(demo).revisions
    # Whether a part of the page or a whole page answers is decided in one place: some of the rows will do for that.
    for path, section, form in ROWS if part else ROWS[::9]:
        bases = {"base": str(revisions.get(section, 0)), "about_base": str(revisions["about"])}
        sent = bases | standing(job, path) | form
        answer = client.post(f"/study/{demo}/{path}", data=sent, headers=headers)
        told = path, {name: value[:40] for name, value in form.items()}
        assert answer.status_code == 422, (told, answer.status_code, sentences(answer.text)[:300])
        assert "Traceback" not in answer.text, told
        assert "made a mistake" not in answer.text, told
        assert (desk.shelf.read_all(demo), desk.shelf.entry(demo).name) == before, told


@pytest.mark.parametrize("name", ["rows", "corners", "base"])
def test_a_file_where_words_are_wanted_is_refused(client, demo, name):
    sent = {name: ("a.txt", b"x")} | ({} if name == "base" else {"base": (None, "0")})
    answer = client.post(f"/study/{demo}/look/corrections", files=sent)
    assert answer.status_code == 422
    assert "words are wanted" in answer.text


@pytest.mark.parametrize("base", ["²", MANY, "-1", "x", ""])
def test_a_base_that_is_none_fits_no_revision(client, demo, base):
    answer = client.post(f"/study/{demo}/look/tape", data={"base": base, "width": "74 in"})
    assert answer.status_code in (409, 422)


@pytest.mark.parametrize("number", [MANY, "9" * 19, "9" * 10])
def test_an_address_with_a_number_without_end_is_no_page(client, demo, number):
    assert client.get(f"/study/{number}/look").status_code == 404
    assert client.get(f"/study/{demo}/picture/tile/{number}/0/0").status_code in (404, 422)
    assert client.get(f"/study/{demo}/picture/swatch/{number}.png").status_code in (404, 422)
    assert client.get(f"/arrivals?after={number}").status_code == 200


def test_what_is_long_but_can_be_kept_is_kept_whole(client, desk, demo, base_of):
    story = "é" * 5000
    sent = {"base": base_of(demo, "label"), "about_base": base_of(demo, "about"), "story": story, "maker": "m" * 200}
    answer = client.post(f"/study/{demo}/tell", data=sent)
    assert answer.status_code == 200
    job = desk.study(demo).job
    assert (job.inputs.about.story, job.inputs.label.maker) == (story, "m" * 200)


def test_a_bare_half_typed_as_one_sign_is_read_back(client, desk, demo, base_of):
    tape = desk.study(demo).job.inputs.tape
    sent = {"base": base_of(demo, "tape"), "width": "74 ½", "height": tape.height, "rows": "8", "columns": "7"}
    assert client.post(f"/study/{demo}/look/tape", data=sent).status_code == 200
    kept = desk.study(demo).job.inputs.tape
    assert kept.width == "74 ½ in"
    assert str(kept.read("width")) == "74 1/2 in"
