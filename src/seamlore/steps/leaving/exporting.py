"""A quilt, or several, in an open format: one file of each."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from seamlore.draft.catalogue import find
from seamlore.draft.text.quilt_file import read_quilt
from seamlore.drawing.svg import to_svg
from seamlore.errors import SeamloreError, nearest
from seamlore.formats.iiif import to_manifest
from seamlore.formats.lido import to_lido
from seamlore.formats.linked import to_dublin_core, to_schema_org
from seamlore.formats.table import to_csv
from seamlore.lengths import inches
from seamlore.shelf.shelf import Shelf
from seamlore.steps.leaving.record import Told, checked, told_of
from seamlore.steps.shelf.compare import draft_picture

MOST = 10_000
_ALLOWANCE = inches("1/4")


@dataclass(frozen=True, slots=True)
class Format:
    """One open format: its file's name, what it is, its media type, whether one file holds several quilts."""

    file: str
    says: str
    media: str
    several: bool
    write: Callable[[Sequence[Told], str], bytes]


def _records(write: Callable[..., bytes]) -> Callable[[Sequence[Told], str], bytes]:
    return lambda told, address: write([each.record for each in told], address=address)


def _manifest(told: Sequence[Told], address: str) -> bytes:
    (one,) = told
    if not one.record.photos:
        raise SeamloreError(f'"{one.record.name}"', "a IIIF manifest shows photographs, and it has none", "add one")
    return to_manifest(one.record, address=address)


def _svg(told: Sequence[Told], _: str) -> bytes:
    (one,) = told
    drawn = draft_picture(one.quilt, wide_mm=180, high_mm=220)
    if drawn is None:
        raise _no_draft(one)
    return to_svg(drawn).encode()


def _dxf(told: Sequence[Told], _: str) -> bytes:
    from seamlore.formats.dxf import Template, to_dxf  # drawings for machines: slow to import
    from seamlore.sewing.top import sewn_top
    from seamlore.steps.sewing.templates import templates

    (one,) = told
    figures = one.quilt.facts.figures
    if figures is None or not figures.draft:
        raise _no_draft(one)
    quilt = read_quilt(figures.draft, find_block=find)
    made = [
        Template(each.label, each.outline_in, each.lines, each.grain_deg)
        for each in templates(quilt, sewn_top(quilt), _ALLOWANCE)
    ]
    return to_dxf(made, float(_ALLOWANCE.inches), unit="mm" if one.quilt.facts.unit == "cm" else "in")


def _no_draft(one: Told) -> SeamloreError:
    return SeamloreError(f'"{one.quilt.name}"', "it has no draft yet", "open its page Draft first")


FORMATS: Mapping[str, Format] = {
    "csv": Format(
        "quilts.csv", "CSV: a line for each quilt, for a spreadsheet", "text/csv", True,
        lambda told, _: to_csv([each.record for each in told]),
    ),
    "lido": Format("lido.xml", "LIDO 1.1: for museums and portals", "application/xml", True, _records(to_lido)),
    "dublin-core": Format(
        "dublin-core.jsonld", "Dublin Core: for libraries", "application/ld+json", True,
        _records(to_dublin_core),
    ),
    "schema-org": Format(
        "schema-org.jsonld", "schema.org: for web pages and search", "application/ld+json", True,
        _records(to_schema_org),
    ),
    "iiif": Format(
        "manifest.json", "IIIF Presentation 3 manifest: its photographs in any viewer", "application/ld+json", False,
        _manifest,
    ),
    "svg": Format("draft.svg", "SVG of its draft", "image/svg+xml", False, _svg),
    "dxf": Format(
        "templates.dxf", "DXF of its templates: for a cutting machine", "image/vnd.dxf", False, _dxf
    ),
}  # fmt: skip


def export(
    shelf: Shelf, numbers: Iterable[int], name: str, chosen: Iterable[str] = (), *, address: str = ""
) -> tuple[bytes, Format]:
    """Write quilts in an open format.

    Parameters
    ----------
    shelf : Shelf
    numbers : iterable of int
    name : str
        Of `FORMATS`.
    chosen : iterable of str
        What private may leave, of `private.PRIVATE`.
    address : str
        Where the file and the photographs will stand, for formats that name addresses.

    Raises
    ------
    SeamloreError
        When there is no such format, it holds one quilt only, a quilt has no draft, or the address is none.
    """
    if name not in FORMATS:
        raise SeamloreError(f'the format "{name}"', "there is no such format", nearest(name, FORMATS))
    found, wanted = checked(numbers, MOST), FORMATS[name]
    if len(found) > 1 and not wanted.several:
        raise SeamloreError(
            f"{len(found)} quilts as {wanted.file}", "one file holds one quilt", "take them one by one"
        )
    where = checked_address(address)
    # Where photographs are named, by the names that they have once the camera's data are taken out.
    named = name == "iiif" or bool(where)
    return wanted.write([told_of(shelf, number, chosen, pictures=named) for number in found], where), wanted


def checked_address(address: str) -> str:
    """Give an address with a stroke at its end; refuse what is none.

    Examples
    --------
    >>> checked_address(" https://my.example/quilts "), checked_address("")
    ('https://my.example/quilts/', '')
    >>> checked_address("my quilts")
    Traceback (most recent call last):
        ...
    seamlore.errors.SeamloreError: the address "my quilts": it begins with https:// or http://; write it whole, or leave it out
    """
    plain = address.strip()
    if not plain:
        return ""
    if not re.fullmatch(r"https?://[^\s<>\"'{}|\\^`]+", plain) or len(plain) > 500:
        raise SeamloreError(
            f'the address "{plain[:60]}"', "it begins with https:// or http://", "write it whole, or leave it out"
        )
    return plain if plain.endswith("/") else plain + "/"
