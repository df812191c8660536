"""Units of a quilt's blocks that can be made several at a time: which, of which fabrics, how large, how many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from seamlore.draft.block import Block, Corner
from seamlore.draft.exact.roots import Exact
from seamlore.draft.groups import Group, groups
from seamlore.draft.quilt import Quilt
from seamlore.draft.units import BlockUnit
from seamlore.draft.units import units as block_units

# A patch as lists count it: what it is in the quilt, its fabric, its label.
PatchKey = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class SewnUnit:
    """Units that are made alike.

    Parameters
    ----------
    kind : {"half-square triangle", "quarter-square triangle", "flying geese", "strips"}
        What is made together; "strips" are four patches, nine patches and rails.
    fabrics : tuple of str
        Two of triangles, the goose first; of strips those of each row, joined in `rows`.
    size : tuple of Exact
        Finished width and height in inches; the longer first of geese; of strips that of one patch across and along its
        strip.
    rows : tuple of tuple of str
        Of strips: the fabrics of each row that is cut from a set of strips.
    """

    kind: str
    fabrics: tuple[str, ...]
    size: tuple[Exact, Exact]
    rows: tuple[tuple[str, ...], ...] = ()


@dataclass(slots=True)
class Found:
    """How many of a unit, and which patches they take."""

    count: int = 0
    patches: Counter[PatchKey] = field(default_factory=Counter)


def units(quilt: Quilt) -> Mapping[SewnUnit, Found]:
    """Find every unit of the whole blocks of a quilt that can be made with others of its kind.

    Parameters
    ----------
    quilt : Quilt

    Returns
    -------
    mapping of SewnUnit to Found
        In the order of the blocks. A unit of one fabric only, or of three where the method takes two, is none.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> shoo = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 3)
    >>> [(unit.kind, unit.fabrics, found.count) for unit, found in units(shoo).items()]
    [('half-square triangle', ('Fabric A', 'Fabric B'), 24)]
    """
    found: dict[SewnUnit, Found] = {}
    for group in groups(quilt):
        if group.part != "whole" or group.role not in ("patch", "border", "border corner"):
            continue
        labels = {part.index: label for part, label in zip(group.parts, group.labels, strict=True)}
        turned = group.spots[0].turned.turn % 180
        wide, high = group.spots[0].width, group.spots[0].height
        sides = (high, wide) if turned else (wide, high)
        for own, count in Counter(spot.own for spot in group.spots).items():
            fabrics = _fabrics(quilt, group, dict(own))
            for each in _in_block(group.kind.block):
                unit = _unit(group.kind.block, each, fabrics, sides)
                if unit is not None:
                    made = found.setdefault(unit, Found())
                    made.count += count
                    made.patches.update(
                        {key: number * count for key, number in _patches(group, each, fabrics, labels).items()}
                    )
    return found


@lru_cache(maxsize=256)
def _in_block(block: Block) -> tuple[BlockUnit, ...]:
    found = block_units(block)
    return (*found, *_pairs(block, {index for each in found for index in each.patches}))


def _pairs(block: Block, known: set[int]) -> Iterable[BlockUnit]:
    """Half-square triangles that a block does not come apart into, as where they stand in steps along its diagonal."""
    longest: dict[frozenset[Corner], int] = {}
    for index, each in enumerate(block.patches):
        ring = each.outline
        if index in known or len(ring) != 3:
            continue
        for one, two, corner in zip(ring, ring[1:] + ring[:1], ring[2:] + ring[:2], strict=True):
            # The corner across from a slanting side, with its two sides along the grain.
            if corner in ((one[0], two[1]), (two[0], one[1])):
                other = longest.pop(frozenset((one, two)), None)
                if other is None:
                    longest[frozenset((one, two))] = index
                else:
                    xs, ys = sorted((one[0], two[0])), sorted((one[1], two[1]))
                    yield BlockUnit("half-square triangle", (other, index), (xs[0], ys[0], xs[1], ys[1]))


def _fabrics(quilt: Quilt, group: Group, own: Mapping[str, str]) -> Sequence[str]:
    return [
        own.get(each.place) or quilt.fabric_of(quilt.key(group.kind, each.place)) for each in group.kind.block.patches
    ]


def _patches(group: Group, unit: BlockUnit, fabrics: Sequence[str], labels: Mapping[int, str]) -> Counter[PatchKey]:
    return Counter((group.role, fabrics[index], labels[index]) for index in unit.patches)


def _unit(block: Block, each: BlockUnit, fabrics: Sequence[str], sides: tuple[Exact, Exact]) -> SewnUnit | None:
    wide, high = ((each.box[at + 2] - each.box[at]) * sides[at] for at in (0, 1))
    kinds = [fabrics[index] for index in each.patches]
    match each.kind:
        case "half-square triangle" if wide == high and len(set(kinds)) == 2:
            return SewnUnit("half-square triangle", tuple(sorted(kinds)), (wide, high))
        case "quarter-square triangle" if wide == high and len(set(kinds)) == 2 and _opposite(block, each, fabrics):
            return SewnUnit("quarter-square triangle", tuple(sorted(set(kinds))), (wide, high))
        case "flying geese" if max(wide, high) == 2 * min(wide, high):
            goose = max(each.patches, key=lambda index: block.patches[index].area)
            sky = {fabrics[index] for index in each.patches if index != goose}
            if len(sky) == 1 and fabrics[goose] not in sky:
                return SewnUnit("flying geese", (fabrics[goose], *sky), (max(wide, high), min(wide, high)))
        case "four patch" | "nine patch" | "strip set":
            return _strips(block, each, fabrics, sides)
    return None


def _opposite(block: Block, each: BlockUnit, fabrics: Sequence[str]) -> bool:
    """Whether the two fabrics of four triangles round a middle take turns."""
    left, _, right, _ = each.box
    across = [index for index in each.patches if {x for x, _ in block.patches[index].outline} >= {left, right}]
    return len(across) == 2 and len({fabrics[index] for index in across}) == 1


def _strips(block: Block, each: BlockUnit, fabrics: Sequence[str], sides: tuple[Exact, Exact]) -> SewnUnit | None:
    """Rows of equal patches, read across or down, as they are cut from sets of strips."""
    bounds = {index: block.patches[index].bounds for index in each.patches}
    sizes = {((x1 - x0) * sides[0], (y1 - y0) * sides[1]) for x0, y0, x1, y1 in bounds.values()}
    if len(sizes) != 1 or any(len(block.patches[index].outline) != 4 for index in each.patches):
        return None
    wide, high = sizes.pop()
    across = each.kind != "strip set" or len({y0 for _, y0, _, _ in bounds.values()}) == 1
    # Along the row, then from row to row.
    main, other = (0, 1) if across else (1, 0)
    rows: dict[Exact, list[int]] = {}
    for index in sorted(bounds, key=lambda each: (bounds[each][other], bounds[each][main])):
        rows.setdefault(bounds[index][other], []).append(index)
    named = tuple(_one_way(tuple(fabrics[index] for index in row)) for row in rows.values())
    if all(len(set(row)) == 1 for row in named):
        return None
    size = (wide, high) if across else (high, wide)
    return SewnUnit("strips", tuple(sorted({name for row in named for name in row})), size, tuple(sorted(named)))


def _one_way(row: Iterable[str]) -> tuple[str, ...]:
    """A row turned about is the same row."""
    names = tuple(row)
    return min(names, names[::-1])
