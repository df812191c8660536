"""What studies are found by: a card for each, full-text search, filters, orders. What a card says is made by others."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from seamlore.shelf.change import Entry

Order = Literal["changed", "name", "accession", "year", "size"]
# Those without a figure come last; ties by number, so that pages do not overlap.
_ORDERS: dict[str, str] = {
    "changed": "s.changed DESC, s.id DESC",
    "name": "s.name COLLATE NOCASE, s.id",
    "accession": "coalesce(c.accession, '') = '', c.accession COLLATE NOCASE, s.id",
    "year": "c.first_year IS NULL, c.first_year, c.last_year, s.id",
    "size": "c.area IS NULL, c.area DESC, s.id",
}
COLUMNS = (
    "s.id, s.name, s.made, s.changed, s.identity, coalesce(c.accession, ''), c.first_year, c.last_year,"
    " coalesce(f.value, '{}'), coalesce(c.worked, -1) = s.moves"
)
_CARDS = "FROM studies s LEFT JOIN cards c ON c.study = s.id"
JOINED = f"{_CARDS} LEFT JOIN facts f ON f.study = s.id"


@dataclass(frozen=True, slots=True)
class Card:
    """What one study is found by.

    Parameters
    ----------
    words : str
        All that full-text search looks into, beside the name.
    marks : mapping of str to tuple of str
        What filters go by, by kind: "block", "setting", "fabric", "tag", ...
    accession : str
    years : (int, int) or None
        The first and last year in which it may have been made.
    area : float or None
        In square inches.
    facts : str
        JSON that the shelf keeps and does not look into.
    """

    words: str = ""
    marks: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    accession: str = ""
    years: tuple[int, int] | None = None
    area: float | None = None
    facts: str = "{}"


@dataclass(frozen=True, slots=True)
class Query:
    """What is looked for.

    Parameters
    ----------
    words : str
        Every word must be there, each as the beginning of one.
    marks : mapping of str to str
        By kind: only studies that have this one.
    years : (int or None, int or None)
        Only studies that may have been made between these.
    aside : bool
        Those that were set aside, and no others.
    order : str
        One of `Order`.
    """

    words: str = ""
    marks: Mapping[str, str] = field(default_factory=dict)
    years: tuple[int | None, int | None] = (None, None)
    aside: bool = False
    order: Order = "changed"


@dataclass(frozen=True, slots=True)
class Listed:
    """One study in a list: its entry, its accession number, its years, the facts of its card.

    `worked` says whether the facts hold for the study as it stands.
    """

    entry: Entry
    identity: str
    accession: str
    years: tuple[int, int] | None
    facts: str
    worked: bool


def search_words(text: str) -> str:
    """Write what was typed as the full-text engine takes it; empty when there is no word in it.

    Examples
    --------
    >>> search_words('Shoo fl "OR')
    '"Shoo"* "fl"* "OR"*'
    >>> search_words("--")
    ''
    """
    return " ".join(f'"{word}"*' for word in words_in(text))


def words_in(text: str) -> list[str]:
    """Part what was typed into the words that are looked up.

    Examples
    --------
    >>> words_in("Shoo fl -- 1880")
    ['Shoo', 'fl', '1880']
    """
    return re.findall(r"\w+", text)


def _where(query: Query) -> tuple[str, list[object]]:
    said = ["s.aside <> ''" if query.aside else "s.aside = ''"]
    given: list[object] = []
    if query.words.strip():
        wanted = search_words(query.words)
        said.append("s.id IN (SELECT rowid FROM words WHERE words MATCH ?)" if wanted else "0")
        given += [wanted] if wanted else []
    for kind, value in query.marks.items():
        said.append("s.id IN (SELECT study FROM marks WHERE kind = ? AND value = ?)")
        given += [kind, value]
    first, last = query.years
    if first is not None:
        said.append("c.last_year >= ?")
        given.append(first)
    if last is not None:
        said.append("c.first_year <= ?")
        given.append(last)
    return " AND ".join(said), given


def search(database: sqlite3.Connection, query: Query, start: int, most: int) -> tuple[int, tuple[Listed, ...]]:
    """Give how many studies there are of a kind, and a page of them."""
    where, given = _where(query)
    order = _ORDERS[query.order]
    alone = "FROM studies s" if "c." not in where else _CARDS
    (count,) = database.execute(f"SELECT count(*) {alone} WHERE {where}", given).fetchone()
    alone = "FROM studies s" if "c." not in where + order else _CARDS
    # What is shown is fetched for one page alone.
    rows = database.execute(
        f"SELECT {COLUMNS} {JOINED} WHERE s.id IN"
        f" (SELECT s.id {alone} WHERE {where} ORDER BY {order} LIMIT ? OFFSET ?) ORDER BY {order}",
        [*given, most, start],
    ).fetchall()
    return int(count), tuple(listed(row) for row in rows)


def listed(row: tuple[object, ...]) -> Listed:
    """Read a row of `COLUMNS`."""
    number, name, made, changed, identity, accession, first, last, facts, worked = row
    years = (int(str(first)), int(str(last))) if first is not None and last is not None else None
    entry = Entry(int(str(number)), str(name), str(made), str(changed))
    return Listed(entry, str(identity), str(accession), years, str(facts), bool(worked))


def values(database: sqlite3.Connection, kinds: Iterable[str]) -> dict[str, tuple[tuple[str, int], ...]]:
    """Give what there is of each kind of mark on the shelf, and on how many studies."""
    found: dict[str, tuple[tuple[str, int], ...]] = {}
    for kind in kinds:
        rows = database.execute(
            "SELECT value, count(*) FROM marks WHERE kind = ? AND study NOT IN (SELECT id FROM studies WHERE aside <> '')"
            " GROUP BY value ORDER BY value",
            (kind,),
        )
        found[kind] = tuple((str(value), int(count)) for value, count in rows)
    return found


def shared(database: sqlite3.Connection, kinds: Iterable[str]) -> tuple[tuple[str, str, tuple[int, ...]], ...]:
    """Give the marks of some kinds that more than one study has: kind, value, the studies' numbers."""
    found = []
    for kind in kinds:
        rows = database.execute(
            "SELECT value, group_concat(study) FROM marks WHERE kind = ?"
            " AND study NOT IN (SELECT id FROM studies WHERE aside <> '')"
            " GROUP BY value HAVING count(*) > 1 ORDER BY value",
            (kind,),
        )
        found += [(kind, str(value), tuple(sorted(map(int, studies.split(","))))) for value, studies in rows]
    return tuple(found)


