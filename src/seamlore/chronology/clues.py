"""The table of datable features: what each says of the years, how strongly, and how each figure is known."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

from seamlore.chronology.evidence import Fashion
from seamlore.errors import UnknownNameError, nearest
from seamlore.sources import NO_SOURCE, TAG_WORDS

Strength = Literal["H", "Md", "L", "N"]
What = Literal["cloth", "making", "inscription"]

# How far the years of a clue are trusted, and how surely a thing is recognized that was seen without doubt: our own
# choice, no source; the file can say otherwise.
FACT: dict[Strength, float] = {"H": 0.99, "Md": 0.98, "L": 0.95, "N": 0.0}
EYE = {"plain": 0.985, "fair": 0.965, "hard": 0.8, "analysis": 0.98}
# What one number says where the two doubts are not kept apart (a file without the usual order).
TRUST: dict[Strength, float] = {"H": 0.95, "Md": 0.8, "L": 0.5, "N": 0.0}
STRENGTH_WORDS: dict[Strength, str] = {
    "H": "an invention or law with a date",
    "Md": "several sources or dated examples",
    "L": "a rule of thumb",
    "N": "proves nothing",
}
KNOWN_WORDS = {**TAG_WORDS, "P": NO_SOURCE}
EYE_WORDS = {
    "plain": "plain to see",
    "fair": "told by a practiced eye",
    "hard": "cannot be told by eye for sure",
    "analysis": "told by analysis only",
}
# Sources that are printed or kept by an institution; the others are pages of dealers, makers and collectors.
SOLID = ("handbook", "museum", "act", "patent", "dye history", "archive")
SEEN = ("cloth", "color", "print", "thread", "stitch", "edge", "filling", "words", "pattern", "wear")
FIGURES = ("earliest", "usual_from", "usual_to", "latest")


@dataclass(frozen=True, slots=True)
class Work:
    """Where a figure comes from.

    Parameters
    ----------
    kind : str
        "handbook", "museum", "act", "patent", "dye history", "archive", "web", "memory" or "practice".
    citation : str
    """

    kind: str
    citation: str

    @property
    def solid(self) -> bool:
        """Whether it is printed or kept by an institution."""
        return self.kind in SOLID


@dataclass(frozen=True, slots=True)
class Figure:
    """One year of a clue, and how it is known.

    Parameters
    ----------
    year : int
    source : Work
    tag : {"V", "Vw", "M", "P"}
        See `KNOWN_WORDS`.
    """

    year: int
    source: Work
    tag: str

    @property
    def solid(self) -> bool:
        """Whether it was read in a source that is printed or kept by an institution."""
        return self.tag == "V" and self.source.solid


@dataclass(frozen=True, slots=True)
class Clue:
    """One datable feature.

    Parameters
    ----------
    key, feature : str
        Short name, and what is seen.
    seen : str
        What she looks at: see `SEEN`.
    kind : str
        Dye, print, thread, machine, sack, label, tool, edge, filling, width, style, ...
    parts : tuple of str
        On which parts of a quilt it is seen.
    dates : {"cloth", "making", "inscription"}
        Whether it dates the cloth, or the making of the part; an inscription gives its year itself.
    family : str
        Clues of one family are one fact by several names, and count once on one part.
    when : Fashion
        Earliest, usual from, usual to, latest; all None when it proves nothing, or gives its year itself.
    figures : dict of str to Figure
        How each of these years is known.
    region : str
        Where those years hold.
    strength : {"H", "Md", "L", "N"}
        See `STRENGTH_WORDS`.
    eye : str
        How surely it is told by eye: see `EYE_WORDS`.
    mistaken_for : str
        What it is often taken for, or what misleads.
    hazard : str
        What is dangerous about it, if anything.
    """

    key: str
    feature: str
    seen: str
    kind: str
    parts: tuple[str, ...]
    dates: What
    family: str
    when: Fashion
    figures: dict[str, Figure]
    region: str
    strength: Strength
    eye: str
    mistaken_for: str
    hazard: str

    @property
    def says_nothing(self) -> bool:
        """Whether it is a trap: a thing that is taken for a clue and proves nothing."""
        return self.strength == "N"

    @property
    def source(self) -> str:
        """All sources of its figures in a line."""
        cited = dict.fromkeys(each.source.citation for each in self.figures.values())
        return "; ".join(cited) or NO_SOURCE

    @property
    def usual(self) -> str:
        """Its usual years in words, for a row of a list.

        Examples
        --------
        >>> clues()["crazy quilt"].usual, clues()["cotton seeds"].usual
        ('usual 1880 to 1900, known from 1876', 'proves nothing')
        """
        if self.says_nothing:
            return "proves nothing"
        if self.dates == "inscription":
            return "the year that is written"
        when = self.when
        told = []
        if when.usual_from is not None or when.usual_to is not None:
            low = "usual" if when.usual_from is None else f"usual {when.usual_from}"
            told.append(f"{low} to {when.usual_to}" if when.usual_to is not None else f"{low} on")
        if when.earliest is not None and when.earliest != when.usual_from:
            told.append(f"known from {when.earliest}")
        if when.latest is not None and when.latest != when.usual_to:
            told.append(f"to {when.latest} at the latest")
        return ", ".join(told)


@cache
def sources() -> dict[str, Work]:
    """Give all sources, by their short names."""
    return {row["id"]: Work(row["kind"], row["citation"]) for row in _rows("sources.csv")}


@cache
def clues() -> dict[str, Clue]:
    """Give the whole table, by key.

    Examples
    --------
    >>> clues()["printed sack"].when.earliest, clues()["printed sack"].dates
    (1924, 'cloth')
    >>> clues()["cotton seeds"].says_nothing
    True
    """
    return {row["key"]: _clue(row) for row in _rows("clues.csv")}


def _rows(name: str) -> list[dict[str, str]]:
    text = Path(__file__).parent.joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _clue(row: dict[str, str]) -> Clue:
    figures = {name: _figure(row[name]) for name in FIGURES if row[name]}
    return Clue(
        row["key"],
        row["feature"],
        row["seen"],
        row["kind"],
        tuple(row["parts"].split(";")),
        row["dates"],  # type: ignore[arg-type]
        row["family"],
        Fashion(*(figures[name].year if name in figures else None for name in FIGURES)),
        figures,
        row["region"],
        row["strength"],  # type: ignore[arg-type]
        row["eye"],
        row["mistaken_for"],
        row["hazard"],
    )


def _figure(text: str) -> Figure:
    """Read "1856 meldola V": the year, its source, how it is known."""
    year, source, tag = text.split()
    return Figure(int(year), sources()[source], tag)


def find_clue(key: str, *, where: str = "") -> Clue:
    """Find a clue by its key; case does not matter.

    Raises
    ------
    UnknownNameError
        Offering the nearest.

    Examples
    --------
    >>> find_clue("Turkey Red").kind
    'dye'
    >>> find_clue("turkish red")
    Traceback (most recent call last):
        ...
    seamlore.errors.UnknownNameError: a clue named "turkish red": it is not in the table; did you mean "turkey red"?
    """
    found = clues().get(" ".join(key.split()).casefold())
    if found is None:
        raise UnknownNameError(f'a clue named "{key}"', "it is not in the table", nearest(key, clues()), where=where)
    return found
