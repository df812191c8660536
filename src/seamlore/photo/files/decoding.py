"""Decode pictures: any common format, upright, as sRGB. Runs in a process of its own, which `decoder` starts and ends.

The pixels are counted before anything is decoded, so that a small file cannot unfold into gigabytes; what is made of
them is made strip by strip, so that a picture lies in memory once. NumPy and the HEIC library are loaded when a
picture needs them: most do not, and the first one waits for this process to start.
"""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Callable, Iterator
from importlib import import_module
from typing import BinaryIO, NamedTuple

from PIL import Image, ImageCms, UnidentifiedImageError

from seamlore.errors import PhotoError
from seamlore.photo.files.limits import KINDS, LEAST_SIDE_PX, MOST_PIXELS

_STRIP_BYTES = 1 << 20
# By their first bytes, as each format's own document has them; only what is needed is loaded.
_KINDS_BY_START = (
    (re.compile(rb"\xff\xd8\xff"), "JPEG", "PIL.JpegImagePlugin"),
    (re.compile(rb"\x89PNG"), "PNG", "PIL.PngImagePlugin"),
    (re.compile(rb"II[*+]\0|MM\0[*+]|MM\*\0|II\0\*"), "TIFF", "PIL.TiffImagePlugin"),
    (re.compile(rb"RIFF....WEBP", re.DOTALL), "WEBP", "PIL.WebPImagePlugin"),
    (re.compile(rb"GIF8"), "GIF", "PIL.GifImagePlugin"),
    (re.compile(rb"....ftyp", re.DOTALL), "HEIF", "pi_heif"),
)

# Larger ones are refused below, with their size.
Image.MAX_IMAGE_PIXELS = None


class Decoded(NamedTuple):
    """A picture that is decoded, and not yet made upright sRGB.

    Attributes
    ----------
    size_px
        Width and height, upright.
    notes
        What could not be honored, in plain words.
    strips
        Gives the upright picture from top to bottom: bytes of rows of red green blue.
    """

    size_px: tuple[int, int]
    notes: tuple[str, ...]
    strips: Callable[[], Iterator[bytes]]


def decode(file: BinaryIO) -> Decoded:
    """Decode a picture.

    Raises
    ------
    PhotoError
        When it is not a picture, damaged, too small or too large.
    MemoryError
        When it takes more memory than this process may use.

    Examples
    --------
    >>> file = io.BytesIO()
    >>> Image.new("L", (80, 100), 128).save(file, "PNG")
    >>> found = decode(file)
    >>> found.size_px, sum(map(len, found.strips()))
    ((80, 100), 24000)
    """
    with warnings.catch_warnings():
        # Pillow warns of large pictures and odd tags; size is judged below.
        warnings.simplefilter("ignore")
        picture = _identified(file)
        _check_size(picture)
        try:
            picture.load()
            _check_size(picture)
            turn, turned = _orientation(picture)
            to_srgb, notes = _to_srgb(picture)
        except (MemoryError, ImportError, PhotoError):
            raise
        except Exception as fault:
            # Whatever a decoder raises on damaged data, the cause for the user is the same.
            raise _damaged(fault) from fault
    wide, tall = picture.size
    size = (tall, wide) if turn in _ON_ITS_SIDE else (wide, tall)
    return Decoded(size, notes + turned, lambda: _strips(picture, turn, to_srgb))


def _identified(file: BinaryIO) -> Image.Image:
    file.seek(0)
    start = file.read(12)
    file.seek(0)
    kind, module = next(((kind, module) for sign, kind, module in _KINDS_BY_START if sign.match(start)), ("", ""))
    if not kind:
        raise _no_picture()
    try:
        loaded = import_module(module)
        if kind == "HEIF":
            loaded.register_heif_opener()
        return Image.open(file, formats=(kind,))
    except UnidentifiedImageError as fault:
        raise _no_picture() from fault
    except (MemoryError, ImportError):
        raise
    except Exception as fault:
        # A damaged header makes the decoders raise almost anything.
        raise _damaged(fault) from fault


def _check_size(picture: Image.Image) -> None:
    width, height = picture.size
    if width * height > MOST_PIXELS:
        raise PhotoError(
            f"a picture of {width} x {height} px, {width * height / 1e6:.0f} megapixels",
            f"at most {MOST_PIXELS // 1_000_000} megapixels are opened",
            "make it smaller; 12 megapixels are plenty",
        )
    if min(width, height) < LEAST_SIDE_PX:
        raise PhotoError(
            f"a picture of {width} x {height} px",
            f"a quilt cannot be read from fewer than {LEAST_SIDE_PX} px on a side",
            "use the photograph in its full size",
        )


# EXIF 2.3, tag 274, and what undoes it.
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_ON_ITS_SIDE = (5, 6, 7, 8)
# The top of the upright picture is the far side of the stored one.
_FROM_THE_FAR_SIDE = (3, 4, 7, 8)


def _orientation(picture: Image.Image) -> tuple[int, tuple[str, ...]]:
    try:
        return picture.getexif().get(0x0112, 1), ()
    except MemoryError:
        raise
    except Exception:
        # A damaged tag must not cost the user the photograph, but she must know that it may lie on its side.
        return 1, ("The camera's note on which way is up cannot be read; check that the picture is upright.",)


