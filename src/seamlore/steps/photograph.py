"""The photograph as pictures: in tiles, small, laid flat, and with what was found drawn over it."""

from __future__ import annotations

from seamlore.drawing.shapes import ImageFile
from seamlore.drawing.svg import to_svg
from seamlore.photo.encoding import TILE_PX, Pyramid, to_jpeg
from seamlore.photo.opening import Photo, open_photo
from seamlore.pictures.found import found_picture
from seamlore.steps.study.job import Job
from seamlore.steps.study.memo import Memo

__all__ = ["TILE_PX", "flat_jpeg", "found_svg", "opened", "pyramid", "small_jpeg"]

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


def flat_jpeg(job: Job) -> bytes:
    """Give the quilt laid flat."""
    return to_jpeg(job.flat.pixels)


def found_svg(job: Job) -> str:
    """Draw the quilt laid flat with its block grid, rows and columns numbered: what a printed page shows."""
    photo = ImageFile("as-found.jpg", "image/jpeg", flat_jpeg(job))
    return to_svg(found_picture(job.reading, photo, *_FOUND_MM))
