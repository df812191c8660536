"""A study as it was after any step of its history, and made so again."""

from __future__ import annotations

import sqlite3

from seamlore.shelf.change import Change, ShelfError
from seamlore.shelf.history import NAME, add_mixed, sections_of


def sections_after(database: sqlite3.Connection, study: int, number: int) -> tuple[str, dict[str, str]]:
    """Give the name and the sections that a study had after one of its steps, by taking back all that came later.

    Parameters
    ----------
    database : Connection
    study : int
    number : int
        A step that stands or can be made again; 0 is before the first.

    Raises
    ------
    ShelfError
        When there is no such step.
    """
    name, position = database.execute("SELECT name, position FROM studies WHERE id = ?", (study,)).fetchone()
    (last,) = database.execute(
        "SELECT coalesce(max(number), 0) FROM changes WHERE study = ? AND aside = 0", (study,)
    ).fetchone()
    if not 0 <= number <= last:
        raise ShelfError(f"step {number}", f"this study has steps 0 to {last}", "choose one of its history")
    found: dict[str, str | None] = {each: section.value for each, section in sections_of(database, study).items()}
    found[NAME] = name
    # Back from where it stands, or on through what was undone.
    back = number <= position
    rows = database.execute(
        "SELECT section, before, after FROM changes WHERE study = ? AND aside = 0 AND number > ? AND number <= ?"
        f" ORDER BY number {'DESC' if back else 'ASC'}, id {'DESC' if back else 'ASC'}",
        (study, min(number, position), max(number, position)),
    )
    for section, before, after in rows:
        found[section] = before if back else after
    was = str(found.pop(NAME))
    return was, {each: value for each, value in sorted(found.items()) if value is not None}


def back_to(database: sqlite3.Connection, study: int, number: int, where: str) -> None:
    """Make a study what it was after one of its steps, as one more step; nothing is done when it is so already.

    Raises
    ------
    ShelfError
        When there is no such step, or another study has the name that it had.
    """
    was, sections = sections_after(database, study, number)
    (name,) = database.execute("SELECT name FROM studies WHERE id = ?", (study,)).fetchone()
    now = sections_of(database, study)
    says = f"went back to how it was after step {number}" if number else "went back to how it was at first"
    changes = [
        Change(each, section.revision, sections.get(each), says, where)
        for each, section in now.items()
        if section.value != sections.get(each)
    ]
    # What is not there now was never there, or has revision 0.
    changes += [Change(each, 0, value, says, where) for each, value in sections.items() if each not in now]
    if changes or was != name:
        add_mixed(database, study, changes, (name, was) if was != name else None, says, where)
