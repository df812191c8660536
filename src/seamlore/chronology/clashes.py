"""What does not go together: evidence that cannot both be right, and answers that leave what is usual."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.chronology.evidence import Evidence, Fashion, level, shape
from seamlore.chronology.evidence_file import Dossier
from seamlore.chronology.likelihoods import fashion_curve
from seamlore.chronology.order import Before
from seamlore.chronology.reasons import Answer, in_years, upper

# More pairs than this are not listed one by one.
_MOST_CLASHES = 30
_HARDLY = 0.003
# Cloth last usual so many years before the other was known: no scrap bag reaches that far.
_TWO_AGES_YEARS = 60


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


def contradictions(dossier: Dossier) -> tuple[Contradiction, ...]:
    """List the pairs of evidence that cannot both be right, on one part or through the order.

    Where the parts are taken to belong together, cloth of a clue may wait any number of years: it clashes only with
    what ends before it was made.

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
    if not heard:
        return ()
    ends = [_ends(each, years, dossier) for each in heard]
    first, last = np.array([each[0] for each in ends]), np.array([each[1] for each in ends])
    parts = list(dict.fromkeys(each.part for each in heard))
    row = np.array([parts.index(each.part) for each in heard])
    least = np.full((len(parts), len(parts)), -np.inf)
    for (early, late), gap in _least_between(dossier.order).items():
        if early in parts and late in parts:
            least[parts.index(early), parts.index(late)] = gap
    same = row[:, None] == row[None, :]
    through = first[:, None] + least[row[:, None], row[None, :]] > last[None, :]
    apart = same & ((first[:, None] > last[None, :]) | (first[None, :] > last[:, None]))
    # A list of years with holes may fit none of another's years though their ends overlap.
    holed = [index for index, each in enumerate(heard) if not isinstance(each.when, Fashion) and each.when.years]
    for one in holed:
        for two in np.flatnonzero(same[one] & ~apart[one]):
            fits = _support(heard[one], years, dossier) & _support(heard[int(two)], years, dossier)
            if two != one and not fits.any():
                apart[one, two] = apart[two, one] = True
    found: list[Contradiction] = []
    for one, two in zip(*np.nonzero(np.triu(apart | (through & ~same) | (through & ~same).T, 1)), strict=True):
        if len(found) == _MOST_CLASHES:
            break
        a, b = heard[int(one)], heard[int(two)]
        if apart[one, two]:
            found.append(Contradiction(a, b, _clash(a, b, "no year fits both")))
            continue
        sooner, later = (a, b) if through[one, two] else (b, a)
        why = f"the {sooner.part} came before the {later.part}"
        found.append(Contradiction(a, b, _clash(sooner, later, why)))
    return tuple(found)


def _support(evidence: Evidence, years: NDArray[np.int64], dossier: Dossier) -> NDArray[np.bool_]:
    """Years in which the part can have been made if this is right."""
    can = shape(evidence, years) > 0
    if not dossier.usual:
        return np.asarray(can)
    if isinstance(evidence.when, Fashion):
        # A fashion without a known last year still ends: what is seen once in some hundred is not to be counted on.
        can = can & (fashion_curve(evidence.when, years) > _HARDLY)
    if evidence.dates == "cloth":
        # Used in the year it was made, or in any later one.
        return np.asarray(np.maximum.accumulate(can))
    return np.asarray(can)


def _ends(evidence: Evidence, years: NDArray[np.int64], dossier: Dossier) -> tuple[int, int]:
    inside = years[_support(evidence, years, dossier)]
    return int(inside[0]), int(inside[-1])


def _clash(first: Evidence, second: Evidence, why: str) -> str:
    told = [f"{each.says} on the {each.part} ({in_years(each)})" for each in (first, second)]
    can = "cannot" if all(_bounded(each) for each in (first, second)) else "can hardly"
    return f"{upper(told[0])} and {told[1]} {can} both be right: {why}."


def _bounded(evidence: Evidence) -> bool:
    """Whether its years end where they are said to end, and do not only fade."""
    when = evidence.when
    return not isinstance(when, Fashion) or when.usual_to is None or when.latest is not None


