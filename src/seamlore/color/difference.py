"""How far apart two colors are: CIEDE2000, the plain CIELAB difference, and grades of the gray scale."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]


def delta_e_76(lab1: ArrayLike, lab2: ArrayLike) -> Numbers:
    """Give the plain CIELAB difference: the straight distance between two colors (CIE 1976).

    Parameters
    ----------
    lab1, lab2 : array_like, shape (..., 3)
        Colors; the shapes are matched as NumPy matches them.

    Returns
    -------
    ndarray, shape (...)

    Examples
    --------
    >>> float(delta_e_76([50, 3, 0], [50, 0, 4]))
    5.0
    >>> float(delta_e_76([50, 0, 0], [50, 0, 0]))
    0.0
    """
    gap = np.asarray(lab1, dtype=np.float64) - np.asarray(lab2, dtype=np.float64)
    return np.asarray(np.sqrt((gap**2).sum(axis=-1)))


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


# ISO 105-A02 (EN 20105-A02:1994), clause 2.4: the CIELAB difference of each step of the gray scale for
# change in color, and its tolerance.
GRAY_SCALE_A02: tuple[tuple[float, float, float], ...] = (
    (5.0, 0.0, 0.2),
    (4.5, 0.8, 0.2),
    (4.0, 1.7, 0.3),
    (3.5, 2.5, 0.35),
    (3.0, 3.4, 0.4),
    (2.5, 4.8, 0.5),
    (2.0, 6.8, 0.6),
    (1.5, 9.6, 0.7),
    (1.0, 13.6, 1.0),
)
_GRADES = np.array([step[0] for step in GRAY_SCALE_A02])
_DIFFERENCES = np.array([step[1] for step in GRAY_SCALE_A02])
# A change between two steps takes the nearer one.
_LIMITS = (_DIFFERENCES[:-1] + _DIFFERENCES[1:]) / 2


def gray_scale_grade(difference: ArrayLike) -> Any:
    """Grade a change in color on the gray scale, 5 (none) to 1 (great), in half steps.

    Parameters
    ----------
    difference : array_like
        CIELAB differences, at least 0 (`delta_e_76`).

    Returns
    -------
    float, or ndarray for an array
        The nearest step; half-way goes to the lower (worse) grade.

    Notes
    -----
    Steps from ISO 105-A02. A phone's photograph is not calibrated: the grade is indicative only.

    Examples
    --------
    >>> gray_scale_grade(4.9)
    2.5
    >>> gray_scale_grade([0.0, 100.0]).tolist()
    [5.0, 1.0]
    """
    grades = _GRADES[np.searchsorted(_LIMITS, np.asarray(difference, dtype=np.float64), side="right")]
    return float(grades) if grades.ndim == 0 else grades


def grade_name(grade: float) -> str:
    """Write a grade as the standard does.

    Examples
    --------
    >>> grade_name(3.5)
    '3-4'
    >>> grade_name(1)
    '1'
    """
    whole = int(grade)
    return f"{whole}-{whole + 1}" if grade != whole else f"{whole}"
