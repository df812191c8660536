"""Step energy: where the fabric changes, pooled along the seam so that prints average out.

A print changes color everywhere and in every direction; a seam changes it along a line. The means of two narrow
boxes on either side of a point, each long in the direction of the seam, differ at a seam and not in a print.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.cielab import lab_of
from seamlore.photo.stack import SUM

# float32; the image library does not say so of what it returns.
Map = NDArray[Any]

# Long side of the picture that the grid is looked for in: 30 blocks are then 21 px each, and a seam is still told
# from the next one. Larger pictures cost time and bring out the prints.
WORK_PX = 640
# Half widths of the boxes and how far they are pooled along the seam, in working pixels, fine and coarse.
SCALES = ((3, 9), (6, 15))
# A difference of 20 in CIELAB is a change of fabric that nobody doubts; beyond it a seam does not count for more.
PLAIN_STEP = 20.0


@dataclass(frozen=True, eq=False)
class Evidence:
    """What the search for a grid looks at, at working size.

    Attributes
    ----------
    lab
        CIELAB, shape (height, width, 3).
    across, down
        Step energy 0..1 of upright seams (met going across) and of level seams (met going down), (height, width).
        A value at x stands for the line between pixels x - 1 and x.
    scale
        Working pixels in one pixel of the flattened picture, across and down.
    """

    lab: Map
    across: Map
    down: Map
    scale: tuple[float, float]

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in working pixels."""
        return self.lab.shape[1], self.lab.shape[0]


def step_energy(lab: Map, *, down: bool = False) -> Map:
    """Measure how much the color steps across every place of a picture.

    Parameters
    ----------
    lab : ndarray, shape (height, width, 3)
        CIELAB.
    down : bool
        Look for level seams instead of upright ones.

    Returns
    -------
    ndarray, shape (height, width)
        0 where nothing changes, 1 where the fabric changes beyond doubt.

    Examples
    --------
    >>> lab = np.zeros((40, 40, 3), np.float32)
    >>> lab[:, 20:, 0] = 20
    >>> energy = step_energy(lab)
    >>> int(energy[20].argmax()), float(energy.max())
    (20, 1.0)
    >>> float(step_energy(lab, down=True).max())
    0.0
    """
    if down:
        return cv2.transpose(step_energy(cv2.transpose(lab)))
    total = np.zeros(lab.shape[:2], np.float32)
    for half, pool in SCALES:
        ahead = cv2.blur(lab, (half, pool), anchor=(0, pool // 2), borderType=cv2.BORDER_REPLICATE)
        behind = np.empty_like(ahead)
        behind[:, half:] = ahead[:, :-half]
        behind[:, :half] = ahead[:, :1]
        apart = cv2.subtract(ahead, behind)
        step = cv2.sqrt(cv2.transform(cv2.multiply(apart, apart), SUM))
        total += np.minimum(step / PLAIN_STEP, 1)
    energy: Map = (total / len(SCALES)).astype(np.float32)
    return energy


def working_lab(pixels: NDArray[np.uint8], long_px: int = WORK_PX) -> tuple[Map, tuple[float, float]]:
    """Bring a flattened picture to working size and into CIELAB; also give the working pixels in one of its own."""
    height, width = pixels.shape[:2]
    scale = long_px / max(height, width)
    size = (max(8, round(width * scale)), max(8, round(height * scale)))
    small = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR)
    return lab_of(np.asarray(small, dtype=np.uint8)), (size[0] / width, size[1] / height)


def gather(pixels: NDArray[np.uint8]) -> Evidence:
    """Prepare what the search for a grid looks at.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        The flattened quilt, sRGB.

    Returns
    -------
    Evidence
    """
    lab, scale = working_lab(pixels)
    return Evidence(lab, step_energy(lab), step_energy(lab, down=True), scale)
