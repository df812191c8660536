"""Open a photograph: any common format, upright, as sRGB; and refuse what is not one.

It is decoded in a process of its own, so that no file can take the memory, the time or the life of this one.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from seamlore.errors import PhotoError
from seamlore.photo.files import decoder
from seamlore.photo.files.limits import KINDS

Pixels = NDArray[np.uint8]


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """A photograph, upright, in sRGB.

    Attributes
    ----------
    pixels
        uint8, shape (h, w, 3), red green blue; not to be written to.
    name
        What to call it in messages: the file's name, as a rule.
    notes
        What could not be honored in opening it, in plain words.
    """

    pixels: Pixels
    name: str = ""
    notes: tuple[str, ...] = ()

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return self.pixels.shape[1], self.pixels.shape[0]


def open_photo(source: Path | bytes, *, name: str = "") -> Photo:
    """Open a photograph.

    Orientation and color profile are honored; transparent parts become white; of a picture that moves the
    first frame is taken; 16 bits, gray, CMYK and palettes become 8-bit sRGB. The file's name says nothing:
    a picture under the wrong suffix opens.

    Parameters
    ----------
    source : Path or bytes
        A file, or its content.
    name : str, optional
        What to call it in messages; the file's name when not given.

    Returns
    -------
    Photo

    Raises
    ------
    PhotoError
        When it is missing, a folder, not a picture, damaged, under 64 px on a side, over 120 megapixels, or takes
        more time or memory than `limits` allow.

    Examples
    --------
    >>> import io
    >>> from PIL import Image
    >>> file = io.BytesIO()
    >>> Image.new("L", (80, 100), 128).save(file, "PNG")
    >>> open_photo(file.getvalue()).pixels.shape
    (100, 80, 3)
    >>> open_photo(b"no picture", name="notes.txt")
    Traceback (most recent call last):
        ...
    seamlore.errors.PhotoError: notes.txt: a file that is not a picture: a photograph is a JPEG, ...
    """
    if isinstance(source, bytes):
        return _open(source, _on_one_line(name or "the photograph"))
    shown = _on_one_line(name or source.name or str(source))
    try:
        if source.is_dir():
            raise PhotoError("a folder", "one photograph is read at a time", "name a picture in it", where=shown)
        if not source.exists():
            raise PhotoError("there is no such file", KINDS, "check the name and the folder", where=shown)
        if not source.is_file():
            raise PhotoError("not an ordinary file", KINDS, "name a picture", where=shown)
        # Tried here: that it may not be read is said before anything else is started.
        source.open("rb").close()
    except (OSError, ValueError) as fault:
        reason = (getattr(fault, "strerror", None) or str(fault))[:90]
        raise PhotoError(
            f"the file cannot be opened ({reason})", KINDS, "check that it may be read", where=shown
        ) from fault
    return _open(source, shown)


def _on_one_line(name: str) -> str:
    return "".join(sign if sign.isprintable() else "?" for sign in name)


def _open(source: Path | bytes, name: str) -> Photo:
    try:
        pixels, notes = decoder.DECODER.decode(source)
    except PhotoError as fault:
        raise PhotoError(fault.given, fault.limit, fault.remedy, where=name) from None
    pixels.setflags(write=False)
    return Photo(pixels, name, notes)
