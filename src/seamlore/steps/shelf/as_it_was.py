"""A study as it was after a step of its history, said section by section beside how it is now."""

from __future__ import annotations

from dataclasses import dataclass, replace

import msgspec

from seamlore.errors import SeamloreError
from seamlore.shelf.change import Done, Section, ShelfError, Standing
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.order import CALLED
from seamlore.steps.study.sections import SECTIONS
from seamlore.steps.study.versions import decode

_LONGEST = 400


@dataclass(frozen=True, slots=True)
class Was:
    """One section as it was: what it is called, its lines, and whether it is the same now."""

    called: str
    lines: tuple[tuple[str, str], ...]
    same: bool


@dataclass(frozen=True, slots=True)
class AsItWas:
    """A study after a step: that step (None before the first), its name then, its sections then.

    `standing` is the study as it stood, for whoever works on it; nothing can be undone in it.
    """

    number: int
    step: Done | None
    name: str
    sections: tuple[Was, ...]
    standing: Standing


def as_it_was(shelf: Shelf, study: int, number: int) -> AsItWas:
    """Look at a study as it was after a step of its history.

    Raises
    ------
    ShelfError
        When there is no such step.
    """
    name, sections = Collection(shelf).sections_at(study, number)
    now = shelf.read_all(study)
    step = next((each for each in shelf.history(study) if each.number == number), None)
    if number and step is None:
        raise ShelfError(f"step {number}", "this study has none", "choose one of its history")
    found = []
    for section in dict.fromkeys((*CALLED, *sections)):
        text = sections.get(section)
        is_now = now[section].value if section in now else None
        if text is None and is_now is None:
            continue
        found.append(Was(CALLED.get(section, section), _lines(section, text), text == is_now))
    stood = {each: Section(each, 0, text) for each, text in sections.items()}
    entry = replace(shelf.entry(study), name=name)
    return AsItWas(number, step, name, tuple(found), Standing(entry, stood, None, None, 0, ""))


def _lines(section: str, text: str | None) -> tuple[tuple[str, str], ...]:
    """What was put in, field by field, those that were left empty not said."""
    if text is None:
        return ()
    kind = SECTIONS.get(section)
    if kind is None:
        return (("", "kept for another version of Seamlore"),)
    try:
        found = decode(kind, text)
    except SeamloreError as fault:
        return (("", str(fault)),)
    empty = kind()
    said = []
    for name in kind.__struct_fields__:
        value = getattr(found, name)
        if value != getattr(empty, name):
            said.append((name.replace("_", " "), _said(value)))
    return tuple(said)


def _said(value: object) -> str:
    plain = msgspec.to_builtins(value)
    if isinstance(plain, str):
        words = plain
    elif isinstance(plain, dict):
        words = "; ".join(f"{key}: {each}" for key, each in plain.items() if each not in ("", None))
    elif isinstance(plain, list | tuple):
        words = "; ".join(_said(each) for each in plain)
    else:
        words = "yes" if plain is True else str(plain)
    return words if len(words) <= _LONGEST else words[:_LONGEST].rstrip() + " ..."
