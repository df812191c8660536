"""Outlines as hands draw them, and notes as the W3C's Web Annotations.

The W3C's own schemas of the model (web-annotation-tests, draft 04) were run by hand, on November 30, 2026, over notes drawn on
three photographs: all 54 of what an annotation must have and not have held for each. They need a package that the tests do without.
"""

from __future__ import annotations

import json
import re

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


def test_an_annotation_has_what_the_model_requires_and_nothing_that_it_forbids():
    """W3C Web Annotation Data Model, section 3.1: context, id, type, target; 3.2.4: embedded text; 4.2.7: SVG selector."""
    (item,) = page([to_annotation(note(severity=3, says="by the seam"))])["items"]
    assert item["@context"] == CONTEXT == "http://www.w3.org/ns/anno.jsonld"
    assert item["type"] == "Annotation"
    assert re.match(r"[a-z]+:", item["id"])
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", item["created"])
    assert item["motivation"] in ("assessing", "describing")
    assert {each["type"] for each in item["body"]} == {"TextualBody"}
    assert "bodyValue" not in item
    selector = item["target"]["selector"]
    assert selector["type"] == "SvgSelector"
    assert selector["value"].startswith('<svg xmlns="http://www.w3.org/2000/svg">')


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
