"""Notes as the W3C's Web Annotations, so that other viewers can show them; the form in which a study keeps them.

W3C Recommendation "Web Annotation Data Model", February 23, 2017: section 3.1 (an annotation), 3.2.4 (embedded text),
3.3.5 (motivations and purposes), 4.2.7 (SVG selectors), 5.2 (pages of annotations). A photograph is named by its content,
as RFC 6920 ("Naming Things with Hashes") names things.
"""

from __future__ import annotations

import base64
import re
import uuid
from collections.abc import Iterable
from typing import Any, Literal

import msgspec

from seamlore.condition.kinds import SEVERITY
from seamlore.condition.notes import Note, Pair
from seamlore.errors import NotationError

CONTEXT: Literal["http://www.w3.org/ns/anno.jsonld"] = "http://www.w3.org/ns/anno.jsonld"
_SVG = "http://www.w3.org/2000/svg"
_NUMBER = r"-?\d{1,6}(?:\.\d{1,6})?"
_POINTS = re.compile(rf'<(polygon|polyline) points="({_NUMBER},{_NUMBER}(?: {_NUMBER},{_NUMBER})*)"/>')
_POINT = re.compile(rf'<circle cx="({_NUMBER})" cy="({_NUMBER})" r="{_NUMBER}"/>')
_NAMED = re.compile(r"ni:///sha-256;([A-Za-z0-9_-]{43})")


class Text(msgspec.Struct, frozen=True, kw_only=True):
    """A body of an annotation (3.2.4)."""

    value: str
    purpose: Literal["tagging", "classifying", "commenting", "describing", "assessing"]
    type: Literal["TextualBody"] = "TextualBody"
    format: str = "text/plain"


class Selector(msgspec.Struct, frozen=True, kw_only=True):
    """An SVG selector (4.2.7): a shape in pixels of the photograph."""

    value: str
    type: Literal["SvgSelector"] = "SvgSelector"


class Target(msgspec.Struct, frozen=True, kw_only=True):
    """A part of a photograph (4): which one, and which part."""

    source: str
    selector: Selector
    type: Literal["SpecificResource"] = "SpecificResource"


class Annotation(msgspec.Struct, frozen=True, kw_only=True):
    """One annotation (3.1)."""

    context: Literal["http://www.w3.org/ns/anno.jsonld"] = msgspec.field(name="@context", default=CONTEXT)
    id: str
    type: Literal["Annotation"] = "Annotation"
    motivation: Literal["describing", "assessing"] = "assessing"
    created: str
    body: tuple[Text, ...]
    target: Target


def to_annotation(note: Note) -> Annotation:
    """Write a note as an annotation.

    Examples
    --------
    >>> note = Note(
    ...     "urn:uuid:0", "0" * 64, "tear", ((1, 2), (3, 2), (3, 4)), 3, "beside the seam", noted="2026-11-30T12:00:00Z"
    ... )
    >>> made = to_annotation(note)
    >>> [each.value for each in made.body], made.target.selector.value
    (['tear', 'serious', 'beside the seam'],
     '<svg xmlns="http://www.w3.org/2000/svg"><polygon points="1,2 3,2 3,4"/></svg>')
    >>> to_note(made) == note
    True
    """
    body = [Text(value=note.kind, purpose="tagging")]
    if note.severity:
        body.append(Text(value=SEVERITY[note.severity][0], purpose="classifying"))
    if note.result:
        body.append(Text(value=note.result, purpose="assessing"))
    if note.says:
        body.append(Text(value=note.says, purpose="commenting"))
    if note.of:
        body.append(Text(value=note.of, purpose="describing"))
    return Annotation(
        id=note.key,
        motivation="describing" if note.about.does == "word" else "assessing",
        created=note.noted,
        body=tuple(body),
        target=Target(source=_name_of(note.photograph), selector=Selector(value=_svg(note))),
    )


def to_note(annotation: Annotation) -> Note:
    """Read a note from an annotation.

    Raises
    ------
    NotationError
        When it is of no photograph that is named by its content, its outline is none of ours, or its kind is not known.
    """
    said: dict[str, str] = {}
    for each in annotation.body:
        said.setdefault(each.purpose, each.value)
    steps = {words: step for step, (words, _) in SEVERITY.items()}
    named = _NAMED.fullmatch(annotation.target.source)
    if named is None:
        raise NotationError(
            f'a note on "{annotation.target.source[:80]}"',
            "a photograph is named by its content (ni:///sha-256;...)",
            "take notes that Seamlore has written",
        )
    note = Note(
        key=annotation.id,
        photograph=base64.urlsafe_b64decode(named[1] + "=").hex(),
        kind=said.get("tagging", ""),
        outline=_outline(annotation.target.selector.value),
        severity=steps.get(said.get("classifying", ""), 0),
        says=said.get("commenting", ""),
        of=said.get("describing", ""),
        result=said.get("assessing", ""),
        noted=annotation.created,
    )
    note.about  # noqa: B018 - refuses a kind that is not known
    return note


