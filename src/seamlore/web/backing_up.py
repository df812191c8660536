"""Backups that are made by themselves while the table is open, beside what goes on there."""

from __future__ import annotations

import datetime
import threading
import time

from seamlore.shelf.change import ShelfError
from seamlore.shelf.shelf import Shelf

# What is lost with a spoiled disk file is at most this long a piece of work, our own choice.
EVERY = datetime.timedelta(minutes=30)
_LOOK_AGAIN_S = 60.0


class BackingUp:
    """Backups of an open shelf: one soon after the first change, then one for each half hour of changes, one at the end.

    Parameters
    ----------
    shelf : Shelf

    Attributes
    ----------
    fault : str
        Why the last one could not be made; empty when it could.
    """

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._thread: threading.Thread | None = None
        self._looked = -_LOOK_AGAIN_S
        self.fault = ""

    def after_change(self) -> None:
        """Make one in the background if it is time; who made the change does not wait."""
        now = time.monotonic()
        if now - self._looked < _LOOK_AGAIN_S or (self._thread is not None and self._thread.is_alive()):
            return
        self._looked = now
        self._thread = threading.Thread(target=self._if_due, args=(EVERY,), daemon=True, name="backing up")
        self._thread.start()

    def close(self) -> None:
        """Wait for one that is being made, and make the last."""
        if self._thread is not None:
            self._thread.join()
            self._if_due(datetime.timedelta(0))

    def _if_due(self, every: datetime.timedelta) -> None:
        try:
            if self._shelf.backup_is_due(every):
                self._shelf.backup()
            self.fault = ""
        except ShelfError as fault:
            # Said on the page of all quilts: nobody waits for this one.
            self.fault = str(fault)
