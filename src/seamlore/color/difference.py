"""How far apart two colors are: CIEDE2000, the plain CIELAB difference, and grades of the gray scale."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]


def delta_e_2000(lab1: ArrayLike, lab2: ArrayLike) -> Numbers:
    """Give the CIEDE2000 color difference, with all weights 1.

    Parameters
    ----------
    lab1, lab2 : array_like, shape (..., 3)
        Colors as L*, a*, b*; the shapes are matched as NumPy matches them.

    Returns
    -------
    ndarray, shape (...)
        The difference; about 1 is just seen when two fabrics lie side by side.

    Notes
    -----
    Source: G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000 Color-Difference Formula: Implementation Notes,
    Supplementary Test Data, and Mathematical Observations", Color Research and Application 30 (2005).

    Examples
    --------
    >>> float(delta_e_2000([50, 2.6772, -79.7751], [50, 0, -82.7485]).round(4))
    2.0425
    >>> float(delta_e_2000([0, 0, 0], [0, 0, 0]))
    0.0
    """
    one = np.asarray(lab1, dtype=np.float64)
    two = np.asarray(lab2, dtype=np.float64)
    light1, light2 = one[..., 0], two[..., 0]
    chroma_mean = (np.hypot(one[..., 1], one[..., 2]) + np.hypot(two[..., 1], two[..., 2])) / 2
    stretch = 1.5 - 0.5 * _fall(chroma_mean)
    chroma1, hue1 = _chroma_and_hue(one, stretch)
    chroma2, hue2 = _chroma_and_hue(two, stretch)

    gray = chroma1 * chroma2 == 0
    turn = np.where(gray, 0.0, (hue2 - hue1 + 180) % 360 - 180)
    # A difference of exactly half a turn counts as +180, as the paper has it.
    turn = np.where((turn == -180) & (hue2 > hue1), 180.0, turn)
    hue_gap = 2 * np.sqrt(chroma1 * chroma2) * np.sin(np.deg2rad(turn) / 2)
    hue_sum = hue1 + hue2
    around = np.where(np.abs(hue1 - hue2) > 180, np.where(hue_sum < 360, 360.0, -360.0), 0.0)
    hue_mean = np.where(gray, hue_sum, (hue_sum + around) / 2)

    light_mean = (light1 + light2) / 2
    chroma_mean = (chroma1 + chroma2) / 2
    tone = (
        1
        - 0.17 * _cos(hue_mean - 30)
        + 0.24 * _cos(2 * hue_mean)
        + 0.32 * _cos(3 * hue_mean + 6)
        - 0.20 * _cos(4 * hue_mean - 63)
    )
    off = (light_mean - 50) ** 2
    light_part = (light2 - light1) / (1 + 0.015 * off / np.sqrt(20 + off))
    chroma_part = (chroma2 - chroma1) / (1 + 0.045 * chroma_mean)
    hue_part = hue_gap / (1 + 0.015 * chroma_mean * tone)
    twist = -2 * _fall(chroma_mean) * np.sin(np.deg2rad(60 * np.exp(-(((hue_mean - 275) / 25) ** 2))))
    # Rounding can leave a square a hair below 0 for equal colors.
    square = light_part**2 + chroma_part**2 + hue_part**2 + twist * chroma_part * hue_part
    return np.asarray(np.sqrt(np.maximum(square, 0)))


def _fall(chroma: Numbers) -> Numbers:
    power = chroma**7
    return np.asarray(np.sqrt(power / (power + 25.0**7)))


def _cos(degrees: Numbers) -> Numbers:
    return np.asarray(np.cos(np.deg2rad(degrees)))


def _chroma_and_hue(lab: Numbers, stretch: Numbers) -> tuple[Numbers, Numbers]:
    a, b = lab[..., 1] * stretch, lab[..., 2]
    return np.hypot(a, b), np.rad2deg(np.arctan2(b, a)) % 360
