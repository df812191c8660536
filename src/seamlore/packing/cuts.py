"""The cuts of a layout, one after the other: what the ruler is set to, how often, from how many parts that lie alike.

A layout is tidied first, so that like strips and like pieces lie beside each other and the longest come first. One
setting of the ruler then serves all of them, and like parts can be cut in layers.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count

from seamlore.packing.pieces import EMPTY, Block, in_a_row

# How many layers of cotton a rotary cutter goes through without shifting: two folded strips. Common practice, no source.
LAYERS = 4


_Key = tuple[bool, int, Hashable]


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
    runs : int
        How often it runs through all of them, each cut by itself.
    gives : int
        The kind of piece that it sets free; -1 when that is cut further, `EMPTY` when it is put by.
    turned : bool
        Whether that piece lies turned.
    inside : tuple of Cut
        How each is cut further.
    key : tuple
        Which parts of a strip it is made at.
    """

    number: int
    size: int
    along: bool
    times: int
    of: int
    blade: int
    runs: int
    gives: int
    turned: bool
    inside: tuple[Cut, ...]
    key: _Key | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """Where one cut runs, from (x0, y0) to (x1, y1) in parts, and its number."""

    number: int
    x0: int
    y0: int
    x1: int
    y1: int


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
        # A square lies the same way turned.
        return replace(block, turned=False) if block.turned and block.width == block.height else block
    parts = sorted((tidy(each) for each in parts_of(block)), key=_rank)
    return in_a_row(parts, across=block.across)


def _rank(block: Block) -> tuple[int, ...]:
    longest = -_longest(block)
    return (block.kind == EMPTY, longest, -block.height, -block.width, block.kind, block.turned, -block.area)


def _longest(block: Block) -> int:
    """The longest side of any piece in a block."""
    if block.blocks:
        return max(_longest(each) for each in block.blocks)
    return max(block.width, block.height)


def _deepest(block: Block) -> tuple[int, ...]:
    return (block.kind == EMPTY, -block.height, *_rank(block))


def in_order(strips: Sequence[Block]) -> tuple[Block, ...]:
    """Tidy strips and put the deepest first, so that what is long is cut before anything else.

    Examples
    --------
    >>> border, square = Block(5, 60, 300, False, 0), Block(4, 4, 16, True, 1)
    >>> [each.height for each in in_order([square, border])]
    [60, 4]
    """
    tidied = {id(each): tidy(each) for each in {id(each): each for each in strips}.values()}
    return tuple(sorted((tidied[id(each)] for each in strips), key=_deepest))


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
        gives, turned = _gives(list(members), width, depth)
        inside = () if gives != -1 else _within(members, width, depth, numbers)
        found.append(Cut(number, depth, True, many, 1, many, many, gives, turned, inside))
    return tuple(found)


def _gives(blocks: Sequence[Block], width: int, height: int) -> tuple[int, bool]:
    first = blocks[0]
    whole = all(each.kind == first.kind and (each.width, each.height) == (width, height) for each in blocks)
    return (first.kind, first.turned) if whole or first.kind == EMPTY else (-1, False)


def _settings_in(block: Block) -> frozenset[Hashable]:
    if not block.blocks:
        # A piece alone is cut like a row of one.
        return frozenset({(True, block.width, _sign(block))})
    return frozenset(_key(each, block.across) for each in parts_of(block))


def _key(block: Block, across: bool) -> _Key:
    return across, _size(block, across), _sign(block)


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
    runs: dict[_Key, Counter[Block]] = {}
    most: dict[_Key, int] = {}
    of: dict[_Key, int] = {}
    all_runs: Counter[_Key] = Counter()
    for block, many in alike.items():
        parts = parts_of(block) if block.blocks else [block]
        mine: Counter[_Key] = Counter()
        for each in parts:
            key = _key(each, across)
            runs.setdefault(key, Counter())[each] += many
            mine[key] += 1
        for key, times in mine.items():
            # What ends at the edge of the part needs no cut of its own.
            ends = key == _key(parts[-1], across) and sum(_size(each, across) for each in parts) == reach
            most[key] = max(most.get(key, 0), times - ends)
            of[key] = of.get(key, 0) + many
            all_runs[key] += (times - ends) * many
    found: list[Cut] = []
    order = list(runs)
    if not any(next(iter(parts)).kind == EMPTY for parts in runs.values()):
        # All lie in this order; only between motifs do they stand where the print is.
        order.sort(key=lambda key: _rank(next(iter(runs[key]))))
    for key in order:
        size, number = key[1], next(numbers)
        cell = (size, height) if across else (width, size)
        gives, turned = _gives(list(runs[key]), *cell)
        inside = () if gives != -1 else _within(runs[key], *cell, numbers)
        times = runs[key].total()
        runs_of = most[key], all_runs[key]
        found.append(Cut(number, size, not across, times, of[key], *runs_of, gives, turned, inside, key))
    return tuple(found)


def _trims(piece: Block, width: int, height: int, many: int, numbers: Iterator[int]) -> tuple[Cut, ...]:
    """Trim a part to the one piece in it."""
    sides = [(piece.width, False)] * (piece.width < width) + [(piece.height, True)] * (piece.height < height)
    found: tuple[Cut, ...] = ()
    for at, (size, along) in enumerate(sides):
        last = at == len(sides) - 1
        kind, turned = (piece.kind, piece.turned) if last else (-1, False)
        found = (*found, Cut(next(numbers), size, along, many, many, 1, many, kind, turned, ()))
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
    return sum(min(cut.blade * -(-cut.of // layers), cut.runs) + strokes(cut.inside, layers) for cut in cuts)


def lines_in(strip: Block, cut: Cut, width: int) -> list[Line]:
    """Find the lines along which one strip is cut, with the numbers of their cuts.

    Parameters
    ----------
    strip : Block
        One of those that the cut sets free.
    cut : Cut
        As `cuts_of` gives it.
    width : int
        Of the fabric, in parts.

    Examples
    --------
    >>> row = in_a_row([Block(5, 5, 25, True, 0)] * 2, across=True)
    >>> [(line.number, line.x0, line.y1) for line in lines_in(row, cuts_of([row], 12)[0], 12)]
    [(1, 0, 5), (2, 5, 5), (2, 10, 5)]
    """
    found = [Line(cut.number, 0, strip.height, width, strip.height)]
    _lines(strip, cut.inside, (0, 0, width, strip.height), found)
    return found


def _lines(block: Block, cuts: Sequence[Cut], cell: tuple[int, int, int, int], found: list[Line]) -> None:
    x, y, width, height = cell
    if not cuts:
        return
    if cuts[0].key is None:
        for cut in cuts:
            found.append(
                Line(cut.number, x, y + cut.size, x + width, y + cut.size)
                if cut.along
                else Line(cut.number, x + cut.size, y, x + cut.size, y + height)
            )
            width, height = (width, cut.size) if cut.along else (cut.size, height)
        return
    by_key = {cut.key: cut for cut in cuts}
    across = block.across if block.blocks else True
    for part in parts_of(block) if block.blocks else [block]:
        cut = by_key[_key(part, across)]
        if across:
            inner = (x, y, cut.size, height)
            x += cut.size
            if x < cell[0] + width:
                found.append(Line(cut.number, x, y, x, y + height))
        else:
            inner = (x, y, width, cut.size)
            y += cut.size
            if y < cell[1] + height:
                found.append(Line(cut.number, x, y, x + width, y))
        _lines(part, cut.inside, inner, found)
