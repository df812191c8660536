"""Opening a shelf, and everything that is read from it or written to it."""

from __future__ import annotations

import datetime
import secrets
import sqlite3
import threading
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from types import TracebackType

from seamlore.errors import nearest
from seamlore.shelf import history, photographs
from seamlore.shelf.backups import Backup, backups_in, make_backup
from seamlore.shelf.change import Change, Done, Entry, Section, ShelfError, StaleMoveError, Standing
from seamlore.shelf.database import Database
from seamlore.shelf.lock import FolderLock
from seamlore.shelf.opening import (
    BACKUPS,
    PHOTOGRAPHS,
    must_be_one,
    open_database,
    prepare,
    restore_open,
    restore_unopened,
    sweep,
    utc_now,
)
from seamlore.shelf.past import Past, put_past

_LONGEST_NAME = 120
_LISTED = "SELECT id, name, made, changed FROM studies"


class Shelf:
    """An open shelf; a context manager. One program holds it at a time; threads of it may share it.

    Parameters
    ----------
    folder : Path
        Made when it is not there.
    restore : str, optional
        Put this backup of the row in the database's place first: its file's name, or "newest"; what is there is
        kept in the row, aside when it is damaged.
    begin : bool
        Whether a shelf may be begun where there is none: whoever only looks is not to make one.

    Attributes
    ----------
    folder : Path
    restored : Backup or None
        Which backup was put back.

    Raises
    ------
    ShelfError
        When the folder cannot be used, is held by another program, was written by a later version, or its database
        is damaged or missing.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder, Shelf(Path(folder)) as shelf:
    ...     study = shelf.create("Blue shoo fly")
    ...     shelf.apply(study, Change("tape", 0, '{"width": "74in"}', "entered the width"))
    ...     shelf.undo(study).says, shelf.read(study, "tape").value, shelf.redo(study).says, shelf.studies()[0].name
    1
    ('entered the width', None, 'entered the width', 'Blue shoo fly')
    """

    def __init__(self, folder: Path, *, restore: str | None = None, begin: bool = True) -> None:
        self.folder = folder
        if restore is not None or not begin:
            must_be_one(folder)
        self._backing_up = threading.Lock()
        prepare(folder)
        self._lock = FolderLock(folder)
        try:
            sweep(folder)
            self.restored = restore_unopened(folder, restore) if restore is not None else None
            self._database = open_database(folder)
            with suppress(ShelfError):
                # Left by a program that ended in the midst of it; what the disk refuses now is tried again next time.
                self.clear_unwanted()
        except BaseException:
            self._lock.release()
            raise

    def __enter__(self) -> Shelf:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the shelf and let other programs have it; again does nothing."""
        with self._database.alone():
            self._database.close()
            self._lock.release()

    @property
    def database(self) -> Database:
        """The open database, another one after a backup was put in its place."""
        return self._database

    # Studies

    def studies(self) -> tuple[Entry, ...]:
        """List the studies that are not set aside, the one changed last first."""
        with self._database.reading() as database:
            rows = database.execute(f"{_LISTED} WHERE aside = '' ORDER BY changed DESC, id DESC").fetchall()
        return tuple(Entry(*row) for row in rows)

    def counted(self, after: int = 0) -> tuple[int, int, int]:
        """Give how many studies stand on the shelf, the last number of these, and how many came after a number."""
        with self._database.reading() as database:
            count, last, fresh = database.execute(
                "SELECT count(*), coalesce(max(id), 0), coalesce(sum(id > ?), 0) FROM studies WHERE aside = ''",
                (after,),
            ).fetchone()
        return int(count), int(last), int(fresh)

    def create(
        self,
        name: str,
        changes: Sequence[Change] = (),
        *,
        identity: str = "",
        past: tuple[Past, Mapping[str, str]] | None = None,
    ) -> int:
        """Begin a study, with its first sections, and give its number; a name that is taken gets a number behind it.

        Parameters
        ----------
        identity : str
            Who it is, where it comes from elsewhere; one of its own when not given.
        past : (Past, mapping of str to str), optional
            Its history and the sections that this led to, where it comes with them; then there are no changes.

        Raises
        ------
        ShelfError
            When the history does not lead there, or it cannot be written.
        """
        plain = " ".join(name.split())[:_LONGEST_NAME] or "Unnamed quilt"
        with self._database.writing() as database:
            taken = {str(row[0]).casefold() for row in database.execute("SELECT name FROM studies")}
            free, count = plain, 1
            while free.casefold() in taken:
                count += 1
                free = f"{plain} {count}"
            moment = history.now()
            cursor = database.execute(
                "INSERT INTO studies (name, made, changed, identity) VALUES (?, ?, ?, ?)",
                (free, moment, moment, identity or secrets.token_hex(16)),
            )
            study = int(cursor.lastrowid or 0)
            if past is not None:
                put_past(database, study, *past)
            elif changes:
                history.add_step(database, study, changes)
            return study

    def rename(self, study: int, name: str, *, was: str | None = None, where: str = "") -> None:
        """Give a study another name; a step of its history like any other.

        Parameters
        ----------
        was : str, optional
            The name that it was to replace.
        where : str
            As in `Change`.

        Raises
        ------
        StaleMoveError
            When it was given another name since.
        ShelfError
            When the name is empty, too long, or another study's.
        """
        plain = " ".join(name.split())
        if not 1 <= len(plain) <= _LONGEST_NAME:
            raise ShelfError(f'the name "{plain[:40]}"', f"a name has 1 to {_LONGEST_NAME} letters", "give another")
        with self._database.writing() as database:
            before = self._entry(database, study).name
            if was is not None and was != before:
                raise StaleMoveError(
                    f'the name "{plain}"',
                    "this quilt was given another name in another window",
                    "look at it as it is",
                )
            if plain != before:
                history.add_name(database, study, before, plain, where)

    @staticmethod
    def _entry(database: sqlite3.Connection, study: int) -> Entry:
        # A number beyond what the database counts with is none either.
        row = database.execute(f"{_LISTED} WHERE id = ?", (study,)).fetchone() if study < 2**63 else None
        if row is None:
            raise ShelfError(f"study number {study}", "there is none on this shelf", "choose one of the list")
        return Entry(*row)

    def entry(self, study: int) -> Entry:
        """Give one study by its number, or refuse."""
        with self._database.reading() as database:
            return self._entry(database, study)

    def named(self, name: str, *, aside: bool = False) -> Entry:
        """Give one study by its name, whatever the case, or refuse and offer the nearest.

        Parameters
        ----------
        aside : bool
            Whether one that was set aside is meant too.
        """
        wanted = " ".join(name.split()).casefold()
        with self._database.reading() as database:
            which = "" if aside else " WHERE aside = ''"
            entries = [Entry(*row) for row in database.execute(_LISTED + which)]
        found = next((entry for entry in entries if entry.name.casefold() == wanted), None)
        if found is None:
            remedy = nearest(name, [entry.name for entry in entries]) if entries else "begin one first"
            raise ShelfError(f'a study named "{name}"', "there is none on this shelf", remedy)
        return found

    # Sections

    def read(self, study: int, section: str) -> Section:
        """Give one section of a study as it stands; revision 0 and None before its first change."""
        with self._database.reading() as database:
            return history.section_of(database, study, section)

    def read_all(self, study: int) -> dict[str, Section]:
        """Give every section of a study as it stands, also those of rooms that this version does not know."""
        with self._database.reading() as database:
            return history.sections_of(database, study)

    def standing(self, study: int) -> Standing:
        """Give a study as it stands: its sections, and what would be undone and redone."""
        with self._database.reading() as database:
            return self.standing_in(database, study)

    def standing_in(self, database: sqlite3.Connection, study: int) -> Standing:
        """Give a study as it stands, within a reading or writing that was begun."""
        entry = self._entry(database, study)
        position, moves, moved = database.execute(
            "SELECT position, moves, moved FROM studies WHERE id = ?", (study,)
        ).fetchone()
        undo, redo = (history.step_at(database, study, number, position) for number in (position, position + 1))
        return Standing(entry, history.sections_of(database, study), undo, redo, moves, moved)

    def apply(self, study: int, change: Change) -> int:
        """Make a change, keep it in the history, and give the section's new revision.

        Raises
        ------
        StaleChangeError
            When the section has changed since the change's base; nothing is written.
        ShelfError
            When there is no such study, or it cannot be written.
        """
        return self.apply_all(study, [change])[0]

    def apply_all(self, study: int, changes: Sequence[Change]) -> list[int]:
        """Make several changes, all or none, as one step of undo; give the new revisions."""
        with self._database.writing() as database:
            self._entry(database, study)
            return history.add_step(database, study, changes) if changes else []

    def undo(self, study: int, *, meant: int | None = None) -> Done | None:
        """Take the last step back and say what it was; None when there is nothing left.

        Parameters
        ----------
        meant : int, optional
            `Standing.moves` as it was when it was asked for: asked for twice, it is done once.

        Raises
        ------
        StaleMoveError
            When something else was done since; nothing is taken back.
        """
        with self._database.writing() as database:
            self._entry(database, study)
            return history.take_step(database, study, back=True, meant=meant)

    def redo(self, study: int, *, meant: int | None = None) -> Done | None:
        """Make the step again that was taken back last, and say what it was; as `undo` otherwise."""
        with self._database.writing() as database:
            self._entry(database, study)
            return history.take_step(database, study, back=False, meant=meant)

    def history(self, study: int) -> tuple[Done, ...]:
        """List the steps of a study, the first first; those taken back do not stand."""
        with self._database.reading() as database:
            return history.steps_of(database, study)

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
        return photographs.keep(self.folder / PHOTOGRAPHS, data, suffix)

    def photograph(self, reference: str) -> Path:
        """Give the path of a photograph by its reference.

        Raises
        ------
        MissingPhotographError
            When its photograph is not in the folder.
        ShelfError
            When the reference is not one.
        """
        return photographs.find(self.folder / PHOTOGRAPHS, reference)

    def thumbnail(self, reference: str) -> Path:
        """Give the path of a photograph's thumbnail, whether it was made yet or not."""
        return photographs.thumbnail(self.folder / PHOTOGRAPHS, reference)

    def keep_thumbnail(self, reference: str, data: bytes) -> None:
        """Keep a thumbnail for the next time."""
        photographs.keep_thumbnail(self.folder / PHOTOGRAPHS, reference, data)

    def clear_unwanted(self) -> None:
        """Remove the photographs of studies that were deleted for good, if there are any left."""
        with self._database.reading() as database:
            if database.execute("SELECT 1 FROM unwanted LIMIT 1").fetchone() is None:
                return
        with self._database.writing() as database:
            photographs.clear_unwanted(database, self.folder / PHOTOGRAPHS)

    def read_photograph(self, reference: str) -> bytes:
        """Give a photograph, byte for byte as it came.

        Raises
        ------
        MissingPhotographError
            When it is not in the folder, or is no longer what was put there.
        ShelfError
            When the reference is not one.
        """
        return photographs.read(self.folder / PHOTOGRAPHS, reference)

    # Backups

    def backups(self) -> tuple[Backup, ...]:
        """List the backups, the newest first."""
        return backups_in(self.folder / BACKUPS)

    def backup(self) -> Backup:
        """Copy the database into the row of backups by its own online backup; edits go on meanwhile.

        Raises
        ------
        ShelfError
            When it cannot be written; the row is as it was.
        """
        with self._backing_up:
            return make_backup(self._database, self.folder / BACKUPS, now=utc_now())

    def backup_is_due(self, every: datetime.timedelta) -> bool:
        """Whether something was changed since the newest backup, and that was made longer ago than `every`."""
        row = self.backups()
        with self._database.reading() as database:
            (changed,) = database.execute("SELECT max(changed) FROM studies").fetchone()
        if not changed:
            return False
        return not row or (row[0].made < datetime.datetime.fromisoformat(changed) and row[0].made < utc_now() - every)

    def restore(self, name: str) -> None:
        """Put a backup in the database's place, after the shelf as it is was put into the row.

        Parameters
        ----------
        name : str
            Its file's name, or "newest".

        Raises
        ------
        ShelfError
            When there is no such backup, it is damaged, or the disk refuses; the shelf is then as it was.
        """
        with self._backing_up:
            self._database = restore_open(self._database, self.folder, name)
