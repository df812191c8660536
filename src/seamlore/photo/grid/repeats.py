"""How far a flattened quilt is like itself, laid over itself some way across and down.

Blocks repeat at their pitch; halves of a block do not, and two blocks repeat no better than one. Neighbors that alternate
or are turned repeat at two pitches, or slantwise. What is compared is the picture without its broad lights and darks, so
that two ends of a quilt in uneven light are not alike for that alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np
from numpy.typing import ArrayLike, NDArray

from seamlore.photo.cielab import lab_of
from seamlore.photo.grid.network import Glance

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

# Side of the square that is compared with itself: 30 blocks are then 8 px each, whose piecing is still told apart.
_SIDE_PX = 256
# Lights and darks broader than this are left out.
_BROAD_PX = 40.0
# Fabric is never sewn quite evenly: the best is taken within this part of the way, and a pixel.
_UNEVEN = 0.03
# Beyond this part of the side too little of the picture lies on itself to say anything.
_FARTHEST = 0.75
# A strip more likely than this to lie in the field of blocks is taken to.
_WITHIN = 0.5


@dataclass(frozen=True, eq=False)
class Repeats:
    """Likeness of a picture to itself, moved by so many pixels down and across; shape (rows, columns), -1..1.

    Row 0 is no move down; the columns reach from the farthest move to the left to the farthest to the right.
    """

    table: Floats

    def at(self, across: ArrayLike, down: ArrayLike) -> Floats:
        """Give how alike the picture is to itself, moved by these parts of its width and height; 0 when too far.

        Examples
        --------
        >>> stripes = np.zeros((64, 64, 3), np.uint8)
        >>> stripes[:, np.arange(64) % 16 < 8] = 200
        >>> half, quarter, eighth, far = repeats(stripes).at([0.5, 0.25, 0.125, 0.9], 0)
        >>> bool(half > 0.9), bool(quarter > 0.9), bool(eighth < -0.8), float(far)
        (True, True, True, 0.0)
        """
        across, down = (np.asarray(way, dtype=np.float64) for way in np.broadcast_arrays(across, down))
        near = np.maximum(np.abs(across), np.abs(down)) <= _FARTHEST
        # One way is as far as the other; the table has those down.
        back = np.where(down < 0, -1, 1)
        columns = _about(across * back, self.table.shape[1] // 2, self.table.shape[1])
        rows = _about(down * back, 0, self.table.shape[0])
        best = self.table[rows[..., :, None], columns[..., None, :]].max(axis=(-2, -1))
        return np.asarray(np.where(near, best, 0.0))


def _about(way: Floats, middle: int, most: int) -> NDArray[np.intp]:
    """Give the lines of the table that fabric sewn unevenly may have moved to, shape (*ways, lines); the last as often
    as others have more."""
    at = way * _SIDE_PX + middle
    reach = np.where(way != 0, np.maximum(1.0, _UNEVEN * np.abs(way) * _SIDE_PX), 0.0)
    low = np.clip(np.rint(at - reach), 0, most - 1).astype(np.intp)
    high = np.clip(np.rint(at + reach), 0, most - 1).astype(np.intp)
    lines = np.arange(int((high - low).max(initial=0)) + 1)
    return np.asarray(np.minimum(low[..., None] + lines, high[..., None]))


def field_of(seen: Glance) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Give the strips across and down that belong to the field of blocks as the network sees it."""
    return seen.across.field > _WITHIN, seen.down.field > _WITHIN


@cache
def _broad() -> NDArray[np.float32]:
    """Give what blurs a column: for each of its pixels how much every one counts, shape (_SIDE_PX, _SIDE_PX)."""
    reach = round(4 * _BROAD_PX)
    kernel = cv2.getGaussianKernel(2 * reach + 1, _BROAD_PX, cv2.CV_32F)
    # What becomes of a single pixel, for each of them.
    alone = np.eye(_SIDE_PX, dtype=np.float32)
    return np.asarray(cv2.sepFilter2D(alone, cv2.CV_32F, np.ones(1, np.float32), kernel), dtype=np.float32)


def repeats(pixels: NDArray[np.uint8], field: tuple[NDArray[np.bool_], NDArray[np.bool_]] | None = None) -> Repeats:
    """Compare a flattened picture with itself, laid over itself in every way.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        sRGB; of any proportion, as it is squeezed to a square.
    field : pair of ndarray of bool, shape (256,), optional
        Which strips across and down are compared: those of the field of blocks, when it is known.
    """
    lab = lab_of(np.asarray(cv2.resize(pixels, (_SIDE_PX, _SIDE_PX), interpolation=cv2.INTER_AREA), dtype=np.uint8))
    broad = _broad()
    # Down, then across: each a product of matrices, for so broad a blur is slow any other way.
    fine = lab - np.matmul(broad, (broad @ lab.reshape(_SIDE_PX, -1)).reshape(lab.shape))
    if field is not None and all(part.any() for part in field):
        fine *= (field[0][None, :] & field[1][:, None])[..., None]
    side = 2 * _SIDE_PX
    far = int(_FARTHEST * 1.05 * _SIDE_PX)
    power = np.zeros((side, side), np.float32)
    for plane in cv2.split(fine):
        # Zeros beyond, so that what leaves on one side does not come in on the other.
        spectrum = cv2.dft(
            cv2.copyMakeBorder(plane, 0, _SIDE_PX, 0, _SIDE_PX, cv2.BORDER_CONSTANT), nonzeroRows=_SIDE_PX
        )
        power += cv2.mulSpectrums(spectrum, spectrum, 0, conjB=True)
    product = cv2.dft(power, flags=cv2.DFT_INVERSE | cv2.DFT_SCALE | cv2.DFT_REAL_OUTPUT)
    across = np.arange(-far, far + 1)
    product = product[: far + 1][:, across % side]
    # How strong each of the two parts is that lie on each other.
    energy = np.zeros((_SIDE_PX + 1, _SIDE_PX + 1))
    energy[1:, 1:] = (fine.astype(np.float64) ** 2).sum(axis=2).cumsum(axis=0).cumsum(axis=1)
    down = np.arange(far + 1)
    left, right = np.maximum(across, 0), np.maximum(-across, 0)

    def within(rows: tuple[Ints, Ints], columns: tuple[Ints, Ints]) -> Floats:
        band = energy[rows[1]] - energy[rows[0]]
        return np.asarray(band[:, columns[1]] - band[:, columns[0]])

    here = within((0 * down, _SIDE_PX - down), (right, _SIDE_PX - left))
    there = within((down, 0 * down + _SIDE_PX), (left, _SIDE_PX - right))
    # Where next to nothing lies on itself, nothing is alike.
    least = 1e-3 * energy[-1, -1] + 1e-9
    return Repeats(product / np.sqrt(np.maximum(here, least) * np.maximum(there, least)))
