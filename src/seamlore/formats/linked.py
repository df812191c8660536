"""Linked data: Dublin Core and schema.org as JSON-LD, each with a context of its own, so that nothing is looked up."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from seamlore.formats.record import KIND, QuiltRecord, iri

# UN/ECE Recommendation 20: the code of the inch.
_INCH = "INH"
_DC = {
    "dcterms": "http://purl.org/dc/terms/",
    "dctype": "http://purl.org/dc/dcmitype/",
    # Library of Congress, Extended Date/Time Format as a datatype.
    "edtf": "http://id.loc.gov/datatypes/edtf/",
}


def to_dublin_core(records: Sequence[QuiltRecord], *, address: str = "") -> bytes:
    """Write quilts in the terms of Dublin Core (DCMI Metadata Terms).

    Examples
    --------
    >>> told = json.loads(to_dublin_core([QuiltRecord("0" * 32, "Blue star", place="Ohio")]))
    >>> told["@graph"][0]["dcterms:title"], told["@graph"][0]["dcterms:spatial"]
    ('Blue star', 'Ohio')
    """
    return _written(_DC, [_dublin_core(each, address) for each in records])


def _dublin_core(quilt: QuiltRecord, address: str) -> dict[str, Any]:
    said: dict[str, Any] = {
        "@id": iri(quilt.identity, address),
        "@type": "dctype:PhysicalObject",
        "dcterms:title": quilt.name,
        "dcterms:type": KIND,
        "dcterms:identifier": [quilt.accession, iri(quilt.identity)],
        "dcterms:description": [quilt.lead, quilt.story, *quilt.noticed],
        "dcterms:creator": quilt.maker,
        "dcterms:spatial": quilt.place,
        "dcterms:created": [
            quilt.made,
            *({"@type": "edtf:EDTF", "@value": part.edtf} for part in quilt.years if part.edtf),
        ],
        "dcterms:temporal": quilt.headline,
        "dcterms:extent": f"{quilt.size[0]:g} x {quilt.size[1]:g} in, {quilt.size_known}" if quilt.size else "",
        "dcterms:medium": list(quilt.fabrics),
        "dcterms:subject": [*quilt.blocks, quilt.setting, *quilt.tags],
        "dcterms:provenance": quilt.acquired,
        "dcterms:rightsHolder": quilt.owner,
        "dcterms:source": [{"@id": iri(identity, address)} for identity, _ in quilt.made_of],
        "dcterms:hasFormat": [{"@id": f"{address}{photo.file}"} for photo in quilt.photos] if address else [],
    }
    return _without_empty(said)


def to_schema_org(records: Sequence[QuiltRecord], *, address: str = "") -> bytes:
    """Write quilts in the terms of schema.org.

    Examples
    --------
    >>> told = json.loads(to_schema_org([QuiltRecord("0" * 32, "Blue star", size=(70.0, 88.5))]))
    >>> told["@graph"][0]["width"]["value"], told["@graph"][0]["@type"]
    (70.0, 'VisualArtwork')
    """
    return _written({"@vocab": "https://schema.org/"}, [_schema_org(each, address) for each in records])


def _schema_org(quilt: QuiltRecord, address: str) -> dict[str, Any]:
    span, size = quilt.span, quilt.size or (None, None)
    said: dict[str, Any] = {
        "@id": iri(quilt.identity, address),
        "@type": "VisualArtwork",
        "name": quilt.name,
        "identifier": [quilt.accession, iri(quilt.identity)],
        "description": quilt.lead,
        "abstract": quilt.story,
        "artform": KIND,
        "artMedium": list(quilt.fabrics),
        "width": _length(size[0]),
        "height": _length(size[1]),
        "keywords": [*quilt.blocks, quilt.setting, *quilt.tags],
        # ISO 8601 intervals, as schema.org asks for.
        "temporalCoverage": f"{span[0]:04}/{span[1]:04}" if span else "",
        "creator": {"@type": "Person", "name": quilt.maker} if quilt.maker else None,
        "locationCreated": {"@type": "Place", "name": quilt.place} if quilt.place else None,
        "maintainer": {"@type": "Organization", "name": quilt.owner} if quilt.owner else None,
        "isBasedOn": [{"@id": iri(identity, address), "name": name} for identity, name in quilt.made_of],
        "comment": [{"@type": "Comment", "text": text} for text in (quilt.headline, *quilt.noticed) if text],
        "image": [
            _without_empty(
                {
                    "@type": "ImageObject",
                    "contentUrl": f"{address}{photo.file}",
                    "encodingFormat": photo.media,
                    "width": {"@type": "QuantitativeValue", "value": photo.width, "unitText": "px"},
                    "height": {"@type": "QuantitativeValue", "value": photo.height, "unitText": "px"},
                    "caption": f"Shows the {photo.shows}.",
                    "dateCreated": photo.taken,
                }
            )
            for photo in quilt.photos
        ],
        "dateModified": quilt.changed[:10],
    }
    return _without_empty(said)


def _length(value: float | None) -> dict[str, Any] | None:
    return None if value is None else {"@type": "QuantitativeValue", "value": value, "unitCode": _INCH}


def _without_empty(said: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in said.items():
        told = [each for each in value if each] if isinstance(value, list) else value
        if isinstance(told, list) and len(told) == 1:
            told = told[0]
        if told:
            found[key] = told
    return found


def _written(context: dict[str, str], graph: list[dict[str, Any]]) -> bytes:
    return (json.dumps({"@context": context, "@graph": graph}, ensure_ascii=False, indent=1) + "\n").encode()
