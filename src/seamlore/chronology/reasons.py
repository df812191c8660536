"""Why a part is dated as it is: what moved the answer, the strongest first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.evidence import Evidence, Fashion, describe, likelihood
from seamlore.chronology.evidence_file import Dossier
from seamlore.chronology.inference import Dates, infer, pose, quantile, reweighed
from seamlore.chronology.likelihoods import kin, together
from seamlore.chronology.order import Before
from seamlore.chronology.parts import place_of
from seamlore.chronology.spans import write_span
from seamlore.chronology.usual import Bonds, pose_usual, started

# Shares of the cumulated probability that a range of 50 and of 90 % runs between.
HALF = (0.25, 0.75)
MOST = (0.05, 0.95)
# What moves less than this share of the probability is no reason.
_LEAST_MOVE = 0.005


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What is known of one part, and why.

    Parameters
    ----------
    part : str
    median : int
        The first year at which the cumulated probability reaches one half.
    half, most : (int, int)
        Ranges of 50 and 90 %.
    edtf : str
        The range of 90 % as EDTF: an interval, or the year where it is one.
    sentence : str
        The reason first and the probability after it.
    moved_by : tuple of Move
        Which evidence moved this part, the strongest first.
    known : bool
        Whether anything but the order and what is usual speaks to it.
    """

    part: str
    median: int
    half: tuple[int, int]
    most: tuple[int, int]
    edtf: str
    sentence: str
    moved_by: tuple[Move, ...]
    known: bool = True


@dataclass(frozen=True, slots=True)
class Move:
    """What one piece of evidence does to one part: how the answer would stand without it.

    Parameters
    ----------
    evidence : Evidence
    median_without : int
    most_without : (int, int)
        Range of 90 % without it.
    distance : float
        How much of the probability it moves, 0 to 1 (total variation).
    """

    evidence: Evidence
    median_without: int
    most_without: tuple[int, int]
    distance: float


@dataclass(frozen=True, slots=True, eq=False)
class Weighed:
    """A dossier weighed: the years of its parts, and what binds them.

    Parameters
    ----------
    dates : Dates
    bonds : Bonds
        Empty where the parts are not taken to belong together.
    """

    dates: Dates
    bonds: Bonds = field(default_factory=Bonds)


def weigh(dossier: Dossier) -> Weighed:
    """Pose and answer what a dossier asks."""
    if not dossier.usual:
        return Weighed(infer(pose(dossier.horizon, dossier.evidence, dossier.order, parts=dossier.parts)))
    problem, bonds = pose_usual(
        dossier.horizon, dossier.evidence, dossier.written, parts=dossier.parts, shares=dossier.shares
    )
    return Weighed(infer(problem), bonds)


def span_of(years: NDArray[np.int64], p: NDArray[np.float64], shares: tuple[float, float]) -> tuple[int, int]:
    """Give the years between which a share of the probability lies.

    Examples
    --------
    >>> span_of(np.arange(1900, 1910), np.full(10, 0.1), (0.25, 0.75))
    (1902, 1907)
    """
    return quantile(years, p, shares[0]), quantile(years, p, shares[1])


def answers(dossier: Dossier, dates: Dates) -> tuple[Answer, ...]:
    """Give the answer for every part with its reasons, in the order of the parts.

    Parameters
    ----------
    dossier : Dossier
    dates : Dates
        Of the same dossier.

    Returns
    -------
    tuple of Answer
    """
    years = dates.problem.years
    moves: list[list[Move]] = [[] for _ in dates.problem.parts]
    for evidence, row, p in _without(dossier, dates):
        # Half the sum of the differences.
        moved = float(np.abs(dates.p[row] - p).sum() / 2)
        if moved > _LEAST_MOVE:
            moves[row].append(Move(evidence, quantile(years, p, 0.5), span_of(years, p, MOST), moved))
    found = []
    for row, part in enumerate(dates.problem.parts):
        p = dates.p[row]
        reasons = tuple(sorted(moves[row], key=lambda move: -move.distance))
        median, most = quantile(years, p, 0.5), span_of(years, p, MOST)
        sentence = _sentence(part, most, median, reasons, dossier.order)
        half = span_of(years, p, HALF)
        found.append(Answer(part, median, half, most, write_span(*most), sentence, reasons, bool(reasons)))
    return tuple(found)


