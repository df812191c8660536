"""Opening a shelf, and everything that is read from it or written to it."""

from __future__ import annotations

import datetime
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from types import TracebackType

from seamlore.errors import nearest
from seamlore.shelf.change import Change, Done, Section, ShelfError, StaleChangeError
from seamlore.shelf.lock import FolderLock
from seamlore.shelf.photographs import find, keep

DATABASE = "shelf.sqlite"
PHOTOGRAPHS = "photographs"
_LONGEST_NAME = 120


@dataclass(frozen=True, slots=True)
class Entry:
    """One study on the shelf: its number, name, and when it was begun and last changed (ISO 8601, UTC)."""

    number: int
    name: str
    made: str
    changed: str


class Shelf:
    """An open shelf; a context manager. One program holds it at a time; threads of it may share it.

    Parameters
    ----------
    folder : Path
        Made when it is not there.

    Raises
    ------
    ShelfError
        When the folder cannot be used, is held by another program, or was written by a later version.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder, Shelf(Path(folder)) as shelf:
    ...     study = shelf.create("Blue shoo fly")
    ...     shelf.apply(study, Change("tape", 0, '{"width": "74in"}', "entered the width"))
    ...     shelf.undo(study), shelf.read(study, "tape").value, shelf.redo(study), shelf.studies()[0].name
    1
    ('entered the width', None, 'entered the width', 'Blue shoo fly')
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        try:
            (folder / PHOTOGRAPHS).mkdir(parents=True, exist_ok=True)
        except OSError as fault:
            raise ShelfError(
                f"the folder {folder}", f"a shelf cannot be kept there: {fault.strerror}", "choose another folder"
            ) from None
        self._lock = FolderLock(folder)
        self._one_at_a_time = threading.RLock()
        try:
            self._database = sqlite3.connect(folder / DATABASE, isolation_level=None, check_same_thread=False)
            # A rollback journal and full synchronisation: a folder that is copied or synchronised stays whole.
            for line in ("journal_mode = DELETE", "synchronous = FULL", "foreign_keys = ON", "trusted_schema = OFF"):
                self._database.execute(f"PRAGMA {line}")
            self._bring_up_to_date()
        except sqlite3.DatabaseError as fault:
            self._lock.release()
            raise ShelfError(
                f"{DATABASE} in {folder}", f"it cannot be read: {fault}", "put back a copy of the folder"
            ) from None
        except ShelfError:
            self._lock.release()
            raise

    def __enter__(self) -> Shelf:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the shelf and let other programs have it."""
        with self._one_at_a_time:
            self._database.close()
            self._lock.release()

    def _bring_up_to_date(self) -> None:
        steps = sorted(
            (each for each in files("seamlore.shelf").joinpath("sql").iterdir() if each.name.endswith(".sql")),
            key=lambda each: each.name,
        )
        (version,) = self._database.execute("PRAGMA user_version").fetchone()
        if version > len(steps):
            raise ShelfError(
                f"a shelf of version {version}", f"this Seamlore knows up to {len(steps)}", "use the newer Seamlore"
            )
        for number, step in enumerate(steps[version:], start=version + 1):
            script = step.read_text(encoding="utf-8")
            self._database.executescript(f"BEGIN EXCLUSIVE;\n{script}\nPRAGMA user_version = {number};\nCOMMIT;")

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        with self._one_at_a_time:
            self._database.execute("BEGIN IMMEDIATE")
            try:
                yield self._database
            except BaseException:
                self._database.execute("ROLLBACK")
                raise
            self._database.execute("COMMIT")

    def _rows(self, question: str, *given: object) -> list[tuple[object, ...]]:
        with self._one_at_a_time:
            return self._database.execute(question, given).fetchall()

    # Studies

    def studies(self) -> tuple[Entry, ...]:
        """List the studies, the one changed last first."""
        rows = self._rows(
            "SELECT s.id, s.name, s.made, coalesce(max(c.made), s.made) AS changed FROM studies s"
            " LEFT JOIN changes c ON c.study = s.id GROUP BY s.id ORDER BY changed DESC, s.id DESC"
        )
        return tuple(Entry(*row) for row in rows)  # type: ignore[arg-type]

    def create(self, name: str) -> int:
        """Begin a study and give its number; a name that is taken gets a number behind it."""
        plain = " ".join(name.split())[:_LONGEST_NAME] or "Unnamed quilt"
        with self._writing() as database:
            taken = {str(row[0]).casefold() for row in database.execute("SELECT name FROM studies")}
            free, count = plain, 1
            while free.casefold() in taken:
                count += 1
                free = f"{plain} {count}"
            cursor = database.execute("INSERT INTO studies (name, made) VALUES (?, ?)", (free, _now()))
            return int(cursor.lastrowid or 0)

    def rename(self, study: int, name: str) -> None:
        """Give a study another name.

        Raises
        ------
        ShelfError
            When the name is empty, too long, or another study's.
        """
        plain = " ".join(name.split())
        if not 1 <= len(plain) <= _LONGEST_NAME:
            raise ShelfError(f'the name "{plain[:40]}"', f"a name has 1 to {_LONGEST_NAME} letters", "give another")
        self.entry(study)
        try:
            with self._writing() as database:
                database.execute("UPDATE studies SET name = ? WHERE id = ?", (plain, study))
        except sqlite3.IntegrityError:
            raise ShelfError(f'the name "{plain}"', "another study has it", "give another name") from None

    def entry(self, study: int) -> Entry:
        """Give one study by its number, or refuse."""
        found = next((entry for entry in self.studies() if entry.number == study), None)
        if found is None:
            raise ShelfError(f"study number {study}", "there is none on this shelf", "choose one of the list")
        return found

    def named(self, name: str) -> Entry:
        """Give one study by its name, whatever the case, or refuse and offer the nearest."""
        wanted = " ".join(name.split()).casefold()
        entries = self.studies()
        found = next((entry for entry in entries if entry.name.casefold() == wanted), None)
        if found is None:
            remedy = nearest(name, [entry.name for entry in entries]) if entries else "begin one first"
            raise ShelfError(f'a study named "{name}"', "there is none on this shelf", remedy)
        return found

    # Sections

    def read(self, study: int, section: str) -> Section:
        """Give one section of a study as it stands; revision 0 and None before its first change."""
        rows = self._rows("SELECT revision, value FROM sections WHERE study = ? AND name = ?", study, section)
        return Section(section, *rows[0]) if rows else Section(section, 0, None)  # type: ignore[arg-type]

    def read_all(self, study: int) -> dict[str, Section]:
        """Give every section of a study as it stands."""
        rows = self._rows("SELECT name, revision, value FROM sections WHERE study = ?", study)
        return {str(row[0]): Section(*row) for row in rows}  # type: ignore[arg-type]

    def apply(self, study: int, change: Change) -> int:
        """Make a change, keep it in the history, and give the section's new revision.

        Raises
        ------
        StaleChangeError
            When the section has changed since the change's base; nothing is written.
        ShelfError
            When there is no such study.
        """
        return self.apply_all(study, [change])[0]

    def apply_all(self, study: int, changes: list[Change]) -> list[int]:
        """Make several changes, all or none, and give the new revisions."""
        self.entry(study)
        with self._writing() as database:
            (position,) = database.execute("SELECT position FROM studies WHERE id = ?", (study,)).fetchone()
            database.execute(
                "UPDATE changes SET aside = 1 WHERE study = ? AND number > ? AND aside = 0", (study, position)
            )
            revisions = []
            for change in changes:
                current = self.read(study, change.section)
                if current.revision != change.base:
                    raise StaleChangeError(change.section, change.base, current)
                position += 1
                database.execute(
                    "INSERT INTO changes (study, number, section, before, after, says, made) VALUES (?, ?, ?, ?, ?, ?, ?)",
                    (study, position, change.section, current.value, change.value, change.says, _now()),
                )
                revisions.append(self._set(database, study, change.section, change.value))
            database.execute("UPDATE studies SET position = ? WHERE id = ?", (position, study))
            return revisions

    @staticmethod
    def _set(database: sqlite3.Connection, study: int, section: str, value: str | None) -> int:
        (revision,) = database.execute(
            "INSERT INTO sections (study, name, revision, value) VALUES (?, ?, 1, ?)"
            " ON CONFLICT (study, name) DO UPDATE SET revision = revision + 1, value = excluded.value"
            " RETURNING revision",
            (study, section, value),
        ).fetchone()
        return int(revision)

    def undo(self, study: int) -> str | None:
        """Take the last change back and say what it was; None when there is nothing left."""
        return self._step(study, back=True)

    def redo(self, study: int) -> str | None:
        """Make the change again that was taken back last, and say what it was; None when there is none."""
        return self._step(study, back=False)

    def _step(self, study: int, *, back: bool) -> str | None:
        self.entry(study)
        with self._writing() as database:
            (position,) = database.execute("SELECT position FROM studies WHERE id = ?", (study,)).fetchone()
            found = database.execute(
                "SELECT section, before, after, says FROM changes WHERE study = ? AND number = ? AND aside = 0",
                (study, position if back else position + 1),
            ).fetchone()
            if found is None:
                return None
            section, before, after, says = found
            self._set(database, study, section, before if back else after)
            database.execute(
                "UPDATE studies SET position = ? WHERE id = ?", (position - 1 if back else position + 1, study)
            )
            return str(says)

    def history(self, study: int) -> tuple[Done, ...]:
        """List the changes of a study, the first first; those taken back do not stand."""
        (position,) = self._rows("SELECT position FROM studies WHERE id = ?", study)[0]
        rows = self._rows(
            "SELECT number, section, says, made FROM changes WHERE study = ? AND aside = 0 ORDER BY number", study
        )
        return tuple(
            Done(number, section, says, made, number <= position)  # type: ignore[arg-type, operator]
            for number, section, says, made in rows
        )

    # Photographs

    def add_photograph(self, data: bytes, suffix: str) -> str:
        """Keep a photograph as it came and give the reference by which it is found again.

        Parameters
        ----------
        data : bytes
            The file, unchanged.
        suffix : str
            Such as "jpg"; the caller has looked at what it is.

        Returns
        -------
        str
            Made from the content, so that the same photograph is kept once.
        """
        return keep(self.folder / PHOTOGRAPHS, data, suffix)

    def photograph(self, reference: str) -> Path:
        """Give the path of a photograph by its reference.

        Raises
        ------
        ShelfError
            When the reference is not one, or its photograph is not in the folder.
        """
        return find(self.folder / PHOTOGRAPHS, reference)


def _now() -> str:
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="milliseconds")
