"""How much a cloth has faded: the protected and the faded place of one fabric side by side, and a grade of the gray scale.

ISO 105-A02 (EN 20105-A02:1994, clause 2.4): CIELAB differences of the nine steps and their tolerances (trade.md C4, V). A
photograph is not a measuring instrument: a grade is given only where a white card stood in it, and then as indicative.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from seamlore.color.difference import delta_e_2000
from seamlore.color.lab import srgb_to_lab
from seamlore.errors import PhotoError

Floats = NDArray[np.float64]
GRAY_SCALE: tuple[tuple[str, float, float], ...] = (
    ("5", 0.0, 0.2),
    ("4-5", 0.8, 0.2),
    ("4", 1.7, 0.3),
    ("3-4", 2.5, 0.35),
    ("3", 3.4, 0.4),
    ("2-3", 4.8, 0.5),
    ("2", 6.8, 0.6),
    ("1-2", 9.6, 0.7),
    ("1", 13.6, 1.0),
)
# A card that is darker or more colored than this is none, or stands in shade. Our own judgement.
_LEAST_WHITE, _MOST_COLOR = 0.35, 1.5


@dataclass(frozen=True, slots=True)
class Faded:
    """Two places of one cloth.

    Parameters
    ----------
    difference : float
        CIELAB, as the gray scale is defined.
    difference_2000 : float
        CIEDE2000, which comes nearer to what an eye sees.
    lighter : bool
        Whether the second place is the lighter one.
    grade : str
        Of the gray scale, "5" none to "1" most; empty without a white card.
    """

    difference: float
    difference_2000: float
    lighter: bool
    grade: str = ""


def grade_of(difference: float) -> str:
    """Give the step of the gray scale that a CIELAB difference comes nearest to.

    Examples
    --------
    >>> grade_of(0), grade_of(3.3), grade_of(50)
    ('5', '3', '1')
    """
    return min(GRAY_SCALE, key=lambda step: abs(step[1] - difference))[0]


def faded(protected: ArrayLike, exposed: ArrayLike, white: ArrayLike | None = None) -> Faded:
    """Compare the protected and the faded place of one cloth.

    Parameters
    ----------
    protected, exposed : array_like, shape (3,)
        sRGB, 0 to 1, as the photograph shows them.
    white : array_like, shape (3,), optional
        Of a white card in the same light; both are then set against it.

    Raises
    ------
    PhotoError
        When the card is not white.

    Examples
    --------
    >>> found = faded([0.5, 0.2, 0.2], [0.6, 0.4, 0.4], [0.9, 0.9, 0.9])
    >>> found.lighter, found.grade
    (True, '1')
    >>> faded([0.5, 0.2, 0.2], [0.5, 0.2, 0.2]).grade
    ''
    """
    colors = np.array([protected, exposed], dtype=np.float64)
    if white is not None:
        card = np.asarray(white, dtype=np.float64)
        if card.min() < _LEAST_WHITE or card.max() > _MOST_COLOR * card.min():
            raise PhotoError(
                "the white card",
                "it is too dark or too colored in the photograph to be one",
                "show a white card in the same light",
            )
        # In light, not in the photograph's code: a surface as bright as the card is white.
        colors = np.clip(_code(_light(colors) / _light(card)), 0, 1)
    lab = np.asarray(srgb_to_lab(colors), dtype=np.float64)
    plain = float(np.linalg.norm(lab[1] - lab[0]))
    return Faded(
        plain,
        float(delta_e_2000(lab[0], lab[1])),
        bool(lab[1, 0] > lab[0, 0]),
        grade_of(plain) if white is not None else "",
    )


def _light(code: Floats) -> Floats:
    """From sRGB code values to light (IEC 61966-2-1)."""
    return np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)


def _code(light: Floats) -> Floats:
    light = np.clip(light, 0, None)
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
