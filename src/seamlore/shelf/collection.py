"""The shelf as a collection: found, duplicated, set aside, deleted, looked at as it was; studies that come and go."""

from __future__ import annotations

import re
import secrets
import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from seamlore.shelf import cards, cloths, history, photographs
from seamlore.shelf.cards import Card, Listed, Query
from seamlore.shelf.change import Change, Entry, ShelfError, Standing
from seamlore.shelf.opening import PHOTOGRAPHS
from seamlore.shelf.past import Past, past_of
from seamlore.shelf.revisions import back_to, sections_after

if TYPE_CHECKING:
    from seamlore.shelf.shelf import Shelf

# What a photograph's reference looks like wherever a section names one.
_REFERENCE = re.compile(r"[0-9a-f]{64}\.[a-z]{3,4}")
# So many cards are made at once; edits wait for no more.
_AT_ONCE = 200

Describe = Callable[[Standing, str | None, int], tuple[Card, int]]


class SameStudyError(ShelfError):
    """A study that came and is on the shelf already, as something else; `number` is the one that is there."""

    def __init__(self, number: int, *given: str) -> None:
        self.number = number
        super().__init__(*given)


@dataclass(frozen=True, slots=True)
class Arrival:
    """A study that comes from outside, looked through already.

    Parameters
    ----------
    identity : str
    name : str
    sections : mapping of str to str
        JSON text by name.
    photographs : mapping of str to bytes
        By reference.
    past : Past, optional
        Its history, where it came along.
    """

    identity: str
    name: str
    sections: Mapping[str, str]
    photographs: Mapping[str, bytes]
    past: Past | None = None


