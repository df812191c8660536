"""Why a part is dated as it is: what moved the answer, what contradicts what, what to look for next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.clues import Clue, clues
from seamlore.chronology.evidence import Evidence, Fashion, describe, shape
from seamlore.chronology.evidence_file import Dossier
from seamlore.chronology.inference import Dates, Problem, infer, pose, quantile
from seamlore.chronology.order import Before
from seamlore.chronology.spans import write_span

# Shares of the cumulated probability that a range of 50 and of 90 % runs between.
HALF = (0.25, 0.75)
MOST = (0.05, 0.95)


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
        The range of 90 % as EDTF.
    sentence : str
        The reason first and the probability after it.
    moved_by : tuple of Move
        Which evidence moved this part, the strongest first.
    """

    part: str
    median: int
    half: tuple[int, int]
    most: tuple[int, int]
    edtf: str
    sentence: str
    moved_by: tuple[Move, ...]


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


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two pieces of evidence that cannot both be right.

    Parameters
    ----------
    first, second : Evidence
    sentence : str
        Why not, in plain words.
    """

    first: Evidence
    second: Evidence
    sentence: str


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
        Features of that part whose years begin or end inside what is in doubt.
    sentence : str
    """

    part: str
    narrowing: float
    clues: tuple[Clue, ...]
    sentence: str


def weigh(dossier: Dossier) -> tuple[Problem, Dates]:
    """Pose and answer what a dossier asks."""
    problem = pose(dossier.horizon, dossier.evidence, dossier.order, parts=dossier.parts)
    return problem, infer(problem)


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
    without = [_without(dossier, index) for index in range(len(dossier.evidence))]
    found = []
    for row, part in enumerate(dates.problem.parts):
        p = dates.p[row]
        moves = []
        for evidence, other in zip(dossier.evidence, without, strict=True):
            distance = float(np.abs(p - other[row]).sum() / 2)
            if distance > 0.005:
                moves.append(
                    Move(evidence, quantile(years, other[row], 0.5), span_of(years, other[row], MOST), distance)
                )
        moves.sort(key=lambda move: -move.distance)
        median, most = quantile(years, p, 0.5), span_of(years, p, MOST)
        sentence = _sentence(part, most, median, moves, dossier.order)
        found.append(Answer(part, median, span_of(years, p, HALF), most, write_span(*most), sentence, tuple(moves)))
    return tuple(found)


def _without(dossier: Dossier, index: int) -> NDArray[np.float64]:
    left = dossier.evidence[:index] + dossier.evidence[index + 1 :]
    return infer(pose(dossier.horizon, left, dossier.order, parts=dossier.parts)).p


def _sentence(part: str, most: tuple[int, int], median: int, moves: Sequence[Move], order: Sequence[Before]) -> str:
    years = f"{most[0]}" if most[0] == most[1] else f"between {most[0]} and {most[1]}"
    answer = f"the {part} most likely {_was(part)} made {years} (9 in 10), as likely before {median} as after"
    if not moves:
        tied = [before for before in order if part in (before.earlier, before.later)]
        reason = "Nothing but the order speaks to it" if tied else "Nothing that was given speaks to it"
        return f"{reason}, so {answer}."
    told = []
    for move in moves[:2]:
        own = "" if move.evidence.part == part else f" on the {move.evidence.part}, through the order"
        told.append(f"{move.evidence.says}{own} ({_years(move.evidence)})")
    return f"{_upper(' and '.join(told))}: so {answer}."


def _was(part: str) -> str:
    return "were" if part.endswith("s") and not part.endswith("ss") else "was"


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _years(evidence: Evidence) -> str:
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


def contradictions(dossier: Dossier) -> tuple[Contradiction, ...]:
    """List the pairs of evidence that cannot both be right, on one part or through the order.

    Parameters
    ----------
    dossier : Dossier

    Returns
    -------
    tuple of Contradiction
        In the order of the evidence; evidence of trust 0 takes no part.

    Examples
    --------
    >>> from seamlore.chronology.spans import Span
    >>> a, b = Evidence("top", "a label", Span(1880, 1880), 0.9), Evidence("top", "a sack", Span(1924, None), 0.9)
    >>> [c.sentence for c in contradictions(Dossier((1700, 2026), (a, b), (), ("top",)))]
    ['A label on the top (1880) and a sack on the top (not before 1924) cannot both be right: no year fits both.']
    >>> contradictions(Dossier((1700, 2026), (a,), (), ("top",)))
    ()
    """
    years = np.arange(dossier.horizon[0], dossier.horizon[1] + 1)
    heard = [each for each in dossier.evidence if each.trust > 0]
    support = [years[shape(each, years) > 0] for each in heard]
    between = _least_between(dossier.order)
    found = []
    for one in range(len(heard)):
        for two in range(one + 1, len(heard)):
            first, second = heard[one], heard[two]
            if first.part == second.part:
                if not np.intersect1d(support[one], support[two]).size:
                    found.append(Contradiction(first, second, _clash(first, second, "no year fits both")))
                continue
            for early, late in ((one, two), (two, one)):
                least = between.get((heard[early].part, heard[late].part))
                if least is not None and support[early].min() + least > support[late].max():
                    why = f"the {heard[early].part} came before the {heard[late].part}"
                    found.append(Contradiction(first, second, _clash(heard[early], heard[late], why)))
    return tuple(found)


