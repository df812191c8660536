"""The kinds of blocks that a quilt is made of, and what stands in each of its cells.

A kind is a block with the fabrics of its own letters. A cell says which kind stands there and how it lies, and which
fabrics are its own where they differ from its kind's; or that it was not read.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache
from itertools import product
from string import ascii_lowercase, ascii_uppercase, digits
from typing import Literal

from seamlore.draft.block import Block, Patch, Place, Value, in_reading_order, move, patch
from seamlore.errors import ShapeError

SIGN = re.compile(r"[A-Za-z][A-Za-z0-9]?")


@dataclass(frozen=True, slots=True)
class Turned:
    """How one block lies: mirrored left to right (if so), then turned clockwise by `turn` degrees.

    On point the block so turned is turned 45 degrees more, so that its top left corner points up.
    """

    turn: Literal[0, 90, 180, 270] = 0
    mirrored: bool = False


AS_DRAWN = Turned()


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of block.

    Parameters
    ----------
    name : str
        One or two signs, a letter first, by which cells and the draft file call it.
    block : Block
        How it is pieced.
    fabrics : mapping of str to str
        What the fabric of a letter is called: "A" -> "indigo prints".
    """

    name: str
    block: Block
    fabrics: Mapping[str, str] = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if not SIGN.fullmatch(self.name):
            raise ShapeError(
                f'a kind called "{self.name}"', "a kind has a name of one or two signs, a letter first", "shorten it"
            )
        check_letters(self.fabrics, self.block, f"kind {self.name}")

    @property
    def plain(self) -> bool:
        """Whether it is one piece of cloth."""
        return len(self.block.patches) == 1


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in one place of the quilt.

    Parameters
    ----------
    kind : str
        The name of its kind; empty where it was not read.
    lies : Turned
        How the block lies there.
    fabrics : mapping of str to str
        Its own fabrics by letter, where they differ from those of its kind.
    """

    kind: str
    lies: Turned = AS_DRAWN
    fabrics: Mapping[str, str] = field(default_factory=dict, hash=False)

    @property
    def read(self) -> bool:
        """Whether it is known what stands here."""
        return bool(self.kind)


# What a block is called that has no name; a number keeps several apart.
UNNAMED = "Unnamed block"
NOT_READ = Cell("")
Cells = tuple[tuple[Cell, ...], ...]


def check_letters(fabrics: Mapping[str, str], block: Block, where: str) -> None:
    """Refuse fabrics for letters that a block has not.

    Raises
    ------
    ShapeError
    """
    for letter in fabrics:
        if letter not in block.places:
            raise ShapeError(
                f"a fabric for {letter}",
                f"{block.name} has {', '.join(block.places)}",
                "name one of its letters",
                where=where,
            )


def sign_for(block: Block, taken: Container[str] = ()) -> str:
    """Choose the name of a kind from what its block is called: initials, or the beginning of a single word.

    Parameters
    ----------
    block : Block
    taken : container of str
        Names that other kinds have.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> sign_for(plain_block()), sign_for(plain_block(), {"P"}), sign_for(find("shoo fly")), sign_for(find("pinwheel"))
    ('P', 'P2', 'SF', 'Pi')
    >>> sign_for(replace(plain_block(), name="?"))
    'K'
    """
    return next(sign for sign in _signs(block) if sign not in taken)


def _signs(block: Block) -> Iterator[str]:
    words = re.findall(r"[A-Za-z][A-Za-z]*", block.name) or ["K"]
    first = words[0][0].upper()
    if len(block.patches) == 1:
        yield first
    elif len(words) > 1:
        yield first + words[1][0].upper()
    else:
        yield (first + words[0][1:2].lower()) if len(words[0]) > 1 else first
    yield from (first + digit for digit in "23456789")
    yield from (one + two for one, two in product(ascii_uppercase, ascii_uppercase + ascii_lowercase + digits))


def plain_block(letter: str = "A", value: Value = "light") -> Block:
    """Make a block of one piece of cloth.

    Examples
    --------
    >>> plain_block("C").name, len(plain_block("C").patches)
    ('plain', 1)
    """
    whole = patch([(Fraction(x), Fraction(y)) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1))], letter)
    return Block("plain", 1, (whole,), {letter: Place(value)})


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


def simplest(block: Block, lies: Turned) -> Turned:
    """Give the simplest way of lying in which a block is pieced the same: a motion that changes nothing is not said.

    Only where no turn brings a mirrored block back to itself does it stay mirrored: its pieces are then cut reversed.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> simplest(find("shoo fly"), Turned(270, True)), simplest(find("pinwheel"), Turned(90, True))
    (Turned(turn=0, mirrored=False), Turned(turn=0, mirrored=True))
    >>> simplest(find("broken dishes"), Turned(90, True))
    Turned(turn=90, mirrored=False)
    """
    if lies == AS_DRAWN:
        return AS_DRAWN
    same = [_then(motion, lies) for motion in _unchanged(block.patches)]
    return min(same, key=lambda way: (way.mirrored, way.turn))


_WAYS: tuple[Turned, ...] = tuple(Turned(turn, mirrored) for mirrored in (False, True) for turn in (0, 90, 180, 270))


@lru_cache(maxsize=1024)
def _unchanged(patches: tuple[Patch, ...]) -> tuple[Turned, ...]:
    """The ways of lying in which every patch comes to lie on one of its own outline and place."""
    pieced = {(each.outline, each.place) for each in patches}
    return tuple(
        way
        for way in _WAYS
        if way == AS_DRAWN
        or all(
            (patch([move(at, way.turn, way.mirrored) for at in each.outline], each.place).outline, each.place)
            in pieced
            for each in patches
        )
    )


def _then(first: Turned, second: Turned) -> Turned:
    """One motion, then another: each mirrors left to right (if so) and then turns clockwise."""
    # A turn before a mirroring is the opposite turn after it.
    turn = -first.turn if second.mirrored else first.turn
    return Turned((turn + second.turn) % 360, first.mirrored != second.mirrored)  # type: ignore[arg-type]
