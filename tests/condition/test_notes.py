"""Outlines as hands draw them, and notes as the W3C's Web Annotations.

`MODEL` says as a JSON Schema what the W3C Recommendation "Web Annotation Data Model" of 23 February 2017 asks of what is written
here; words and schema are our own. The W3C's own schemas (web-annotation-tests, draft 04) were run by hand besides, on November 30,
2026, over notes drawn on three photographs: all 54 of what an annotation must have and not have held for each.
"""

from __future__ import annotations

import json

import numpy as np
import pytest

from seamlore.condition.annotation import CONTEXT, new_key, page, read_page, to_annotation, to_note
from seamlore.condition.kinds import KINDS, SEVERITY, WITHOUT, kind_named
from seamlore.condition.notes import Note, checked_outline
from seamlore.errors import NotationError, ShapeError

SIZE = (400, 300)
TEAR = kind_named("tear")
PHOTO = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"


def note(**given):
    fixed = {
        "key": "urn:uuid:1",
        "photograph": PHOTO,
        "kind": "tear",
        "outline": ((1.5, 2.0), (30.0, 2.0), (3.0, 40.0)),
    }
    return Note(**{**fixed, "noted": "2026-11-30T12:00:00Z", **given})


def test_a_small_loop_where_the_line_comes_round_is_taken_out_and_said():
    ring = [(100 + 80 * np.cos(t), 100 + 80 * np.sin(t)) for t in np.linspace(0, 6.4, 60)]
    drawn = checked_outline(ring, SIZE, TEAR)
    assert "loop" in drawn.mended
    assert len(drawn.outline) > 50
    assert checked_outline(ring[:58], SIZE, TEAR).mended == ""


