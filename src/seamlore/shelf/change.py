"""A change to sections of a study: what carries undo, history and the refusal of a stale edit."""

from __future__ import annotations

from dataclasses import dataclass

from seamlore.errors import SeamloreError


class ShelfError(SeamloreError):
    """A shelf, study or photograph that cannot be opened or written."""


class MissingPhotographError(ShelfError):
    """A photograph that is no longer in the folder, or is no longer what was put there."""


class StaleChangeError(ShelfError):
    """A change made on a section that has changed since; `current` is how it stands now."""

    def __init__(self, section: str, base: int, current: Section) -> None:
        self.section = section
        self.base = base
        self.current = current
        super().__init__(
            "a change made on what was shown before",
            "it was changed elsewhere since, as in another window",
            "look at it as it is now and make the change again",
        )


class StaleMoveError(ShelfError):
    """An undo or redo that was meant for another state than the one that there is."""


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
    where : str
        The page that it was made on, in the words of whoever shows pages; empty when that does not matter.
    """

    section: str
    base: int
    value: str | None
    says: str
    where: str = ""


@dataclass(frozen=True, slots=True)
class Done:
    """One step in a study's history: what was done at once is undone at once.

    Parameters
    ----------
    number : int
        From 1 up.
    sections : tuple of str
        What it changed; a new name of the study is `history.NAME`.
    says : str
    where : str
        As in `Change`.
    made : str
        When, as ISO 8601 in UTC.
    stands : bool
        False for what was undone and can be redone.
    """

    number: int
    sections: tuple[str, ...]
    says: str
    where: str
    made: str
    stands: bool


@dataclass(frozen=True, slots=True)
class Entry:
    """One study on the shelf: its number, name, and when it was begun and last changed (ISO 8601, UTC)."""

    number: int
    name: str
    made: str
    changed: str


@dataclass(frozen=True, slots=True)
class Standing:
    """A study as it stands, all read at one moment.

    Parameters
    ----------
    entry : Entry
    sections : dict of str to Section
    undo, redo : Done or None
        What would be undone or redone.
    moves : int
        How often anything was changed, undone or redone: an undo says which state it was meant for.
    moved : {"", "change", "undo", "redo"}
        What the last of these was.
    """

    entry: Entry
    sections: dict[str, Section]
    undo: Done | None
    redo: Done | None
    moves: int
    moved: str
