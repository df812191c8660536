"""What can be seen of a block: seams at which the fabric changes, patches that look like one, and what is doubtful."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import lcm

import numpy as np
from shapely import Polygon, union_all

from judging.rendering.cloth import Cloth, Value
from judging.rendering.piecing import Element, moved
from judging.truth import Segment
from seamlore.draft.block import Block
from seamlore.photo.reading import SeenBlock, SeenPatch

# CIE76 distance of mean colors above which a change of fabric is plain to see in a photograph; custom, no source.
PLAIN = 8.0


@dataclass(frozen=True, slots=True)
class Seen:
    """The block as it looks: merged patches, which of them each sewn patch is part of, and its seams.

    `hidden` are sewn inside one fabric: nothing but their shadow is seen of them.
    """

    block: SeenBlock
    patch_of: tuple[int, ...]
    seams: tuple[Segment, ...]
    doubtful: tuple[Segment, ...]
    hidden: tuple[Segment, ...]


def seen_block(
    block: Block, base: Element, values: dict[str, Value], cloths: Sequence[Cloth], sewn: Sequence[tuple[int, ...]]
) -> Seen:
    """Work out what can be seen of a block, over all the blocks of a quilt.

    Parameters
    ----------
    block : Block
        As it is designed.
    base : (turn, mirrored)
        How it stands in most blocks.
    values : dict
        The value of each place.
    cloths : sequence of Cloth
        The quilt's fabrics.
    sewn : sequence of tuple of int
        For each block the fabric of each patch.

    Returns
    -------
    Seen
    """
    unit, rings = _whole_numbers(block, base)
    shapes = [Polygon(ring) for ring in rings]
    labs = np.array([cloth.lab for cloth in cloths])
    table = np.array(sewn)
    group = list(range(len(shapes)))
    visible: list[Segment] = []
    doubtful: list[Segment] = []
    hidden: list[Segment] = []
    for one, two in combinations(range(len(shapes)), 2):
        lines = _common(rings[one], rings[two], unit)
        if not lines:
            continue
        changes = table[:, one] != table[:, two]
        plain = changes & (np.linalg.norm(labs[table[:, one]] - labs[table[:, two]], axis=1) > PLAIN)
        if plain.mean() >= 0.5:
            visible += lines
            continue
        if changes.mean() > 0.1:
            doubtful += lines
        else:
            hidden += lines
        joined, kept = group[two], group[one]
        group = [kept if each == joined else each for each in group]
    patches: list[SeenPatch] = []
    of: dict[int, int] = {}
    for number in dict.fromkeys(group):
        members = [index for index, each in enumerate(group) if each == number]
        whole = union_all([shapes[index] for index in members])
        parts = (
            [(members, whole)]
            if whole.geom_type == "Polygon" and not whole.interiors
            else [([i], shapes[i]) for i in members]
        )
        for of_part, shape in parts:
            ring = tuple(
                (round(x / unit, 6), round(y / unit, 6)) for x, y in shape.simplify(1e-6).exterior.coords[:-1]
            )
            place = block.patches[of_part[0]].place
            of.update(dict.fromkeys(of_part, len(patches)))
            patches.append(SeenPatch(outline=ring, place=place, value=values[place]))
    shown = SeenBlock(divisions=block.divisions, patches=tuple(patches))
    return Seen(
        shown, tuple(of[index] for index in range(len(shapes))), tuple(visible), tuple(doubtful), tuple(hidden)
    )


def _whole_numbers(block: Block, base: Element) -> tuple[int, list[list[tuple[int, int]]]]:
    """The outlines of a block lying as `base` in whole numbers, and how many of them its side measures.

    In floats two patches along one seam need not lie on one line, and the seam would be lost.
    """
    unit = lcm(*(part.denominator for each in block.patches for corner in each.outline for part in corner))
    return unit, [
        [(round(float(x) * unit), round(float(y) * unit)) for x, y in moved(each.points, base)]
        for each in block.patches
    ]


def _common(one: list[tuple[int, int]], two: list[tuple[int, int]], unit: int) -> list[Segment]:
    """The straight pieces of seam that two outlines share, in parts of the block's side."""
    found: list[Segment] = []
    for a, b in zip(one, one[1:] + one[:1], strict=True):
        dx, dy = b[0] - a[0], b[1] - a[1]
        for c, d in zip(two, two[1:] + two[:1], strict=True):
            if dx * (c[1] - a[1]) != dy * (c[0] - a[0]) or dx * (d[1] - a[1]) != dy * (d[0] - a[0]):
                continue
            ends = sorted((a, b))[0], sorted((a, b))[1], *sorted((c, d))
            low, high = max(ends[0], ends[2]), min(ends[1], ends[3])
            if low < high:
                found.append((low[0] / unit, low[1] / unit, high[0] / unit, high[1] / unit))
    return found
