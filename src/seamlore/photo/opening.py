"""Open a photograph: any common format, upright, as sRGB; and refuse what is not one.

The pixels are counted before anything is decoded, so that a small file cannot unfold into gigabytes.
"""

from __future__ import annotations

import contextlib
import io
import os
import threading
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

import numpy as np
import pi_heif
from numpy.typing import NDArray
from PIL import Image, ImageCms, UnidentifiedImageError

from seamlore.errors import PhotoError

Pixels = NDArray[np.uint8]

MOST_PIXELS = 120_000_000
# Below this no block of any quilt could be told from its neighbors.
LEAST_SIDE_PX = 64
_FORMATS = ("JPEG", "PNG", "TIFF", "WEBP", "HEIF", "GIF")
_KINDS = "a photograph is a JPEG, PNG, TIFF, WebP or HEIC picture"

_HUSH = threading.Lock()

pi_heif.register_heif_opener()


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
        When it is missing, a folder, not a picture, damaged, under 64 px on a side, or over 120 megapixels.

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
        return _open(io.BytesIO(source), _on_one_line(name or "the photograph"))
    shown = _on_one_line(name or source.name or str(source))
    try:
        if source.is_dir():
            raise PhotoError("a folder", "one photograph is read at a time", "name a picture in it", where=shown)
        if not source.exists():
            raise PhotoError("there is no such file", _KINDS, "check the name and the folder", where=shown)
        if not source.is_file():
            raise PhotoError("not an ordinary file", _KINDS, "name a picture", where=shown)
        with source.open("rb") as file:
            return _open(file, shown)
    except (OSError, ValueError) as fault:
        raise PhotoError(
            f"the file cannot be opened ({_plain(fault)})", _KINDS, "check that it may be read", where=shown
        ) from fault


def _on_one_line(name: str) -> str:
    return "".join(sign if sign.isprintable() else "?" for sign in name)


def _open(file: BinaryIO, name: str) -> Photo:
    with warnings.catch_warnings():
        # Pillow warns of large pictures and odd tags on standard error; size is judged below.
        warnings.simplefilter("ignore")
        picture = _identified(file, name)
        with picture:
            _check_size(picture.size, name)
            return _decoded(picture, name)


def _identified(file: BinaryIO, name: str) -> Image.Image:
    try:
        return Image.open(file, formats=_FORMATS)
    except Image.DecompressionBombError as fault:
        raise _too_large(f"more than {2 * (Image.MAX_IMAGE_PIXELS or 0) // 1_000_000}", name) from fault
    except UnidentifiedImageError as fault:
        raise PhotoError("a file that is not a picture", _KINDS, "choose another file", where=name) from fault
    except Exception as fault:
        # A damaged header makes the decoders raise almost anything.
        raise _damaged(fault, name) from fault


def _check_size(size_px: tuple[int, int], name: str) -> None:
    width, height = size_px
    if width * height > MOST_PIXELS:
        raise _too_large(f"{width} x {height} px, {width * height / 1e6:.0f}", name)
    if min(width, height) < LEAST_SIDE_PX:
        raise PhotoError(
            f"a picture of {width} x {height} px",
            f"a quilt cannot be read from fewer than {LEAST_SIDE_PX} px on a side",
            "use the photograph in its full size",
            where=name,
        )


def _decoded(picture: Image.Image, name: str) -> Photo:
    try:
        with _hushed() if picture.format == "TIFF" else contextlib.nullcontext():
            picture.load()
        plain, notes = _to_srgb(picture)
        plain, turned = _upright(plain, picture)
        pixels = np.asarray(plain, dtype=np.uint8)
    except Exception as fault:
        # Whatever a decoder raises on damaged data, the cause for the user is the same.
        raise _damaged(fault, name) from fault
    pixels.setflags(write=False)
    return Photo(pixels, name, notes + turned)


@contextlib.contextmanager
def _hushed() -> Iterator[None]:
    # The TIFF decoder writes its complaints straight to file descriptor 2; the error raised says enough.
    with _HUSH, open(os.devnull, "wb") as nowhere:
        kept = os.dup(2)
        try:
            os.dup2(nowhere.fileno(), 2)
            yield
        finally:
            os.dup2(kept, 2)
            os.close(kept)