def new_key(note: Note, others: Iterable[str]) -> str:
    """Name a new note: the same for the same note, and no other's.

    Examples
    --------
    >>> note = Note("", "0" * 64, "tear", ((1, 2), (3, 2), (3, 4)))
    >>> first = new_key(note, [])
    >>> first == new_key(note, []), first == new_key(note, [first])
    (True, False)
    """
    taken, number = set(others), 0
    while (key := uuid.uuid5(uuid.NAMESPACE_OID, f"{note!r} {number}").urn) in taken:
        number += 1
    return key


def page(annotations: Iterable[Annotation]) -> dict[str, Any]:
    """Give annotations as one page of them (5.2), for other viewers.

    Examples
    --------
    >>> page([])["type"], page([])["items"]
    ('AnnotationPage', [])
    """
    items: list[dict[str, Any]] = msgspec.to_builtins(tuple(annotations), str_keys=True)
    name = uuid.uuid5(uuid.NAMESPACE_OID, repr([each["id"] for each in items])).urn
    return {"@context": CONTEXT, "id": name, "type": "AnnotationPage", "items": list(items)}


def read_page(text: str | bytes, source: str = "the file") -> tuple[Note, ...]:
    """Read the notes of a page of annotations.

    Raises
    ------
    NotationError
        When it is something else.

    Examples
    --------
    >>> import json
    >>> read_page(json.dumps(page([])))
    ()
    >>> read_page("[]")
    Traceback (most recent call last):
        ...
    seamlore.errors.NotationError: the file: it is no page of notes (...); give what was saved from the page Assess
    """

    class Page(msgspec.Struct):
        type: Literal["AnnotationPage"]
        items: tuple[Annotation, ...]

    try:
        return tuple(to_note(each) for each in msgspec.json.decode(text, type=Page).items)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as fault:
        raise NotationError(
            source, f"it is no page of notes ({fault})", "give what was saved from the page Assess"
        ) from None


def of_photograph_anew(text: str, before: str, after: str) -> str:
    """Let all that a section's text says of a photograph be said of another: of the same one without its camera's data.

    Parameters
    ----------
    text : str
        A section as it is kept.
    before, after : str
        The SHA-256 of both, 64 letters.

    Examples
    --------
    >>> note = Note("urn:uuid:0", "0" * 64, "tear", ((1, 2), (3, 2), (3, 4)), 3)
    >>> text = msgspec.json.encode(to_annotation(note)).decode()
    >>> to_note(msgspec.json.decode(of_photograph_anew(text, "0" * 64, "a" * 64), type=Annotation)).photograph == "a" * 64
    True
    """
    return text.replace(before, after).replace(_name_of(before), _name_of(after))


def _name_of(photograph: str) -> str:
    return "ni:///sha-256;" + base64.urlsafe_b64encode(bytes.fromhex(photograph)).decode().rstrip("=")


def _svg(note: Note) -> str:
    points = " ".join(f"{x:g},{y:g}" if max(x, y) < 1e5 else f"{x},{y}" for x, y in map(_rounded, note.outline))
    if len(note.outline) == 1:
        x, y = points.split(",")
        shape = f'<circle cx="{x}" cy="{y}" r="1"/>'
    else:
        shape = f'<{"polyline" if note.kind == "quilting line" else "polygon"} points="{points}"/>'
    return f'<svg xmlns="{_SVG}">{shape}</svg>'


def _rounded(point: Pair) -> Pair:
    return round(point[0], 1), round(point[1], 1)


def _outline(svg: str) -> tuple[Pair, ...]:
    inner = svg.removeprefix(f'<svg xmlns="{_SVG}">').removesuffix("</svg>")
    if point := _POINT.fullmatch(inner):
        return ((float(point[1]), float(point[2])),)
    if line := _POINTS.fullmatch(inner):
        pairs = [pair.split(",") for pair in line[2].split(" ")]
        return tuple((float(x), float(y)) for x, y in pairs)
    raise NotationError(
        f'the shape "{svg[:60]}"',
        "a note is a polygon, a polyline or a circle",
        "take notes that Seamlore has written",
    )
