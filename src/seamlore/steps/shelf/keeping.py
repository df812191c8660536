"""Where a quilt comes from and is kept, as it is typed; what was made of it, and of what it was made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import get_args, get_type_hints

import msgspec

from seamlore.errors import SeamloreError
from seamlore.limits import NAME, WORDS
from seamlore.shelf.cards import Query
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.shelf.cards import renew
from seamlore.steps.study.sections import Keeping
from seamlore.steps.study.versions import decode

HOW: tuple[str, ...] = get_args(get_type_hints(Keeping)["acquired_how"])
NAMES: Mapping[str, str] = {
    "not said": "Not said yet: the story, tags and every name stay at home; its title and what its fabrics are called may leave",
    "none living": "No living person is named: story and names may leave",
    "some living": "These living people are named, and are taken out of what leaves:",
}
MOST_TAGS = 40
MOST_PARENTS = 20
MOST_LIVING = 100


def typed(shelf: Shelf, study: int, before: Keeping, given: Mapping[str, str]) -> Keeping:
    """Read what was typed about where a quilt comes from and is kept.

    Parameters
    ----------
    shelf : Shelf
    study : int
    before : Keeping
        As it stands; what is not given stays.
    given : mapping of str to str
        Fields of `Keeping` by name: tags with commas between them, names of living people and of the quilts that it was
        made of a line each.

    Raises
    ------
    SeamloreError
        When a word is none of those that are taken, a quilt is not on the shelf, or it would be made of itself.
    """
    fresh: dict[str, object] = {
        name: given[name].strip()
        for name in ("accession", "acquired", "acquired_from", "kept_at", "price", "owner", "address")
        if name in given
    }
    for name, known in (("acquired_how", HOW), ("names", tuple(NAMES))):
        if name in given:
            if given[name] not in known:
                raise SeamloreError(f'"{given[name][:40]}"', "it is none of the choices", "choose one of them")
            fresh[name] = given[name]
    if "tags" in given:
        fresh["tags"] = _several(given["tags"].replace("\n", ","), ",", MOST_TAGS, NAME, "tags")
    if "living" in given:
        fresh["living"] = _several(given["living"], "\n", MOST_LIVING, WORDS, "names")
    if "made_of" in given:
        fresh["made_of"] = _parents(shelf, study, before, given["made_of"])
    return msgspec.structs.replace(before, **fresh)


def _several(text: str, between: str, most: int, longest: int, what: str) -> tuple[str, ...]:
    found = tuple(dict.fromkeys(" ".join(each.split()) for each in text.split(between) if each.strip()))
    if len(found) > most:
        raise SeamloreError(f"{len(found)} {what}", f"at most {most} are taken", "take some away")
    for each in found:
        if len(each) > longest:
            raise SeamloreError(f'"{each[:40]}..."', f"one has at most {longest} letters", "write it shorter")
    return found


def _parents(shelf: Shelf, study: int, before: Keeping, text: str) -> tuple[str, ...]:
    collection = Collection(shelf)
    names = _several(text, "\n", MOST_PARENTS, NAME, "quilts")
    own, found = collection.identity(study), []
    absent = {called(each): each for each in before.made_of if collection.of_identity(each) is None}
    for name in names:
        if name in absent:
            found.append(absent[name])
            continue
        identity = collection.identity(shelf.named(name).number)
        if identity == own or own in _ancestors(collection, identity):
            raise SeamloreError(f'made of "{name}"', "that quilt was made of this one", "say it on that one alone")
        found.append(identity)
    return tuple(dict.fromkeys(found))


def _ancestors(collection: Collection, identity: str) -> set[str]:
    found: set[str] = set()
    left = [identity]
    while left:
        entry = collection.of_identity(left.pop())
        keeping = decode(Keeping, collection.shelf.read(entry.number, "keeping").value) if entry else None
        fresh = set(keeping.made_of if keeping else ()) - found
        found |= fresh
        left += fresh
    return found


def called(identity: str) -> str:
    """What a quilt is called that is not on this shelf."""
    return f"a quilt not on this shelf ({identity[:8]})"


def parents(shelf: Shelf, keeping: Keeping) -> tuple[tuple[int | None, str], ...]:
    """Give the number and name of each quilt that one was made of; no number where it is not on the shelf."""
    found: list[tuple[int | None, str]] = []
    for identity in keeping.made_of:
        entry = Collection(shelf).of_identity(identity)
        found.append((entry.number, entry.name) if entry else (None, called(identity)))
    return tuple(found)


def children(shelf: Shelf, study: int) -> tuple[tuple[int, str], ...]:
    """Give the number and name of each quilt that was made of one."""
    renew(shelf)
    collection = Collection(shelf)
    query = Query(marks={"made of": collection.identity(study)}, order="name")
    return tuple((each.entry.number, each.entry.name) for each in collection.search(query, most=200)[1])


def others(shelf: Shelf, study: int) -> Sequence[str]:
    """Give the names of the other quilts, to choose from."""
    return sorted((each.name for each in shelf.studies() if each.number != study), key=str.casefold)
