"""When a database was last looked through from end to end, so that it need not be at every opening."""

from __future__ import annotations

import json
import time
from contextlib import suppress
from pathlib import Path

_NAME = "checked.json"
# A disk may spoil what nobody wrote; looked for once a day, our own choice.
_AGAIN_S = 24 * 3600


def must_check(database: Path) -> bool:
    """Whether a database is to be looked through: it is not exactly as it was closed, or a day has passed since."""
    try:
        at, *stamp = json.loads(database.with_name(_NAME).read_text(encoding="ascii"))
        return stamp != _stamp(database) or not 0 <= time.time() - at < _AGAIN_S
    except (OSError, ValueError, TypeError):
        return True


def note_closed(database: Path, *, sound: bool, checked: float | None) -> None:
    """Note how a database was closed, and when it was last looked through.

    Parameters
    ----------
    sound : bool
        Whether nothing wrong was met with; otherwise it is looked through at the next opening.
    checked : float or None
        In seconds since 1970; None leaves it as it was noted.
    """
    note = database.with_name(_NAME)
    # Without the note it is looked through once more, which does no harm.
    with suppress(OSError, ValueError, TypeError, LookupError):
        if not sound:
            note.unlink(missing_ok=True)
            return
        if checked is None:
            checked = float(json.loads(note.read_text(encoding="ascii"))[0])
        text = json.dumps([checked, *_stamp(database)])
        note.touch(mode=0o600)
        note.write_text(text, encoding="ascii")


def _stamp(path: Path) -> list[int]:
    found = path.stat()
    return [found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns]
