"""The row of backups: whole copies of the database, the newest few and one for each of the last days."""

from __future__ import annotations

import datetime
import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from seamlore.errors import nearest
from seamlore.shelf.change import ShelfError
from seamlore.shelf.database import Database
from seamlore.shelf.faults import in_words
from seamlore.shelf.files import begin_file, clear_parts, own_folder, put_in_place, sync_folder

# So many are kept: the newest, and the newest of each of so many days on which one was made.
_NEWEST = 4
_DAYS = 7
# More than the revisions and moves that a page may still hold.
_BEYOND = 1_000_000
_NAME = re.compile(r"shelf-(\d{4}-\d{2}-\d{2}-\d{6})(?:-(\d\d))?\.sqlite\Z")
_STAMP = "%Y-%m-%d-%H%M%S"


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup in the row.

    Parameters
    ----------
    path : Path
    made : datetime
        In UTC.
    """

    path: Path
    made: datetime.datetime

    @property
    def name(self) -> str:
        """What it is called: its file's name."""
        return self.path.name

    @property
    def says(self) -> str:
        """When it was made, by this computer's clock."""
        return self.made.astimezone().strftime("%Y-%m-%d %H:%M")


def backups_in(folder: Path) -> tuple[Backup, ...]:
    """List the backups in a folder, the newest first.

    Examples
    --------
    >>> backups_in(Path("no such folder"))
    ()
    """
    if not folder.is_dir():
        return ()
    found = []
    for path in folder.iterdir():
        if named := _NAME.match(path.name):
            with suppress(ValueError):
                made = datetime.datetime.strptime(named[1], _STAMP).replace(tzinfo=datetime.UTC)
                found.append((made, named[2] or "", Backup(path, made)))
    return tuple(each for *_, each in sorted(found, key=lambda each: each[:2], reverse=True))


def make_backup(database: Database, folder: Path, *, now: datetime.datetime) -> Backup:
    """Copy the database into the row, whole or not at all, and let the oldest go.

    Raises
    ------
    ShelfError
        When it cannot be written; the row is as it was.
    """
    part = folder / "backup.part"
    try:
        own_folder(folder)
        clear_parts(folder)
        database.copy_to(part)
        path = _free(folder, now)
        put_in_place(part, path)
    except OSError as fault:
        raise in_words(fault, "the backup") from None
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    row = backups_in(folder)
    for each in row:
        if each not in _kept(row):
            with suppress(OSError):
                each.path.unlink()
    return next(each for each in row if each.path == path)


def _free(folder: Path, now: datetime.datetime) -> Path:
    stamp = now.astimezone(datetime.UTC).strftime(_STAMP)
    names = [f"shelf-{stamp}.sqlite", *(f"shelf-{stamp}-{number:02}.sqlite" for number in range(2, 100))]
    return next(path for name in names if not (path := folder / name).exists())


def _kept(row: tuple[Backup, ...]) -> list[Backup]:
    kept = list(row[:_NEWEST])
    days: dict[datetime.date, Backup] = {}
    for each in row:
        days.setdefault(each.made.date(), each)
    return kept + list(days.values())[:_DAYS]


def backup_named(folder: Path, name: str) -> Backup:
    """Give a backup by its file's name, or the newest by that word.

    Raises
    ------
    ShelfError
        When there is none of that name, or it is damaged.
    """
    row = backups_in(folder)
    found = row[0] if row and name == "newest" else next((each for each in row if each.name == name), None)
    if found is None:
        remedy = nearest(name, [each.name for each in row]) if row else "put back a copy of the folder"
        raise ShelfError(f'the backup "{name}"', "it is not in the row of backups", remedy)
    _check(found)
    return found


def _check(backup: Backup) -> None:
    try:
        with _looked_into(backup.path) as opened:
            (found,) = opened.execute("PRAGMA integrity_check(1)").fetchone()
            (version,) = opened.execute("PRAGMA user_version").fetchone()
    except sqlite3.Error as fault:
        found, version = str(fault), 1
    if found != "ok" or version == 0:
        raise ShelfError(f"the backup {backup.name}", "it is damaged itself", "take another one of the row")


def studies_in(backup: Backup) -> int:
    """Count the studies in a backup; 0 when it cannot be read."""
    try:
        with _looked_into(backup.path) as opened:
            return int(opened.execute("SELECT count(*) FROM studies").fetchone()[0])
    except sqlite3.Error:
        return 0


@contextmanager
def _looked_into(path: Path) -> Iterator[sqlite3.Connection]:
    """Open a database so that it is left as it is."""
    opened = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True)
    try:
        yield opened
    finally:
        opened.close()


def put_back(data: bytes, database: Path, *, aside: Path | None = None) -> None:
    """Put a backup in the database's place.

    Parameters
    ----------
    data : bytes
        The backup, checked.
    database : Path
        Closed.
    aside : Path, optional
        Where what is there goes, with its journal; it is replaced when not given.

    Raises
    ------
    ShelfError
        When the disk refuses.
    """
    part = database.with_name(database.name + ".part")
    try:
        begin_file(part)
        part.write_bytes(data)
        _move_beyond(part)
        if aside is not None:
            # The journal goes first: beside another database it would be taken for that one's and spoil it.
            for end in ("-journal", ""):
                path = database.with_name(database.name + end)
                if path.exists():
                    path.replace(aside.with_name(aside.name + end))
            sync_folder(database.parent)
        put_in_place(part, database)
    except (sqlite3.Error, OSError) as fault:
        raise in_words(fault, f"{database.name} in {database.parent}") from None
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def _move_beyond(database: Path) -> None:
    """Make stale whatever a page still holds that was shown before the backup is put back."""
    opened = sqlite3.connect(database)
    try:
        with opened:
            opened.execute("UPDATE sections SET revision = revision + ?", (_BEYOND,))
            columns = {row[1] for row in opened.execute("PRAGMA table_info(studies)")}
            if "moves" in columns:
                opened.execute(
                    "UPDATE studies SET moves = moves + ?, moved = '',"
                    " written = coalesce((SELECT sum(revision) FROM sections WHERE study = studies.id), 0)",
                    (_BEYOND,),
                )
    finally:
        opened.close()
