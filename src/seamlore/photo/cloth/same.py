"""Whether two cloths are the same, as a chance: how their descriptions differ, and whether their figures fit.

Two photographs of one cloth differ by light, wear, and the part of the print that was cut; two cloths differ by more. How
much in each figure, and which figures vary together, was fitted on the tuning cloths; the ratio of the likelihoods of
"the same" and "another" follows in closed form (two normal distributions; S. Ioffe, "Probabilistic linear discriminant
analysis", ECCV 2006).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

import msgspec
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.cloth.described import NAMES, PX_PER_CM, Cut, describe, strength
from seamlore.photo.cloth.matching import Figures, alike

Floats = NDArray[np.float64]

_FILE = "same.json"
# A print as faint as this is lost in the camera's noise: only its color speaks, and color alone tells no cloth.
FAINT_PRINT = 0.8
# Fewer pixels of the photograph to a centimeter, or less cloth, show too little of a print.
LEAST_PX_PER_CM = 5.0
LEAST_CM2 = 8.0
# What is said at most where the figures could not be held against each other.
MOST_UNSEEN = 0.9
# Below this ratio two cloths are so far apart that their figures need not be looked at.
LOOKED_AT = 0.0
# Colors and the kind of a print say no more than this, however near they come: the figures must fit.
_MOST_RATIO = 16.0
_USUAL_PX = 24  # of a piece's side
_FITS = 0.6  # of two patches of one print in one photograph, at least
# Of a fabric that was gathered of several prints so many are looked for.
MOST_PRINTS = 2


class Model(msgspec.Struct, frozen=True, kw_only=True):
    """What was fitted by `python -m judging.fitting.cloths --write`.

    Attributes
    ----------
    mean, spread
        Of each figure of a description.
    turn
        Takes figures to axes along which cloths differ, one row each; two photographs of one cloth differ by 1.
    between
        How much cloths differ along each axis, as a variance.
    weights
        Of a constant, the ratio, how well the figures fit, and that for the size of the pieces.
    alone
        Of a constant and the ratio, where the figures were not held against each other.
    among
        Among how many cloths the chance was fitted.
    """

    mean: tuple[float, ...]
    spread: tuple[float, ...]
    turn: tuple[tuple[float, ...], ...]
    between: tuple[float, ...]
    weights: tuple[float, ...]
    alone: tuple[float, float]
    among: int


@lru_cache(maxsize=1)
def model() -> Model:
    """Read what was fitted."""
    return msgspec.json.decode((files("seamlore.photo.cloth") / _FILE).read_bytes(), type=Model)


@dataclass(frozen=True, slots=True)
class Known:
    """What a cloth is known again by.

    Parameters
    ----------
    described : ndarray of float32, shape (len(NAMES),)
    area_cm2 : float
        How much of it is seen.
    px_per_cm : float
        How many pixels of the photograph a centimeter has.
    fabric : int
        Its fabric's place on the page of fabrics, 0 the first.
    """

    described: NDArray[np.float32]
    area_cm2: float
    px_per_cm: float
    fabric: int = 0

    @property
    def row(self) -> NDArray[np.float32]:
        """It as a row of numbers, shape (len(NAMES) + 3,)."""
        # Half precision counts exactly to 2048; a quilt has some hundred fabrics at most.
        more = np.array([min(self.area_cm2, 60_000), self.px_per_cm, min(self.fabric, 2048)], np.float32)
        return np.concatenate([self.described, more])

    @property
    def enough(self) -> bool:
        """Whether its print shows enough to know it again."""
        return not why_not(self)


def known_by(figures: Figures, px_per_cm: float, fabric: int = 0) -> Known:
    """Describe a cloth by all of its patches."""
    area = sum(each.seen_px for each in figures.cuts) / PX_PER_CM**2
    return Known(describe(figures.cuts), area, px_per_cm, fabric)


def prints(cuts: Sequence[Cut]) -> list[list[int]]:
    """Tell the prints among the patches of one fabric: where fabrics were gathered wrongly there are several.

    Parameters
    ----------
    cuts : sequence of Cut
        At `PX_PER_CM`.

    Returns
    -------
    list of lists of int
        The places of the patches of each print, that of the first patch first; at most `MOST_PRINTS`.
    """
    left = list(range(len(cuts)))
    found: list[list[int]] = []
    alone = [describe([each]) for each in cuts]
    while left and len(found) < MOST_PRINTS:
        first = left[0]
        own, faint = Figures((cuts[first],)), float(strength(alone[first])) < FAINT_PRINT
        likely = ratios(alone[first], np.stack([alone[each] for each in left]))
        mine = [first]
        for place, ratio in zip(left[1:], likely[1:].tolist(), strict=True):
            fit = None if faint or ratio <= LOOKED_AT else alike(own, Figures((cuts[place],)))
            if ratio > LOOKED_AT and (fit is None or fit[0] >= _FITS):
                mine.append(place)
        found.append(mine)
        left = [each for each in left if each not in mine]
    return found


def why_not(known: Known) -> str:
    """Say why a cloth shows too little to be known again; empty where it shows enough.

    Examples
    --------
    >>> why_not(Known(np.zeros(len(NAMES), np.float32), 2.0, 12.0))
    'too little of it is seen: 2 sq cm'
    """
    if known.area_cm2 < LEAST_CM2:
        return f"too little of it is seen: {known.area_cm2:.0f} sq cm"
    if known.px_per_cm < LEAST_PX_PER_CM:
        return f"the photograph is too coarse: {known.px_per_cm:.1f} pixels to a centimeter"
    if float(strength(known.described)) < FAINT_PRINT:
        return "it is plain, or its print too faint: color alone tells no cloth"
    return ""


def packed(known: list[Known]) -> bytes:
    """Write cloths as rows of half-precision numbers, as the shelf keeps them.

    Examples
    --------
    >>> one = Known(np.zeros(len(NAMES), np.float32), 40.0, 12.0)
    >>> rows = unpacked(packed([one, one]))
    >>> rows.shape == (2, len(NAMES) + 3), known_from(rows[0]).area_cm2
    (True, 40.0)
    """
    return np.array([each.row for each in known], dtype="<f2").reshape(len(known), len(NAMES) + 3).tobytes()


def rows_of(data: bytes) -> NDArray[np.float16]:
    """Look at rows that `packed` wrote as they are kept, shape (cloths, len(NAMES) + 3): all cloths of a shelf take no more."""
    return np.frombuffer(data, dtype="<f2").reshape(-1, len(NAMES) + 3)


def unpacked(data: bytes) -> NDArray[np.float32]:
    """Read rows that `packed` wrote, shape (cloths, len(NAMES) + 3)."""
    return rows_of(data).astype(np.float32)


def known_from(row: NDArray[np.float32]) -> Known:
    """Read one row."""
    return Known(row[: len(NAMES)], float(row[-3]), float(row[-2]), int(row[-1]))


def enough_of(rows: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Tell of each row whether its cloth shows enough to be known again, shape (n,)."""
    return np.array([known_from(row).enough for row in rows], bool)


