"""IIIF Presentation 3.0: a quilt's photographs as a manifest that any viewer shows, with what was noted on them."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any
from xml.sax.saxutils import quoteattr

from seamlore.formats.record import NOWHERE, Noted, Photo, QuiltRecord

CONTEXT = "http://iiif.io/api/presentation/3/context.json"


def to_manifest(quilt: QuiltRecord, *, address: str = "", file: str = "manifest.json") -> bytes:
    """Write a quilt's photographs as a IIIF manifest, one canvas each.

    Parameters
    ----------
    quilt : QuiltRecord
        With a photograph at least: a manifest has one canvas or more.
    address : str
        Where its folder will stand, as every id is an address; one that leads nowhere when not given.
    file : str
        What the manifest is called there.

    Raises
    ------
    ValueError
        When it has no photograph.

    Examples
    --------
    >>> quilt = QuiltRecord("0" * 32, "Blue star", photos=(Photo("front.jpg", "image/jpeg", 900, 1200),))
    >>> told = json.loads(to_manifest(quilt))
    >>> told["type"], told["items"][0]["width"], told["items"][0]["items"][0]["items"][0]["motivation"]
    ('Manifest', 900, 'painting')
    """
    if not quilt.photos:
        raise ValueError("a manifest needs a photograph")
    base = address or NOWHERE
    facts = [
        ("Blocks", ", ".join(quilt.blocks)),
        ("Setting", quilt.setting),
        ("Size", f"{quilt.size[0]:g} x {quilt.size[1]:g} in, {quilt.size_known}" if quilt.size else ""),
        ("When", quilt.headline),
        ("Maker", quilt.maker),
        ("Where", quilt.place),
        ("Accession number", quilt.accession),
        ("Condition", quilt.condition),
        ("Worth noticing", " ".join(quilt.noticed)),
    ]
    told: dict[str, Any] = {
        "@context": CONTEXT,
        "id": f"{base}{file}",
        "type": "Manifest",
        "label": _in_english(quilt.name),
        "metadata": [{"label": _in_english(label), "value": _in_english(value)} for label, value in facts if value],
        "items": [_canvas(quilt, photo, number, base) for number, photo in enumerate(quilt.photos, start=1)],
    }
    if quilt.lead or quilt.story:
        told["summary"] = _in_english(f"{quilt.lead} {quilt.story}".strip())
    if not told["metadata"]:
        del told["metadata"]
    return (json.dumps(told, ensure_ascii=False, indent=1) + "\n").encode()


def _in_english(text: str) -> dict[str, list[str]]:
    return {"en": [text]}


def _canvas(quilt: QuiltRecord, photo: Photo, number: int, base: str) -> dict[str, Any]:
    canvas = f"{base}{quilt.identity[:12]}/canvas/{number}"
    made: dict[str, Any] = {
        "id": canvas,
        "type": "Canvas",
        "label": _in_english(photo.shows),
        "width": photo.width,
        "height": photo.height,
        "items": [
            {
                "id": f"{canvas}/page",
                "type": "AnnotationPage",
                "items": [
                    {
                        "id": f"{canvas}/painting",
                        "type": "Annotation",
                        "motivation": "painting",
                        "body": {
                            "id": f"{base}{photo.file}",
                            "type": "Image",
                            "format": photo.media,
                            "width": photo.width,
                            "height": photo.height,
                        },
                        "target": canvas,
                    }
                ],
            }
        ],
    }
    noted = [each for each in quilt.notes if each.photo == photo.file]
    if noted:
        page = f"{canvas}/notes"
        made["annotations"] = [
            {"id": page, "type": "AnnotationPage", "items": _notes(noted, canvas, page, (photo.width, photo.height))}
        ]
    return made


def _notes(noted: Sequence[Noted], canvas: str, page: str, size: tuple[int, int]) -> list[dict[str, Any]]:
    """Notes as Web Annotations (W3C, Web Annotation Data Model), each an outline on its canvas."""
    return [
        {
            "id": f"{page}/{number}",
            "type": "Annotation",
            "motivation": "commenting",
            "body": {
                "type": "TextualBody",
                "value": f"{each.kind}: {each.says}" if each.says else each.kind,
                "format": "text/plain",
                "language": "en",
            },
            "target": {
                "type": "SpecificResource",
                "source": canvas,
                "selector": {"type": "SvgSelector", "value": _outline(each, size)},
            },
        }
        for number, each in enumerate(noted, start=1)
    ]


def _outline(note: Noted, size: tuple[int, int]) -> str:
    corners = " ".join(f"{x:.1f},{y:.1f}" for x, y in note.outline)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size[0]} {size[1]}">'
        f"<polygon points={quoteattr(corners)}/></svg>"
    )
