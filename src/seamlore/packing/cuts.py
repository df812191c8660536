"""The cuts of a layout, one after the other: what the ruler is set to, how often, from how many parts that lie alike.

A layout is tidied first, so that like strips and like pieces lie beside each other and the longest come first. One
setting of the ruler then serves all of them, and like parts can be cut in layers.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass
from itertools import count

from seamlore.packing.pieces import EMPTY, Block, in_a_row

# How many layers of cotton a rotary cutter goes through without shifting: two folded strips. Common practice, no source.
LAYERS = 4


@dataclass(frozen=True, slots=True)
class Cut:
    """One setting of the ruler, and all that is cut with it.

    Parameters
    ----------
    number : int
        In the order of cutting, from 1.
    size : int
        What the ruler is set to, in parts.
    along : bool
        Whether that is measured along the fabric, the blade running across it.
    times : int
        How many are cut.
    of : int
        From how many parts that lie alike.
    blade : int
        How often the blade runs through each of these at the most; what is left at the end may need no cut.
    gives : int
        The kind of piece that it sets free; -1 when that is cut further, `EMPTY` when it is put by.
    turned : bool
        Whether that piece lies turned.
    inside : tuple of Cut
        How each is cut further.
    """

    number: int
    size: int
    along: bool
    times: int
    of: int
    blade: int
    gives: int
    turned: bool
    inside: tuple[Cut, ...]


def parts_of(block: Block) -> list[Block]:
    """All that lies side by side (or one behind the other) in a block; the block itself when it is one piece.

    Examples
    --------
    >>> three = in_a_row([Block(2, 3, 6, True, 0)] * 3, across=True)
    >>> len(parts_of(three)), len(parts_of(three.blocks[0]))
    (3, 2)
    """
    found, todo = [], [block]
    while todo:
        each = todo.pop()
        if each.blocks and each.across == block.across:
            todo += reversed(each.blocks)
        else:
            found.append(each)
    return found


def tidy(block: Block) -> Block:
    """Put like parts beside each other, the longest first; nothing else changes."""
    if not block.blocks:
        return block
    parts = sorted((tidy(each) for each in parts_of(block)), key=_rank)
    return in_a_row(parts, across=block.across)


def _rank(block: Block) -> tuple[int, ...]:
    return (block.kind == EMPTY, -block.height, -block.width, block.kind, block.turned, -block.area)


def in_order(strips: Sequence[Block]) -> tuple[Block, ...]:
    """Tidy strips and put the deepest first, so that what is long is cut before anything else.

    Examples
    --------
    >>> border, square = Block(5, 60, 300, False, 0), Block(4, 4, 16, True, 1)
    >>> [each.height for each in in_order([square, border])]
    [60, 4]
    """
    tidied = {id(each): tidy(each) for each in {id(each): each for each in strips}.values()}
    return tuple(sorted((tidied[id(each)] for each in strips), key=_rank))


def cuts_of(strips: Sequence[Block], width: int) -> tuple[Cut, ...]:
    """List the cuts of a layout in their order.

    Parameters
    ----------
    strips : sequence of Block
        As `in_order` gives them.
    width : int
        Of the fabric, in parts.

    Returns
    -------
    tuple of Cut
        One for each depth of strip, the further cuts inside.

    Examples
    --------
    >>> square, oblong = Block(5, 5, 25, True, 0), Block(2, 5, 10, False, 1)
    >>> rows = [in_a_row([square] * 8 + [oblong], across=True), in_a_row([square] * 8, across=True)]
    >>> [(cut.number, cut.size, cut.times) for cut in cuts_of(rows, 42)]
    [(1, 5, 2)]
    >>> [(cut.number, cut.size, cut.times, cut.blade) for cut in cuts_of(rows, 42)[0].inside]
    [(2, 5, 16, 8), (3, 2, 1, 0)]
    >>> cuts_of([], 42)
    ()
    """
    numbers = count(1)
    found = []
    for depth in dict.fromkeys(each.height for each in strips):
        members = Counter(each for each in strips if each.height == depth)
        number, many = next(numbers), members.total()
        inside = tuple(
            cut for alike in _alike(members) for cut in _within(alike, width, depth, numbers)
        )
        gives, turned = _gives(list(members), width, depth)
        found.append(Cut(number, depth, True, many, 1, many, gives, turned, inside))
    return tuple(found)


def _gives(blocks: Sequence[Block], width: int, height: int) -> tuple[int, bool]:
    first = blocks[0]
    whole = all(each.kind == first.kind and (each.width, each.height) == (width, height) for each in blocks)
    return (first.kind, first.turned) if whole or first.kind == EMPTY else (-1, False)


def _alike(members: Counter[Block]) -> list[Counter[Block]]:
    """Gather blocks that are cut with the same settings; one that takes only some of another's goes with it."""
    groups: list[tuple[frozenset[Hashable], Counter[Block]]] = []
    by_many = sorted(members, key=lambda each: -len(_settings_in(each)))
    for block in by_many:
        taken = _settings_in(block)
        for settings, group in groups:
            if taken <= settings:
                group[block] = members[block]
                break
        else:
            groups.append((taken, Counter({block: members[block]})))
    return [group for _, group in groups]


