"""What the disk and the database refuse, in sentences; nothing that was refused is ever kept in part."""

from __future__ import annotations

import errno
import sqlite3

from seamlore.shelf.change import ShelfError

_BUSY = (
    "another program is using its file just now, and nothing was kept of this",
    "close what else has that file open, then do it again",
)
_FULL = ("there is no room left on the disk, and nothing was kept of this", "make room there, then do it again")
_READ_ONLY = (
    "it cannot be written, since the file or its folder is read-only or was moved, and nothing was kept of this",
    "let it be written, or put it back where it was, then do it again",
)
_REFUSED = (
    "the disk would not read or write, and nothing was kept of this",
    "see that the disk is connected and sound, then do it again",
)
_DAMAGED = (
    "its file is damaged, and nothing was kept of this",
    "close Seamlore and open it again: it then names the newest backup",
)

# SQLite's primary result codes (sqlite.org, Result and Error Codes).
_BY_CODE = {
    sqlite3.SQLITE_BUSY: _BUSY,
    sqlite3.SQLITE_LOCKED: _BUSY,
    sqlite3.SQLITE_FULL: _FULL,
    sqlite3.SQLITE_READONLY: _READ_ONLY,
    sqlite3.SQLITE_PERM: _READ_ONLY,
    sqlite3.SQLITE_CANTOPEN: _READ_ONLY,
    sqlite3.SQLITE_IOERR: _REFUSED,
    sqlite3.SQLITE_CORRUPT: _DAMAGED,
    sqlite3.SQLITE_NOTADB: _DAMAGED,
}
_BY_ERRNO = {
    errno.ENOSPC: _FULL,
    errno.EDQUOT: _FULL,
    errno.EFBIG: _FULL,
    errno.EROFS: _READ_ONLY,
    errno.EACCES: _READ_ONLY,
    errno.EPERM: _READ_ONLY,
    errno.ENOENT: _READ_ONLY,
}


def primary_code(fault: sqlite3.Error) -> int:
    """Give SQLite's primary result code of an error; 0 when it is not the database's own."""
    return int(getattr(fault, "sqlite_errorcode", 0)) & 0xFF


def is_refusal(fault: sqlite3.Error) -> bool:
    """Whether an error is the disk's or another program's doing, not a mistake of our own."""
    return primary_code(fault) in _BY_CODE


def is_damage(fault: sqlite3.Error) -> bool:
    """Whether an error says that the file itself is not what it was."""
    return primary_code(fault) in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


def in_words(fault: sqlite3.Error | OSError, what: str = "the shelf") -> ShelfError:
    """Say what was refused and what to do.

    Examples
    --------
    >>> print(in_words(OSError(28, "No space left on device"), "the photograph"))
    the photograph: there is no room left on the disk, and nothing was kept of this; make room there, then do it again
    """
    if isinstance(fault, OSError):
        words = _BY_ERRNO.get(fault.errno or 0, _REFUSED)
    else:
        words = _BY_CODE.get(primary_code(fault), _REFUSED)
    return ShelfError(what, *words)
