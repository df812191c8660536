"""Shapes by which very ones they are: those of a block outlast many pictures of its quilt."""

from __future__ import annotations

from typing import Generic, TypeVar

T = TypeVar("T")


class Very(Generic[T]):
    """A value that is told apart from its equals; a function that remembers it keeps it alive.

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
