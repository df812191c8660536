"""What was worked out already, kept by what it rests on."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import fields, is_dataclass
from typing import Any, TypeVar

from seamlore.draft.quilt import Quilt

T = TypeVar("T")


class Memo:
    """Results of steps by what they rest on; what was not asked for longest goes first. Threads may share it.

    Parameters
    ----------
    most : int
        So many results are kept at most.
    most_bytes : int
        So large they may be together, pictures counted; the newest is kept whatever its size.
    """

    def __init__(self, most: int = 400, most_bytes: int = 700 * 10**6) -> None:
        self._most = most
        self._most_bytes = most_bytes
        self._kept: OrderedDict[Hashable, Any] = OrderedDict()
        self._bytes: dict[Hashable, int] = {}
        self._busy: dict[Hashable, threading.Lock] = {}
        self._lock = threading.Lock()

    def holds(self, key: Hashable) -> bool:
        """Whether something is kept under a key."""
        with self._lock:
            return key in self._kept

    def get(self, key: Hashable, work: Callable[[], T]) -> T:
        """Give what is kept under a key, or work it out, once even if two ask at the same time."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]  # type: ignore[no-any-return]
            busy = self._busy.setdefault(key, threading.Lock())
        with busy:
            with self._lock:
                if key in self._kept:
                    return self._kept[key]  # type: ignore[no-any-return]
            try:
                made = work()
                size = _bytes_of(made)
                with self._lock:
                    self._keep(key, made, size)
            finally:
                with self._lock:
                    self._busy.pop(key, None)
            return made

    def _keep(self, key: Hashable, made: object, size: int) -> None:
        self._kept[key], self._bytes[key] = made, size
        while len(self._kept) > 1 and (len(self._kept) > self._most or sum(self._bytes.values()) > self._most_bytes):
            oldest, _ = self._kept.popitem(last=False)
            del self._bytes[oldest]


def _bytes_of(made: object, depth: int = 4) -> int:
    """How much memory a result takes: its pictures and files, wherever they lie in it; the rest is small."""
    size = getattr(made, "nbytes", None)
    if isinstance(size, int):
        return size
    if isinstance(made, bytes):
        return len(made)
    # A draft holds no pictures, and hundreds of cells to be looked through for none.
    if depth == 0 or isinstance(made, Quilt):
        return 0
    if isinstance(made, list | tuple):
        # Long lists hold numbers, outlines or words; the few pictures there are lie in short ones.
        return sum(_bytes_of(each, depth - 1) for each in made[:40])
    if is_dataclass(made):
        return sum(_bytes_of(getattr(made, each.name), depth - 1) for each in fields(made))
    return 0
