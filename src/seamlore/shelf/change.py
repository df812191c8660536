"""A change to one section of a study: what carries undo, history and the refusal of a stale edit."""

from __future__ import annotations

from dataclasses import dataclass

from seamlore.errors import SeamloreError


class ShelfError(SeamloreError):
    """A shelf, study or photograph that cannot be opened or written."""


class StaleChangeError(ShelfError):
    """A change made on a section that has changed since; `current` is how it stands now."""

    def __init__(self, section: str, base: int, current: Section) -> None:
        self.section = section
        self.base = base
        self.current = current
        super().__init__(
            f"a change to {section} as it stood at revision {base}",
            f"it stands at revision {current.revision} now, changed elsewhere",
            "look at it as it is and make the change again",
        )


@dataclass(frozen=True, slots=True)
class Section:
    """One section of a study as it stands.

    Parameters
    ----------
    name : str
        Such as "reading" or "tape".
    revision : int
        Goes up by one with every change, undo and redo; 0 before the first.
    value : str or None
        JSON text that the room which owns the section reads; None when it is not there.
    """

    name: str
    revision: int
    value: str | None


@dataclass(frozen=True, slots=True)
class Change:
    """A new value for one section.

    Parameters
    ----------
    section : str
        Which section.
    base : int
        The revision that it was made on.
    value : str or None
        The whole new value as JSON text; None removes the section.
    says : str
        What was done, in the user's words: "moved the top left corner".
    """

    section: str
    base: int
    value: str | None
    says: str


@dataclass(frozen=True, slots=True)
class Done:
    """One change in a study's history.

    Parameters
    ----------
    number : int
        From 1 up.
    section, says : str
    made : str
        When, as ISO 8601 in UTC.
    stands : bool
        False for what was undone and can be redone.
    """

    number: int
    section: str
    says: str
    made: str
    stands: bool
