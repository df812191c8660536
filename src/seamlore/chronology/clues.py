"""The table of datable features: what each says of the years, how strongly, and how that is known."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal

from seamlore.chronology.evidence import Fashion
from seamlore.errors import UnknownNameError, nearest

Strength = Literal["H", "Md", "L", "N"]

# How far a clue seen without doubt is trusted: our own choice, no source; the file can say otherwise.
TRUST: dict[Strength, float] = {"H": 0.95, "Md": 0.8, "L": 0.5, "N": 0.0}
STRENGTH_WORDS: dict[Strength, str] = {
    "H": "an invention or law with a date",
    "Md": "several sources or dated examples",
    "L": "a rule of thumb",
    "N": "proves nothing",
}


@dataclass(frozen=True, slots=True)
class Clue:
    """One datable feature.

    Parameters
    ----------
    key, feature : str
        Short name, and what is seen.
    kind : str
        Dye, print, thread, machine, sack, label, tool, edge, filling, width, style, ...
    parts : tuple of str
        On which parts of a quilt it is seen.
    when : Fashion
        Earliest, usual from, usual to, latest; all None when it proves nothing.
    region : str
        Where those years hold.
    strength : {"H", "Md", "L", "N"}
        See `STRENGTH_WORDS`.
    mistaken_for : str
        What it is often taken for, or what misleads.
    tag, source : str
        How the years are known; see `sources.TAG_WORDS`.
    """

    key: str
    feature: str
    kind: str
    parts: tuple[str, ...]
    when: Fashion
    region: str
    strength: Strength
    mistaken_for: str
    tag: str
    source: str

    @property
    def says_nothing(self) -> bool:
        """Whether it is a trap: a thing that is taken for a clue and proves nothing."""
        return self.strength == "N"


@cache
def clues() -> dict[str, Clue]:
    """Give the whole table, by key.

    Examples
    --------
    >>> clues()["printed sack"].when.earliest
    1924
    >>> clues()["cotton seeds"].says_nothing
    True
    """
    text = files("seamlore.chronology").joinpath("clues.csv").read_text(encoding="utf-8")
    return {row["key"]: _clue(row) for row in csv.DictReader(text.splitlines())}


def _clue(row: dict[str, str]) -> Clue:
    years = [int(row[column]) if row[column] else None for column in ("earliest", "usual_from", "usual_to", "latest")]
    return Clue(
        row["key"],
        row["feature"],
        row["kind"],
        tuple(row["parts"].split(";")),
        Fashion(*years),
        row["region"],
        row["strength"],  # type: ignore[arg-type]
        row["mistaken_for"],
        row["tag"],
        row["source"],
    )


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
    found = clues().get(key.strip().casefold())
    if found is None:
        raise UnknownNameError(f'a clue named "{key}"', "it is not in the table", nearest(key, clues()), where=where)
    return found
