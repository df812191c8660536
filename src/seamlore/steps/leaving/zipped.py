"""A study as one zip: its record as JSON, the record's schema, its photographs; written, and read with suspicion."""

from __future__ import annotations

import io
import json
import re
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import msgspec

from seamlore.errors import SeamloreError
from seamlore.limits import NAME
from seamlore.shelf.collection import Arrival
from seamlore.shelf.past import Past, leads_to
from seamlore.shelf.photographs import is_of
from seamlore.steps.study.sections import SECTIONS
from seamlore.steps.study.versions import decode
from seamlore.steps.study.versions import schema as section_schema

VERSION = 1
RECORD, SCHEMA, PHOTOGRAPHS = "study.json", "study.schema.json", "photographs/"
# A study has a few photographs of some 30 MB; what has more or unpacks to more than its size allows is no study.
MOST_FILES = 500
MOST_RECORD = 64 * 2**20
MOST_PHOTOGRAPH = 500 * 2**20
MOST_IN_ALL = 4 * 2**30
_PART = 2**20
# Photographs are packed already; text of a record rarely packs to less than a two-hundredth.
_MOST_PACKED = 400
_REFERENCE = re.compile(r"[0-9a-f]{64}\.[a-z]{3,4}")
# The first day that a zip can say: the same study is the same file on every day.
_DAY = (1980, 1, 1, 0, 0, 0)


class StudyFile(msgspec.Struct, frozen=True, kw_only=True):
    """A study as it leaves the shelf.

    Attributes
    ----------
    format, version
        What this is.
    identity
        Who the study is, wherever it goes.
    name
        What the quilt is called.
    sections
        What was put in, by name; each carries its own version.
    photographs
        The references of its photographs: the SHA-256 of each file, and its kind.
    left_out
        What stayed at home, in words.
    history
        Every change that was ever made to it; null where that stayed at home.
    """

    format: Literal["seamlore study"] = "seamlore study"
    version: int = VERSION
    identity: Annotated[str, msgspec.Meta(pattern="^[0-9a-f]{32}$")]
    name: Annotated[str, msgspec.Meta(min_length=1, max_length=NAME)]
    sections: dict[str, dict[str, Any]]
    photographs: tuple[Annotated[str, msgspec.Meta(pattern=r"^[0-9a-f]{64}\.[a-z]{3,4}$")], ...] = ()
    left_out: tuple[str, ...] = ()
    history: Past | None = None


class ZipError(SeamloreError):
    """A zip that is no study, or not as it was made."""


@dataclass(frozen=True, slots=True)
class Packed:
    """A study ready to be packed."""

    identity: str
    name: str
    sections: Mapping[str, str]
    photographs: Mapping[str, bytes]
    left_out: tuple[str, ...] = ()
    past: Past | None = None


def schema() -> dict[str, Any]:
    """Describe the record in the zip, as JSON Schema; sections of other versions are held to being objects."""
    found = msgspec.json.schema(StudyFile)
    described = found["$defs"]["StudyFile"]
    described["properties"]["version"] = {"const": VERSION}
    known: dict[str, Any] = {}
    for name in SECTIONS:
        inner = section_schema(name)
        found["$defs"] |= inner["$defs"]
        known[name] = {"$ref": inner["$ref"]}
    described["properties"]["sections"] = {
        "type": "object",
        "properties": known,
        "additionalProperties": {"type": "object"},
    }
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **found}


def pack(study: Packed) -> bytes:
    """Write a study as one zip; the same study gives the same bytes.

    Examples
    --------
    >>> from seamlore.steps.study.sections import Tape
    >>> from seamlore.steps.study.versions import encode
    >>> data = pack(Packed("0" * 32, "Star", {"tape": encode(Tape(width="70 in"))}, {}))
    >>> unpack(data).name, pack(Packed("0" * 32, "Star", unpack(data).sections, {})) == data
    ('Star', True)
    """
    record = StudyFile(
        identity=study.identity,
        name=study.name,
        sections={name: json.loads(text) for name, text in sorted(study.sections.items())},
        photographs=tuple(sorted(study.photographs)),
        left_out=study.left_out,
        history=study.past,
    )
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as packed:
        text = msgspec.json.format(msgspec.json.encode(record), indent=1) + b"\n"
        _put(packed, RECORD, text, zipfile.ZIP_DEFLATED)
        _put(packed, SCHEMA, (json.dumps(schema(), indent=1, sort_keys=True) + "\n").encode(), zipfile.ZIP_DEFLATED)
        for reference, data in sorted(study.photographs.items()):
            _put(packed, PHOTOGRAPHS + reference, data, zipfile.ZIP_STORED)
    return file.getvalue()


def _put(packed: zipfile.ZipFile, name: str, data: bytes, how: int) -> None:
    entry = zipfile.ZipInfo(name, _DAY)
    entry.compress_type = how
    # Read and written by its owner, read by others; a plain file.
    entry.external_attr = 0o100644 << 16
    packed.writestr(entry, data)