def stale(database: sqlite3.Connection, version: int) -> tuple[int, ...]:
    """Give the studies whose card is missing, or made for an earlier state or by an earlier version."""
    rows = database.execute(
        "SELECT s.id FROM studies s LEFT JOIN cards c ON c.study = s.id"
        " WHERE c.moves IS NOT s.moves OR c.version IS NOT ?",
        (version,),
    )
    return tuple(int(row[0]) for row in rows)


def facts_of(database: sqlite3.Connection, study: int) -> tuple[str, int] | None:
    """Give the facts of a study's card and the moves at which they were worked out; None where it has no card."""
    row = database.execute(
        "SELECT f.value, c.worked FROM cards c JOIN facts f ON f.study = c.study WHERE c.study = ?", (study,)
    ).fetchone()
    return (str(row[0]), int(row[1])) if row else None


def put(
    database: sqlite3.Connection, study: int, name: str, card: Card, *, version: int, moves: int, worked: int
) -> None:
    """Put a card in the place of the one that a study had."""
    first, last = card.years or (None, None)
    database.execute(
        "INSERT OR REPLACE INTO cards (study, version, moves, worked, accession, first_year, last_year, area)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        (study, version, moves, worked, card.accession, first, last, card.area),
    )
    database.execute("INSERT OR REPLACE INTO facts (study, value) VALUES (?, ?)", (study, card.facts))
    take_words(database, study)
    database.executemany(
        "INSERT OR IGNORE INTO marks (study, kind, value) VALUES (?, ?, ?)",
        [(study, kind, value) for kind, those in card.marks.items() for value in those],
    )
    database.execute("INSERT INTO words (rowid, name, rest) VALUES (?, ?, ?)", (study, name, card.words))


def take_words(database: sqlite3.Connection, study: int) -> None:
    """Take a study out of the search."""
    database.execute("DELETE FROM marks WHERE study = ?", (study,))
    database.execute("DELETE FROM words WHERE rowid = ?", (study,))
