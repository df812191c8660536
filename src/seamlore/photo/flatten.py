"""Flatten the photographed quilt: looked at from straight above, bowed edges made straight."""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import ArrayLike

from seamlore.errors import PhotoError
from seamlore.photo.frame import STRAIGHT, Frame, check_corners
from seamlore.photo.opening import Photo, Pixels
from seamlore.photo.perspective import Points, unit_square_to

LONGEST_PX = 1600
# OpenCV's warps index with 16-bit numbers.
_MOST_SIDE_PX = 30_000
# Bowed quilts are drawn in bands so high, so that the maps of a large result do not fill the memory.
_BAND_PX = 128
# Between places this far apart a bowed quilt is as good as straight: even with rough edges no pixel lies 1/8 px off.
_STRAIGHT_PX, _STRAIGHT_PART = 8, 1 / 400


@dataclass(frozen=True, slots=True, eq=False)
class Flat:
    """A flattened quilt.

    Attributes
    ----------
    pixels
        uint8, shape (h, w, 3), sRGB; the quilt fills it edge to edge.
    frame
        Where the quilt lies in the photograph, and its size.
    """

    pixels: Pixels
    frame: Frame

    @property
    def scale(self) -> tuple[float, float]:
        """Pixels in one unit of the quilt's size, across and down."""
        tall, wide = self.pixels.shape[:2]
        return wide / self.frame.size[0], tall / self.frame.size[1]

    @property
    def px_per_unit(self) -> float:
        """Pixels in one unit of the quilt's size, across and down taken together."""
        across, down = self.scale
        return float(np.sqrt(across * down))

    def to_quilt(self, points_px: ArrayLike) -> Points:
        """Take points of the flattened picture, in pixels of it, to the quilt's unit, shape (n, 2)."""
        return (np.asarray(points_px, dtype=np.float64).reshape(-1, 2) + 0.5) / self.scale

    def to_flat(self, points_quilt: ArrayLike) -> Points:
        """Take points of the quilt to pixels of the flattened picture, shape (n, 2)."""
        return np.asarray(points_quilt, dtype=np.float64).reshape(-1, 2) * self.scale - 0.5


def flatten(photo: Photo, frame: Frame, *, longest_px: int = LONGEST_PX) -> Flat:
    """Flatten the quilt in a photograph.

    Parameters
    ----------
    photo : Photo
    frame : Frame
        Where the quilt lies; its size fixes the proportions of the result.
    longest_px : int, optional
        Pixels along the quilt's longer side.

    Returns
    -------
    Flat

    Raises
    ------
    PhotoError
        When a corner lies far outside the photograph, the quilt is more than fifty times as long as wide, or
        `longest_px` is not 16 to 30,000.

    Examples
    --------
    >>> photo = Photo(np.full((80, 100, 3), 200, np.uint8))
    >>> frame = Frame(((10, 10), (89, 10), (89, 69), (10, 69)), (80, 60))
    >>> flat = flatten(photo, frame, longest_px=40)
    >>> flat.pixels.shape, flat.px_per_unit
    ((30, 40, 3), 0.5)
    """
    if not 16 <= longest_px <= _MOST_SIDE_PX:
        raise PhotoError(f"{longest_px} px", f"a flattened quilt has 16 to {_MOST_SIDE_PX} px", "ask for about 1600")
    check_corners(frame.corners, photo.size_px)
    width, height = frame.size
    if max(width, height) > 50 * min(width, height):
        raise PhotoError(
            f"a quilt of {width:g} x {height:g}", "one side is at most 50 times the other", "check the two sizes"
        )
    px_per_unit = longest_px / max(width, height)
    shape_px = (max(round(width * px_per_unit), 1), max(round(height * px_per_unit), 1))
    source, shrunk, offset = _prefiltered(photo.pixels, frame, shape_px)
    pixels = (_straight if frame.bows == STRAIGHT else _bowed)(source, shrunk, offset, frame, shape_px)
    pixels.setflags(write=False)
    return Flat(pixels, frame)


