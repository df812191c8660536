"""What is worked out once: results remembered for the very value they follow from, never for an equal one."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from functools import update_wrapper
from inspect import signature
from typing import Any, Generic, ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")

_MOST = 4  # a page shows one quilt, or that and others beside it


class Very(Generic[T]):
    """A value by which very one it is: blocks, rows of cells and shapes outlast many drafts and pictures, and need no comparing.

    A function that remembers it keeps it alive.

    Examples
    --------
    >>> one, same = (1, 2), tuple([1, 2])
    >>> Very(one) == Very(one), Very(one) == Very(same)
    (True, False)
    """

    __slots__ = ("value",)

    def __init__(self, value: T) -> None:
        self.value = value

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Very) and self.value is other.value

    def __hash__(self) -> int:
        return id(self.value)


class Once(Generic[P, T]):
    """A function of a value that changes never, and perhaps of words, remembered for the last few that it was asked for.

    Values are told apart by identity: to compare two quilts takes as long as to arrange one. What comes after the first
    is compared; what is left out is as if it were said.

    Examples
    --------
    >>> counted = Once(lambda given: print("worked out") or len(given))
    >>> given = (1, 2, 3)
    >>> counted(given), counted(given)
    worked out
    (3, 3)
    >>> named = Once(lambda given, name="": print("worked out") or name)
    >>> named(given), named(given, ""), named(given, name="")
    worked out
    ('', '', '')
    """

    def __init__(self, work: Callable[P, T]) -> None:
        self._work = work
        self._usual = {name: each.default for name, each in list(signature(work).parameters.items())[1:]}
        # The value is kept beside its result: while it is, no other has its identity.
        self._kept: OrderedDict[Any, tuple[Any, T]] = OrderedDict()
        update_wrapper(self, work)

    def __call__(self, *given: P.args, **said: P.kwargs) -> T:
        """Give what follows from a value."""
        with_names = self._usual | dict(zip(self._usual, given[1:], strict=False)) | said
        key = id(given[0]), tuple(with_names.items())
        found = self._kept.get(key)
        if found is None:
            found = given[0], self._work(*given, **said)
            self._kept[key] = found
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)
        return found[1]

    def cache_clear(self) -> None:
        """Remember nothing."""
        self._kept.clear()
