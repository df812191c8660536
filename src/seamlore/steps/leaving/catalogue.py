"""A catalogue of quilts that were chosen, printed; what is private left out of it."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from contextlib import suppress

from seamlore.drawing.shapes import ImageFile
from seamlore.errors import SeamloreError
from seamlore.limits import NAME, checked_text
from seamlore.printing.content import Paper
from seamlore.sheets.catalogue import CatalogueContent, Entry, catalogue, picture_room
from seamlore.shelf.shelf import Shelf
from seamlore.steps.leaving.record import Told, checked, told_of
from seamlore.steps.photograph import kept_small
from seamlore.steps.shelf.compare import ROWS, draft_picture
from seamlore.steps.shelf.working import work_out_one

MOST = 500
# Of what is compared, what an entry tells; the rest is in its lead, its pictures or its headline.
_TOLD = ("size", "block", "sashing", "border", "fabrics told apart", "when", "condition")

Progress = Callable[[str, float], None]


def catalogue_pdf(
    shelf: Shelf,
    numbers: Iterable[int],
    *,
    printed: datetime.date,
    title: str = "",
    chosen: Iterable[str] = (),
    paper: Paper = "letter",
    tell: Progress = lambda stage, part: None,
) -> bytes:
    """Print a catalogue of quilts, in the order of their names.

    Parameters
    ----------
    shelf : Shelf
    numbers : iterable of int
    printed : date
    title : str
        What it is called; "Quilts" when empty.
    chosen : iterable of str
        What private may leave, of `private.PRIVATE`.
    paper : {"letter", "a4"}
    tell : callable
        Told what is being done and how far it is, 0 to 1; may raise to stop.

    Raises
    ------
    SeamloreError
        When none or too many are chosen.
    """
    from seamlore.printing.pages import to_pdf  # the document engine: slow to import

    found, allowed = checked(numbers, MOST), tuple(chosen)
    plain = checked_text(" ".join(title.split()), "the title", NAME) or "Quilts"
    told: list[Told] = []
    for at, number in enumerate(found):
        each = told_of(shelf, number, allowed)
        tell(each.record.name, 0.7 * at / len(found))
        if not each.quilt.listed.worked or (each.record.photos and kept_small(shelf, number) is None):
            # What cannot be worked out stands in the catalogue with what is known of it.
            with suppress(SeamloreError):
                work_out_one(shelf, number)
            each = told_of(shelf, number, allowed)
        told.append(each)
    told.sort(key=lambda each: each.record.name.casefold())
    tell("Laying out", 0.75)
    entries = tuple(_entry(shelf, each, paper) for each in told)
    count = f"{len(entries)} quilt{'s' * (len(entries) != 1)}"
    content = CatalogueContent(plain, count, printed, entries)
    tell("Printing", 0.85)
    return to_pdf(catalogue(content, paper), paper)


def _entry(shelf: Shelf, told: Told, paper: Paper) -> Entry:
    record, quilt = told.record, told.quilt
    figures = quilt.facts.figures
    small = kept_small(shelf, quilt.number) if record.photos else None
    photo, photo_px = None, (0, 0)
    if small is not None:
        photo = ImageFile(f"{record.identity}.jpg", "image/jpeg", small)
        photo_px = _size_px(small)
    room = picture_room(paper)
    facts = []
    for what, known, say in ROWS:
        if what in _TOLD and figures is not None:
            value = say(quilt, figures)
            if value and value != "none":
                facts.append((what[:1].upper() + what[1:], f"{value} ({known})" if what == "size" else value))
    facts += [("Maker", record.maker)] if record.maker else []
    facts += [("Where", record.place)] if record.place else []
    facts += [("Acquired", record.acquired)] if record.acquired else []
    facts += [("Owner", record.owner)] if record.owner else []
    facts += [("Made of", ", ".join(name for _, name in record.made_of))] if record.made_of else []
    return Entry(
        name=record.name,
        number=record.accession,
        lead=record.lead,
        photo=photo,
        photo_px=photo_px,
        draft=draft_picture(quilt, wide_mm=room[0], high_mm=room[1]),
        facts=tuple(facts),
        says=tuple(each for each in (record.story, *record.noticed) if each),
        blocks=record.blocks,
        first_year=record.span[0] if record.span else None,
    )


def _size_px(jpeg: bytes) -> tuple[int, int]:
    from seamlore.photo.opening import open_photo  # opens pictures: slow to import

    return open_photo(jpeg).size_px