class Collection:
    """All that is done with studies as a collection.

    Parameters
    ----------
    shelf : Shelf
        Stays open as long as this is used.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from seamlore.shelf.shelf import Shelf
    >>> with tempfile.TemporaryDirectory() as folder, Shelf(Path(folder)) as shelf:
    ...     shelf.create("Blue shoo fly"), shelf.create("Brown basket")
    ...     collection = Collection(shelf)
    ...     collection.renew(lambda standing, before, worked: (Card(words="indigo"), worked), version=1)
    ...     [each.entry.name for each in collection.search(Query("shoo ind"))[1]]
    ...     collection.set_aside(1)
    ...     [each.entry.name for each in collection.search(Query())[1]]
    (1, 2)
    2
    ['Blue shoo fly']
    ['Brown basket']
    """

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf

    # Finding

    def renew(self, describe: Describe, *, version: int, progress: Callable[[float], None] | None = None) -> int:
        """Make anew every card that no longer fits its study, and say how many were made.

        Parameters
        ----------
        describe : callable
            Gives the card of a study as it stands, from what its last card said and the moves at which that was worked
            out (None and -1 where there is none); and the moves at which what it says now was worked out.
        version : int
            Of `describe`.
        """
        with self.shelf.database.reading() as database:
            left = cards.stale(database, version)
        for start in range(0, len(left), _AT_ONCE):
            with self.shelf.database.writing() as database:
                for study in left[start : start + _AT_ONCE]:
                    self._renew(database, study, describe, version)
            if progress:
                progress(min(1.0, (start + _AT_ONCE) / len(left)))
        return len(left)

    def renew_one(self, study: int, describe: Describe, *, version: int) -> None:
        """Make the card of one study anew."""
        with self.shelf.database.writing() as database:
            self._renew(database, study, describe, version)

    def _renew(self, database: sqlite3.Connection, study: int, describe: Describe, version: int) -> None:
        standing = self.shelf.standing_in(database, study)
        facts, worked = cards.facts_of(database, study) or (None, -1)
        card, worked = describe(standing, facts, worked)
        cards.put(database, study, standing.entry.name, card, version=version, moves=standing.moves, worked=worked)

    def search(self, query: Query, *, start: int = 0, most: int = 60) -> tuple[int, tuple[Listed, ...]]:
        """Give how many studies are found, and a page of them."""
        with self.shelf.database.reading() as database:
            return cards.search(database, query, start, most)

    def values(self, kinds: Iterable[str]) -> dict[str, tuple[tuple[str, int], ...]]:
        """Give what filters there are of each kind, and how many studies have each."""
        with self.shelf.database.reading() as database:
            return cards.values(database, kinds)

    def shared(self, kinds: Iterable[str]) -> tuple[tuple[str, str, tuple[int, ...]], ...]:
        """Give the marks that more than one study has: kind, value, numbers."""
        with self.shelf.database.reading() as database:
            return cards.shared(database, kinds)

    def listed(self, studies: Sequence[int]) -> tuple[Listed, ...]:
        """Give studies by their numbers, as they stand in lists, in the order asked for; those not there are left out."""
        with self.shelf.database.reading() as database:
            found: dict[int, Listed] = {}
            for study in studies:
                row = database.execute(
                    f"SELECT {cards.COLUMNS} {cards.JOINED} WHERE s.id = ?", (min(study, 2**62),)
                ).fetchone()
                found |= {study: cards.listed(row)} if row else {}
        return tuple(found[study] for study in studies if study in found)

    # Who a study is

    def identity(self, study: int) -> str:
        """Give who a study is, wherever it goes."""
        with self.shelf.database.reading() as database:
            return _identity(database, study)

    def identities(self) -> dict[str, int]:
        """Give the number of every study by its identity."""
        with self.shelf.database.reading() as database:
            return {str(who): int(number) for who, number in database.execute("SELECT identity, id FROM studies")}

    def of_identity(self, identity: str) -> Entry | None:
        """Give the study of an identity, None where it is not on the shelf."""
        with self.shelf.database.reading() as database:
            row = database.execute(
                "SELECT id, name, made, changed FROM studies WHERE identity = ?", (identity,)
            ).fetchone()
        return Entry(*row) if row else None

    # Duplicated, set aside, taken back, deleted

    def duplicate(self, study: int) -> int:
        """Put a study on the shelf once more, to be changed without changing the first; give its number.

        It has its own identity and begins a history of its own; photographs are kept once for both.
        """
        kept = self.shelf.standing(study)
        changes = [
            Change(name, 0, each.value, f'duplicated from "{kept.entry.name}"')
            for name, each in kept.sections.items()
            if each.value is not None
        ]
        return self.shelf.create(kept.entry.name, changes)

    def set_aside(self, study: int) -> None:
        """Take a study out of all lists; it is kept whole and can be taken back."""
        self._aside(study, history.now())

    def take_back(self, study: int) -> None:
        """Put a study back that was set aside."""
        self._aside(study, "")

    def _aside(self, study: int, when: str) -> None:
        with self.shelf.database.writing() as database:
            _identity(database, study)
            database.execute("UPDATE studies SET aside = ? WHERE id = ?", (when, study))

    def is_aside(self, study: int) -> bool:
        """Whether a study was set aside."""
        with self.shelf.database.reading() as database:
            _identity(database, study)
            return bool(database.execute("SELECT aside FROM studies WHERE id = ?", (study,)).fetchone()[0])

    def delete(self, study: int) -> None:
        """Delete a study that was set aside, for good: its sections, its history, and photographs that no other has.

        Backups that were made before still have its sections until they are let go.

        Raises
        ------
        ShelfError
            When it was not set aside first, or the disk refuses.
        """
        with self.shelf.database.writing() as database:
            identity = _identity(database, study)
            name, aside = database.execute("SELECT name, aside FROM studies WHERE id = ?", (study,)).fetchone()
            if not aside:
                raise ShelfError(f'the study "{name}"', "it stands on the shelf", "set it aside first")
            mine = _references(database, "study = ?", study)
            others = _references(database, "study <> ?", study)
            database.executemany(
                "INSERT OR IGNORE INTO unwanted VALUES (?)", [(each,) for each in sorted(mine - others)]
            )
            database.execute("INSERT OR REPLACE INTO gone VALUES (?, ?)", (identity, history.now()))
            cards.take_words(database, study)
            database.execute("DELETE FROM studies WHERE id = ?", (study,))
        cloths.remove(self.shelf.folder, identity)
        self.shelf.clear_unwanted()

    # As it was

    def past(self, study: int) -> Past:
        """Give the whole history of a study, as it travels."""
        with self.shelf.database.reading() as database:
            _identity(database, study)
            return past_of(database, study)

    def photographs_of(self, study: int) -> frozenset[str]:
        """Give the photographs that a study names, now or anywhere in its history."""
        with self.shelf.database.reading() as database:
            return frozenset(_references(database, "study = ?", study))

    def sections_at(self, study: int, number: int) -> tuple[str, dict[str, str]]:
        """Give the name and the sections that a study had after a step of its history; 0 is before the first.

        Raises
        ------
        ShelfError
            When there is no such step.
        """
        with self.shelf.database.reading() as database:
            _identity(database, study)
            return sections_after(database, study, number)

    def restore(self, study: int, number: int, *, where: str = "") -> None:
        """Make a study what it was after a step of its history, as one more step, which can be undone like any other.

        Raises
        ------
        ShelfError
            When there is no such step, or another study has the name that it had.
        """
        with self.shelf.database.writing() as database:
            _identity(database, study)
            back_to(database, study, number, where)

    # Arriving

    def arrive(self, arrival: Arrival, *, as_copy: bool = False) -> tuple[int, bool]:
        """Put a study that came from outside on the shelf, whole or not at all.

        Parameters
        ----------
        arrival : Arrival
        as_copy : bool
            Where one of the same identity is there, put it beside it under an identity of its own.

        Returns
        -------
        (int, bool)
            Its number, and whether it was put there now; False when it was there already, the very same.

        Raises
        ------
        SameStudyError
            When a study of that identity is there and is not the same.
        ShelfError
            When the disk refuses; the shelf is then as it was.
        """
        identity = arrival.identity
        there = self.of_identity(identity)
        if there is not None:
            now = {
                name: each.value for name, each in self.shelf.read_all(there.number).items() if each.value is not None
            }
            if now == dict(arrival.sections) and there.name == arrival.name and not as_copy:
                self._keep_photographs(arrival)
                return there.number, False
            if not as_copy:
                raise SameStudyError(
                    there.number,
                    f'the study "{arrival.name}"',
                    f'"{there.name}" on this shelf is the same study, and has changed since one of them left',
                    "bring it in as a copy and compare them, or leave it out",
                )
            identity = new_identity()
        fresh = self._keep_photographs(arrival)
        changes = [Change(name, 0, value, "brought in") for name, value in sorted(arrival.sections.items())]
        try:
            past = (arrival.past, arrival.sections) if arrival.past else None
            return self.shelf.create(arrival.name, changes, identity=identity, past=past), True
        except BaseException:
            self._remove(fresh)
            raise

    def _keep_photographs(self, arrival: Arrival) -> list[str]:
        """Keep the photographs and give those that were not there before; none of them when one cannot be kept."""
        fresh: list[str] = []
        try:
            for reference, data in arrival.photographs.items():
                path = self.shelf.folder / PHOTOGRAPHS / reference
                known = path.is_file()
                self.shelf.add_photograph(data, reference.rpartition(".")[2])
                fresh += [] if known else [reference]
        except BaseException:
            self._remove(fresh)
            raise
        return fresh

    def _remove(self, references: Iterable[str]) -> None:
        for each in references:
            photographs.remove(self.shelf.folder / PHOTOGRAPHS, each)


def new_identity() -> str:
    """Make an identity that no other study has."""
    return secrets.token_hex(16)


def _identity(database: sqlite3.Connection, study: int) -> str:
    row = database.execute("SELECT identity FROM studies WHERE id = ?", (min(study, 2**62),)).fetchone()
    if row is None:
        raise ShelfError(f"study number {study}", "there is none on this shelf", "choose one of the list")
    return str(row[0])


def _references(database: sqlite3.Connection, which: str, study: int) -> set[str]:
    found: set[str] = set()
    for query in (
        f"SELECT value FROM sections WHERE {which} AND name = 'photographs'",
        f"SELECT before FROM changes WHERE {which} AND section = 'photographs'",
        f"SELECT after FROM changes WHERE {which} AND section = 'photographs'",
    ):
        for (text,) in database.execute(query, (study,)):
            found.update(_REFERENCE.findall(text or ""))
    return found
