"""Files that take a while to make: begun in the background, told how far they are, kept until they are fetched."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field

from seamlore.errors import SeamloreError
from seamlore.web.work import StoppedError, Work

# Of finished files so many are kept: the one that is fetched, and the one before.
_KEPT = 2

Make = Callable[[Callable[[str, float], None]], bytes]


@dataclass(slots=True, eq=False)
class Waiting:
    """One file that is being made.

    Parameters
    ----------
    work : Work
        How far it is.
    over : Event
        Set when it is done or could not be made.
    data : bytes
        The file, once it is done.
    """

    work: Work = field(default_factory=Work)
    data: bytes = b""
    over: threading.Event = field(default_factory=threading.Event)


class Files:
    """The files that are being made, by what they are made of."""

    def __init__(self) -> None:
        self._made: dict[Hashable, Waiting] = {}
        self._making: list[threading.Thread] = []
        self._lock = threading.Lock()

    def begin(self, key: Hashable, make: Make) -> Waiting:
        """Give the file of a key, begun now if it was not yet or could not be made.

        Parameters
        ----------
        key : hashable
            All that the file rests on.
        make : callable
            Makes it, and tells what is being done and how far it is.
        """
        with self._lock:
            found = self._made.get(key)
            if found is not None and not found.work.fault:
                return found
            made = self._made[key] = Waiting(Work(stage="Looking through the quilts"))
            for old in [each for each in self._made if self._made[each].work.done][:-_KEPT]:
                del self._made[old]
            thread = threading.Thread(target=_make, args=(made, make), daemon=True, name="file")
            thread.start()
            self._making = [each for each in self._making if each.is_alive()] + [thread]
        return made

    def of(self, key: Hashable) -> Waiting | None:
        """Give the file of a key, None where it was never begun or was let go."""
        with self._lock:
            return self._made.get(key)

    def stop(self, key: Hashable) -> None:
        """Stop making a file."""
        with self._lock:
            found = self._made.pop(key, None)
        if found is not None:
            found.work.wanted = False

    def close(self) -> None:
        """Stop all that is being made, and wait until it has ended."""
        with self._lock:
            for each in self._made.values():
                each.work.wanted = False
            making = list(self._making)
        for thread in making:
            thread.join()


def _make(file: Waiting, make: Make) -> None:
    work = file.work
    try:
        file.data = make(work.told)
    except StoppedError:
        work.fault = "It was stopped."
    except SeamloreError as fault:
        work.fault = str(fault)
    except Exception as fault:
        # Whoever waits for the page must be told.
        work.fault = f"Seamlore has made a mistake in making this file ({type(fault).__name__}: {fault})."
    finally:
        work.done = True
        file.over.set()
