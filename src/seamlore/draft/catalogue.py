"""The catalogue: traditional blocks, found by any of their names.

A drawing is a block file of its own, or one of a family of drawings that differ in a number; a family is one entry.
Where a name or a drawing was looked up is said in a table beside the files; what it does not list is common use, drawn
from memory.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

from seamlore.draft.block import Block
from seamlore.draft.families.families import FAMILIES, Family, member
from seamlore.draft.text.notation import read_block
from seamlore.errors import UnknownNameError, nearest

_FOLDER = Path(__file__).parent / "blocks"
FROM_MEMORY = "common use, drawn from memory"
# Where a drawing is made: its block file, or its family and its number.
_Made = str | tuple[int, int]


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the catalogue.

    Parameters
    ----------
    name : str
        What it is called.
    made : tuple
        Where its drawings are made: of a family the usual one first, then the others that are common.
    family : Family or None
        What is counted, and which numbers can be drawn.
    source : str
        How names and drawing are known.
    """

    name: str
    made: tuple[_Made, ...]
    family: Family | None
    source: str

    @property
    def block(self) -> Block:
        """The drawing that its name alone means."""
        return _make(self.made[0])

    @property
    def drawings(self) -> tuple[Block, ...]:
        """The block; of a family the usual one, then the others that are common."""
        return tuple(map(_make, self.made))


@cache
def entries() -> tuple[Entry, ...]:
    """Give every entry of the catalogue, in the order of its name; a family of drawings is one.

    Examples
    --------
    >>> [(each.name, each.family.span if each.family else None) for each in entries() if "Cabin" in each.name]
    [('Cornerstone Log Cabin', '1 to 12 rounds'), ('Log Cabin', '1 to 12 rounds'),
     ('Quarter Log Cabin', '2 to 12 rounds'), ('Thick and Thin Log Cabin', None), ('Wide-Center Log Cabin', None)]
    """
    sources = _sources()
    found = [Entry(name, (file,), None, sources.get(name, FROM_MEMORY)) for name, file, heads in _heads() if heads]
    for which, family in enumerate(FAMILIES):
        numbers = dict.fromkeys([family.usual, *family.common])
        made = tuple((which, number) for number in numbers)
        found.append(Entry(family.name, made, family, sources.get(family.name, FROM_MEMORY)))
    return tuple(sorted(found, key=lambda each: each.name.casefold()))


@cache
def all_blocks() -> tuple[Block, ...]:
    """Give the drawings that a block may be named after, in the order of their names: of a family those that are common.

    Returns
    -------
    tuple of Block

    Examples
    --------
    >>> names = [each.name for each in all_blocks()]
    >>> "Shoo Fly" in names, "Five-Round Log Cabin" in names, "Nine-Round Log Cabin" in names
    (True, True, False)
    """
    return tuple(_make(made) for _, made in _drawings())


def headings() -> tuple[str, ...]:
    """Give the names that head `all_blocks`, in the same order; no drawing is made for it.

    Examples
    --------
    >>> "Shoo Fly" in headings(), "Hole in the Barn Door" in headings()
    (True, False)
    """
    return tuple(name for name, _ in _drawings())


@cache
def notes() -> frozenset[str]:
    """Give what is noted beside the drawings, each note once; no drawing is made for it.

    Examples
    --------
    >>> "Begins in one corner and grows on two sides only." in notes()
    True
    """
    lines = (line.partition("#")[0].strip() for text in _texts().values() for line in text.splitlines())
    of_files = {line.removeprefix("note ").strip() for line in lines if line.startswith("note ")}
    return frozenset(of_files.union(*(family.notes for family in FAMILIES if family.common)))


def fingerprint() -> str:
    """Tell one state of the block files from another.

    Examples
    --------
    >>> len(fingerprint())
    64
    """
    import hashlib  # loads a large library, which nothing else here needs

    told = hashlib.sha256()
    for file, text in _texts().items():
        told.update(f"{file}\n{text}\0".encode())
    return told.hexdigest()


def find(name: str) -> Block:
    """Find a block by any of its names.

    Parameters
    ----------
    name : str
        One of the block's names; capitals, spaces and punctuation do not matter. One of a family is found by its
        number too: "log cabin of 6 rounds", "six-round log cabin".

    Returns
    -------
    Block

    Raises
    ------
    UnknownNameError
        When nothing is called that; the remedy offers the nearest names.

    Examples
    --------
    >>> find("hole in the barn-door").name
    'Churn Dash'
    >>> find("rail fence of 7 strips").name
    'Seven-Strip Rail Fence'
    >>> find("shofly")
    Traceback (most recent call last):
        ...
    seamlore.errors.UnknownNameError: a block called "shofly": the catalogue has none; did you mean "Shoo Fly"?
    """
    found = _by_name().get(_plain(name))
    if not found:
        raise UnknownNameError(f'a block called "{name}"', "the catalogue has none", _nearest(name))
    return _make(found[0])


@lru_cache(maxsize=512)
def _nearest(name: str) -> str:
    """What to choose instead; a block of her own is looked for here whenever its draft is written."""
    return nearest(name, _shown_names())


