"""Pictures as files again: JPEG and PNG without any of the camera's data, and tiles of a large photograph."""

from __future__ import annotations

import io
from dataclasses import dataclass, field

import cv2
import numpy as np
from PIL import Image

from seamlore.errors import PhotoError
from seamlore.photo.opening import Pixels

TILE_PX = 512


def to_jpeg(pixels: Pixels, *, quality: int = 88) -> bytes:
    """Encode a picture as JPEG; it carries no place, time or camera.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (h, w, 3)
        sRGB.
    quality : int
        1 to 95.

    Examples
    --------
    >>> to_jpeg(np.zeros((8, 8, 3), np.uint8))[:2].hex()
    'ffd8'
    """
    file = io.BytesIO()
    Image.fromarray(np.ascontiguousarray(pixels)).save(file, "JPEG", quality=quality)
    return file.getvalue()


def to_png(pixels: Pixels) -> bytes:
    """Encode a picture as PNG, exactly.

    Examples
    --------
    >>> to_png(np.zeros((8, 8, 3), np.uint8))[1:4]
    b'PNG'
    """
    file = io.BytesIO()
    Image.fromarray(np.ascontiguousarray(pixels)).save(file, "PNG")
    return file.getvalue()


def smaller(pixels: Pixels, most_px: int) -> Pixels:
    """Make a picture smaller, so that its longer side has no more than so many pixels; a small one stays as it is.

    Examples
    --------
    >>> smaller(np.zeros((600, 1200, 3), np.uint8), 300).shape
    (150, 300, 3)
    >>> smaller(np.zeros((6, 12, 3), np.uint8), 300).shape
    (6, 12, 3)
    """
    height, width = pixels.shape[:2]
    scale = most_px / max(height, width)
    if scale >= 1:
        return pixels
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    return np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


@dataclass(slots=True, eq=False)
class Pyramid:
    """A photograph at full size and at halves of it, cut into tiles when asked.

    Level 0 is one tile's size or less; each level doubles the one before; the last is the photograph itself.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (h, w, 3)
    """

    pixels: Pixels
    _halves: dict[int, Pixels] = field(default_factory=dict)

    @property
    def levels(self) -> int:
        """How many levels there are.

        Examples
        --------
        >>> Pyramid(np.zeros((600, 1100, 3), np.uint8)).levels
        3
        """
        longest, count = max(self.pixels.shape[:2]), 1
        while longest > TILE_PX:
            longest, count = -(-longest // 2), count + 1
        return count

    def level(self, number: int) -> Pixels:
        """Give the whole picture at one level."""
        if not 0 <= number < self.levels:
            raise PhotoError(f"level {number}", f"there are levels 0 to {self.levels - 1}", "ask for one of them")
        if number == self.levels - 1:
            return self.pixels
        if number not in self._halves:
            larger = self.level(number + 1)
            height, width = larger.shape[:2]
            size = (-(-width // 2), -(-height // 2))
            self._halves[number] = np.asarray(cv2.resize(larger, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
        return self._halves[number]

    def tile(self, level: int, column: int, row: int) -> bytes:
        """Give one tile as JPEG; those at the right and bottom rim are smaller.

        Raises
        ------
        PhotoError
            When there is no such level or tile.

        Examples
        --------
        >>> Pyramid(np.zeros((600, 1100, 3), np.uint8)).tile(2, 2, 1)[:2].hex()
        'ffd8'
        """
        whole = self.level(level)
        part = whole[row * TILE_PX : (row + 1) * TILE_PX, column * TILE_PX : (column + 1) * TILE_PX]
        if min(row, column) < 0 or not part.size:
            raise PhotoError(f"tile {column}, {row} of level {level}", "it lies outside", "ask for one inside")
        return to_jpeg(part, quality=85)
