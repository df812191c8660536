"""A study as the shelf keeps it, read into a job's inputs; and what was changed, written for the shelf."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

import msgspec

from seamlore.lengths import Unit
from seamlore.shelf.change import Change, Entry, MissingPhotographError, Standing
from seamlore.steps.order import step_of
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.said_fabrics import FoundFabrics
from seamlore.steps.study.sections import SECTIONS, About, Corrections, Photograph, Photographs
from seamlore.steps.study.versions import decode, encode, name_of

S = TypeVar("S", bound=msgspec.Struct)
# Sections that hold places on one photograph.
OF_THE_PHOTOGRAPH = ("corrections", "fabrics")


@dataclass(frozen=True, slots=True, eq=False)
class Kept:
    """One study as it stands on the shelf.

    Parameters
    ----------
    entry : Entry
    sections : dict of str to Struct
        What the user put in; a section that is not there yet is an empty one. Those of rooms that this version does not
        know stay on the shelf as they are.
    revisions : dict of str to int
    inputs : Inputs
    missing : str
        Why the photograph that is read cannot be had; empty when it can, or there is none.
    """

    entry: Entry
    sections: dict[str, msgspec.Struct]
    revisions: dict[str, int]
    inputs: Inputs
    missing: str

    def section(self, kind: type[S]) -> S:
        """Give one section by its type."""
        found = self.sections[name_of(kind)]
        assert isinstance(found, kind)
        return found


def read_study(standing: Standing, read_photograph: Callable[[str], bytes]) -> Kept:
    """Read a study; without its photograph, when that is missing, the rest is there all the same.

    Parameters
    ----------
    standing : Standing
    read_photograph : callable
        Gives a photograph by its reference, or raises MissingPhotographError.

    Raises
    ------
    NotationError
        When a section cannot be read, or a later version wrote it.
    """
    kept = standing.sections
    sections: dict[str, msgspec.Struct] = {}
    for name, kind in SECTIONS.items():
        found = decode(kind, kept[name].value) if name in kept else None
        sections[name] = kind() if found is None else found
    photographs, about = sections["photographs"], sections["about"]
    assert isinstance(photographs, Photographs)
    assert isinstance(about, About)
    front = photographs.front
    for name in OF_THE_PHOTOGRAPH:
        made = sections[name]
        assert isinstance(made, Corrections | FoundFabrics)
        sections[name] = _made_on(made, front)
    data, missing = None, ""
    if front is not None:
        try:
            data = read_photograph(front.reference)
        except MissingPhotographError as fault:
            missing = fault.limit
    given = {name: section for name, section in sections.items() if name != "about"}
    inputs = Inputs(
        photo=data,
        photo_name=front.name if front else "",
        about=msgspec.structs.replace(about, name=standing.entry.name),
        shown=Unit(about.unit),
        **given,  # type: ignore[arg-type]
    )
    revisions = {name: kept[name].revision if name in kept else 0 for name in SECTIONS}
    return Kept(standing.entry, sections, revisions, inputs, missing)


def _made_on(made: Corrections | FoundFabrics, front: Photograph | None) -> Corrections | FoundFabrics:
    """What was set right on one photograph says nothing of another."""
    if front is None or made.of in ("", front.reference):
        return msgspec.structs.replace(made, of="")
    return type(made)()


def changes_for(
    made: Iterable[tuple[msgspec.Struct, int, str]], front: Photograph | None, where: str = ""
) -> list[Change]:
    """Write new values of sections, each with its base and what was done, as one step for the shelf.

    Parameters
    ----------
    made : iterable of (Struct, int, str)
    front : Photograph or None
        Which photograph is read: corrections, and what is said of its fabrics, are of that one.
    where : str
        The page that it was done on; the section's own when not given.
    """
    changes = []
    for section, base, says in made:
        if isinstance(section, Corrections | FoundFabrics):
            section = msgspec.structs.replace(section, of=front.reference if front else "")
        name = name_of(type(section))
        changes.append(Change(name, base, encode(section), says, where or step_of(name)))
    return changes
