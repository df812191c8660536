"""Small pictures of cloths as one file, and read from it again: what a shelf keeps beside its photographs."""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Sequence

import cv2
import numpy as np

from seamlore.photo.cloth.cutting import FINE_PX_PER_CM, Cloth, halved
from seamlore.photo.cloth.described import Cut
from seamlore.photo.cloth.matching import MOST_CUTS, Figures

# What is kept of a patch, in centimeters; a print's figures are looked for in that.
_MOST_CM = 8.0
_QUALITY = 88
_DAY = (1980, 1, 1, 0, 0, 0)


def to_file(cloths: Sequence[Cloth], rests_on: str) -> bytes:
    """Write the largest patches of every cloth as pictures with a clear ground; the same cloths give the same bytes.

    Examples
    --------
    >>> cut = Cut(np.full((40, 40, 3), 99, np.uint8), np.full((40, 40), 255, np.uint8))
    >>> data = to_file([Cloth((cut,), 12.0)], "a")
    >>> rests_of(data), picture(data, 0)[:4], picture(data, 1), figures(data, 0).cuts[0].mask.shape
    ('a', b'RIFF', None, (20, 20))
    """
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as packed:
        packed.comment = rests_on.encode()
        for number, cloth in enumerate(cloths):
            for place, cut in enumerate(cloth.cuts[:MOST_CUTS]):
                packed.writestr(zipfile.ZipInfo(_name(number, place), _DAY), _encoded(_middle(cut)))
    return file.getvalue()


def rests_of(data: bytes | None) -> str:
    """Say what the cloths in a file were cut from; empty where there is no such file or it is damaged."""
    try:
        with zipfile.ZipFile(io.BytesIO(data or b"")) as packed:
            return packed.comment.decode()
    except (zipfile.BadZipFile, UnicodeDecodeError):
        return ""


def picture(data: bytes | None, number: int) -> bytes | None:
    """Give the picture of a cloth's largest patch (WebP, `FINE_PX_PER_CM`); None where there is none."""
    return _stored(data, _name(number, 0))


def figures(data: bytes | None, number: int) -> Figures | None:
    """Give the patches of a cloth, ready to be held against another's; None where they are not there."""
    cuts = []
    for place in range(MOST_CUTS):
        stored = _stored(data, _name(number, place))
        seen = cv2.imdecode(np.frombuffer(stored, np.uint8), cv2.IMREAD_UNCHANGED) if stored else None
        if seen is not None and seen.ndim == 3:
            # Without a clear ground the file says nothing of it.
            mask = seen[..., 3] if seen.shape[2] == 4 else np.full(seen.shape[:2], 255, np.uint8)
            cuts.append(halved(Cut(np.ascontiguousarray(seen[..., 2::-1], np.uint8), np.asarray(mask, np.uint8))))
    return Figures(tuple(cuts)) if cuts else None


def _name(number: int, place: int) -> str:
    return f"{number}-{place}.webp"


def _stored(data: bytes | None, name: str) -> bytes | None:
    try:
        with zipfile.ZipFile(io.BytesIO(data or b"")) as packed:
            return packed.read(name)
    except (zipfile.BadZipFile, KeyError, zlib.error, EOFError, NotImplementedError):
        return None


def _middle(cut: Cut) -> Cut:
    most = round(_MOST_CM * FINE_PX_PER_CM)
    height, width = cut.mask.shape
    top, left = max(0, (height - most) // 2), max(0, (width - most) // 2)
    some = (slice(top, top + most), slice(left, left + most))
    return Cut(cut.pixels[some], cut.mask[some])


def _encoded(cut: Cut) -> bytes:
    both = np.dstack([cut.pixels[..., ::-1], cut.mask])
    _, stored = cv2.imencode(".webp", both, [cv2.IMWRITE_WEBP_QUALITY, _QUALITY])
    return bytes(stored)