def _prefiltered(pixels: Pixels, frame: Frame, shape_px: tuple[int, int]) -> tuple[Pixels, Points, Points]:
    """Crop to the quilt and shrink by area where the result has fewer pixels, so that prints do not shimmer.

    Returns the picture, and what takes photograph pixels to its pixels: (px - offset) * shrunk - 0.5 at centers.
    """
    outline = np.concatenate(frame.edges_px())
    tall, wide = pixels.shape[:2]
    # A few pixels more, so that the interpolation at the edge sees its neighbors.
    low = np.clip(np.floor(outline.min(axis=0)).astype(int) - 4, 0, [wide - 1, tall - 1])
    high = np.clip(np.ceil(outline.max(axis=0)).astype(int) + 5, low + 1, [wide, tall])
    crop = pixels[low[1] : high[1], low[0] : high[0]]
    ratio = _least_ratio(frame, shape_px)
    if ratio < 1.2:
        return crop, np.ones(2), low.astype(np.float64)
    small_px = np.maximum(np.round((high - low) / ratio).astype(int), 1)
    small = cv2.resize(crop, (int(small_px[0]), int(small_px[1])), interpolation=cv2.INTER_AREA)
    return np.asarray(small, dtype=np.uint8), small_px / (high - low), low.astype(np.float64)


def _least_ratio(frame: Frame, shape_px: tuple[int, int]) -> float:
    """Photograph pixels for one pixel of the result, where and along whichever way they are fewest."""
    width, height = frame.size
    steps = np.linspace(0.02, 0.98, 9)
    here = frame.crossings_to_photo(steps * width, steps * height)
    across = np.linalg.norm(np.diff(here, axis=1), axis=2) / (np.diff(steps)[0] * shape_px[0])
    down = np.linalg.norm(np.diff(here, axis=0), axis=2) / (np.diff(steps)[0] * shape_px[1])
    return float(min(np.median(across), np.median(down)))


def _straight(source: Pixels, shrunk: Points, offset: Points, frame: Frame, shape_px: tuple[int, int]) -> Pixels:
    corners = np.asarray(frame.corners)[[1, 0, 3, 2]] if frame.mirrored else np.asarray(frame.corners)
    plane = unit_square_to((corners + 0.5 - offset) * shrunk - 0.5)
    # A result pixel's center lies half a pixel inside its corner.
    from_result = np.array(
        [[1 / shape_px[0], 0, 0.5 / shape_px[0]], [0, 1 / shape_px[1], 0.5 / shape_px[1]], [0, 0, 1]]
    )
    flags = cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP
    done = cv2.warpPerspective(source, plane @ from_result, shape_px, flags=flags, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(done, dtype=np.uint8)


def _bowed(source: Pixels, shrunk: Points, offset: Points, frame: Frame, shape_px: tuple[int, int]) -> Pixels:
    # The frame as it lies in the source, so that nothing is left to do to the many places it gives.
    placed = replace(frame, corners=tuple((np.asarray(frame.corners) + 0.5 - offset) * shrunk - 0.5))
    step = int(np.clip(max(shape_px) * _STRAIGHT_PART, 1, _STRAIGHT_PX))
    # Every so many pixels, in the middle of as many; and once more beyond each side, as far as the last two lie apart.
    x, y = (
        (np.arange(-(-side_px // step)) + 0.5) * step / side_px * side
        for side_px, side in zip(shape_px, frame.size, strict=True)
    )
    places = placed.crossings_to_photo(x, y)
    coarse = np.pad(places, ((1, 1), (1, 1), (0, 0)), "reflect", reflect_type="odd").astype(np.float32)
    high = _BAND_PX // step * step
    result = np.empty((shape_px[1], shape_px[0], 3), dtype=np.uint8)
    for start in range(0, shape_px[1], high):
        band = result[start : start + high]
        part = coarse[start // step : (start + high) // step + 2]
        fine = cv2.resize(part, (coarse.shape[1] * step, len(part) * step), interpolation=cv2.INTER_LINEAR)
        fine = fine[step : step + len(band), step : step + shape_px[0]]
        cv2.remap(source, fine, np.empty(0, np.float32), cv2.INTER_CUBIC, dst=band, borderMode=cv2.BORDER_REPLICATE)
    return result