@pytest.mark.parametrize(
    ("points", "why"),
    [
        ([(10, 10), (90, 90), (90, 10), (10, 90)], r"at \(50, 50\): an outline that crosses itself"),
        ([(10, 10), (90, 90), (50, 50)], "encloses nothing"),
        ([(10, 10), (10.4, 10), (10, 10.4)], "encloses nothing"),
        ([(10, 10), (10, 10), (10, 10)], "1 corners"),
        ([(10, 10), (90, 10), (450, 90)], "a corner at 450, 90: the picture is 400 wide"),
        ([(10, 10), (float("nan"), 10), (40, 90)], "without a place"),
        ([(n % 300, n // 300) for n in range(401)], "401 corners"),
    ],
)
def test_what_cannot_be_an_outline_is_refused_with_the_place(points, why):
    with pytest.raises(ShapeError, match=why):
        checked_outline(points, SIZE, TEAR)


def test_a_tie_is_a_point_and_a_quilting_line_stays_open():
    assert checked_outline([(10, 10), (20, 10)], SIZE, kind_named("tie")).outline == ((15.0, 10.0),)
    line = [(10, 10), (90, 90), (90, 10), (10, 90)]
    assert checked_outline(line, SIZE, kind_named("quilting line")).outline == tuple(line)
    open_line = to_annotation(note(kind="quilting line", severity=0, outline=tuple(line)))
    assert "<polyline " in open_line.target.selector.value
    with pytest.raises(ShapeError, match="nothing drawn: 2 points are needed"):
        checked_outline([(10, 10)], SIZE, kind_named("quilting line"))


@pytest.mark.parametrize("kind", [each.name for each in KINDS])
def test_every_kind_of_note_comes_back_as_it_was_written(kind):
    outline = ((12.5, 7.0),) if kind in ("tie", "hand test", "dye test") else note().outline
    given = note(
        kind=kind, outline=outline, severity=2, says='reads "M. [S?] 1871" <b>', of="brown sprig", result="weak"
    )
    written = json.dumps(page([to_annotation(given)]))
    assert read_page(written) == (given,)


IRI = {"type": "string", "pattern": r"^[A-Za-z][A-Za-z0-9+.-]*:[^\s<>\"{}|\\^`]+$"}
PURPOSES = {
    "assessing", "bookmarking", "classifying", "commenting", "describing", "editing", "highlighting", "identifying",
    "linking", "moderating", "questioning", "replying", "tagging",
}  # fmt: skip
MOTIVATION = {"enum": sorted(PURPOSES)}
MODEL = {
    "type": "object",
    "$comment": "3.1 an annotation has a context, one IRI, its class, one target or more; 3.2.5 no bodyValue beside a body",
    "required": ["@context", "id", "type", "target"],
    "not": {"required": ["body", "bodyValue"]},
    "properties": {
        "@context": {"const": "http://www.w3.org/ns/anno.jsonld"},
        "id": IRI,
        "type": {"const": "Annotation"},
        "$comment": "3.3.1 a moment in UTC; 3.3.5 why it was made",
        "created": {"type": "string", "pattern": r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z$"},
        "motivation": MOTIVATION,
        "body": {
            "type": "array",
            "items": {
                "$comment": "3.2.4 an embedded text has one value; its class is TextualBody; one format, one purpose each",
                "type": "object",
                "required": ["type", "value"],
                "properties": {
                    "type": {"const": "TextualBody"},
                    "value": {"type": "string"},
                    "format": {"type": "string", "pattern": "^[a-z]+/[a-z0-9.+-]+$"},
                    "purpose": MOTIVATION,
                },
                "additionalProperties": False,
            },
        },
        "target": {
            "$comment": "4 a specific resource has one source, an IRI; 4.2.7 an SVG selector has its class and one value",
            "type": "object",
            "required": ["source", "selector"],
            "properties": {
                "type": {"const": "SpecificResource"},
                "source": IRI,
                "selector": {
                    "type": "object",
                    "required": ["type", "value"],
                    "properties": {"type": {"const": "SvgSelector"}, "value": {"type": "string"}},
                    "additionalProperties": False,
                },
            },
            "additionalProperties": False,
        },
    },
    "additionalProperties": False,
}
ROUND = ((1.0, 1.0), (30.5, 2.0), (20.0, 44.25))


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_an_annotation_of_every_kind_has_what_the_model_requires_and_nothing_that_it_forbids(kind):
    from xml.etree import ElementTree

    from jsonschema import Draft202012Validator

    drawn = note(
        kind=kind.name, severity=3 * kind.damage, says="by the seam", of="binding", result="weak", outline=ROUND
    )
    annotations = [to_annotation(each) for each in (drawn, note(kind=kind.name, outline=ROUND[:1]))]
    found = json.loads(json.dumps(page(annotations)))
    # 5.2: a page has its class, an IRI and its items in their order.
    assert (found["@context"], found["type"]) == (CONTEXT, "AnnotationPage")
    assert [each["id"] for each in found["items"]] == [each.id for each in annotations]
    check = Draft202012Validator(MODEL)
    for item in found["items"]:
        assert [each.message for each in check.iter_errors(item)] == []
        picture = ElementTree.fromstring(item["target"]["selector"]["value"])
        assert picture.tag == "{http://www.w3.org/2000/svg}svg"
        assert [each.tag.rpartition("}")[2] in ("polygon", "polyline", "circle") for each in picture] == [True]


def test_a_photograph_is_named_by_its_content_as_rfc_6920_does():
    """RFC 6920, section 8.1: the example "Hello World!" under sha-256."""
    import hashlib

    hello = note(photograph=hashlib.sha256(b"Hello World!").hexdigest())
    assert to_annotation(hello).target.source == "ni:///sha-256;f4OxZX_x_FO5LcGBSKHWXfwtSx-j1ncoSt3SABJtkGk"


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda item: item["target"].update(source="https://example.org/1.jpg"), "named by its content"),
        (lambda item: item["target"]["selector"].update(value="<svg><path d='M0 0'/></svg>"), "a note is a polygon"),
        (lambda item: item["target"]["selector"].update(type="FragmentSelector"), "no page of notes"),
        (lambda item: item["body"][0].update(value="rip"), "there is none"),
        (lambda item: item.pop("target"), "no page of notes"),
    ],
)
def test_what_is_no_note_of_ours_is_refused(change, why):
    written = page([to_annotation(note())])
    change(written["items"][0])
    with pytest.raises((NotationError, Exception), match=why):
        read_page(json.dumps(written))


def test_two_notes_alike_have_two_names():
    first = new_key(note(key=""), [])
    assert new_key(note(key=""), [first]) != first


def test_each_step_of_severity_says_what_it_means_and_each_object_what_it_lacks():
    assert list(SEVERITY) == [1, 2, 3, 4]
    assert "backing" in WITHOUT["top"]
    assert to_note(to_annotation(note(severity=4))).severity == 4
