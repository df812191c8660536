"""The order in which the patches of a block are joined: by straight seams from edge to edge, smallest parts first.

A part can be sewn from two or more smaller parts when a straight line runs through it from edge to edge without
crossing a patch. A block in which no such line is left needs an inset or partial seam there, which is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from seamlore.draft.block import Block, Corner, Patch, patch
from seamlore.draft.exact.roots import Exact

# A line as a x + b y = c, its first number that is not 0 being 1.
Line = tuple[Exact, Exact, Exact]


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a block: one patch, or smaller parts joined.

    Parameters
    ----------
    patches : tuple of int
        Indices of its patches in the block, in reading order.
    parts : tuple of Part
        What it is joined from, in order along the line that crosses their seams; empty for a patch.
    way : str
        How the seams between its parts run: "across", "up and down", "on the diagonal", "at a slant";
        "inset" when no straight seam divides it; empty for a patch.
    """

    patches: tuple[int, ...]
    parts: tuple[Part, ...] = ()
    way: str = ""

    @property
    def height(self) -> int:
        """How many stages of sewing it takes: 0 for a patch."""
        return 1 + max(part.height for part in self.parts) if self.parts else 0


@dataclass(frozen=True, slots=True)
class SewnUnit:
    """A sewn unit, counted once for all that are alike up to a turn.

    Parameters
    ----------
    name : str
        "unit 1" and so on; the whole block for the last.
    part : Part
        The first of its kind in the block.
    joins : tuple of (str, int)
        What is joined: labels of patches and names of units, and how many of each.
    count : int
        How many the block takes.
    stage : int
        From 1 up; a unit joins only what earlier stages made.
    """

    name: str
    part: Part
    joins: tuple[tuple[str, int], ...]
    count: int
    stage: int


def take_apart(block: Block) -> Part:
    """Find how a block is sewn by taking it apart along straight seams.

    Parameters
    ----------
    block : Block

    Returns
    -------
    Part
        The whole block.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> whole = take_apart(read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A"))
    >>> whole.way, [part.patches for part in whole.parts]
    ('across', [(0, 1), (2, 3)])
    >>> take_apart(read_block("block Plain\\nA light\\n\\nA")).parts
    ()
    """
    return _whole(block.patches)


def _whole(patches: tuple[Patch, ...]) -> Part:
    return _apart(patches, tuple(range(len(patches))))


def _apart(patches: Sequence[Patch], chosen: tuple[int, ...]) -> Part:
    if len(chosen) == 1:
        return Part(chosen)
    best: tuple[tuple[float, ...], list[tuple[int, ...]], Line] | None = None
    for line, groups in _divisions(patches, chosen):
        sizes = [len(group) for group in groups]
        # Rows before columns before diagonals, many even parts before few uneven ones: how quilters do it.
        slanted = 2 if line[0] and line[1] else 0 if line[1] else 1
        rank = (max(sizes), slanted, -len(groups))
        if best is None or rank < best[0]:
            best = rank, groups, line
    if best is None:
        return Part(chosen, tuple(Part((index,)) for index in chosen), "inset")
    return Part(chosen, tuple(_apart(patches, group) for group in best[1]), _way(best[2]))


def _way(line: Line) -> str:
    a, b, _ = line
    if not a:
        return "across"
    if not b:
        return "up and down"
    return "on the diagonal" if abs(a) == abs(b) else "at a slant"


