"""Date a quilt, part by part, from an evidence file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from seamlore.chronology.evidence_file import Dossier, in_words, read_dossier
from seamlore.chronology.gaps import gap
from seamlore.chronology.inference import Dates
from seamlore.chronology.reasons import (
    Answer,
    Contradiction,
    NextLook,
    answers,
    contradictions,
    next_looks,
    statement,
    weigh,
)

CAUTIONS = (
    "A date from style alone is weak: look for fibers, thread, labels and makers' marks as well.",
    "This is an estimate from what was entered, not an appraisal.",
)


@dataclass(frozen=True, slots=True, eq=False)
class Dating:
    """A quilt dated: what was weighed, and what came of it.

    Parameters
    ----------
    dossier : Dossier
    dates : Dates
    answers : tuple of Answer
        One for each part.
    contradictions : tuple of Contradiction
    statements : tuple of (str, float)
        Each sentence that was asked for, and its probability.
    next_looks : tuple of NextLook
    cautions : tuple of str
        What misleads in this evidence, then what always holds.
    """

    dossier: Dossier
    dates: Dates
    answers: tuple[Answer, ...]
    contradictions: tuple[Contradiction, ...]
    statements: tuple[tuple[str, float], ...]
    next_looks: tuple[NextLook, ...]
    cautions: tuple[str, ...]


def date(text: str, *, this_year: int, source: str = "") -> Dating:
    """Date every part that an evidence file names.

    Parameters
    ----------
    text : str
        The evidence file (docs/dating.md).
    this_year : int
        End of the horizon when the file gives none.
    source : str
        The file's name, for messages.

    Returns
    -------
    Dating

    Raises
    ------
    DateError, UnknownNameError
        With the place of the entry that cannot be used.

    Examples
    --------
    >>> told = '[[evidence]]\\npart = "backing"\\nclue = "printed sack"'
    >>> date(told, this_year=2026).answers[0].most
    (1926, 1959)
    """
    dossier = read_dossier(text, this_year=this_year, source=source)
    _, dates = weigh(dossier)
    statements = []
    for earlier, later, years in dossier.gaps:
        chance = gap(dates, earlier, later).at_least(years)
        statements.append((statement(earlier, later, years, chance), chance))
    return Dating(
        dossier,
        dates,
        answers(dossier, dates),
        contradictions(dossier),
        tuple(statements),
        next_looks(dossier, dates),
        dossier.cautions + CAUTIONS,
    )


def as_record(dating: Dating) -> dict[str, Any]:
    """Give the dating as plain data for JSON, as design.md has it.

    `p` runs over `years`; `median`, `p05` and `p95` are the first years at which the cumulated probability
    reaches that share.
    """
    dates = dating.dates
    return {
        "horizon": list(dating.dossier.horizon),
        "parts": {
            answer.part: {
                "edtf": answer.edtf,
                "median": answer.median,
                "p05": answer.most[0],
                "p25": answer.half[0],
                "p75": answer.half[1],
                "p95": answer.most[1],
                "years": dates.problem.years.tolist(),
                "p": dates.of(answer.part).tolist(),
                "sentence": answer.sentence,
                "moved_by": [
                    {
                        "evidence": in_words(move.evidence),
                        "median_without": move.median_without,
                        "p05_without": move.most_without[0],
                        "p95_without": move.most_without[1],
                        "moves": round(move.distance, 4),
                    }
                    for move in answer.moved_by
                ],
            }
            for answer in dating.answers
        },
        "orders": [
            {
                "earlier": before.earlier,
                "later": before.later,
                **({"kept": list(before.kept)} if before.kept else {}),
            }
            for before in dating.dossier.order
        ],
        "statements": [{"says": sentence, "p": chance} for sentence, chance in dating.statements],
        "contradictions": [each.sentence for each in dating.contradictions],
        "next": [
            {"part": look.part, "narrowing_years": round(look.narrowing, 1), "says": look.sentence}
            for look in dating.next_looks
        ],
        "cautions": list(dating.cautions),
    }
