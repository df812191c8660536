"""Date a quilt, part by part, from an evidence file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from seamlore.chronology.clashes import Contradiction, contradictions, departures
from seamlore.chronology.evidence_file import Dossier, in_words, read_dossier
from seamlore.chronology.gaps import gap
from seamlore.chronology.inference import Dates
from seamlore.chronology.looks import NextLook, next_looks
from seamlore.chronology.meaning import Reading, headline, label_words, readings
from seamlore.chronology.reasons import Answer, answers, statement, weigh
from seamlore.chronology.shares import SAID, in_hundred, share_of, shares_in_words
from seamlore.chronology.spans import write_one_of

__all__ = ["CAUTIONS", "Dating", "as_record", "date", "shares_in_words", "usual_rows"]

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
    headline : str
        Every part that is known, in one sentence.
    readings : tuple of Reading
        What the years mean together: quilted later, old blocks set new, married, a reproduction.
    contradictions : tuple of Contradiction
    departures : tuple of str
        Answers that leave a clue's own usual years.
    statements : tuple of (str, float)
        Each sentence that was asked for, and its probability.
    next_looks : tuple of NextLook
    cautions : tuple of str
        What misleads in this evidence, then what always holds.
    """

    dossier: Dossier
    dates: Dates
    answers: tuple[Answer, ...]
    headline: str
    readings: tuple[Reading, ...]
    contradictions: tuple[Contradiction, ...]
    departures: tuple[str, ...]
    statements: tuple[tuple[str, float], ...]
    next_looks: tuple[NextLook, ...]
    cautions: tuple[str, ...]

    @property
    def for_label(self) -> str:
        """The years for a label, as "pieced about 1890, quilted about 1935"; empty when not known closely."""
        return label_words(self.answers)


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
    >>> told = 'usual_order = true\\n[[evidence]]\\npart = "blocks"\\nclue = "crazy quilt"'
    >>> dated = date(told, this_year=2026)
    >>> 1880 <= dated.answers[0].median <= 1895, dated.headline.startswith("Pieced about")
    (True, True)
    """
    dossier = read_dossier(text, this_year=this_year, source=source)
    weighed = weigh(dossier)
    dates = weighed.dates
    statements = []
    for earlier, later, years in dossier.gaps:
        chance = gap(dates, earlier, later).at_least(years)
        statements.append((statement(earlier, later, years, chance), chance))
    found = answers(dossier, dates)
    return Dating(
        dossier,
        dates,
        found,
        headline(found),
        readings(dossier, weighed, found),
        contradictions(dossier),
        departures(dossier, found),
        tuple(statements),
        next_looks(dossier, dates),
        dossier.cautions + CAUTIONS,
    )


def usual_rows(dossier: Dossier) -> tuple[tuple[str, str, str], ...]:
    """What is taken for usual: each share's word, what it is of, and how many of 100; nothing for the plain model."""
    if not dossier.usual:
        return ()
    return tuple((word, said, in_hundred(share_of(dossier.shares, word))) for word, said in SAID.items())


def as_record(dating: Dating) -> dict[str, Any]:
    """Give the dating as plain data for JSON, as design.md has it.

    `p` runs over `years`; `median`, `p05` and `p95` are the first years at which the cumulated probability
    reaches that share.
    """
    dates = dating.dates
    record: dict[str, Any] = {
        "horizon": list(dating.dossier.horizon),
        "headline": dating.headline,
        "parts": {
            answer.part: {
                "edtf": answer.edtf,
                "edtf_one_of": write_one_of(*answer.most),
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
        "means": [{"kind": each.kind, "says": each.sentence, "p": round(each.chance, 4)} for each in dating.readings],
        "contradictions": [each.sentence for each in dating.contradictions],
        "departures": list(dating.departures),
        "next": [
            {"part": look.part, "narrowing_years": round(look.narrowing, 1), "says": look.sentence}
            for look in dating.next_looks
        ],
        "cautions": list(dating.cautions),
    }
    if dating.dossier.usual:
        shares = dating.dossier.shares
        record["shares"] = {"pull": shares.pull, **{word: share_of(shares, word) for word in SAID}}
    return record
