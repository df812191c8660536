"""Each fabric of a photograph: its swatch, and where in the quilt it lies."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from seamlore.photo.encoding import to_png
from seamlore.photo.fabric.fabrics import swatch
from seamlore.photo.perspective import as_it_lies, blocks_to_quilt
from seamlore.photo.reading import BlockAt, Ring, SeenFabric
from seamlore.steps.fabrics.facts import FabricFacts, alike, fabric_facts
from seamlore.steps.study.job import Job

# A swatch is cut a little inside its seams, which a photograph shows as a shadow.
_INSET = 0.86
_PLAIN_PX = (56, 64, 4)


def swatches(job: Job) -> list[bytes]:
    """Cut every fabric's largest patch out of the quilt laid flat: PNG files, in the order of `fabric_facts`."""
    return job.memo.get(
        ("swatches", job.look_key),
        lambda: [_cut(job, each.fabric) for each in fabric_facts(job.reading.fabrics or ())],
    )


def _cut(job: Job, fabric: SeenFabric) -> bytes:
    """Cut the largest patch of a fabric that the photograph shows whole."""
    look = job.look
    reading, flat = look.reading, look.flat
    assert reading.block is not None
    rings = [_inset(each.outline) for each in reading.block.patches]
    cells = flat.to_flat(look.cells_quilt.reshape(-1, 2)).reshape(look.cells_quilt.shape)
    lies = {(each.row, each.column): each for each in reading.blocks or ()}
    # Where no patch is seen whole, its color alone.
    best = np.empty(_PLAIN_PX, dtype=np.uint8)
    best[:] = (*bytes.fromhex(fabric.srgb[1:]), 255)
    most = 0
    # Past a few dozen patches another is no better.
    for row, column, patch in fabric.patches[:40]:
        if not np.isfinite(cells[row, column]).all():
            continue
        how = lies.get((row, column), BlockAt(row=row, column=column))
        cut = swatch(flat.pixels, cells, row, column, rings[patch], turn=how.turn, mirrored=how.mirrored)
        if cut.size and (seen := int(np.count_nonzero(cut[..., 3]))) > most:
            best, most = cut, seen
    return to_png(best)


def _inset(ring: Ring) -> Ring:
    points = np.array(ring)
    middle = points.mean(axis=0)
    return tuple((float(x), float(y)) for x, y in middle + _INSET * (points - middle))


def fabric_map(job: Job, facts: Sequence[FabricFacts]) -> dict[str, Any]:
    """Give what lights fabrics up: outlines of blocks and patches in pixels of the quilt laid flat.

    Blocks are named "row,column", patches "row,column,patch".
    """
    flat, reading, quads = job.flat, job.reading, job.look.cells_quilt
    assert reading.block is not None
    rings = [np.array(each.outline) for each in reading.block.patches]
    lies = {(each.row, each.column): each for each in reading.blocks or ()}
    spots = sorted({spot for each in facts for spot in each.fabric.patches})
    seen = [
        at
        for at in dict.fromkeys((row, column) for row, column, _ in spots)
        if at[0] < quads.shape[0] and at[1] < quads.shape[1] and np.isfinite(quads[at]).all()
    ]
    ways = {at: (how.turn, how.mirrored) if (how := lies.get(at)) else (0, False) for at in seen}
    blocks = {f"{row},{column}": np.round(flat.to_flat(quads[row, column]), 1).tolist() for row, column in seen}
    # All blocks that lie alike at once, and every patch of them: one by one they are most of the page's time.
    whole, cuts = np.concatenate(rings), np.cumsum([len(each) for each in rings])[:-1]
    laid: dict[tuple[int, int], list[Any]] = {}
    for way in set(ways.values()):
        alike_lying = [at for at in seen if ways[at] == way]
        placed = blocks_to_quilt(as_it_lies(whole, *way), np.array([quads[at] for at in alike_lying]))
        on_flat = np.round(flat.to_flat(placed.reshape(-1, 2)), 1).reshape(placed.shape)
        laid |= {at: np.split(points, cuts) for at, points in zip(alike_lying, on_flat, strict=True)}
    patches = {f"{r},{c},{patch}": laid[r, c][patch].tolist() for r, c, patch in spots if (r, c) in laid}
    near = alike([each.fabric for each in facts])
    tall, wide = flat.pixels.shape[:2]
    return {
        "flat": {"width": wide, "height": tall},
        "blocks": blocks,
        "patches": patches,
        "fabrics": [
            {
                "says": each.words,
                "value": each.fabric.value,
                "patches": [",".join(map(str, spot)) for spot in each.fabric.patches],
                "alike": near[index],
            }
            for index, each in enumerate(facts)
        ],
    }
