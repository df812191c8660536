"""A catalogue of quilts: an entry for each, with its pictures, and an index by block, by years and by number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Image, ImageFile
from seamlore.printing.content import (
    Beside,
    Block,
    Column,
    Document,
    Figure,
    NewPage,
    Paper,
    Paragraph,
    Section,
    Space,
    Table,
    Title,
)
from seamlore.printing.pages import main_width

_PICTURES_HIGH_MM = 66.0
_GAP_MM = 6.0


@dataclass(frozen=True, slots=True)
class Entry:
    """One quilt of a catalogue.

    Parameters
    ----------
    name, number : str
        What it is called, and its accession number.
    lead : str
        What it is, in a sentence.
    photo : ImageFile, optional
        Small, without the camera's data; `photo_px` is its width and height.
    draft : Picture, optional
        As drafted, no larger than `picture_room`.
    facts : tuple of (str, str)
    says : tuple of str
        Further sentences: its story, what is worth noticing.
    blocks : tuple of str
    first_year : int, optional
    """

    name: str
    number: str = ""
    lead: str = ""
    photo: ImageFile | None = None
    photo_px: tuple[int, int] = (0, 0)
    draft: Picture | None = None
    facts: tuple[tuple[str, str], ...] = ()
    says: tuple[str, ...] = ()
    blocks: tuple[str, ...] = ()
    first_year: int | None = None


@dataclass(frozen=True, slots=True)
class CatalogueContent:
    """What a catalogue shows: its title, a line under it, the entries in their order."""

    title: str
    subtitle: str
    printed: date
    entries: tuple[Entry, ...]


def picture_room(paper: Paper) -> tuple[float, float]:
    """Width and height in mm that one of an entry's two pictures may take.

    Examples
    --------
    >>> picture_room("a4")
    (56.0, 66.0)
    """
    return (main_width(paper) - _GAP_MM) / 2, _PICTURES_HIGH_MM


def catalogue(content: CatalogueContent, paper: Paper = "letter") -> Document:
    """Lay out a catalogue; entries are numbered in their order, and the index names these numbers."""
    blocks: list[Block] = [Title("Catalogue", content.title, content.subtitle)]
    for number, each in enumerate(content.entries, start=1):
        blocks.append(_entry(each, number, paper))
    blocks += [NewPage(), *_index(content.entries)]
    subject = f"A catalogue of {len(content.entries)} quilts"
    return Document(f"{content.title}: catalogue", tuple(blocks), content.printed, subject=subject, squares="plates")


def _entry(entry: Entry, number: int, paper: Paper) -> Section:
    shown: list[tuple[Block, ...]] = []
    room = picture_room(paper)
    if entry.photo is not None:
        shown.append((Figure(_photo(entry, room)),))
    if entry.draft is not None:
        shown.append((Figure(entry.draft),))
    body: list[Block] = [Paragraph(entry.lead, "lead")] if entry.lead else []
    if shown:
        # One picture alone keeps to its half, so that all quilts of a catalogue are seen alike.
        body.append(Beside(tuple(shown) if len(shown) == 2 else (shown[0], ()), gap_mm=_GAP_MM))
    if entry.facts:
        body += [Space(1.5), Table((Column(""), Column("", share=1)), entry.facts)]
    body += [Paragraph(each, "small") for each in entry.says]
    beside = (Paragraph(entry.number, "quiet"),) if entry.number else ()
    # One stack of its own, so that an entry stands on one page.
    return Section(f"{number}. {entry.name}", (Beside((tuple(body),)),) if body else (), beside)


def _photo(entry: Entry, room: tuple[float, float]) -> Picture:
    assert entry.photo is not None
    scale = min(room[0] / entry.photo_px[0], room[1] / entry.photo_px[1])
    wide, high = (scale * side for side in entry.photo_px)
    words = f"Photograph of {entry.name}"
    return picture(wide, high, [Image(entry.photo, 0, 0, wide, high)], title=words, description=f"{words}.")


def _index(entries: Sequence[Entry]) -> list[Block]:
    by_block: dict[str, list[int]] = {}
    by_years: dict[str, list[int]] = {}
    for number, each in enumerate(entries, start=1):
        for block in each.blocks:
            by_block.setdefault(block, []).append(number)
        years = "not dated" if each.first_year is None else f"from {each.first_year // 10 * 10} on"
        by_years.setdefault(years, []).append(number)
    named = sorted(((each.name, [n]) for n, each in enumerate(entries, start=1)), key=lambda row: row[0].casefold())
    numbered = sorted((each.number, [n]) for n, each in enumerate(entries, start=1) if each.number)
    tables = (
        ("By name", named),
        ("By block", sorted(by_block.items(), key=lambda row: row[0].casefold())),
        ("By years", sorted(by_years.items())),
        ("By accession number", numbered),
    )
    columns = (Column("", share=1), Column("Entry"))
    return [
        Section(
            f"Index: {title[:1].lower()}{title[1:]}",
            (Table(columns, tuple((name, ", ".join(map(str, numbers))) for name, numbers in rows)),),
        )
        for title, rows in tables
        if rows
    ]
