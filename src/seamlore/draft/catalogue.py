"""The catalogue: traditional blocks, each a block file of its own, found by any of their names."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from seamlore.draft.block import Block
from seamlore.draft.text.notation import read_block
from seamlore.errors import UnknownNameError, nearest

_FOLDER = files("seamlore.draft") / "blocks"


@cache
def all_blocks() -> tuple[Block, ...]:
    """Give every block of the catalogue, in the order of its name.

    Returns
    -------
    tuple of Block

    Examples
    --------
    >>> "Shoo Fly" in [each.name for each in all_blocks()]
    True
    """
    found = [_read(file) for file in dict.fromkeys(file for _, file, _ in _heads())]
    return tuple(sorted(found, key=lambda each: each.name.casefold()))


def find(name: str) -> Block:
    """Find a block by any of its names.

    Parameters
    ----------
    name : str
        One of the block's names; capitals, spaces and punctuation do not matter.

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
    >>> find("shofly")
    Traceback (most recent call last):
        ...
    seamlore.errors.UnknownNameError: a block called "shofly": the catalogue has none; did you mean "Shoo Fly"?
    """
    files_found = _files_by_name().get(_plain(name))
    if not files_found:
        raise UnknownNameError(f'a block called "{name}"', "the catalogue has none", nearest(name, _shown_names()))
    return _read(files_found[0])


def find_all(name: str) -> tuple[Block, ...]:
    """Find every block that goes by a name; the trade gives some names to more than one drawing.

    Parameters
    ----------
    name : str
        As for `find`.

    Returns
    -------
    tuple of Block
        The block headed by that name first; empty when nothing is called that.

    Examples
    --------
    >>> [each.name for each in find_all("monkey wrench")]
    ['Churn Dash', "Snail's Trail"]
    >>> find_all("zzz")
    ()
    """
    return tuple(_read(file) for file in _files_by_name().get(_plain(name), ()))


def _plain(name: str) -> str:
    return "".join(sign for sign in name.casefold() if sign.isalnum())


@cache
def _heads() -> tuple[tuple[str, str, bool], ...]:
    """Every name, the file that it stands in, and whether it heads the file; read from the heading lines alone."""
    found = []
    for file in sorted(_FOLDER.iterdir(), key=lambda each: each.name):
        if not file.name.endswith(".block"):
            continue
        for line in file.read_text(encoding="utf-8").splitlines():
            word, _, rest = line.partition(" ")
            if word in ("block", "also"):
                found += [(name.strip(), file.name, word == "block") for name in rest.split(",")]
    return tuple(found)


@cache
def _files_by_name() -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    # A block's own name comes before another block's second name.
    for name, file, _ in sorted(_heads(), key=lambda head: not head[2]):
        if file not in found.setdefault(_plain(name), []):
            found[_plain(name)].append(file)
    return {name: tuple(each) for name, each in found.items()}


def _shown_names() -> list[str]:
    return [name for name, _, _ in _heads()]


@cache
def _read(file: str) -> Block:
    return read_block((_FOLDER / file).read_text(encoding="utf-8"), source=file)