def _upright(plain: Image.Image, picture: Image.Image) -> tuple[Image.Image, tuple[str, ...]]:
    try:
        orientation = picture.getexif().get(0x0112, 1)
    except Exception:
        # A damaged tag must not cost the user the photograph, but she must know that it may lie on its side.
        return plain, ("The camera's note on which way is up cannot be read; check that the picture is upright.",)
    turns = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_270,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_90,
    }
    return (plain.transpose(turns[orientation]) if orientation in turns else plain), ()


def _to_srgb(picture: Image.Image) -> tuple[Image.Image, tuple[str, ...]]:
    alpha = _alpha(picture)
    opaque = _without_alpha(picture)
    converted, notes = _through_profile(opaque, picture.info.get("icc_profile"))
    if alpha is not None:
        white = Image.new("RGB", converted.size, "white")
        white.paste(converted, mask=alpha)
        converted = white
    return converted, notes


def _alpha(picture: Image.Image) -> Image.Image | None:
    if picture.mode in ("RGBA", "LA", "PA", "RGBa", "La"):
        whole = picture.convert("RGBA") if picture.mode != "LA" else picture
        return whole.getchannel("A")
    return picture.convert("RGBA").getchannel("A") if "transparency" in picture.info else None


def _without_alpha(picture: Image.Image) -> Image.Image:
    mode = picture.mode
    if mode in ("RGB", "L", "CMYK", "LAB"):
        return picture
    if mode == "LA":
        return picture.getchannel("L")
    if mode == "1":
        return picture.convert("L")
    if mode.startswith("I") or mode == "F":
        return Image.fromarray(_eight_bits(np.asarray(picture)))
    return picture.convert("RGBA").convert("RGB") if mode in ("PA", "RGBa", "La") else picture.convert("RGB")


def _eight_bits(levels: NDArray[np.generic]) -> Pixels:
    # Floating-point pictures run to 1; whole numbers beyond 255 are 16-bit.
    numbers = np.nan_to_num(levels.astype(np.float64), nan=0.0, posinf=0.0, neginf=0.0)
    top = float(numbers.max(initial=0.0))
    floating = levels.dtype.kind == "f"
    full = 1.0 if floating and top <= 1.0 else 255.0 if top <= 255.0 and levels.dtype.itemsize != 2 else 65535.0
    return np.asarray(np.clip(numbers * (255.0 / full) + 0.5, 0, 255), dtype=np.uint8)


_SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))


def _through_profile(picture: Image.Image, profile: bytes | None) -> tuple[Image.Image, tuple[str, ...]]:
    if picture.mode == "LAB" and not profile:
        return _converted(picture, ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB"))), ()
    if not profile:
        return (picture if picture.mode == "RGB" else picture.convert("RGB")), ()
    try:
        given = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        # The commonest profile by far says what would be taken anyway.
        if picture.mode == "RGB" and "srgb" in ImageCms.getProfileDescription(given).casefold():
            return picture, ()
        return _converted(picture, given), ()
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture.convert("RGB"), (
            "The photograph's color profile cannot be used; its colors are taken as they stand (sRGB).",
        )


def _converted(picture: Image.Image, profile: ImageCms.ImageCmsProfile) -> Image.Image:
    done = ImageCms.profileToProfile(
        picture, profile, _SRGB, renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC, outputMode="RGB"
    )
    if done is None:
        raise ImageCms.PyCMSError("no picture came back")
    return done


def _too_large(count: str, name: str) -> PhotoError:
    return PhotoError(
        f"a picture of {count} megapixels",
        f"at most {MOST_PIXELS // 1_000_000} megapixels are opened",
        "make it smaller; 12 megapixels are plenty",
        where=name,
    )


def _damaged(fault: Exception, name: str) -> PhotoError:
    return PhotoError(
        f"the picture is damaged or cut short ({_plain(fault)})",
        "the whole file is needed",
        "copy it from the camera or phone again",
        where=name,
    )


def _plain(fault: Exception) -> str:
    text = " ".join(str(fault.args[-1] if isinstance(fault, OSError) and fault.errno else fault).split())
    return (text or type(fault).__name__)[:90]
