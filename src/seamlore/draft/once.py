"""What follows from a whole quilt, worked out once while several lists and pictures of it are made."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from functools import update_wrapper
from typing import Generic, TypeVar

G = TypeVar("G")
T = TypeVar("T")

_MOST = 4  # a page shows one quilt, or that and others beside it


class Once(Generic[G, T]):
    """A function of one value that changes never, remembered for the last few values that it was asked for.

    Values are told apart by identity: to compare two quilts takes as long as to arrange one.

    Examples
    --------
    >>> counted = Once(lambda given: print("worked out") or len(given))
    >>> given = (1, 2, 3)
    >>> counted(given), counted(given)
    worked out
    (3, 3)
    """

    def __init__(self, work: Callable[[G], T]) -> None:
        self._work = work
        # The value is kept beside its result: while it is, no other has its identity.
        self._kept: OrderedDict[int, tuple[G, T]] = OrderedDict()
        update_wrapper(self, work)

    def __call__(self, given: G) -> T:
        """Give what follows from a value."""
        found = self._kept.get(id(given))
        if found is None:
            found = given, self._work(given)
            self._kept[id(given)] = found
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)
        return found[1]

    def cache_clear(self) -> None:
        """Remember nothing."""
        self._kept.clear()
