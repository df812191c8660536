"""A photograph without what the camera wrote into it: no place, no time, no maker; the picture itself is untouched."""

from __future__ import annotations

import io
import struct

from PIL import Image

from seamlore.photo.files.encoding import to_jpeg
from seamlore.photo.opening import open_photo

_ORIENTATION = 0x0112
# Of PNG, what the picture needs to look right (W3C PNG specification, 5.6).
_NEEDED = {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"bKGD", b"pHYs"}
_PNG = b"\x89PNG\r\n\x1a\n"


def stripped(data: bytes, *, name: str = "") -> tuple[bytes, str]:
    """Take place, time and camera out of a photograph.

    A JPEG or PNG keeps its picture bit for bit, its color profile and the way up; any other kind is made a JPEG.

    Parameters
    ----------
    data : bytes
        The file.
    name : str
        What to call it in messages.

    Returns
    -------
    (bytes, str)
        The file without them, and its suffix.

    Raises
    ------
    PhotoError
        When it is no photograph that can be read.

    Examples
    --------
    >>> import numpy as np
    >>> plain = to_jpeg(np.full((80, 80, 3), 140, np.uint8))
    >>> exif = Image.Exif()
    >>> exif[0x010F] = "the camera's maker"
    >>> file = io.BytesIO()
    >>> Image.open(io.BytesIO(plain)).save(file, "JPEG", exif=exif)
    >>> clean, suffix = stripped(file.getvalue())
    >>> b"maker" in file.getvalue(), b"maker" in clean, suffix
    (True, False, 'jpg')
    >>> stripped(clean)[0] == clean
    True
    """
    if data[:2] == b"\xff\xd8":
        made = _jpeg(data)
        if made is not None:
            return made, "jpg"
    if data[:8] == _PNG and _way_up(data) == 1:
        made = _png(data)
        if made is not None:
            return made, "png"
    return to_jpeg(open_photo(data, name=name).pixels, quality=95), "jpg"


def _way_up(data: bytes) -> int:
    try:
        with Image.open(io.BytesIO(data)) as opened:
            found = int(opened.getexif().get(_ORIENTATION, 1))
    except Exception:
        # Image libraries raise anything at damaged data, which then says nothing of the way up.
        return 1
    return found if 1 <= found <= 8 else 1


def _jpeg(data: bytes) -> bytes | None:
    """Copy what draws the picture (ITU-T T.81, annex B); None when it cannot be followed."""
    out = [data[:2]]
    turned = _way_up(data)
    if turned != 1:
        # One entry of a TIFF directory that says the way up, and nothing else (Exif 2.32, 4.6.4).
        body = b"Exif\0\0II*\0" + struct.pack("<IHHHIHHI", 8, 1, _ORIENTATION, 3, 1, turned, 0, 0)
        out.append(b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body)
    at = 2
    while at + 4 <= len(data):
        if data[at] != 0xFF:
            return None
        if data[at + 1] == 0xFF:
            at += 1
            continue
        marker = data[at + 1]
        if marker == 0xD9:
            # What follows the end are further pictures, with data of their own.
            return b"".join([*out, b"\xff\xd9"])
        (length,) = struct.unpack(">H", data[at + 2 : at + 4])
        end = at + 2 + length
        if length < 2 or end > len(data):
            return None
        body = data[at + 4 : end]
        profile = marker == 0xE2 and body.startswith(b"ICC_PROFILE\0")
        if not (0xE1 <= marker <= 0xEF or marker == 0xFE) or profile or marker == 0xEE:
            out.append(data[at:end])
        at = end
        if marker == 0xDA:
            stop = _scan_end(data, at)
            out.append(data[at:stop])
            at = stop
    return b"".join([*out, b"\xff\xd9"]) if data[at : at + 2] == b"\xff\xd9" else None


def _scan_end(data: bytes, at: int) -> int:
    """Where the coded picture ends: at the first marker that is neither a stuffed byte nor a restart."""
    while True:
        at = data.find(b"\xff", at)
        if at < 0 or at + 1 >= len(data):
            return len(data)
        if data[at + 1] == 0 or 0xD0 <= data[at + 1] <= 0xD7:
            at += 2
        elif data[at + 1] == 0xFF:
            at += 1
        else:
            return at


def _png(data: bytes) -> bytes | None:
    out, at = [_PNG], 8
    while at + 12 <= len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        kind, end = data[at + 4 : at + 8], at + 12 + length
        if end > len(data):
            return None
        if kind in _NEEDED:
            out.append(data[at:end])
        if kind == b"IEND":
            return b"".join(out)
        at = end
    return None
