"""Strips across the fabric, the deepest first; what they leave over takes smaller pieces, where that saves a strip.

The arithmetic of paper and ruler, done for every kind of cut: a strip for each kind, and the end that it leaves is cut into
columns of shallower pieces. Every cut runs straight through the piece that it divides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

# So many kinds are each tried both ways round; of more, only all of them together.
_TRIED = 24


@dataclass(frozen=True, slots=True)
class Item:
    """Equal rectangles to cut: both sides in inches, the longer first, how many, and whether they may stand on end."""

    kind: int
    long: Fraction
    short: Fraction
    count: int
    turns: bool = True


@dataclass(frozen=True, slots=True)
class Column:
    """Pieces of one kind across the grain of a strip.

    Parameters
    ----------
    kind : int
    along, depth : Fraction
        How much of the strip's length and of its width each takes, in inches.
    stacked : int
        How many lie one behind the other.
    number : int
        How many such columns stand side by side.
    """

    kind: int
    along: Fraction
    depth: Fraction
    stacked: int
    number: int


@dataclass(frozen=True, slots=True)
class Shelf:
    """Equal strips.

    Parameters
    ----------
    depth, free : Fraction
        How wide it is cut, and how much of its length is not used yet.
    times : int
        How many are cut like it.
    columns : tuple of Column
        From one end; the first are those that it was opened for.
    main : int
        The kind that it was opened for; -1 for what long pieces leave beside them.
    """

    depth: Fraction
    free: Fraction
    times: int
    columns: tuple[Column, ...]
    main: int


def shelve(items: Sequence[Item], width: Fraction, left: Sequence[Shelf] = ()) -> tuple[Shelf, ...]:
    """Lay pieces into strips.

    Parameters
    ----------
    items : sequence of Item
        Each lies in some way within the width.
    width : Fraction
        Usable width of the fabric, in inches.
    left : sequence of Shelf
        What lies there already and may be used first.

    Returns
    -------
    tuple of Shelf
        Those of `left`, then new ones, the deepest first.

    Examples
    --------
    >>> f = Fraction
    >>> made = shelve([Item(0, f(24), f(24), 3), Item(1, f(49, 4), f(49, 4), 2)], f(42))
    >>> [(shelf.times, [column.kind for column in shelf.columns]) for shelf in made]
    [(2, [0, 1]), (1, [0])]
    """
    lies = [_alone(item, width) for item in items]
    best = _filled(items, lies, width, left)
    for all_one in (0, 1):
        way = [_turned(item, all_one, width) for item in items]
        tried = _filled(items, way, width, left)
        if _rank(tried) < _rank(best):
            best, lies = tried, way
    better = len(items) <= _TRIED
    while better:
        better = False
        for index, item in enumerate(items):
            other = [*lies]
            other[index] = lies[index][::-1]
            if other[index][0] > width or item.long == item.short or not item.turns:
                continue
            tried = _filled(items, other, width, left)
            if _rank(tried) < _rank(best):
                best, lies, better = tried, other, True
    return best


# How much of the strip's length, and of its width, one piece takes.
_Lie = tuple[Fraction, Fraction]


def _alone(item: Item, width: Fraction) -> _Lie:
    """The better way round in strips of its own: less cloth, then fewer strips."""
    both = ((item.long, item.short), (item.short, item.long))
    ways = [(a, d) for a, d in both[: 1 + item.turns] if a <= width]
    return min(ways, key=lambda way: (way[1] * ceil(item.count / (width // way[0])), -(width // way[0]), way[1]))


def _turned(item: Item, turned: int, width: Fraction) -> _Lie:
    way = (item.short, item.long) if turned and item.turns else (item.long, item.short)
    return way if way[0] <= width else way[::-1]


def _rank(shelves: Sequence[Shelf]) -> tuple[Fraction, int, int]:
    new = [shelf for shelf in shelves if shelf.main >= 0]
    taken = sum((shelf.depth * shelf.times for shelf in new), Fraction(0))
    return taken, len({shelf.depth for shelf in new}), sum(shelf.times for shelf in new)


def _filled(items: Sequence[Item], lies: Sequence[_Lie], width: Fraction, left: Sequence[Shelf]) -> tuple[Shelf, ...]:
    shelves = list(left)
    order = sorted(zip(items, lies, strict=True), key=lambda each: (-each[1][1], -each[1][0], each[0].kind))
    for item, (along, depth) in order:
        each = int(width // along)
        room = sum(_room(shelf, along, depth) * shelf.times for shelf in shelves)
        own = max(0, ceil(Fraction(item.count - room, each)))
        # No more from what is left over than saves a strip: fewer kinds lie in each.
        shelves = _beside(shelves, item.kind, (along, depth), max(0, item.count - own * each))
        todo = min(item.count, own * each)
        for number, times in ((each, todo // each), (todo % each, 1)):
            if number and times:
                column = Column(item.kind, along, depth, 1, number)
                shelves.append(Shelf(depth, width - along * number, times, (column,), item.kind))
    return tuple(shelves)


def _room(shelf: Shelf, along: Fraction, depth: Fraction) -> int:
    return int(shelf.free // along) * int(shelf.depth // depth)


def _beside(shelves: list[Shelf], kind: int, lie: _Lie, count: int) -> list[Shelf]:
    """Put `count` pieces into what strips have left over, into the shallowest first."""
    found: dict[int, list[Shelf]] = {index: [shelf] for index, shelf in enumerate(shelves)}
    for index in sorted(found, key=lambda each: (shelves[each].depth, each)):
        shelf = shelves[index]
        room = _room(shelf, *lie)
        if not count or not room:
            continue
        full = min(shelf.times, count // room)
        rest = min(count - full * room, room) if full < shelf.times else 0
        parts = [replace(_with(shelf, kind, lie, room), times=full)] if full else []
        parts += [replace(_with(shelf, kind, lie, rest), times=1)] if rest else []
        untouched = shelf.times - full - bool(rest)
        found[index] = parts + ([replace(shelf, times=untouched)] if untouched else [])
        count -= full * room + rest
    return [shelf for index in sorted(found) for shelf in found[index]]


def _with(shelf: Shelf, kind: int, lie: _Lie, count: int) -> Shelf:
    along, depth = lie
    stacked = int(shelf.depth // depth)
    columns, odd = divmod(count, stacked)
    added = [Column(kind, along, depth, stacked, columns)] if columns else []
    added += [Column(kind, along, depth, odd, 1)] if odd else []
    return replace(shelf, free=shelf.free - along * (columns + bool(odd)), columns=(*shelf.columns, *added))