def _strips(picture: Image.Image, turn: int, to_srgb: Callable[[Image.Image], Image.Image]) -> Iterator[bytes]:
    wide, tall = picture.size
    on_its_side, far = turn in _ON_ITS_SIDE, turn in _FROM_THE_FAR_SIDE
    across, down = (tall, wide) if on_its_side else (wide, tall)
    rows = max(1, _STRIP_BYTES // (3 * across))
    for top in range(0, down, rows):
        first, last = top, min(top + rows, down)
        if far:
            first, last = down - last, down - first
        strip = to_srgb(picture.crop((first, 0, last, tall) if on_its_side else (0, first, wide, last)))
        yield (strip.transpose(_TURNS[turn]) if turn in _TURNS else strip).tobytes()


def _to_srgb(picture: Image.Image) -> tuple[Callable[[Image.Image], Image.Image], tuple[str, ...]]:
    """Give what makes sRGB of any part of a picture."""
    opaque = _without_alpha(picture)
    through, notes = _through_profile(opaque(picture.crop((0, 0, 1, 1))).mode, picture.info.get("icc_profile"))

    def srgb(part: Image.Image) -> Image.Image:
        converted, alpha = through(opaque(part)), _alpha(part)
        if alpha is None:
            return converted
        white = Image.new("RGB", converted.size, "white")
        white.paste(converted, mask=alpha)
        return white

    return srgb, notes


def _alpha(part: Image.Image) -> Image.Image | None:
    if part.mode in ("RGBA", "LA", "PA", "RGBa", "La"):
        whole = part.convert("RGBA") if part.mode != "LA" else part
        return whole.getchannel("A")
    return part.convert("RGBA").getchannel("A") if "transparency" in part.info else None


def _without_alpha(picture: Image.Image) -> Callable[[Image.Image], Image.Image]:
    mode = picture.mode
    if mode in ("RGB", "L", "CMYK", "LAB"):
        return lambda part: part
    if mode == "LA":
        return lambda part: part.getchannel("L")
    if mode == "1":
        return lambda part: part.convert("L")
    if mode.startswith("I") or mode == "F":
        return _eight_bits(picture)
    if mode in ("PA", "RGBa", "La"):
        return lambda part: part.convert("RGBA").convert("RGB")
    return lambda part: part.convert("RGB")


def _eight_bits(picture: Image.Image) -> Callable[[Image.Image], Image.Image]:
    import numpy as np  # slow to import, and few photographs have more than 8 bits

    def levels(part: Image.Image) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
        return np.nan_to_num(np.asarray(part).astype(np.float64), nan=0.0, posinf=0.0, neginf=0.0)

    # Floating-point pictures run to 1; whole numbers beyond 255 are 16-bit.
    wide, tall = picture.size
    parts = (picture.crop((0, top, wide, min(top + 64, tall))) for top in range(0, tall, 64))
    top = max(float(levels(part).max(initial=0.0)) for part in parts)
    sixteen = picture.mode.startswith("I;16")
    full = 1.0 if picture.mode == "F" and top <= 1.0 else 255.0 if top <= 255.0 and not sixteen else 65535.0
    return lambda part: Image.fromarray(np.clip(levels(part) * (255.0 / full) + 0.5, 0, 255).astype(np.uint8))


_SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))


def _through_profile(
    mode: str, profile: bytes | None
) -> tuple[Callable[[Image.Image], Image.Image], tuple[str, ...]]:
    if mode == "LAB" and not profile:
        return _converting(mode, ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB"))), ()
    if not profile:
        return _as_it_stands, ()
    try:
        given = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        # The commonest profile by far says what would be taken anyway.
        if mode == "RGB" and "srgb" in ImageCms.getProfileDescription(given).casefold():
            return _as_it_stands, ()
        return _converting(mode, given), ()
    except (ImageCms.PyCMSError, OSError, ValueError):
        return _as_it_stands, (
            "The photograph's color profile cannot be used; its colors are taken as they stand (sRGB).",
        )


def _as_it_stands(part: Image.Image) -> Image.Image:
    return part if part.mode == "RGB" else part.convert("RGB")


def _converting(mode: str, profile: ImageCms.ImageCmsProfile) -> Callable[[Image.Image], Image.Image]:
    made = ImageCms.buildTransform(profile, _SRGB, mode, "RGB", ImageCms.Intent.RELATIVE_COLORIMETRIC)

    def convert(part: Image.Image) -> Image.Image:
        done = ImageCms.applyTransform(part, made)
        assert done is not None
        return done

    # Tried at once: a profile that cannot be used must be said before the first strip is given.
    convert(Image.new(mode, (1, 1)))
    return convert


def _no_picture() -> PhotoError:
    return PhotoError("a file that is not a picture", KINDS, "choose another file")


def _damaged(fault: Exception) -> PhotoError:
    return PhotoError(
        f"the picture is damaged or cut short ({plain(fault)})",
        "the whole file is needed",
        "copy it from the camera or phone again",
    )


def plain(fault: Exception) -> str:
    """Give what a library said of a fault, on one short line."""
    text = " ".join(str(fault.args[-1] if isinstance(fault, OSError) and fault.errno else fault).split())
    return (text or type(fault).__name__)[:90]
