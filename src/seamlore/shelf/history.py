"""What was done to a study, step by step: made, taken back, made again; the name of a study too."""

from __future__ import annotations

import datetime
import sqlite3
from collections.abc import Iterable, Sequence

from seamlore.shelf.change import Change, Done, Section, ShelfError, StaleChangeError, StaleMoveError

# Not a section of any room: what a new name of the study is called in its history.
NAME = "name"
_ROW = tuple[object, ...]


def now() -> str:
    """Give the moment as ISO 8601 in UTC."""
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="milliseconds")


def section_of(database: sqlite3.Connection, study: int, name: str) -> Section:
    """Give one section as it stands; revision 0 and None before its first change."""
    row = database.execute(
        "SELECT revision, value FROM sections WHERE study = ? AND name = ?", (study, name)
    ).fetchone()
    return Section(name, *row) if row else Section(name, 0, None)


def sections_of(database: sqlite3.Connection, study: int) -> dict[str, Section]:
    """Give every section as it stands."""
    rows = database.execute("SELECT name, revision, value FROM sections WHERE study = ?", (study,))
    return {str(row[0]): Section(*row) for row in rows}


def add_step(
    database: sqlite3.Connection, study: int, changes: Sequence[Change], *, also_noted: int = 0
) -> list[int]:
    """Make several changes as one step and give the sections' new revisions.

    Parameters
    ----------
    also_noted : int
        How many changes more, of no section, the caller notes in the same step.

    Raises
    ------
    StaleChangeError
        When a section has changed since its change's base.
    """
    number = _begin_step(database, study, written=len(changes), noted=len(changes) + also_noted)
    revisions = []
    for change in changes:
        current = section_of(database, study, change.section)
        if current.revision != change.base:
            raise StaleChangeError(change.section, change.base, current)
        _note(database, study, number, change, current.value)
        revisions.append(_set(database, study, change.section, change.value))
    return revisions


def add_name(database: sqlite3.Connection, study: int, before: str, after: str, where: str = "") -> None:
    """Give a study another name, as a step of its history.

    Raises
    ------
    ShelfError
        When another study has the name.
    """
    number = _begin_step(database, study, written=0, noted=1)
    _note(database, study, number, Change(NAME, 0, after, f'named it "{after}"', where), before)
    _set(database, study, NAME, after)


def add_mixed(
    database: sqlite3.Connection,
    study: int,
    changes: Sequence[Change],
    names: tuple[str, str] | None,
    says: str,
    where: str,
) -> None:
    """Make changes and give the study another name (from, to), as one step.

    Raises
    ------
    StaleChangeError
        When a section has changed since its change's base.
    ShelfError
        When another study has the name.
    """
    add_step(database, study, changes, also_noted=1 if names else 0)
    if names:
        (number,) = database.execute("SELECT position FROM studies WHERE id = ?", (study,)).fetchone()
        _note(database, study, number, Change(NAME, 0, names[1], says, where), names[0])
        _set(database, study, NAME, names[1])


def _begin_step(database: sqlite3.Connection, study: int, *, written: int, noted: int) -> int:
    (position,) = database.execute("SELECT position FROM studies WHERE id = ?", (study,)).fetchone()
    # What was undone is set aside: kept, and never redone.
    database.execute("UPDATE changes SET aside = 1 WHERE study = ? AND number > ? AND aside = 0", (study, position))
    _move(database, study, position + 1, "change", written, noted)
    return int(position) + 1


def _move(database: sqlite3.Connection, study: int, position: int, moved: str, written: int, noted: int = 0) -> None:
    database.execute(
        "UPDATE studies SET position = ?, moves = moves + 1, moved = ?, changed = ?,"
        " written = written + ?, noted = noted + ? WHERE id = ?",
        (position, moved, now(), written, noted, study),
    )


def _note(database: sqlite3.Connection, study: int, number: int, change: Change, before: str | None) -> None:
    database.execute(
        "INSERT INTO changes (study, number, section, before, after, says, made, place) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        (study, number, change.section, before, change.value, change.says, now(), change.where),
    )


