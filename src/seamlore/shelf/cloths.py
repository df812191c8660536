"""What the cloth of every study is known again by: rows of numbers, kept and not looked into, and small pictures."""

from __future__ import annotations

import re
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from seamlore.shelf.change import ShelfError
from seamlore.shelf.files import own_folder, write_whole
from seamlore.shelf.opening import PHOTOGRAPHS

if TYPE_CHECKING:
    from seamlore.shelf.shelf import Shelf

# Small pictures of the cloths, in the photographs' folder, one file for each study: made anew when they are lost.
SWATCHES = "swatches"
_IDENTITY = re.compile(r"[0-9a-f]{32}\Z")


@dataclass(frozen=True, slots=True)
class Cloths:
    """The cloths of one study.

    Parameters
    ----------
    version : int
        Of whoever described them.
    rests_on : str
        What they were described from, so that it is known when they no longer hold.
    described : bytes
        A row for each.
    looks : bytes
        What the whole quilt looks like, much reduced.
    """

    version: int
    rests_on: str
    described: bytes
    looks: bytes = b""


def put(shelf: Shelf, study: int, cloths: Cloths, pictures: bytes, alike: Iterable[int] = ()) -> None:
    """Keep the cloths of a study in the place of those that it had, and their pictures beside the photographs.

    Where the disk refuses the pictures they are made anew another time.

    Parameters
    ----------
    alike : iterable of int
        Other studies whose quilts look like this one.

    Raises
    ------
    ShelfError
        When there is no such study, or the database cannot be written.
    """
    identity = _identity(shelf, study)
    with shelf.database.writing() as database:
        database.execute(
            "INSERT OR REPLACE INTO cloths (study, version, rests_on, described, looks) VALUES (?, ?, ?, ?, ?)",
            (study, cloths.version, cloths.rests_on, cloths.described, cloths.looks),
        )
        database.execute("DELETE FROM alike WHERE one = ? OR two = ?", (study, study))
        # One that was deleted meanwhile is passed by.
        database.executemany(
            "INSERT INTO alike (one, two) SELECT ?, ? WHERE (SELECT count(*) FROM studies WHERE id IN (?, ?)) = 2",
            [
                (*pair, *pair)
                for pair in sorted((min(study, each), max(study, each)) for each in set(alike) - {study})
            ],
        )
    path = _path(shelf.folder, identity)
    with suppress(OSError):
        own_folder(path.parent)
        write_whole(path, pictures)


def of_study(shelf: Shelf, study: int) -> Cloths | None:
    """Give the cloths of a study; None where they were never described."""
    with shelf.database.reading() as database:
        row = database.execute(
            "SELECT version, rests_on, described, looks FROM cloths WHERE study = ?", (min(study, 2**62),)
        ).fetchone()
    return Cloths(int(row[0]), str(row[1]), bytes(row[2]), bytes(row[3])) if row else None


def described(shelf: Shelf, version: int) -> tuple[tuple[int, bytes], ...]:
    """Give the number and the rows of every study on the shelf that was described so, in order of number."""
    with shelf.database.reading() as database:
        rows = database.execute(
            "SELECT c.study, c.described FROM cloths c JOIN studies s ON s.id = c.study"
            " WHERE s.aside = '' AND c.version = ? ORDER BY c.study",
            (version,),
        ).fetchall()
    return tuple((int(study), bytes(rows_of)) for study, rows_of in rows)


def looks(shelf: Shelf, version: int) -> tuple[tuple[int, bytes], ...]:
    """Give the number of every study that was described so, and what it looks like."""
    with shelf.database.reading() as database:
        rows = database.execute(
            "SELECT study, looks FROM cloths WHERE version = ? AND looks <> x'' ORDER BY study", (version,)
        ).fetchall()
    return tuple((int(study), bytes(seen)) for study, seen in rows)


def alike(shelf: Shelf) -> tuple[tuple[int, int], ...]:
    """Give the studies on the shelf whose quilts look alike, two and two."""
    with shelf.database.reading() as database:
        rows = database.execute(
            "SELECT a.one, a.two FROM alike a JOIN studies s ON s.id = a.one JOIN studies t ON t.id = a.two"
            " WHERE s.aside = '' AND t.aside = '' ORDER BY a.one, a.two"
        ).fetchall()
    return tuple((int(one), int(two)) for one, two in rows)


def pictures(shelf: Shelf, study: int) -> bytes | None:
    """Give the pictures of a study's cloths, as they were kept; None where they are not there."""
    path = _path(shelf.folder, _identity(shelf, study))
    try:
        return path.read_bytes()
    except OSError:
        return None


def remove(folder: Path, identity: str) -> None:
    """Remove the pictures of a study that was deleted for good; what the disk keeps does no harm there."""
    with suppress(OSError):
        _path(folder, identity).unlink(missing_ok=True)


def _identity(shelf: Shelf, study: int) -> str:
    with shelf.database.reading() as database:
        row = database.execute("SELECT identity FROM studies WHERE id = ?", (min(study, 2**62),)).fetchone()
    if row is None:
        raise ShelfError(f"study number {study}", "there is none on this shelf", "choose one of the list")
    return str(row[0])


def _path(folder: Path, identity: str) -> Path:
    # Never a path from outside: an identity that came with a zip was looked at, and is looked at again.
    name = identity if _IDENTITY.match(identity) else "unknown"
    return folder / PHOTOGRAPHS / SWATCHES / f"{name}.zip"
