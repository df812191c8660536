"""Between screen colors (sRGB) and CIELAB under daylight (D65, 2 degree observer).

An array of colors has the three numbers of a color along its last axis.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Colors = NDArray[np.float64]

# IEC 61966-2-1:1999, linear sRGB to CIE XYZ, white at Y = 1.
_TO_XYZ = np.array(
    [
        [0.412453, 0.357580, 0.180423],
        [0.212671, 0.715160, 0.072169],
        [0.019334, 0.119193, 0.950227],
    ]
)
# The D65 white of the same standard (x = 0.3127, y = 0.3290), rounded as CIE 15 tabulates it.
WHITE_D65 = np.array([0.95047, 1.0, 1.08883])
# CIE 15:2004: where the cube root gives way to a straight line.
_BEND = 6 / 29


def _linear(parts: Colors) -> Colors:
    return np.where(parts <= 0.04045, parts / 12.92, ((np.maximum(parts, 0) + 0.055) / 1.055) ** 2.4)


# Pictures are whole numbers 0..255: looking up is twenty times as fast as raising to a power.
_LINEAR_OF_BYTE = _linear(np.arange(256) / 255)


def srgb_to_lab(colors: ArrayLike) -> Colors:
    """Turn sRGB colors into CIELAB (D65).

    Parameters
    ----------
    colors : array_like, shape (..., 3)
        Whole numbers 0..255 (any integer type) or fractions 0..1 (any float type).

    Returns
    -------
    ndarray of float64, shape (..., 3)
        L* 0..100, a*, b*.

    Notes
    -----
    Sources: IEC 61966-2-1:1999 for sRGB, CIE 15:2004 for CIELAB.

    Examples
    --------
    >>> srgb_to_lab([128, 0, 0]).round(1).tolist()
    [25.5, 48.0, 38.1]
    >>> srgb_to_lab(np.zeros((0, 3))).shape
    (0, 3)
    """
    given = np.asarray(colors)
    linear = (
        _LINEAR_OF_BYTE[np.clip(given, 0, 255)]
        if np.issubdtype(given.dtype, np.integer)
        else _linear(np.asarray(given, dtype=np.float64))
    )
    ratio = linear @ (_TO_XYZ.T / WHITE_D65)
    bent = np.where(ratio > _BEND**3, np.cbrt(ratio), ratio / (3 * _BEND**2) + 4 / 29)
    lab: Colors = np.empty_like(bent)
    lab[..., 0] = 116 * bent[..., 1] - 16
    lab[..., 1] = 500 * (bent[..., 0] - bent[..., 1])
    lab[..., 2] = 200 * (bent[..., 1] - bent[..., 2])
    return lab
