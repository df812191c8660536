"""LIDO 1.1 (ICOM-CIDOC, Lightweight Information Describing Objects): quilts as museums exchange records of objects."""

from __future__ import annotations

import io
from collections.abc import Sequence
from xml.etree import ElementTree as ET

from seamlore.formats.record import KIND, NOWHERE, QuiltRecord, iri

LIDO = "http://www.lido-schema.org"
XML = "http://www.w3.org/XML/1998/namespace"
SCHEMA = "http://www.lido-schema.org/schema/v1.1/lido-v1.1.xsd"
_XSI = "http://www.w3.org/2001/XMLSchema-instance"
_SOURCE = "Seamlore"


def to_lido(records: Sequence[QuiltRecord], *, address: str = "") -> bytes:
    """Write quilts as LIDO.

    Parameters
    ----------
    records : sequence of QuiltRecord
        One at least.
    address : str
        Where the photographs and records will stand; without it, an address that leads nowhere.

    Examples
    --------
    >>> text = to_lido([QuiltRecord("0" * 32, "Blue star", size=(70.0, 88.5), size_known="by tape")])
    >>> b"<lido:appellationValue>Blue star</lido:appellationValue>" in text
    True
    """
    ET.register_namespace("lido", LIDO)
    ET.register_namespace("xsi", _XSI)
    top = ET.Element(f"{{{LIDO}}}lidoWrap", {f"{{{_XSI}}}schemaLocation": f"{LIDO} {SCHEMA}"})
    for each in records:
        _record(top, each, address)
    file = io.BytesIO()
    ET.indent(top)
    ET.ElementTree(top).write(file, encoding="utf-8", xml_declaration=True)
    return file.getvalue() + b"\n"


def _in(above: ET.Element, name: str, text: str = "", **attributes: str) -> ET.Element:
    made = ET.SubElement(above, f"{{{LIDO}}}{name}")
    for key, value in attributes.items():
        made.set(f"{{{LIDO}}}{key}", value)
    if text:
        made.text = text
    return made


def _term(above: ET.Element, name: str, term: str) -> None:
    _in(_in(above, name), "term", term)


def _appellation(above: ET.Element, name: str, text: str) -> None:
    _in(_in(above, name), "appellationValue", text)


def _record(top: ET.Element, quilt: QuiltRecord, address: str) -> None:
    record = _in(top, "lido")
    _in(record, "lidoRecID", iri(quilt.identity), type="http://terminology.lido-schema.org/lido00099")
    described = _in(record, "descriptiveMetadata")
    described.set(f"{{{XML}}}lang", "en")
    kinds = _in(described, "objectClassificationWrap")
    _term(_in(kinds, "objectWorkTypeWrap"), "objectWorkType", KIND)
    if quilt.blocks or quilt.tags:
        classes = _in(kinds, "classificationWrap")
        for kind, terms in (("block", quilt.blocks), ("tag", quilt.tags)):
            for term in terms:
                _in(_in(classes, "classification", type=kind), "term", term)
    _identification(_in(described, "objectIdentificationWrap"), quilt)
    _events(_in(described, "eventWrap"), quilt)
    if quilt.made_of:
        related = _in(_in(described, "objectRelationWrap"), "relatedWorksWrap")
        for identity, name in quilt.made_of:
            one = _in(related, "relatedWorkSet")
            work = _in(one, "relatedWork")
            _in(work, "displayObject", name)
            _in(_in(work, "object"), "objectID", iri(identity), type="http://terminology.lido-schema.org/lido00099")
            _term(one, "relatedWorkRelType", "made of or after")
    _administration(record, quilt, address)