def unpack(data: bytes, *, source: str = "the zip") -> Arrival:
    """Read a study from a zip; nothing in it is believed.

    Parameters
    ----------
    data : bytes
    source : str
        Its name, for messages.

    Raises
    ------
    ZipError
        When it is no zip, holds anything but a study, unpacks to more than a study can have, is of another version, or
        a photograph is missing or was changed.

    Examples
    --------
    >>> unpack(b"PK", source="star.zip")
    Traceback (most recent call last):
        ...
    seamlore.steps.leaving.zipped.ZipError: star.zip: it is no zip file, or not whole; have it sent again
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            return _read(packed, source)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as fault:
        if isinstance(fault, RuntimeError) and "password" in str(fault):
            raise ZipError(source, "it is locked with a password", "have it sent without") from None
        raise ZipError(source, "it is no zip file, or not whole", "have it sent again") from None


def _read(packed: zipfile.ZipFile, source: str) -> Arrival:
    entries = packed.infolist()
    if len(entries) > MOST_FILES:
        raise ZipError(source, f"it holds {len(entries):,} files, and a study at most {MOST_FILES}", "check the file")
    named: dict[str, zipfile.ZipInfo] = {}
    for entry in entries:
        name = entry.filename
        known = name in (RECORD, SCHEMA) or (
            name.startswith(PHOTOGRAPHS) and _REFERENCE.fullmatch(name.removeprefix(PHOTOGRAPHS))
        )
        if not known:
            # No name from a zip is ever used as a path; what is not a study's is not looked at.
            raise ZipError(source, f'it holds "{name[:60]}", which no study has', "have the study sent by itself")
        if name in named:
            raise ZipError(source, f'it holds "{name[:80]}" twice', "have it sent again")
        if (entry.external_attr >> 16) & 0o170000 == 0o120000:
            raise ZipError(source, f'"{name[:80]}" in it is a link to elsewhere', "have it sent again")
        named[name] = entry
    if sum(entry.file_size for entry in entries) > MOST_IN_ALL:
        raise ZipError(source, f"it unpacks to more than {MOST_IN_ALL // 2**30} GB", "check the file")
    if RECORD not in named:
        raise ZipError(source, f"it holds no {RECORD}", "choose a zip that Seamlore made of a study")
    record = _record(_unpacked(packed, named[RECORD], MOST_RECORD, source), source)
    photographs = {}
    for reference in record.photographs:
        name = PHOTOGRAPHS + reference
        if name not in named:
            raise ZipError(source, f"the photograph {reference[:12]}... is missing from it", "have it sent again")
        photographs[reference] = _unpacked(packed, named[name], MOST_PHOTOGRAPH, source)
        if not is_of(reference, photographs[reference]):
            raise ZipError(
                source, f"the photograph {reference[:12]}... is not the one that was put in", "have it sent again"
            )
    more = {name for name in named if name.startswith(PHOTOGRAPHS)} - {PHOTOGRAPHS + each for each in photographs}
    if more:
        raise ZipError(source, "it holds a photograph that its record does not name", "have it sent again")
    sections = _sections(record, photographs, source)
    if record.history is not None and not leads_to(record.history, record.name, sections):
        raise ZipError(source, "its history does not lead to what it holds", "have it sent again")
    return Arrival(record.identity, record.name, sections, photographs, record.history)


def _unpacked(packed: zipfile.ZipFile, entry: zipfile.ZipInfo, most: int, source: str) -> bytes:
    """Unpack a file, no further than it says it is large and may be."""
    if entry.file_size > most or entry.file_size > max(_PART, _MOST_PACKED * entry.compress_size):
        says = f"{entry.filename} in it unpacks to {entry.file_size:,} bytes, which no study has"
        raise ZipError(source, says, "check where it comes from")
    parts, size = [], 0
    with packed.open(entry) as stream:
        while part := stream.read(_PART):
            size += len(part)
            if size > entry.file_size:
                raise ZipError(source, f"{entry.filename} unpacks to more than it says", "check where it comes from")
            parts.append(part)
    return b"".join(parts)


def _record(text: bytes, source: str) -> StudyFile:
    try:
        told = msgspec.json.decode(text, type=dict[str, Any])
        version = told.get("version")
        if told.get("format") == "seamlore study" and isinstance(version, int) and version > VERSION:
            raise ZipError(
                source,
                f"it is of version {version}, and this Seamlore knows up to {VERSION}",
                "use the newer Seamlore",
            )
        record = msgspec.convert(told, StudyFile)
    except (msgspec.DecodeError, RecursionError) as fault:
        raise ZipError(source, f"its record cannot be read ({fault})", "have it sent again") from None
    if record.version != VERSION:
        raise ZipError(source, f"it is of version {record.version}, and there is none", "have it sent again")
    if not record.name.strip() or not record.name.isprintable():
        raise ZipError(source, "its name cannot be shown", "have it sent again")
    return record


def _sections(record: StudyFile, photographs: Mapping[str, bytes], source: str) -> dict[str, str]:
    """Look at every section, and see that each photograph that one names came along."""
    if len(record.sections) > MOST_FILES:
        raise ZipError(source, f"its record has {len(record.sections):,} sections", "have it sent again")
    found = {}
    for name, value in record.sections.items():
        if not re.fullmatch(r"[\w ]{1,60}", name):
            raise ZipError(source, f'its record has a section "{name[:40]}"', "have it sent again")
        text = msgspec.json.encode(value).decode()
        if name in SECTIONS:
            try:
                decode(SECTIONS[name], text)
            except SeamloreError as fault:
                raise ZipError(source, f"{fault.given}: {fault.limit}", fault.remedy) from None
        found[name] = text
    named = set(_REFERENCE.findall(found.get("photographs", "")))
    missing = sorted(named - set(photographs))
    if missing:
        raise ZipError(source, f"the photograph {missing[0][:12]}... is missing from it", "have it sent again")
    return found
