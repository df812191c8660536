"""Several blocks in one quilt: a letter is one place in all of them, so a second block may need other letters."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from string import ascii_uppercase

from seamlore.draft.block import Block, Place, Value, in_reading_order, patch
from seamlore.errors import ShapeError


def reletter(block: Block, letters: Mapping[str, str]) -> Block:
    """Give the places of a block other letters.

    Parameters
    ----------
    block : Block
        Any block.
    letters : mapping of str to str
        Old letter to new; places without an entry keep theirs.

    Raises
    ------
    ShapeError
        When the block has no such place, or two different places would get one letter.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> sorted(reletter(four, {"A": "C"}).places)
    ['B', 'C']
    >>> reletter(four, {}) == four
    True
    """
    for old, new in letters.items():
        if old not in block.places or new not in ascii_uppercase or len(new) != 1:
            raise ShapeError(
                f"{old} as {new} in {block.name}",
                f"its places are {', '.join(block.places)}, and a letter is A to Z",
                "name one of its places and a letter",
            )
    places: dict[str, Place] = {}
    for letter, place in block.places.items():
        new = letters.get(letter, letter)
        if places.setdefault(new, place) != place:
            raise ShapeError(
                f"two places of {block.name} as {new}",
                "a letter is one place, of one value",
                "give each its own letter",
            )
    patches = [patch(each.outline, letters.get(each.place, each.place)) for each in block.patches]
    return replace(block, patches=in_reading_order(patches), places=dict(sorted(places.items())))


def beside(block: Block, taken: Mapping[str, Place]) -> Block:
    """Give a block letters with which it can stand beside others: those that mean something else are changed.

    Parameters
    ----------
    block : Block
        The block to be added.
    taken : mapping of str to Place
        The places that there are, as `Quilt.places` gives them.

    Returns
    -------
    Block
        With the same letters where they mean the same, and the next free ones where they do not.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> sorted(beside(four, {"A": Place("light"), "B": Place("light")}).places)
    ['B', 'C']
    >>> beside(four, {}) == four
    True
    """
    clash = [letter for letter, place in block.places.items() if taken.get(letter, place) != place]
    free = [letter for letter in ascii_uppercase if letter not in taken and letter not in block.places]
    if len(clash) > len(free):
        raise ShapeError(
            f"{len(taken) + len(clash)} places", "a quilt has 26 letters for them", "let blocks share fabrics"
        )
    return reletter(block, dict(zip(clash, free, strict=False)))


def plain_block(letter: str = "P", value: Value = "light") -> Block:
    """Make a block of one piece of cloth.

    Examples
    --------
    >>> plain_block("C").name, len(plain_block("C").patches)
    ('plain', 1)
    """
    whole = patch([(Fraction(x), Fraction(y)) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1))], letter)
    return Block("plain", 1, (whole,), {letter: Place(value)})


def letters_between(one: Block, two: Block) -> Mapping[str, str] | None:
    """Find the letters that make one block into another; None when no letters do.

    Examples
    --------
    >>> letters_between(plain_block("A"), plain_block("C"))
    {'A': 'C'}
    >>> letters_between(plain_block("A"), plain_block("A", "dark")) is None
    True
    """
    other = {each.outline: each.place for each in two.patches}
    letters: dict[str, str] = {}
    for each in one.patches:
        new = other.get(each.outline)
        if new is None or letters.setdefault(each.place, new) != new:
            return None
    changed = {old: new for old, new in letters.items() if old != new}
    try:
        return changed if reletter(one, changed) == two else None
    except ShapeError:
        return None
