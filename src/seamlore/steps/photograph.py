"""The photograph as pictures: in tiles, small, laid flat, and with what was found drawn over it."""

from __future__ import annotations

from seamlore.drawing.shapes import ImageFile
from seamlore.drawing.svg import to_svg
from seamlore.errors import NotationError
from seamlore.photo.files.encoding import TILE_PX, Pyramid, to_jpeg
from seamlore.photo.opening import Photo, open_photo
from seamlore.pictures.found import found_picture
from seamlore.shelf.change import ShelfError
from seamlore.shelf.shelf import Shelf
from seamlore.steps.study.job import Job
from seamlore.steps.study.memo import Memo
from seamlore.steps.study.sections import Photographs
from seamlore.steps.study.versions import decode

__all__ = ["TILE_PX", "flat_jpeg", "found_svg", "kept_small", "make_small", "opened", "pyramid", "small_jpeg"]

_SMALL_PX = 512
_FOUND_MM = (170.0, 200.0)


def opened(data: bytes, name: str, memo: Memo) -> Photo:
    """Look at a file that came in, and keep what was decoded for the reading.

    Raises
    ------
    PhotoError
        When it is no photograph that can be read.
    """
    photo = open_photo(data, name=name)
    return memo.get(("photo", hash(data)), lambda: photo)


def pyramid(job: Job) -> Pyramid:
    """Give the photograph in every size, tile by tile."""
    return job.memo.get(("pyramid", hash(job.inputs.photo)), lambda: Pyramid(job.photo.pixels))


def small_jpeg(job: Job) -> bytes:
    """Give the photograph small, for a list of quilts."""
    return job.memo.get(
        ("small", hash(job.inputs.photo)), lambda: to_jpeg(pyramid(job).level(0)[:_SMALL_PX, :_SMALL_PX])
    )


def kept_small(shelf: Shelf, study: int) -> bytes | None:
    """Give the small photograph of a study as it was kept; None where none was made yet, or the photograph is gone."""
    try:
        photographs = decode(Photographs, shelf.read(study, "photographs").value)
    except NotationError:
        return None
    front = photographs.front if photographs else None
    if front is None:
        return None
    try:
        path = shelf.thumbnail(front.reference)
        shelf.photograph(front.reference)
        return path.read_bytes()
    except (ShelfError, OSError):
        return None


def make_small(shelf: Shelf, reference: str, job: Job) -> bytes:
    """Give a study's photograph small, and keep that for the next time."""
    data = small_jpeg(job)
    shelf.keep_thumbnail(reference, data)
    return data


def flat_jpeg(job: Job) -> bytes:
    """Give the quilt laid flat."""
    return to_jpeg(job.flat.pixels)


def found_svg(job: Job) -> str:
    """Draw the quilt laid flat with its block grid, rows and columns numbered: what a printed page shows."""
    photo = ImageFile("as-found.jpg", "image/jpeg", flat_jpeg(job))
    return to_svg(found_picture(job.reading, photo, *_FOUND_MM))
