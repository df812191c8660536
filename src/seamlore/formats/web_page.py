"""Quilts as web pages: a folder that stands by itself, readable on a telephone, that asks for nothing from outside."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined

from seamlore.formats.iiif import to_manifest
from seamlore.formats.linked import to_schema_org
from seamlore.formats.record import QuiltRecord
from seamlore.formats.table import to_csv

STYLE = "style.css"


@dataclass(frozen=True, slots=True, eq=False)
class WebQuilt:
    """One quilt of the pages.

    Parameters
    ----------
    record : QuiltRecord
        Its photographs under the names that they have in `files`.
    small, draft : str
        The file of its small photograph and that of its draft; empty where there is none.
    facts : tuple of (str, str, str)
        What, how much, how it is known.
    not_known : tuple of str
    files : mapping of str to bytes
        By name, from the folder.
    """

    record: QuiltRecord
    small: str = ""
    draft: str = ""
    facts: tuple[tuple[str, str, str], ...] = ()
    not_known: tuple[str, ...] = ()
    files: Mapping[str, bytes] = field(default_factory=dict)


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("seamlore.formats", "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def page_names(quilts: Sequence[QuiltRecord]) -> list[str]:
    """Give each quilt a file name of its own.

    Examples
    --------
    >>> page_names([QuiltRecord("0" * 32, "Blue star!"), QuiltRecord("1" * 32, "Blue  star"), QuiltRecord("2" * 32, "Ü")])
    ['blue-star.html', 'blue-star-2.html', 'quilt.html']
    """
    taken: set[str] = set()
    found = []
    for each in quilts:
        plain = re.sub(r"[^a-z0-9]+", "-", each.name.casefold()).strip("-")[:60] or "quilt"
        # The page of all of them has this name.
        plain = f"{plain}-quilt" if plain == "index" else plain
        name, count = plain, 1
        while name in taken:
            count += 1
            name = f"{plain}-{count}"
        taken.add(name)
        found.append(f"{name}.html")
    return found


def web_pages(
    title: str, quilts: Sequence[WebQuilt], *, made: date, left_out: Sequence[str] = (), address: str = ""
) -> dict[str, bytes]:
    """Make the pages of one quilt or of several.

    Parameters
    ----------
    title : str
        What all of it is called.
    quilts : sequence of WebQuilt
        One at least; of several there is a page of all of them and a page of each.
    made : date
    left_out : sequence of str
        What is not told, in words.
    address : str
        Where the folder will stand; only the records for other programs need it.

    Returns
    -------
    dict of str to bytes
        Every file by its name from the folder; `index.html` is opened first.

    Examples
    --------
    >>> pages = web_pages("Star", [WebQuilt(QuiltRecord("0" * 32, "Star"))], made=date(2026, 11, 30))
    >>> sorted(pages)
    ['index.html', 'quilts.csv', 'record.jsonld', 'style.css']
    """
    records = [each.record for each in quilts]
    names = ["index.html"] if len(quilts) == 1 else page_names(records)
    files: dict[str, bytes] = {STYLE: _environment().get_template("style.css").render().encode()}
    given = {"title": title, "made": made.isoformat(), "left_out": list(left_out)}
    if len(quilts) > 1:
        rows = list(zip(names, quilts, strict=True))
        files["index.html"] = _page("index.html", rows=rows, **given)
    for number, (name, each) in enumerate(zip(names, quilts, strict=True)):
        manifest = ""
        if each.record.photos:
            manifest = f"{name.removesuffix('.html')}-manifest.json"
            files[manifest] = to_manifest(each.record, address=address, file=manifest)
        before = (names[number - 1], records[number - 1].name) if number else None
        after = (names[number + 1], records[number + 1].name) if number + 1 < len(names) else None
        files[name] = _page(
            "quilt.html", quilt=each, manifest=manifest, alone=len(quilts) == 1, before=before, after=after, **given
        )
        files |= each.files
    files["quilts.csv"] = to_csv(records)
    files["record.jsonld"] = to_schema_org(records, address=address)
    return files


def _page(template: str, **given: object) -> bytes:
    return _environment().get_template(template).render(**given).encode()