def _identification(wrap: ET.Element, quilt: QuiltRecord) -> None:
    _appellation(_in(wrap, "titleWrap"), "titleSet", quilt.name)
    if quilt.owner or quilt.accession:
        place = _in(_in(wrap, "repositoryWrap"), "repositorySet")
        if quilt.owner:
            _appellation(_in(place, "repositoryName"), "legalBodyName", quilt.owner)
        if quilt.accession:
            _in(place, "workID", quilt.accession, type="accession number")
    if quilt.condition:
        state = _in(_in(wrap, "displayStateEditionWrap"), "displayState", quilt.condition)
        state.set(f"{{{XML}}}lang", "en")
    notes = [("description", quilt.lead), ("story, as told", quilt.story), ("decision", quilt.decision)]
    notes += [("worth noticing", each) for each in quilt.noticed]
    told = [(kind, text) for kind, text in notes if text]
    if told:
        described = _in(wrap, "objectDescriptionWrap")
        for kind, text in told:
            _in(_in(described, "objectDescriptionSet", type=kind), "descriptiveNoteValue", text)
    measures = [("", quilt.size, quilt.size_known), ("block", quilt.block_size, "finished, as drafted")]
    measures += [("sashing", quilt.sashing, "finished, as drafted")] if quilt.sashing and any(quilt.sashing) else []
    known = [(of, pair, how) for of, pair, how in measures if pair]
    if known:
        measured = _in(wrap, "objectMeasurementsWrap")
        for of, pair, how in known:
            one = _in(measured, "objectMeasurementsSet")
            _in(one, "displayObjectMeasurements", f"{of} {pair[0]:g} x {pair[1]:g} in ({how})".strip())
            inner = _in(one, "objectMeasurements")
            for kind, value in zip(("width", "height"), pair, strict=True):
                measure = _in(inner, "measurementsSet")
                _in(measure, "measurementType", kind)
                _in(measure, "measurementUnit", "in")
                _in(measure, "measurementValue", f"{value:g}")
            if of:
                _in(inner, "extentMeasurements", of)


def _events(wrap: ET.Element, quilt: QuiltRecord) -> None:
    made = _in(_in(wrap, "eventSet"), "event")
    _term(made, "eventType", "production")
    if quilt.maker:
        actor = _in(_in(made, "eventActor"), "actorInRole")
        _appellation(_in(actor, "actor"), "nameActorSet", quilt.maker)
        _term(actor, "roleActor", "maker")
    if quilt.headline or quilt.made or quilt.span:
        when = _in(made, "eventDate")
        _in(when, "displayDate", quilt.headline or quilt.made or f"{quilt.span}")
        if quilt.span:
            _dates(when, *quilt.span)
    if quilt.place:
        _in(_in(made, "eventPlace"), "displayPlace", quilt.place)
    for fabric in quilt.fabrics:
        material = _in(_in(made, "eventMaterialsTech"), "materialsTech")
        _in(_in(material, "termMaterialsTech", type="material"), "term", fabric)
    for part in quilt.years:
        event = _in(_in(wrap, "eventSet"), "event")
        _term(event, "eventType", f"making of a part: {part.part}")
        when = _in(event, "eventDate")
        _in(when, "displayDate", f"{part.first} to {part.last}, 9 chances in 10")
        _dates(when, part.first, part.last)
        if part.reason:
            _in(_in(event, "eventDescriptionSet"), "descriptiveNoteValue", part.reason)
    if quilt.acquired:
        event = _in(_in(wrap, "eventSet"), "event")
        _term(event, "eventType", "acquisition")
        _in(_in(event, "eventDate"), "displayDate", quilt.acquired)


def _dates(when: ET.Element, first: int, last: int) -> None:
    date = _in(when, "date")
    _in(date, "earliestDate", f"{first:04}")
    _in(date, "latestDate", f"{last:04}")


def _administration(record: ET.Element, quilt: QuiltRecord, address: str) -> None:
    wrap = _in(record, "administrativeMetadata")
    wrap.set(f"{{{XML}}}lang", "en")
    about = _in(wrap, "recordWrap")
    _in(about, "recordID", iri(quilt.identity), type="http://terminology.lido-schema.org/lido00099")
    _term(about, "recordType", "single object")
    _appellation(_in(about, "recordSource"), "legalBodyName", _SOURCE)
    if quilt.changed:
        _in(_in(about, "recordInfoSet"), "recordMetadataDate", quilt.changed)
    if quilt.photos:
        resources = _in(wrap, "resourceWrap")
        for photo in quilt.photos:
            one = _in(resources, "resourceSet")
            link = _in(_in(one, "resourceRepresentation"), "linkResource", f"{address or NOWHERE}{photo.file}")
            link.set(f"{{{LIDO}}}formatResource", photo.media)
            _term(one, "resourceType", "photograph")
            _in(one, "resourceDescription", f"Shows the {photo.shows}.")
            if photo.taken:
                _in(_in(one, "resourceDateTaken"), "displayDate", photo.taken)