def _clash(first: Evidence, second: Evidence, why: str) -> str:
    told = [f"{each.says} on the {each.part} ({_years(each)})" for each in (first, second)]
    return f"{_upper(told[0])} and {told[1]} cannot both be right: {why}."


def _least_between(order: Iterable[Before]) -> dict[tuple[str, str], int]:
    """Fewest years from one part to another along the order, for every pair that it ties."""
    least = {(before.earlier, before.later): (before.kept or (0, None))[0] for before in order}
    names = {name for pair in least for name in pair}
    for middle in names:
        for one in names:
            for two in names:
                if (one, middle) in least and (middle, two) in least:
                    through = least[one, middle] + least[middle, two]
                    least[one, two] = max(least.get((one, two), 0), through)
    return least


def next_looks(dossier: Dossier, dates: Dates, *, most: int = 3) -> tuple[NextLook, ...]:
    """Say which part is most worth another look: where one more observation is expected to narrow most.

    What is tried on each part: finding out, with trust 0.9, in which quarter of its probability its year lies.

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
    years, found = dates.problem.years, []
    now = _width(dates)
    for row, part in enumerate(dates.problem.parts):
        cuts = [quantile(years, dates.p[row], share) for share in (0.25, 0.5, 0.75)]
        edges = sorted({int(years[0]), *(cut + 1 for cut in cuts), int(years[-1]) + 1})
        expected = 0.0
        for low, high in pairwise(edges):
            inside = (years >= low) & (years < high)
            # Heard rightly with trust 0.9, else each answer as often as it would be given without looking.
            chance = float(dates.p[row][inside].sum())
            factor = np.where(inside, 0.9, 0.0) + 0.1 * chance
            weights = dates.problem.weights.copy()
            weights[row] = weights[row] * factor
            heard = 0.9 * chance + 0.1 * chance
            if heard > 1e-9:
                expected += heard * _width(infer(replace(dates.problem, weights=weights)))
        narrowing = now - expected
        if narrowing >= 1:
            telling = _telling(part, span_of(years, dates.p[row], MOST), dossier)
            found.append(NextLook(part, narrowing, telling, _look_sentence(part, narrowing, telling)))
    found.sort(key=lambda look: -look.narrowing)
    return tuple(found[:most])


def _width(dates: Dates) -> float:
    spans = [span_of(dates.problem.years, p, MOST) for p in dates.p]
    return float(sum(last - first for first, last in spans))


def _telling(part: str, most: tuple[int, int], dossier: Dossier) -> tuple[Clue, ...]:
    """Clues for a part that would cut into its range, not given yet; the strongest first."""
    said = {each.says for each in dossier.evidence}
    found = []
    for clue in clues().values():
        ends = [clue.when.earliest, clue.when.latest]
        inside = any(end is not None and most[0] < end < most[1] for end in ends)
        if part in clue.parts and inside and clue.feature not in said and not clue.says_nothing:
            found.append(clue)
    middle = (most[0] + most[1]) / 2
    strengths = ["H", "Md", "L"]
    found.sort(
        key=lambda clue: (
            strengths.index(clue.strength),
            min(abs(end - middle) for end in (clue.when.earliest, clue.when.latest) if end is not None),
        )
    )
    return tuple(found[:3])


def _look_sentence(part: str, narrowing: float, telling: Sequence[Clue]) -> str:
    sentence = (
        f"Look at the {part} again: one sound clue there is expected to narrow the ranges by about "
        f"{round(narrowing)} years in all."
    )
    if telling:
        looks = "; ".join(f"{clue.feature} ({_bound(clue)})" for clue in telling)
        sentence += f" What would tell: {looks}."
    return sentence


def _bound(clue: Clue) -> str:
    when = clue.when
    return f"not before {when.earliest}" if when.earliest is not None else f"not after {when.latest}"


def statement(earlier: str, later: str, years: int, chance: float) -> str:
    """Say how likely it is that one part is at least so many years later than another.

    Examples
    --------
    >>> statement("blocks", "edge finish", 10, 0.813)
    'The edge finish is at least 10 years later than the blocks: 81 in 100.'
    """
    verb = "are" if _was(later) == "were" else "is"
    return f"The {later} {verb} at least {years} years later than the {earlier}: {round(100 * chance)} in 100."