def _settings_in(block: Block) -> frozenset[Hashable]:
    if not block.blocks:
        # A piece alone is cut like a row of one.
        return frozenset({(True, block.width, _sign(block))})
    return frozenset((block.across, _size(each, block.across), _sign(each)) for each in parts_of(block))


def _sign(block: Block) -> Hashable:
    """What a block is cut into, however many of each."""
    if not block.blocks:
        return block.kind, block.turned, block.width, block.height
    return _settings_in(block)


def _size(block: Block, across: bool) -> int:
    return block.width if across else block.height


def _within(alike: Counter[Block], width: int, height: int, numbers: Iterator[int]) -> tuple[Cut, ...]:
    """How parts of this size, cut with the same settings, are cut further."""
    whole = next(iter(alike))
    if not whole.blocks and len(alike) == 1:
        return _trims(whole, width, height, alike.total(), numbers)
    across = next((each.across for each in alike if each.blocks), True)
    reach = width if across else height
    runs: dict[tuple[int, Hashable], Counter[Block]] = {}
    most: dict[tuple[int, Hashable], int] = {}
    full = False
    for block, many in alike.items():
        parts = parts_of(block) if block.blocks else [block]
        full = full or sum(_size(each, across) for each in parts) == reach
        mine: Counter[tuple[int, Hashable]] = Counter()
        for each in parts:
            key = _size(each, across), _sign(each)
            runs.setdefault(key, Counter())[each] += many
            mine[key] += 1
        for key, times in mine.items():
            most[key] = max(most.get(key, 0), times)
    found: list[Cut] = []
    last = list(runs)[-1]
    for key, parts_alike in runs.items():
        size = key[0]
        number = next(numbers)
        cell = (size, height) if across else (width, size)
        gives, turned = _gives(list(parts_alike), *cell)
        inside = () if gives != -1 else _within(parts_alike, *cell, numbers)
        blade = most[key] - (key == last and full)
        times = parts_alike.total()
        found.append(Cut(number, size, not across, times, alike.total(), blade, gives, turned, inside))
    return tuple(found)


def _trims(piece: Block, width: int, height: int, many: int, numbers: Iterator[int]) -> tuple[Cut, ...]:
    """Trim a part to the one piece in it."""
    sides = [(piece.width, False)] * (piece.width < width) + [(piece.height, True)] * (piece.height < height)
    found: tuple[Cut, ...] = ()
    for at, (size, along) in enumerate(sides):
        last = at == len(sides) - 1
        kind, turned = (piece.kind, piece.turned) if last else (-1, False)
        found = (*found, Cut(next(numbers), size, along, many, many, 1, kind, turned, ()))
    return found


def settings(cuts: Sequence[Cut]) -> int:
    """Count how often the ruler is set; one setting serves cuts of one size that follow each other.

    Examples
    --------
    >>> square = Block(5, 5, 25, True, 0)
    >>> settings(cuts_of([in_a_row([square] * 8, across=True)] * 3, 42))
    2
    """
    found, last = 0, None
    for cut in cuts:
        if (cut.size, cut.along) != last:
            found += 1
        last = (cut.size, cut.along) if not cut.inside else None
        found += settings(cut.inside)
    return found


def strokes(cuts: Sequence[Cut], layers: int = LAYERS) -> int:
    """Count how often the blade runs when parts that lie alike are cut in layers.

    Parameters
    ----------
    cuts : sequence of Cut
    layers : int
        How many at once; 1 cuts each by itself.

    Examples
    --------
    >>> square = Block(5, 5, 25, True, 0)
    >>> rows = cuts_of([in_a_row([square] * 8, across=True)] * 6, 42)
    >>> strokes(rows, 1), strokes(rows, 4)
    (54, 22)
    """
    return sum(cut.blade * -(-cut.of // layers) + strokes(cut.inside, layers) for cut in cuts)
