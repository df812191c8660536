"""What is to be cut: kinds of rectangle, in whole parts of a length, and the blocks of them that are placed at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

# The kind of a block that holds no piece: fabric between pieces that are cut at a fixed repeat.
EMPTY = -2


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of rectangle.

    Parameters
    ----------
    width, height : int
        Across the fabric and along it, in whole parts (of any one length).
    count : int
        How many are wanted; 1 or more.
    may_turn : bool
        Whether it may also lie with its height across the fabric.
    """

    width: int
    height: int
    count: int
    may_turn: bool

    @property
    def area(self) -> int:
        """Of one, in square parts."""
        return self.width * self.height

    def lies(self, most: int) -> tuple[tuple[int, int, bool], ...]:
        """Give each way in which it can lie on a fabric `most` wide: width, height, whether turned."""
        ways = [(self.width, self.height, False)]
        if self.may_turn and self.width != self.height:
            ways.append((self.height, self.width, True))
        return tuple(way for way in ways if way[0] <= most)


@dataclass(frozen=True, slots=True)
class Block:
    """A rectangle of fabric that is cut out as one: a piece, or two blocks and what is lost beside them.

    Parameters
    ----------
    width, height : int
        Of the whole, in parts.
    area : int
        Of the pieces in it, in square parts.
    may_turn : bool
        Whether all of its pieces may be turned.
    kind : int
        The kind of its one piece; -1 when it is two blocks, `EMPTY` when nothing is cut from it.
    turned : bool
        Whether that piece lies turned.
    across : bool
        Whether its two blocks lie side by side; else one behind the other along the fabric.
    blocks : tuple of Block
        None or two.
    """

    width: int
    height: int
    area: int
    may_turn: bool
    kind: int = -1
    turned: bool = False
    across: bool = False
    blocks: tuple[Block, ...] = ()

    @property
    def waste(self) -> int:
        """What of it is no piece, in square parts."""
        return self.width * self.height - self.area


def distinct(numbers: NDArray[np.int64]) -> NDArray[np.int64]:
    """Give the different ones of whole numbers, in order; numpy's own way loads all that it has for masked arrays.

    Examples
    --------
    >>> distinct(np.array([3, 1, 3])), distinct(np.array([], int))
    (array([1, 3]), array([], dtype=int64))
    """
    return np.array(sorted(set(numbers.tolist())), np.int64)


def piece(kinds: Sequence[Kind], index: int, *, turned: bool = False) -> Block:
    """Give the block that is one piece of a kind."""
    kind = kinds[index]
    width, height = (kind.height, kind.width) if turned else (kind.width, kind.height)
    return Block(width, height, kind.area, kind.may_turn, index, turned)


def joined(first: Block, second: Block, *, across: bool) -> Block:
    """Put two blocks side by side, or one behind the other.

    Examples
    --------
    >>> both = joined(Block(2, 3, 6, True, 0), Block(4, 1, 4, False, 1), across=True)
    >>> both.width, both.height, both.waste, both.may_turn
    (6, 3, 8, False)
    """
    if across:
        width, height = first.width + second.width, max(first.height, second.height)
    else:
        width, height = max(first.width, second.width), first.height + second.height
    return Block(
        width,
        height,
        first.area + second.area,
        first.may_turn and second.may_turn,
        across=across,
        blocks=(first, second),
    )


def in_a_row(blocks: Sequence[Block], *, across: bool) -> Block:
    """Put blocks side by side, or one behind the other, as a tree without deep branches.

    Examples
    --------
    >>> in_a_row([Block(2, 3, 6, True, 0)] * 5, across=True).width
    10
    """
    row = list(blocks)
    while len(row) > 1:
        pairs = [joined(a, b, across=across) for a, b in zip(row[::2], row[1::2], strict=False)]
        row = pairs + row[len(pairs) * 2 :]
    return row[0]


def turned(block: Block) -> Block:
    """Turn a block by a quarter, with all that is in it.

    Examples
    --------
    >>> lying = turned(Block(2, 3, 6, True, 0))
    >>> lying.width, lying.height, lying.turned, turned(lying).turned
    (3, 2, True, False)
    """
    if block.kind >= 0:
        return replace(block, width=block.height, height=block.width, turned=not block.turned)
    first, second = block.blocks
    return joined(turned(first), turned(second), across=not block.across)


def renumbered(blocks: Sequence[Block], kinds: Sequence[int]) -> tuple[Block, ...]:
    """Give every piece the kind that stands for its own.

    Parameters
    ----------
    blocks : sequence of Block
    kinds : sequence of int
        By kind of the blocks.

    Examples
    --------
    >>> renumbered([joined(Block(2, 3, 6, True, 0), Block(2, 3, 6, True, 1), across=True)], [4, 7])[0].blocks[1].kind
    7
    """
    done: dict[int, Block] = {}

    def again(block: Block) -> Block:
        found = done.get(id(block))
        if found is None:
            kind = kinds[block.kind] if block.kind >= 0 else block.kind
            found = replace(block, kind=kind, blocks=tuple(again(each) for each in block.blocks))
            done[id(block)] = found
        return found

    return tuple(again(each) for each in blocks)
