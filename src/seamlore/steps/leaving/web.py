"""The web page of a quilt or of several: a folder that stands by itself, what is private left out of it."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Callable, Iterable
from dataclasses import replace

from seamlore.drawing.svg import to_svg
from seamlore.formats.record import Photo
from seamlore.formats.web_page import WebQuilt, web_pages
from seamlore.limits import NAME, checked_text
from seamlore.photo.files.encoding import smaller, to_jpeg
from seamlore.photo.opening import open_photo
from seamlore.shelf.shelf import Shelf
from seamlore.steps.leaving.exporting import checked_address
from seamlore.steps.leaving.record import Told, checked, told_of
from seamlore.steps.shelf.compare import ROWS, draft_picture

MOST = 300
# Large enough for any screen, small enough for a telephone's connection.
_PHOTO_PX, _SMALL_PX = 1600, 480
_DAY = (1980, 1, 1, 0, 0, 0)
# What the page says in other places.
_ELSEWHERE = ("when", "acquired", "condition", "decision")

Progress = Callable[[str, float], None]


def web_folder(
    shelf: Shelf,
    numbers: Iterable[int],
    *,
    made: datetime.date,
    title: str = "",
    chosen: Iterable[str] = (),
    address: str = "",
    tell: Progress = lambda stage, part: None,
) -> dict[str, bytes]:
    """Make the web page of quilts: every file by its name from the folder.

    Parameters
    ----------
    shelf : Shelf
    numbers : iterable of int
    made : date
    title : str
        What it is called; the quilt's name, or "Quilts", when empty.
    chosen : iterable of str
        What private may leave. Photographs are made anew at a size for pages and carry no camera's data in any case.
    address : str
        Where it will stand, for the records in it.
    tell : callable
        Told which quilt is worked on and how far it is; may raise to stop.

    Raises
    ------
    SeamloreError
        When none or too many are chosen, or the address is none.
    """
    found, allowed = checked(numbers, MOST), tuple(chosen)
    plain = checked_text(" ".join(title.split()), "the title", NAME)
    where = checked_address(address)
    quilts, left_out = [], []
    for at, number in enumerate(found):
        told = told_of(shelf, number, allowed, pictures=True)
        tell(told.record.name, at / len(found))
        quilts.append(_quilt(told))
        left_out += list(told.left_out)
    quilts.sort(key=lambda each: each.record.name.casefold())
    name = quilts[0].record.name if len(quilts) == 1 else "Quilts"
    return web_pages(plain or name, quilts, made=made, left_out=list(dict.fromkeys(left_out)), address=where)


def web_zip(files: dict[str, bytes]) -> bytes:
    """Pack the folder as one zip; the same files give the same bytes."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in sorted(files.items()):
            entry = zipfile.ZipInfo(f"quilts/{name}", _DAY)
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, 0o100644 << 16
            packed.writestr(entry, data)
    return file.getvalue()


def _quilt(told: Told) -> WebQuilt:
    record, files = told.record, {}
    photos, notes, small = [], [], ""
    short = record.identity[:12]
    for at, photo in enumerate(record.photos, start=1):
        pixels = smaller(open_photo(told.photographs[photo.file], name=record.name).pixels, _PHOTO_PX)
        file = f"pictures/{short}-{at}.jpg"
        files[file] = to_jpeg(pixels, quality=82)
        height, width = pixels.shape[:2]
        scale = width / photo.width if photo.width else 1.0
        notes += [
            replace(each, photo=file, outline=tuple((x * scale, y * scale) for x, y in each.outline))
            for each in record.notes
            if each.photo == photo.file
        ]
        photos.append(Photo(file, "image/jpeg", width, height, photo.shows, photo.taken))
        if photo.shows == "front" and not small:
            small = f"pictures/{short}-small.jpg"
            files[small] = to_jpeg(smaller(pixels, _SMALL_PX), quality=80)
    drawn, draft = draft_picture(told.quilt, wide_mm=140, high_mm=170), ""
    if drawn is not None:
        draft = f"pictures/{short}-draft.svg"
        files[draft] = to_svg(drawn).encode()
    figures = told.quilt.facts.figures
    facts = tuple(
        (what[:1].upper() + what[1:], value, known)
        for what, known, say in ROWS
        if what not in _ELSEWHERE and figures is not None and (value := say(told.quilt, figures))
    )
    not_known = [] if record.maker else ["who made it"]
    not_known += [] if record.place else ["where it was made"]
    not_known += [] if record.years or record.made else ["when it was made"]
    # Where names stay at home, that they are not told is said at the foot of the page.
    if any("name" in each for each in told.left_out):
        not_known = [each for each in not_known if each != "who made it"]
    return WebQuilt(
        replace(record, photos=tuple(photos), notes=tuple(notes)), small, draft, facts, tuple(not_known), files
    )
