"""How well patches were gathered into fabrics: by the pairs of patches said to be of one."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence

import numpy as np
from shapely import Point, Polygon

from judging.rendering.piecing import ELEMENTS, Element, after, moved
from judging.truth import Truth
from seamlore.photo.reading import BlockAt, SeenBlock, SeenFabric

Spot = tuple[int, int, int]


def true_fabrics(block: SeenBlock, blocks: Sequence[BlockAt], spots: Sequence[Spot], truth: Truth) -> dict[Spot, str]:
    """Name the true fabric of patches read, by (row, column, patch).

    A patch read is held against the true one in which its inside lies. Blocks that are pieced otherwise are left out,
    and patches that are sewn of several fabrics.

    Parameters
    ----------
    block : SeenBlock
        As it was read.
    blocks : sequence of BlockAt
        How each block was read to lie.
    spots : sequence of (row, column, patch)
        What is asked about.
    truth : Truth
    """
    sewn: dict[Spot, set[str]] = defaultdict(set)
    for of in truth.fabrics or ():
        for spot in of.patches:
            sewn[spot].add(of.id)
    there = [Polygon(each.outline) for each in truth.block.patches] if truth.block else []
    inner = np.array([Polygon(each.outline).representative_point().coords[0] for each in block.patches])
    true_lie = {(each.row, each.column): (each.turn, each.mirrored) for each in truth.blocks or ()}
    read_lie = {(each.row, each.column): (each.turn, each.mirrored) for each in blocks}
    known: dict[tuple[Element, Element], list[int]] = {}
    named: dict[Spot, str] = {}
    for row, column, patch in spots:
        if (row, column) not in true_lie or patch >= len(inner):
            continue
        lies = read_lie.get((row, column), (0, False)), true_lie[row, column]
        if lies not in known:
            back = next(each for each in ELEMENTS if after(lies[1], each) == (0, False))
            at = [Point(*each) for each in moved(moved(inner, lies[0]), back)]
            known[lies] = [next((n for n, each in enumerate(there) if each.contains(p)), -1) for p in at]
        true = sewn.get((row, column, known[lies][patch]), set())
        if len(true) == 1:
            named[row, column, patch] = next(iter(true))
    return named


def fabric_pairs(
    block: SeenBlock, blocks: Sequence[BlockAt], fabrics: Sequence[SeenFabric], truth: Truth
) -> tuple[float, float, int, int] | None:
    """How well patches were gathered into fabrics; `block` and `blocks` as `true_fabrics` takes them.

    Returns
    -------
    (precision, recall, count, true count) or None
        Of the pairs of patches said to be of one fabric those that are; of those that are, those said to be; how many
        fabrics those patches were told to be of, and how many they are. None when no patch can be held against another.
    """
    if truth.block is None:
        return None
    named = true_fabrics(block, blocks, [spot for fabric in fabrics for spot in fabric.patches], truth)
    return agreement([(fabric.id, named[spot]) for fabric in fabrics for spot in fabric.patches if spot in named])


def agreement(told: Sequence[tuple[str, str]]) -> tuple[float, float, int, int] | None:
    """Hold the fabric that each patch was told to be of against its true one; gives what `fabric_pairs` gives.

    Examples
    --------
    >>> agreement([("a", "x"), ("a", "x"), ("b", "x")])
    (1.0, 0.3333333333333333, 2, 1)
    """
    pairs = Counter(told)
    said, are = Counter[str](), Counter[str]()
    for (one, other), count in pairs.items():
        said[one] += count
        are[other] += count
    both, all_said, all_are = (sum(n * (n - 1) // 2 for n in each.values()) for each in (pairs, said, are))
    if not all_said or not all_are:
        return None
    return both / all_said, both / all_are, len(said), len(are)
