"""Pictures in CIELAB."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray


def lab_of(pixels: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Give a picture in CIELAB, lightness 0..100.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        sRGB.

    Returns
    -------
    ndarray of float32, shape (height, width, 3)

    Examples
    --------
    >>> lab_of(np.full((1, 1, 3), 255, np.uint8)).round(3).tolist()
    [[[100.0, 0.0, 0.0]]]
    >>> lab_of(np.zeros((1, 1, 3), np.uint8)).tolist()
    [[[0.0, 0.0, 0.0]]]
    """
    share = pixels.astype(np.float32)
    share /= 255
    return np.asarray(cv2.cvtColor(share, cv2.COLOR_RGB2LAB), dtype=np.float32)
