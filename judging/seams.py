"""What can be seen of a block: seams at which the fabric changes, patches that look like one, and what is doubtful."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
from shapely import LineString, Polygon, union_all

from judging.cloth import Cloth, Value
from judging.piecing import Element, moved
from judging.truth import Segment
from seamlore.draft.block import Block
from seamlore.photo.reading import SeenBlock, SeenPatch

# CIE76 distance of mean colours above which a change of fabric is plain to see in a photograph; custom, no source.
PLAIN = 8.0


@dataclass(frozen=True, slots=True)
class Seen:
    """The block as it looks: merged patches, which of them each sewn patch is part of, and seams."""

    block: SeenBlock
    patch_of: tuple[int, ...]
    seams: tuple[Segment, ...]
    doubtful: tuple[Segment, ...]


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
    shapes = [Polygon(moved(each.points, base)) for each in block.patches]
    labs = np.array([cloth.lab for cloth in cloths])
    table = np.array(sewn)
    group = list(range(len(shapes)))
    visible: list[Segment] = []
    doubtful: list[Segment] = []
    for one, two in combinations(range(len(shapes)), 2):
        lines = _common(shapes[one], shapes[two])
        if not lines:
            continue
        changes = table[:, one] != table[:, two]
        plain = changes & (np.linalg.norm(labs[table[:, one]] - labs[table[:, two]], axis=1) > PLAIN)
        if plain.mean() >= 0.5:
            visible += lines
            continue
        if changes.mean() > 0.1:
            doubtful += lines
        joined, kept = group[two], group[one]
        group = [kept if each == joined else each for each in group]
    patches: list[SeenPatch] = []
    of: dict[int, int] = {}
    for number in dict.fromkeys(group):
        members = [index for index, each in enumerate(group) if each == number]
        whole = union_all([shapes[index] for index in members], grid_size=1e-9)
        parts = (
            [(members, whole)]
            if whole.geom_type == "Polygon" and not whole.interiors
            else [([i], shapes[i]) for i in members]
        )
        for of_part, shape in parts:
            ring = tuple((round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in shape.simplify(1e-6).exterior.coords[:-1])
            place = block.patches[of_part[0]].place
            of.update(dict.fromkeys(of_part, len(patches)))
            patches.append(SeenPatch(outline=ring, place=place, value=values[place]))
    shown = SeenBlock(divisions=block.divisions, patches=tuple(patches))
    return Seen(shown, tuple(of[index] for index in range(len(shapes))), tuple(visible), tuple(doubtful))


def _common(one: Polygon, two: Polygon) -> list[Segment]:
    """The straight pieces of seam that two patches share."""
    shared = one.intersection(two)
    parts = [
        part for part in getattr(shared, "geoms", [shared]) if isinstance(part, LineString) and part.length > 1e-6
    ]
    found: list[Segment] = []
    for part in parts:
        points = list(part.simplify(1e-9).coords)
        found += [(round(a[0], 6), round(a[1], 6), round(b[0], 6), round(b[1], 6)) for a, b in pairwise(points)]
    return found