def _least_between(order: Iterable[Before]) -> dict[tuple[str, str], int]:
    """Fewest years from one part to another along the order, for every pair that it ties."""
    least = {(before.earlier, before.later): (before.kept or (0, None))[0] for before in order}
    follow: dict[str, list[str]] = {}
    for early, late in least:
        follow.setdefault(early, []).append(late)
    out: dict[tuple[str, str], int] = {}
    for start in follow:
        # The order has no circles, so the longest way to each part is found by going on while it grows.
        best = {start: 0}
        waiting = [start]
        while waiting:
            node = waiting.pop()
            for late in follow.get(node, ()):
                through = best[node] + least[node, late]
                if through > best.get(late, -1):
                    best[late] = through
                    waiting.append(late)
        out.update({(start, late): years for late, years in best.items() if late != start})
    return out


def departures(dossier: Dossier, found: tuple[Answer, ...]) -> tuple[str, ...]:
    """Say where an answer lies outside the usual years of a clue that was seen on that part.

    Parameters
    ----------
    dossier : Dossier
    found : tuple of Answer

    Returns
    -------
    tuple of str
        A sentence for each clue of which the usual years lie wholly outside the answer's range of 9 in 10, and one
        for a part on which things of two ages leave the answer torn between them.
    """
    told = []
    by_part = {each.part: each for each in found}
    years = np.arange(dossier.horizon[0], dossier.horizon[1] + 1)
    for each in dossier.evidence:
        answer = by_part.get(each.part)
        if answer is None or each.trust <= 0 or not each.clue:
            continue
        low, high = _usual_ends(each, years)
        if low is not None and low > answer.most[1]:
            told.append(
                f"{upper(each.says)} on the {each.part} was usual from {low} on, later than the answer "
                f"({answer.most[0]} to {answer.most[1]}): look again whether it is that, or was put in later."
            )
        elif high is not None and high < answer.most[0]:
            kept = " old cloth used late, a reproduction," if each.dates == "cloth" else " an old-fashioned hand"
            told.append(
                f"{upper(each.says)} on the {each.part} was usual until {high}, earlier than the answer "
                f"({answer.most[0]} to {answer.most[1]}):{kept} or not what it seems."
            )
    for answer in found:
        told += _two_ages(answer, dossier, years)
    return tuple(told)


def _usual_ends(evidence: Evidence, years: NDArray[np.int64]) -> tuple[int | None, int | None]:
    when = evidence.when
    if isinstance(when, Fashion):
        low = when.usual_from if when.usual_from is not None else when.earliest
        return low, when.usual_to if when.usual_to is not None else when.latest
    inside = years[level(when, years, evidence.about_years) > 0]
    return (int(inside[0]), int(inside[-1])) if len(inside) else (None, None)


def _two_ages(answer: Answer, dossier: Dossier, years: NDArray[np.int64]) -> list[str]:
    """Cloth of one age and a thing of a much later one on the same part, where the answer leaves both in question."""
    here = [each for each in dossier.evidence if each.part == answer.part and each.clue and each.trust > 0]
    old = [
        (high, each) for each in here if each.dates == "cloth" and (high := _usual_ends(each, years)[1]) is not None
    ]
    new = [(first, each) for each in here if (first := _first(each)) is not None]
    if not old or not new:
        return []
    (gone, cloth), (came, late) = min(old, key=lambda pair: pair[0]), max(new, key=lambda pair: pair[0])
    if came - gone <= _TWO_AGES_YEARS or answer.most[0] > gone or answer.most[1] < came:
        return []
    return [
        f"{upper(cloth.says)} on the {answer.part} was usual until {gone}, {late.says} came only in {came}, "
        f"{came - gone} years later: old cloth in later work, a reproduction, a patch put in later, or one of the two "
        "is not what it seems. Look at both again before you give a year."
    ]


def _first(evidence: Evidence) -> int | None:
    when = evidence.when
    return when.earliest if isinstance(when, Fashion) else when.first