def ratios(one: NDArray[np.float32], many: NDArray[np.float32], told: Model | None = None) -> Floats:
    """Give how much likelier each of many cloths is the same as one than another, as natural logarithms.

    Parameters
    ----------
    one : ndarray, shape (len(NAMES),)
    many : ndarray, shape (n, len(NAMES))

    Returns
    -------
    ndarray, shape (n,)
    """
    fitted = told or model()
    turn = np.array(fitted.turn, np.float32).T / np.array(fitted.spread, np.float32)[:, None]
    mean = np.array(fitted.mean, np.float32)
    between = np.array(fitted.between, np.float32)
    a, b = (one - mean) @ turn, (many - mean) @ turn
    whole = 1 + between
    rest = whole * whole - between * between
    # Written as one product of matrices: many may be all the cloths of a shelf.
    own = 0.5 * (1 / whole - whole / rest)
    constant = float((own * a * a).sum() + (np.log(whole) - 0.5 * np.log(rest)).sum())
    return np.asarray((b * b) @ own + b @ (between / rest * a) + constant, np.float64)


def limited(ratio: float) -> float:
    """Give the ratio no more weight than colors and the kind of a print can have."""
    return min(max(ratio, -_MOST_RATIO), _MOST_RATIO)


def features(ratio: float, fit: tuple[float, float, int]) -> Floats:
    """Give what the chance rests on where the figures were held against each other, shape (3,)."""
    best = float(np.arctanh(min(max(fit[0], -0.99), 0.99)))
    return np.array([limited(ratio), best, best * fit[2] / _USUAL_PX])


def chance(ratio: float, fit: tuple[float, float, int] | None, among: int, told: Model | None = None) -> float:
    """Give the chance that two cloths are the same.

    Parameters
    ----------
    ratio : float
        Of `ratios`.
    fit : (float, float, int) or None
        Of `matching.alike`.
    among : int
        How many cloths were looked through: among more, more look alike by accident.
    """
    fitted = told or model()
    if fit is None:
        odds = fitted.alone[0] + fitted.alone[1] * limited(ratio)
    else:
        odds = float(fitted.weights[0] + np.array(fitted.weights[1:]) @ features(ratio, fit))
    # On a small shelf a cloth is no likelier to come again than among so many as it was fitted on.
    odds -= float(np.log((max(among, fitted.among) - 1) / (fitted.among - 1)))
    said = float(1 / (1 + np.exp(-np.clip(odds, -50, 50))))
    return said if fit is not None else min(said, MOST_UNSEEN)
