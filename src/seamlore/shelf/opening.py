"""Opening a shelf's database, and putting a backup in its place when it is lost; nothing that was kept is ever hidden."""

from __future__ import annotations

import datetime
import sqlite3
from collections.abc import Sequence
from pathlib import Path

from seamlore.shelf.backups import Backup, backup_named, backups_in, make_backup, put_back, studies_in
from seamlore.shelf.change import ShelfError
from seamlore.shelf.database import DamagedError, Database
from seamlore.shelf.faults import in_words
from seamlore.shelf.files import clear_parts, close_to_others, own_folder
from seamlore.shelf.history import is_of_one_moment
from seamlore.shelf.photographs import any_in

DATABASE = "shelf.sqlite"
PHOTOGRAPHS = "photographs"
BACKUPS = "backups"
_OWN_FILES = (DATABASE, f"{DATABASE}-journal", "in-use.lock", "checked.json")


def prepare(folder: Path) -> None:
    """Make a shelf's folders, for their owner only; files of others in a folder that was there stay as they are.

    Raises
    ------
    ShelfError
        When that cannot be done there.
    """
    try:
        ours = (folder / DATABASE).exists() or not folder.is_dir() or not any(folder.iterdir())
        own_folder(folder)
        own_folder(folder / PHOTOGRAPHS)
        if ours:
            close_to_others(folder, (folder / name for name in _OWN_FILES))
        for inner in (folder / PHOTOGRAPHS, folder / BACKUPS):
            if inner.is_dir():
                close_to_others(inner, inner.iterdir())
    except OSError as fault:
        raise ShelfError(
            f"the folder {folder}", f"a shelf cannot be kept there: {fault.strerror}", "choose another folder"
        ) from None


def must_be_one(folder: Path) -> None:
    """See that there is a shelf in a folder, or what is left of one.

    Raises
    ------
    ShelfError
        When nothing was ever kept there; nothing is made.
    """
    try:
        left = (folder / DATABASE).exists() or bool(backups_in(folder / BACKUPS)) or any_in(folder / PHOTOGRAPHS)
    except OSError as fault:
        raise in_words(fault, f"the folder {folder}") from None
    if not left:
        raise ShelfError(
            f"the folder {folder}",
            "there is no shelf in it",
            f'check its name; seamlore open --shelf "{folder}" begins one',
        )


def sweep(folder: Path) -> None:
    """Remove what a program that was killed left half-written; only under the folder's lock."""
    for each in (folder, folder / PHOTOGRAPHS, folder / BACKUPS):
        clear_parts(each)


def open_database(folder: Path) -> Database:
    """Open a shelf's database, or make one where nothing was kept yet.

    Raises
    ------
    ShelfError
        When it is damaged, emptied or missing: with the newest backup by name, and the folder left as it is.
    """
    row = backups_in(folder / BACKUPS)
    # Where something was kept, a database that is not there was lost: a new one would hide it.
    may_begin = not row and not any_in(folder / PHOTOGRAPHS)
    try:
        database = Database(
            folder / DATABASE,
            may_begin=may_begin,
            before_upgrade=lambda opened: make_backup(opened, folder / BACKUPS, now=utc_now()),
        )
    except DamagedError as damage:
        raise _lost(folder, damage.how, row) from None
    how = ""
    try:
        with database.reading() as connection:
            (studies,) = connection.execute("SELECT count(*) FROM studies").fetchone()
            if not is_of_one_moment(connection):
                how = "it was copied in the middle of a change"
            # Where one was deleted for good, the last may have been.
            elif not studies and not _any_gone(connection) and row and studies_in(row[0]):
                how = "its studies are gone"
    except ShelfError:
        database.close(noted=False)
        if database.is_sound:
            raise
        raise _lost(folder, "it is damaged", row) from None
    if how:
        database.close(noted=False)
        raise _lost(folder, how, row)
    return database


def _any_gone(connection: sqlite3.Connection) -> bool:
    return connection.execute("SELECT 1 FROM gone LIMIT 1").fetchone() is not None


def _lost(folder: Path, how: str, row: Sequence[Backup]) -> ShelfError:
    remedy = (
        f'the newest backup is of {row[0].says}; put it back with: seamlore shelf restore --shelf "{folder}"'
        if row
        else "there is no backup in the folder: put back a copy of it"
    )
    return ShelfError(f"{DATABASE} in {folder}", f"{how}, and was left as it is", remedy)


def restore_unopened(folder: Path, name: str) -> Backup:
    """Put a backup in the place of a database that is not open, damaged or not; what is there is kept in the row.

    Parameters
    ----------
    name : str
        The backup's file name, or "newest".

    Raises
    ------
    ShelfError
        When there is no such backup, it is damaged, or the disk refuses.
    """
    wanted = backup_named(folder / BACKUPS, name)
    data = bytes_of(wanted)
    aside: Path | None = folder / BACKUPS / f"aside-{utc_now():%Y-%m-%d-%H%M%S}.sqlite"
    try:
        database = open_database(folder)
    except ShelfError:
        # Damaged: as it is, it may still be of use to who knows how to mend it.
        pass
    else:
        make_backup(database, folder / BACKUPS, now=utc_now())
        database.close()
        aside = None
    put_back(data, folder / DATABASE, aside=aside)
    return wanted


def restore_open(database: Database, folder: Path, name: str) -> Database:
    """Put a backup in the place of an open database, after what is there was put into the row; give it, opened anew.

    Raises
    ------
    ShelfError
        When there is no such backup, it is damaged, or the disk refuses; the shelf is then as it was.
    """
    wanted = backup_named(folder / BACKUPS, name)
    # Read before the row lets the oldest go, which may be the one that is wanted.
    data = bytes_of(wanted)
    with database.alone():
        make_backup(database, folder / BACKUPS, now=utc_now())
        database.close()
        try:
            put_back(data, folder / DATABASE)
        finally:
            opened = open_database(folder)
    return opened


def bytes_of(backup: Backup) -> bytes:
    """Read a backup's file.

    Raises
    ------
    ShelfError
    """
    try:
        return backup.path.read_bytes()
    except OSError as fault:
        raise in_words(fault, f"the backup {backup.name}") from None


def utc_now() -> datetime.datetime:
    """Give the moment, in UTC."""
    return datetime.datetime.now(datetime.UTC)
