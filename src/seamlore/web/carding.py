"""Figures of a study put on its card while the table is open, beside what goes on there."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

from seamlore.errors import SeamloreError
from seamlore.shelf.collection import Collection
from seamlore.steps.shelf.cards import work_out

if TYPE_CHECKING:
    from seamlore.web.desk import Desk

# What was changed is read and shown first, and often changed again; the card waits until nothing was for so long.
_WAIT_S = 3.0


class Carding:
    """Works figures out after what they rest on was shown or changed; never reads a photograph for that alone.

    Parameters
    ----------
    desk : Desk
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._left: set[int] = set()
        self._asked = 0
        self._lock = threading.Lock()
        self._thread: threading.Thread | None = None
        self._closing = threading.Event()

    def later(self, number: int) -> None:
        """Look at a study soon; nobody waits for it."""
        with self._lock:
            self._left.add(number)
            self._asked += 1
            if self._closing.is_set() or (self._thread is not None and self._thread.is_alive()):
                return
            self._thread = threading.Thread(target=self._work, daemon=True, name="figures")
            self._thread.start()

    def _work(self) -> None:
        while True:
            asked = self._asked
            self._closing.wait(_WAIT_S)
            with self._lock:
                if self._asked != asked and not self._closing.is_set():
                    continue
                # Ended under the lock, so that what comes later begins another.
                if self._closing.is_set() or not self._left:
                    self._thread = None
                    return
                left, self._left = self._left, set()
            for number in left:
                self.now(number)

    def now(self, number: int) -> bool:
        """Put a study's figures on its card, if its photograph was read; say whether they hold now."""
        try:
            listed = Collection(self._desk.shelf).listed([number])
            if listed and listed[0].worked:
                return True
            study = self._desk.study(number)
            if study.photograph is not None and not self._desk.memo.holds(study.job.read_key):
                return False
            work_out(self._desk.shelf, study.standing, study.job)
        except SeamloreError:
            # The study's own pages say what is wrong with it, and the list that it was not worked out.
            return False
        return True

    def close(self) -> None:
        """End; what is left is worked out when the study is shown again."""
        self._closing.set()
        thread = self._thread
        if thread is not None and thread is not threading.current_thread():
            thread.join()
