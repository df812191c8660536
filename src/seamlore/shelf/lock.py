"""One program at a time holds a shelf."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from seamlore.shelf.change import ShelfError
from seamlore.shelf.faults import in_words


class FolderLock:
    """A lock on a folder that ends with the program, however the program ends.

    Raises
    ------
    ShelfError
        When another program holds it, or the folder cannot be written.
    """

    def __init__(self, folder: Path) -> None:
        try:
            self._file = os.open(folder / "in-use.lock", os.O_RDWR | os.O_CREAT, 0o600)
        except OSError as fault:
            raise in_words(fault, f"the shelf in {folder}") from None
        try:
            if sys.platform == "win32":
                import msvcrt  # only there on Windows

                msvcrt.locking(self._file, msvcrt.LK_NBLCK, 1)
            else:
                import fcntl  # not there on Windows

                fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            os.close(self._file)
            raise ShelfError(
                f"the shelf in {folder}", "another Seamlore has it open", "close that one first, or use its window"
            ) from None

    def release(self) -> None:
        """Let the folder go; again does nothing."""
        if self._file >= 0:
            os.close(self._file)
            self._file = -1
