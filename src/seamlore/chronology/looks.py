"""What to look at next: what can be seen in a living room, and how far it would narrow the dates."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.clues import Clue, clues
from seamlore.chronology.evidence_file import Dossier
from seamlore.chronology.inference import Dates, quantile, reweighed
from seamlore.chronology.likelihoods import carried, fashion_curve
from seamlore.chronology.parts import place_of

# A look that would narrow by less is not worth taking the quilt out for.
_LEAST_YEARS = 1.0
# Beyond this many parts the looks are worked out for those that are known least.
_MOST_PARTS = 12


@dataclass(frozen=True, slots=True)
class Look:
    """One way of looking, as the table has it.

    Parameters
    ----------
    how : str
        What to do, in words.
    part : str
        On which part.
    found : tuple of Clue
        What may be seen; each with the part and a share of the quilts of its years in which it is seen.
    share : float
        In how many quilts of its usual years one of these is seen at all.
    caution : str
    """

    how: str
    part: str
    found: tuple[Clue, ...]
    share: float
    caution: str


@dataclass(frozen=True, slots=True)
class NextLook:
    """One more thing to find out, and how much it would narrow the answer.

    Parameters
    ----------
    part : str
        Where to look.
    narrowing : float
        Years by which the ranges of 90 % of all parts are expected to shrink, added up.
    clues : tuple of Clue
        What may be seen there.
    sentence : str
    """

    part: str
    narrowing: float
    clues: tuple[Clue, ...]
    sentence: str


@cache
def looks() -> tuple[Look, ...]:
    """Give all ways of looking.

    Examples
    --------
    >>> all(look.found and 0 < look.share <= 1 for look in looks())
    True
    """
    text = Path(__file__).parent.joinpath("looks.csv").read_text(encoding="utf-8")
    return tuple(
        Look(
            row["how"],
            row["part"],
            tuple(clues()[key] for key in row["clues"].split(";")),
            float(row["share"]),
            row["caution"],
        )
        for row in csv.DictReader(text.splitlines())
    )


def next_looks(dossier: Dossier, dates: Dates, *, most: int = 4) -> tuple[NextLook, ...]:
    """Say what is most worth another look: what is expected to narrow the dates most.

    For each way of looking, each thing that may be seen there, and its absence, is weighed by how likely it is.

    Parameters
    ----------
    dossier : Dossier
    dates : Dates
    most : int
        How many to give.

    Returns
    -------
    tuple of NextLook
        The most telling first; those expected to narrow less than a year are left out.
    """
    years = dates.problem.years
    parts = dates.problem.parts
    widths = np.array([quantile(years, p, 0.95) - quantile(years, p, 0.05) for p in dates.p])
    given = {(each.part, each.clue) for each in dossier.evidence}
    seen: list[NextLook] = []
    for row in np.argsort(-widths, kind="stable")[:_MOST_PARTS]:
        part = parts[int(row)]
        for look in looks():
            if look.part != place_of(part):
                continue
            kept = tuple(each for each in look.found if (part, each.key) not in given)
            if len(kept) < len(look.found):
                continue  # She has looked there.
            narrowing = _narrowing(dates, int(row), _outcomes(look, years, dossier), widths)
            if narrowing >= _LEAST_YEARS:
                seen.append(NextLook(part, narrowing, kept, _sentence(look, part, narrowing)))
    seen.sort(key=lambda each: -each.narrowing)
    # One look a part and way: the same place is not named twice.
    return tuple(seen[:most])


def _outcomes(look: Look, years: NDArray[np.int64], dossier: Dossier) -> NDArray[np.float64]:
    """How likely each outcome is in each year, shape (n, outcomes); the last is seeing none of them."""
    curves = []
    for clue in look.found:
        curve = fashion_curve(clue.when, years)
        if clue.dates == "cloth" and look.part != "fabric":
            curve = carried(curve, dossier.shares)
        curves.append(curve)
    found = np.stack(curves, axis=1)
    # Where several are usual at once they share what is seen.
    found = look.share * found / np.maximum(found.sum(axis=1, keepdims=True), 1.0)
    # One in twenty is taken for another.
    found = 0.95 * found + 0.05 * look.share / found.shape[1]
    none = np.clip(1 - found.sum(axis=1, keepdims=True), 1e-6, 1)
    return np.concatenate([found, none], axis=1)


def _narrowing(dates: Dates, row: int, outcomes: NDArray[np.float64], widths: NDArray[np.int64]) -> float:
    chance = dates.p[row] @ outcomes
    after = reweighed(dates, row, outcomes)
    if after is None:
        return 0.0
    years = dates.problem.years
    shrunk = 0.0
    for part, p in after.items():
        sums = np.cumsum(p, axis=0)
        low = np.argmax(sums >= 0.05 - 1e-12, axis=0)
        high = np.argmax(sums >= 0.95 - 1e-12, axis=0)
        shrunk += widths[part] - float((years[high] - years[low]) @ chance / chance.sum())
    return shrunk


def _sentence(look: Look, part: str, narrowing: float) -> str:
    told = "; ".join(_named(clue) for clue in look.found[:4])
    sentence = f"{look.how} (the {part}): expected to narrow the ranges by about {round(narrowing)} years in all."
    sentence += f" It tells: {told}."
    return sentence + (f" {look.caution}" if look.caution else "")


def _named(clue: Clue) -> str:
    when = clue.when
    low = when.usual_from if when.usual_from is not None else when.earliest
    high = when.usual_to if when.usual_to is not None else when.latest
    years = f"{low or 'up'} to {high or 'now'}" if low or high else "no years of its own"
    return f"{clue.feature.split(':')[0]} ({years})"


def telling(part: str, most: Sequence[int]) -> tuple[Clue, ...]:
    """Give clues of a part whose first or last year lies inside a range, the best founded first."""
    inside = [
        clue
        for clue in clues().values()
        if place_of(part) in clue.parts
        and any(end is not None and most[0] < end < most[1] for end in (clue.when.earliest, clue.when.latest))
    ]
    return tuple(sorted(inside, key=lambda clue: ("H", "Md", "L", "N").index(clue.strength))[:3])
