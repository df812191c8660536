"""One cloth looked for among many: all by their descriptions, the nearest by their figures too."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.cloth.described import NAMES
from seamlore.photo.cloth.matching import Figures, alike
from seamlore.photo.cloth.same import LOOKED_AT, Known, chance, enough_of, ratios

# From this chance on two cloths are said to be the same; from that on, that they may be.
SAME, MAY_BE = 0.95, 0.3
# So many are given, and of so many the figures are looked at.
MOST, MOST_LOOKED_AT = 24, 20
_AT_ONCE = 10_000


@dataclass(frozen=True, slots=True)
class Candidate:
    """One cloth that another may be.

    Parameters
    ----------
    number : int
        Its row.
    ratio : float
        How much likelier it is the same than another, by description alone, as a natural logarithm.
    chance : float or None
        That it is the same; None where either shows too little to tell.
    looked_at : bool
        Whether the figures of both were held against each other.
    """

    number: int
    ratio: float
    chance: float | None
    looked_at: bool


def search(
    known: Known,
    figures: Figures | None,
    rows: NDArray[np.float32] | NDArray[np.float16],
    figures_of: Callable[[int], Figures | None],
    *,
    most: int = MOST,
) -> tuple[Candidate, ...]:
    """Look for a cloth among many, the surest first; those of which nothing can be said come by their color.

    Parameters
    ----------
    known : Known
    figures : Figures, optional
    rows : ndarray of float32 or float16, shape (n, len(NAMES) + 3)
        As `same.unpacked` or `same.rows_of` gives them.
    figures_of : callable
        Gives the figures of a row, None where they are not there.
    most : int
        How many are given.

    Examples
    --------
    >>> search(Known(np.zeros(len(NAMES), np.float32), 9.0, 9.0), None, np.zeros((0, len(NAMES) + 3), np.float32), lambda _: None)
    ()
    """
    if not len(rows):
        return ()
    ratio = np.concatenate(
        [
            ratios(known.described, rows[start : start + _AT_ONCE, : len(NAMES)].astype(np.float32))
            for start in range(0, len(rows), _AT_ONCE)
        ]
    )
    nearest = np.argpartition(-ratio, min(most, len(ratio)) - 1)[:most]
    nearest = nearest[np.argsort(-ratio[nearest], kind="stable")]
    tell = enough_of(rows[nearest].astype(np.float32)) if known.enough else np.zeros(len(nearest), bool)
    found = []
    for place, (at, sure) in enumerate(zip(nearest.tolist(), tell.tolist(), strict=True)):
        if not sure:
            found.append(Candidate(at, float(ratio[at]), None, looked_at=False))
            continue
        there = figures_of(at) if figures is not None and ratio[at] > LOOKED_AT and place < MOST_LOOKED_AT else None
        fit = alike(figures, there) if figures is not None and there is not None else None
        said = chance(float(ratio[at]), fit, len(rows))
        found.append(Candidate(at, float(ratio[at]), said, looked_at=fit is not None))
    return tuple(sorted(found, key=lambda each: (-_rank(each, len(rows)), each.number)))


def _rank(each: Candidate, among: int) -> float:
    """Put those that can be told and those that cannot in one order: by how much likelier they are than before looking."""
    if each.chance is None:
        return each.ratio
    sure = min(max(each.chance, 1e-12), 1 - 1e-12)
    return float(np.log(sure / (1 - sure)) + np.log(max(among - 1, 1)))