def _set(database: sqlite3.Connection, study: int, section: str, value: str | None) -> int:
    if section == NAME:
        try:
            database.execute("UPDATE studies SET name = ? WHERE id = ?", (value, study))
        except sqlite3.IntegrityError:
            raise ShelfError(
                f'the name "{value}"', "another study has it", "give that one another name first"
            ) from None
        return 0
    (revision,) = database.execute(
        "INSERT INTO sections (study, name, revision, value) VALUES (?, ?, 1, ?)"
        " ON CONFLICT (study, name) DO UPDATE SET revision = revision + 1, value = excluded.value"
        " RETURNING revision",
        (study, section, value),
    ).fetchone()
    return int(revision)


def take_step(database: sqlite3.Connection, study: int, *, back: bool, meant: int | None = None) -> Done | None:
    """Take the last step back, or make the one again that was taken back last.

    Parameters
    ----------
    back : bool
        Back or again.
    meant : int, optional
        The number of moves that there were when it was asked for. Asked for twice with the same number, it is
        done once.

    Returns
    -------
    Done or None
        None when there is nothing to take.

    Raises
    ------
    StaleMoveError
        When something else was done since.
    """
    position, moves, moved = database.execute(
        "SELECT position, moves, moved FROM studies WHERE id = ?", (study,)
    ).fetchone()
    moving = "undo" if back else "redo"
    if meant is not None and moves == meant + 1 and moved == moving:
        return step_at(database, study, position + 1 if back else position, position)
    if meant is not None and moves != meant:
        raise StaleMoveError(
            f"this {moving}", "something else was done in another window", "look at it as it is and do it again"
        )
    number = position if back else position + 1
    # The last change of a step goes back first.
    rows = database.execute(
        "SELECT section, before, after FROM changes WHERE study = ? AND number = ? AND aside = 0 ORDER BY id",
        (study, number),
    ).fetchall()
    if not rows:
        return None
    for section, before, after in reversed(rows) if back else rows:
        _set(database, study, section, before if back else after)
    position = number - 1 if back else number
    _move(database, study, position, moving, sum(section != NAME for section, *_ in rows))
    return step_at(database, study, number, position)


def is_of_one_moment(database: sqlite3.Connection) -> bool:
    """Whether studies, their sections and their histories are all of one moment, and none of another."""
    found = database.execute(
        "SELECT 1 FROM studies"
        " WHERE written <> (SELECT coalesce(sum(revision), 0) FROM sections WHERE study = studies.id)"
        " OR noted <> (SELECT count(*) FROM changes WHERE study = studies.id)"
        " OR position > (SELECT coalesce(max(number), 0) FROM changes WHERE study = studies.id AND aside = 0) LIMIT 1"
    ).fetchone()
    return found is None


def step_at(database: sqlite3.Connection, study: int, number: int, position: int) -> Done | None:
    """Give one step, None when there is none; those beyond `position` do not stand."""
    rows = database.execute(
        "SELECT number, section, says, place, made FROM changes WHERE study = ? AND number = ? AND aside = 0 ORDER BY id",
        (study, number),
    )
    return next(iter(_steps(rows, position)), None)


def steps_of(database: sqlite3.Connection, study: int) -> tuple[Done, ...]:
    """List the steps of a study, the first first."""
    (position,) = database.execute("SELECT position FROM studies WHERE id = ?", (study,)).fetchone()
    rows = database.execute(
        "SELECT number, section, says, place, made FROM changes WHERE study = ? AND aside = 0 ORDER BY number, id",
        (study,),
    )
    return tuple(_steps(rows, position))


def _steps(rows: Iterable[_ROW], position: int) -> Iterable[Done]:
    gathered: dict[int, list[_ROW]] = {}
    for row in rows:
        gathered.setdefault(int(str(row[0])), []).append(row)
    for number, those in gathered.items():
        says = " and ".join(dict.fromkeys(str(row[2]) for row in those))
        # Where two pages are named, the first thing done says where it was.
        where = next((str(row[3]) for row in those if row[3]), "")
        sections = tuple(str(row[1]) for row in those)
        yield Done(number, sections, says, where, str(those[-1][4]), number <= position)
