"""Real quilts whose year is inscribed or documented, dated from the features that their records state."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from seamlore.chronology.clues import clues
from seamlore.chronology.evidence_file import read_dossier
from seamlore.chronology.inference import quantile
from seamlore.chronology.reasons import weigh
from seamlore.chronology.spans import read_span
from seamlore.errors import DateError

TABLE = Path(__file__).parent.parent / "data" / "documented_quilts.csv"
# The end of the horizon is held, so that the figures do not change with the calendar.
THIS_YEAR = 2026
# "Circa" in a record reaches so far, as in the table's own notes.
CIRCA_YEARS = 5
SHORT_FASHION_YEARS = 60


@dataclass(frozen=True, slots=True)
class Judged:
    """One part of one quilt: its known years, and the answer.

    Parameters
    ----------
    quilt, part : str
    known : (int, int)
    median : int
    most : (int, int)
    short_fashion : bool
        Whether one of its own clues was usual for sixty years or less.
    keeper : str
        Whose record it is: a museum, a register, a collector, a blog.
    """

    quilt: str
    part: str
    known: tuple[int, int]
    median: int
    most: tuple[int, int]
    short_fashion: bool
    keeper: str

    @property
    def held(self) -> bool:
        """Whether the known years meet the range of 90 %."""
        return self.known[0] <= self.most[1] and self.most[0] <= self.known[1]

    @property
    def off(self) -> float:
        """Years from the middle of the answer to the middle of the known years."""
        return abs(self.median - sum(self.known) / 2)

    @property
    def wide(self) -> int:
        """Years from the one end of the range of 90 % to the other."""
        return self.most[1] - self.most[0]


def keeper(source: str) -> str:
    """Give whose record it is.

    Examples
    --------
    >>> keeper("Quilt Index 12-8-7099, Michigan Quilt Project"), keeper("mrssewsew.blogspot.com/2009/05/x.html")
    ('Quilt Index', 'mrssewsew')
    """
    return re.split(r" [A-Z]{1,2}\.| ?[,(/]| ?[A-Z]?[0-9]|\.(?:com|net|blogspot)", source)[0].strip()


def learned_from(row: dict[str, str]) -> frozenset[str]:
    """Give the clues of which the table has a year from this very record: judged by it, they would judge themselves."""
    numbers = [number.rstrip(".-") for number in re.findall(r"[A-Z]?[0-9][0-9.\-]{4,}", row["source"])]
    return frozenset(
        key
        for key, clue in clues().items()
        if any(number in figure.source.citation for number in numbers for figure in clue.figures.values())
    )


def evidence_of(row: dict[str, str], *, more: bool) -> tuple[str, list[tuple[str, str]]]:
    """Give the evidence file of a quilt, and its clues; "?" is half sure.

    The inscription itself is left out, and so is what the table learned from this very record.
    """
    entries, named = [], []
    own = learned_from(row)
    for told in [*row["clues"].split(";"), *(row["more"].split(";") if more else [])]:
        part, _, key = told.partition(":")
        plain = key.rstrip("?")
        if not plain or plain == "block date name" or plain in own:
            continue
        sure = 0.5 if key.endswith("?") else 1.0
        entries.append(f'[[evidence]]\npart = "{part}"\nclue = "{plain}"\nsure = {sure}\n')
        named.append((part, plain))
    return "usual_order = true\n" + "".join(entries), named


def known_years(row: dict[str, str], part: str) -> tuple[int, int] | None:
    """Give the known years of a part; None where the record says that it is of another, unknown year."""
    dated: dict[str, str] = {}
    for told in row["parts_dated"].split(";"):
        names, _, years = told.strip().partition(":")
        for name in names.replace(" and ", ",").split(","):
            if name.strip():
                dated[name.strip()] = years.partition(":")[0].split(" ")[0]
    if part in dated:
        try:
            span = read_span(dated[part])
        except DateError:
            return None  # "later", "some time later"
        reach = CIRCA_YEARS if span.about else 0
        if span.first is None or span.last is None:
            return None
        return span.first - reach, span.last + reach
    if dated and part != "blocks":
        return None
    return int(row["year_from"]), int(row["year_to"] or row["year_from"])


def judged(*, more: bool = False) -> Iterator[Judged]:
    """Date every documented quilt that has a clue, and give each part whose year is known."""
    with TABLE.open(encoding="utf-8") as table:
        rows = list(csv.DictReader(table))
    for row in rows:
        text, named = evidence_of(row, more=more)
        if not named:
            continue
        dossier = read_dossier(text, this_year=THIS_YEAR)
        dates = weigh(dossier).dates
        for part in dossier.parts:
            known = known_years(row, part)
            if known is None:
                continue
            years, p = dates.problem.years, dates.of(part)
            most = quantile(years, p, 0.05), quantile(years, p, 0.95)
            short = any(_short(key) for where, key in named if where == part)
            yield Judged(row["id"], part, known, quantile(years, p, 0.5), most, short, keeper(row["source"]))


def _short(key: str) -> bool:
    when = clues()[key].when
    low = when.usual_from if when.usual_from is not None else when.earliest
    high = when.usual_to if when.usual_to is not None else when.latest
    return low is not None and high is not None and high - low <= SHORT_FASHION_YEARS


def summary(parts: list[Judged]) -> dict[str, float]:
    """Give the share held, and over parts of a short fashion the median distance and width."""
    short = [each for each in parts if each.short_fashion]
    return {
        "parts": len(parts),
        "held": float(np.mean([each.held for each in parts])),
        "short": len(short),
        "off": float(np.median([each.off for each in short])),
        "wide": float(np.median([each.wide for each in short])),
    }


def one_keeper_less(parts: list[Judged]) -> dict[str, float]:
    """Give the worst of each figure when the records of one keeper are left out, each in turn."""
    told = [summary([each for each in parts if each.keeper != name]) for name in {each.keeper for each in parts}]
    return {
        "keepers": len(told),
        "held": min(each["held"] for each in told),
        "off": max(each["off"] for each in told),
        "wide": max(each["wide"] for each in told),
    }