def find_all(name: str) -> tuple[Block, ...]:
    """Find every block that goes by a name; the trade gives some names to more than one drawing.

    Parameters
    ----------
    name : str
        As for `find`.

    Returns
    -------
    tuple of Block
        The block headed by that name first; empty when nothing is called that. Of a family only the drawing that is
        usual, unless the name is that of one.

    Examples
    --------
    >>> [each.name for each in find_all("monkey wrench")]
    ['Churn Dash', 'Double Monkey Wrench', "Snail's Trail"]
    >>> [each.name for each in find_all("log cabin")]
    ['Log Cabin', 'Wide-Center Log Cabin']
    >>> find_all("zzz")
    ()
    """
    return tuple(_make(each) for each in _by_name().get(_plain(name), ()))


def source_of(name: str) -> str:
    """How the names and the drawing of what is called so are known; no drawing is made for it.

    Examples
    --------
    >>> source_of("Nine-Round Log Cabin") == source_of("Log Cabin")
    True
    >>> source_of("zzz")
    'common use, drawn from memory'
    """
    for made in _by_name().get(_plain(name), ()):
        for entry in entries():
            first = entry.made[0]
            if made in entry.made or (isinstance(made, tuple) and isinstance(first, tuple) and made[0] == first[0]):
                return entry.source
    return FROM_MEMORY


def claims(block: Block) -> dict[str, tuple[str, ...]]:
    """Find which of a block's names other drawings claim too, and what heads those.

    Examples
    --------
    >>> claims(find("Churn Dash"))
    {'Monkey Wrench': ('Double Monkey Wrench', "Snail's Trail")}
    >>> claims(find("Shoo Fly"))
    {}
    """
    others = {name: tuple(each.name for each in find_all(name) if each.name != block.name) for name in block.names}
    return {name: found for name, found in others.items() if found}


@cache
def names() -> tuple[str, ...]:
    """List every name that a drawing goes by; no drawing is made for it.

    Examples
    --------
    >>> "Hole in the Barn Door" in names(), "Five-Round Log Cabin" in names()
    (True, True)
    """
    return tuple(sorted(set(_shown_names()), key=str.casefold))


def _plain(name: str) -> str:
    return "".join(sign for sign in name.casefold() if sign.isalnum())


@cache
def _drawings() -> tuple[tuple[str, _Made], ...]:
    """Every drawing that a block may be named after: the name that heads it, and where it is made."""
    found: list[tuple[str, _Made]] = [(name, file) for name, file, heads in _heads() if heads]
    for which, family in enumerate(FAMILIES):
        found += [(family.title(number), (which, number)) for number in family.common]
    return tuple(sorted(found, key=lambda each: each[0].casefold()))


@cache
def _texts() -> dict[str, str]:
    """The block files by their names."""
    found = sorted((each for each in _FOLDER.iterdir() if each.name.endswith(".block")), key=lambda each: each.name)
    return {each.name: each.read_text(encoding="utf-8") for each in found}


@cache
def _heads() -> tuple[tuple[str, str, bool], ...]:
    """Every name, the file that it stands in, and whether it heads the file; read from the heading lines alone."""
    found = []
    for file, text in _texts().items():
        for line in text.splitlines():
            word, _, rest = line.partition(" ")
            if word in ("block", "also"):
                found += [(name.strip(), file, word == "block") for name in rest.split(",")]
    return tuple(found)


@cache
def _by_name() -> dict[str, tuple[_Made, ...]]:
    """What each name means: what it heads first, then what else goes by it."""
    claims: list[tuple[int, str, _Made]] = [(not heads, name, file) for name, file, heads in _heads()]
    for which, family in enumerate(FAMILIES):
        for number in family.numbers:
            title, *others = (name for name in family.names(number) if name != family.name or number == family.usual)
            # A name that all of a family share means the usual one.
            shared = [] if number == family.usual else [*family.also]
            claims.append((0, title, (which, number)))
            claims += [(1, name, (which, number)) for name in others if name not in shared]
            claims += [(2, name, (which, number)) for name in family.asked_by(number)]
    found: dict[str, list[_Made]] = {}
    for _, name, made in sorted(claims, key=lambda claim: claim[0]):
        same = found.setdefault(_plain(name), [])
        if made not in same:
            same.append(made)
    return {name: tuple(each) for name, each in found.items()}


def _shown_names() -> list[str]:
    families = [name for family in FAMILIES for number in family.common for name in family.names(number)]
    return [*(name for name, _, _ in _heads()), *families]


def _make(made: _Made) -> Block:
    return _read(made) if isinstance(made, str) else member(FAMILIES[made[0]], made[1])


@cache
def _sources() -> dict[str, str]:
    """How names and drawings were checked, by the name that heads an entry."""
    table = (_FOLDER / "sources.csv").read_text(encoding="utf-8").splitlines()
    return {row["drawing"]: f"{row['checked']} ({row['source']})" for row in csv.DictReader(table)}


@cache
def _read(file: str) -> Block:
    return read_block(_texts()[file], source=file)
