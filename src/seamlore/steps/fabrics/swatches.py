"""Each fabric of a photograph: its swatch, and where in the quilt it lies."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.encoding import to_png
from seamlore.photo.fabric.fabrics import swatch
from seamlore.photo.perspective import as_it_lies, blocks_to_quilt
from seamlore.photo.read import Look
from seamlore.photo.reading import Ring, SeenFabric
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
    rings = [[_inset(each.outline) for each in kind.patches] for kind in look.reading.kinds or ()]
    cells = [look.flat.to_flat(quads.reshape(-1, 2)).reshape(quads.shape) for quads in _quads(look)]
    lies = look.reading.everywhere
    # Where no patch is seen whole, its color alone.
    best = np.empty(_PLAIN_PX, dtype=np.uint8)
    best[:] = (*bytes.fromhex(fabric.srgb[1:]), 255)
    most = 0
    # Past a few dozen patches another is no better.
    for between, row, column, patch in fabric.everywhere[:40]:
        how, quads = lies.get((between, row, column)), cells[between]
        if how is None or how.kind is None or not np.isfinite(quads[row, column]).all():
            continue
        ring = rings[how.kind][patch]
        cut = swatch(look.flat.pixels, quads, row, column, ring, turn=how.turn, mirrored=how.mirrored)
        if cut.size and (seen := int(np.count_nonzero(cut[..., 3]))) > most:
            best, most = cut, seen
    return to_png(best)


def _quads(look: Look) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Corners of the whole rows' blocks, and of those between."""
    return look.cells_quilt, look.between_quilt


def _inset(ring: Ring) -> Ring:
    points = np.array(ring)
    middle = points.mean(axis=0)
    return tuple((float(x), float(y)) for x, y in middle + _INSET * (points - middle))


def fabric_map(job: Job, facts: Sequence[FabricFacts]) -> dict[str, Any]:
    """Give what lights fabrics up: outlines of blocks and patches in pixels of the quilt laid flat.

    Blocks are named "row,column", patches "row,column,patch"; with a "b" before them those between the whole rows.
    """
    flat, reading, quads = job.flat, job.reading, _quads(job.look)
    lies = reading.everywhere
    spots = sorted({spot for each in facts for spot in each.fabric.everywhere})
    seen = [
        at
        for at in dict.fromkeys((between, row, column) for between, row, column, _ in spots)
        if at in lies and _shown(quads[at[0]], *at[1:])
    ]
    ways = {at: (lies[at].kind or 0, lies[at].turn, lies[at].mirrored) for at in seen}
    blocks = {_named(*at): np.round(flat.to_flat(quads[at[0]][at[1:]]), 1).tolist() for at in seen}
    # All blocks that lie alike at once, and every patch of them: one by one they are most of the page's time.
    laid: dict[tuple[bool, int, int], list[Any]] = {}
    for way in set(ways.values()):
        kind, turn, mirrored = way
        rings = [np.array(each.outline) for each in (reading.kinds or ())[kind].patches]
        whole, cuts = np.concatenate(rings), np.cumsum([len(each) for each in rings])[:-1]
        alike_lying = [at for at in seen if ways[at] == way]
        there = np.array([quads[at[0]][at[1:]] for at in alike_lying])
        placed = blocks_to_quilt(as_it_lies(whole, turn, mirrored), there)
        on_flat = np.round(flat.to_flat(placed.reshape(-1, 2)), 1).reshape(placed.shape)
        laid |= {at: np.split(points, cuts) for at, points in zip(alike_lying, on_flat, strict=True)}
    patches = {_named(*at, spot): laid[at][spot].tolist() for *at_, spot in spots if (at := tuple(at_)) in laid}
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
                "patches": [_named(*spot) for spot in each.fabric.everywhere],
                "alike": near[index],
            }
            for index, each in enumerate(facts)
        ],
    }


def _shown(quads: NDArray[np.float64], row: int, column: int) -> bool:
    return row < quads.shape[0] and column < quads.shape[1] and bool(np.isfinite(quads[row, column]).all())


def _named(between: bool, *at: int) -> str:
    return "b" * between + ",".join(map(str, at))