def _divisions(patches: Sequence[Patch], chosen: tuple[int, ...]) -> list[tuple[Line, list[tuple[int, ...]]]]:
    """Every way to divide some patches by parallel lines that cross none of them."""
    lines = {
        _line(start, end)
        for index in chosen
        for start, end in zip(
            patches[index].outline, patches[index].outline[1:] + patches[index].outline[:1], strict=True
        )
    }
    by_slope: dict[tuple[Exact, Exact], list[Line]] = {}
    for line in lines:
        extent = {index: _extent(patches[index], line) for index in chosen}
        crossed = any(low < line[2] < high for low, high in extent.values())
        beside = {high <= line[2] for _, high in extent.values()}
        if not crossed and beside == {True, False}:
            by_slope.setdefault(line[:2], []).append(line)
    found = []
    for parallel in by_slope.values():
        parallel.sort(key=lambda each: each[2])
        cuts = [line[2] for line in parallel]
        groups: dict[int, list[int]] = {}
        for index in chosen:
            low, _ = _extent(patches[index], parallel[0])
            groups.setdefault(sum(cut <= low for cut in cuts), []).append(index)
        found.append((parallel[0], [tuple(groups[key]) for key in sorted(groups)]))
    # In a fixed order, so that the same block is always sewn the same way.
    return sorted(found, key=lambda each: (each[0], each[1]))


def _line(start: Corner, end: Corner) -> Line:
    a, b = end[1] - start[1], start[0] - end[0]
    first = a or b
    a, b = a / first, b / first
    return a, b, a * start[0] + b * start[1]


def _extent(each: Patch, line: Line) -> tuple[Exact, Exact]:
    values = [line[0] * x + line[1] * y for x, y in each.outline]
    return min(values), max(values)


def units(patches: Sequence[Patch], labels: Sequence[str]) -> tuple[SewnUnit, ...]:
    """List the units that a block, or what an edge has left of it, is sewn from, in the order of sewing.

    Like ones are counted together.

    Parameters
    ----------
    patches : sequence of Patch
        Of the block, or of what is left of it.
    labels : sequence of str
        What each patch is called, such as "A1".

    Returns
    -------
    tuple of SewnUnit
        The whole block last; none when the block is one patch.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> [(unit.name, unit.joins, unit.count) for unit in units(four.patches, ["A", "B", "B", "A"])]
    [('unit 1', (('A', 1), ('B', 1)), 2), ('the block', (('unit 1', 2),), 1)]
    >>> units(read_block("block Plain\\nA light\\n\\nA").patches, ["A"])
    ()
    """
    return _units(tuple(patches), tuple(labels))


# Sizes and fabrics are changed far more often than the block: the same one is asked for again and again.
@lru_cache(maxsize=64)
def _units(patches: tuple[Patch, ...], labels: tuple[str, ...]) -> tuple[SewnUnit, ...]:
    whole = _whole(patches)
    kinds: dict[object, list[Part]] = {}
    stack = [whole]
    while stack:
        part = stack.pop()
        if part.parts:
            kinds.setdefault(_kind(patches, part, labels), []).append(part)
            stack += part.parts
    ordered = sorted(kinds.items(), key=lambda item: (item[1][0].height, min(p.patches for p in item[1])))
    names = {
        kind: "the block" if len(parts[0].patches) == len(patches) else f"unit {number}"
        for number, (kind, parts) in enumerate(ordered, start=1)
    }
    made = []
    for kind, parts in ordered:
        first = min(parts, key=lambda part: part.patches)
        joins: dict[str, int] = {}
        for part in first.parts:
            name = names[_kind(patches, part, labels)] if part.parts else labels[part.patches[0]]
            joins[name] = joins.get(name, 0) + 1
        made.append(SewnUnit(names[kind], first, tuple(joins.items()), len(parts), first.height))
    return tuple(made)


def _kind(patches: Sequence[Patch], part: Part, labels: Sequence[str]) -> object:
    """What makes two parts alike: the same labels on the same outlines after some quarter turns."""
    turned = []
    shapes = [(labels[index], patches[index].outline) for index in part.patches]
    for _ in range(4):
        shapes = [(label, tuple((-y, x) for x, y in outline)) for label, outline in shapes]
        left = min(x for _, outline in shapes for x, _ in outline)
        top = min(y for _, outline in shapes for _, y in outline)
        moved = [(label, patch([(x - left, y - top) for x, y in outline], "A").outline) for label, outline in shapes]
        turned.append(tuple(sorted(moved)))
    return min(turned)
