"""The whole history of a study as it travels: every change, standing or set aside, with the revisions that came of it."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass

from seamlore.shelf.change import ShelfError
from seamlore.shelf.history import NAME


@dataclass(frozen=True, slots=True)
class Noted:
    """One change as it was noted: its step, what it changed, from what to what, what was done, when and where."""

    number: int
    section: str
    before: str | None
    after: str | None
    says: str
    made: str
    place: str
    aside: bool


@dataclass(frozen=True, slots=True)
class Past:
    """A study's history.

    Parameters
    ----------
    made, changed : str
        When the study was begun and last changed, ISO 8601 in UTC.
    position : int
        The last step that stands.
    moves : int
        How often anything was changed, undone or redone.
    moved : str
        What the last of these was: "change", "undo", "redo" or nothing.
    revisions : mapping of str to int
        Of each section.
    empty : tuple of str
        Sections that were there once and hold nothing now.
    changes : tuple of Noted
        In the order in which they were made.
    """

    made: str
    changed: str
    position: int
    moves: int
    moved: str
    revisions: Mapping[str, int]
    empty: tuple[str, ...]
    changes: tuple[Noted, ...]


def past_of(database: sqlite3.Connection, study: int) -> Past:
    """Give the whole history of a study that is there."""
    made, changed, position, moves, moved = database.execute(
        "SELECT made, changed, position, moves, moved FROM studies WHERE id = ?", (study,)
    ).fetchone()
    sections = database.execute(
        "SELECT name, revision, value IS NULL FROM sections WHERE study = ? ORDER BY name", (study,)
    ).fetchall()
    rows = database.execute(
        "SELECT number, section, before, after, says, made, place, aside FROM changes WHERE study = ? ORDER BY id",
        (study,),
    )
    return Past(
        made,
        changed,
        position,
        moves,
        moved,
        {str(name): int(revision) for name, revision, _ in sections},
        tuple(str(name) for name, _, empty in sections if empty),
        tuple(
            Noted(number, section, before, after, says, when, place, bool(aside))
            for number, section, before, after, says, when, place, aside in rows
        ),
    )


def leads_to(past: Past, name: str, sections: Mapping[str, str]) -> bool:
    """Whether a history ends where a study stands, so that it can be taken back step by step.

    Examples
    --------
    >>> step = Noted(1, "tape", None, "{}", "measured", "", "", False)
    >>> leads_to(Past("", "", 1, 1, "change", {"tape": 1}, (), (step,)), "Star", {"tape": "{}"})
    True
    >>> leads_to(Past("", "", 1, 1, "change", {"tape": 1}, (), (step,)), "Star", {"tape": "[]"})
    False
    """
    stands: dict[str, str | None] = {NAME: name, **dict.fromkeys(past.empty), **sections}
    numbers = sorted({each.number for each in past.changes if not each.aside})
    if numbers != list(range(1, len(numbers) + 1)) or not 0 <= past.position <= len(numbers):
        return False
    if set(past.revisions) != set(stands) - {NAME} or min([1, *past.revisions.values()]) < 1:
        return False
    # Back from where it stands: each change must have led to what is there then.
    back = [each for each in past.changes if not each.aside and each.number <= past.position]
    for each in sorted(back, key=lambda change: change.number)[::-1]:
        if stands.get(each.section) != each.after:
            return False
        stands[each.section] = each.before
    return True


def put_past(database: sqlite3.Connection, study: int, past: Past, sections: Mapping[str, str]) -> None:
    """Give a study that has none yet its sections and its history.

    Raises
    ------
    ShelfError
        When the history does not lead to the sections, or a revision is less than 1.
    """
    (name,) = database.execute("SELECT name FROM studies WHERE id = ?", (study,)).fetchone()
    database.executemany(
        "INSERT INTO sections (study, name, revision, value) VALUES (?, ?, ?, ?)",
        [(study, each, revision, sections.get(each)) for each, revision in past.revisions.items()],
    )
    database.executemany(
        "INSERT INTO changes (study, number, section, before, after, says, made, place, aside)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [
            (study, each.number, each.section, each.before, each.after, each.says, each.made, each.place, each.aside)
            for each in past.changes
        ],
    )
    if not leads_to(past, _last_name(past, str(name)), sections):
        raise ShelfError(f'the study "{name}"', "its history does not lead to what it holds", "have it sent again")
    database.execute(
        "UPDATE studies SET made = ?, changed = ?, position = ?, moves = ?, moved = ?, written = ?, noted = ? WHERE id = ?",
        (
            past.made, past.changed, past.position, past.moves, past.moved, sum(past.revisions.values()),
            len(past.changes), study,
        ),
    )  # fmt: skip


def _last_name(past: Past, name: str) -> str:
    """What the study was last called in its history: here its name may have got a number behind it."""
    named = [
        each for each in past.changes if each.section == NAME and not each.aside and each.number <= past.position
    ]
    return str(named[-1].after) if named else name