def _without(dossier: Dossier, dates: Dates) -> Iterator[tuple[Evidence, int, NDArray[np.float64]]]:
    """How the parts stand without each piece of evidence in turn: it takes its weight off its part's years."""
    by_part: dict[str, list[Evidence]] = {}
    for each in dossier.evidence:
        if each.trust > 0:
            by_part.setdefault(each.part, []).append(each)
    for part, pieces in by_part.items():
        columns = np.stack([_less_of(each, pieces, dossier, dates) for each in pieces], axis=1)
        moved = reweighed(dates, dates.problem.parts.index(part), columns)
        for row, values in (moved or {}).items():
            for index, each in enumerate(pieces):
                yield each, row, values[:, index]


def _less_of(evidence: Evidence, pieces: Sequence[Evidence], dossier: Dossier, dates: Dates) -> NDArray[np.float64]:
    """What a part's years are multiplied by when a piece of evidence is taken away."""
    years = dates.problem.years
    if not dossier.usual:
        weight = likelihood(evidence, years)
        with np.errstate(divide="ignore"):
            return np.asarray(np.where(weight > 0, 1 / np.where(weight > 0, weight, 1.0), 0.0))
    group = next(group for group in kin(list(pieces)) if any(each is evidence for each in group))
    rest = [each for each in group if each is not evidence]
    start, on_cloth = started(years, dossier.shares), place_of(evidence.part) == "fabric"
    log = -together(group, years, dossier.shares, on_cloth=on_cloth, start=start)
    if rest:
        log = log + together(rest, years, dossier.shares, on_cloth=on_cloth, start=start)
    log = np.where(np.isfinite(log), log, -np.inf)
    return np.asarray(np.exp(log - log.max()))


def _sentence(part: str, most: tuple[int, int], median: int, moves: Sequence[Move], order: Sequence[Before]) -> str:
    years = f"{most[0]}" if most[0] == most[1] else f"between {most[0]} and {most[1]}"
    answer = f"the {part} most likely {was(part)} made {years} (9 in 10), as likely before {median} as after"
    if not moves:
        tied = [before for before in order if part in (before.earlier, before.later)]
        reason = "Nothing but the order speaks to it" if tied else "Nothing that was given speaks to it"
        return f"{reason}, so {answer}."
    told = []
    for move in moves[:2]:
        own = "" if move.evidence.part == part else f" on the {move.evidence.part}, through the order"
        told.append(f"{move.evidence.says}{own} ({in_years(move.evidence)})")
    return f"{upper(' and '.join(told))}: so {answer}."


def was(part: str) -> str:
    """Give "was" or "were" for a part.

    Examples
    --------
    >>> was("blocks"), was("binding")
    ('were', 'was')
    """
    return "were" if part.endswith("s") and not part.endswith("ss") else "was"


def upper(text: str) -> str:
    """Begin a sentence."""
    return text[:1].upper() + text[1:]


def in_years(evidence: Evidence) -> str:
    """Give the years that a piece of evidence names, in words.

    Examples
    --------
    >>> in_years(Evidence("top", "crazy quilt", Fashion(1876, 1880, 1900, None), 0.8))
    'not before 1876, mostly 1880 to 1900'
    """
    when = evidence.when
    first, last = (when.earliest, when.latest) if isinstance(when, Fashion) else (when.first, when.last)
    if isinstance(when, Fashion) and (when.usual_from or when.usual_to):
        usual = f"mostly {when.usual_from or '?'} to {when.usual_to or 'today'}"
        return f"not before {first}, {usual}" if first is not None else usual
    if first is not None and last is None:
        return f"not before {first}"
    if last is not None and first is None:
        return f"not after {last}"
    if isinstance(when, Fashion) or when.years:
        return describe(when)
    about = "about " if when.about else ""
    return f"{about}{first}" if first == last else f"{about}{first} to {last}"


def statement(earlier: str, later: str, years: int, chance: float) -> str:
    """Say how likely it is that one part is at least so many years later than another.

    Examples
    --------
    >>> statement("blocks", "edge finish", 10, 0.813)
    'The edge finish is at least 10 years later than the blocks: 81 in 100.'
    """
    verb = "are" if was(later) == "were" else "is"
    return f"The {later} {verb} at least {years} years later than the {earlier}: {round(100 * chance)} in 100."
