"""Each fabric of a photograph: its swatch, and where in the quilt it lies."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from seamlore.photo.cloth.cutting import best_shown
from seamlore.photo.files.encoding import to_png
from seamlore.photo.reading import SeenFabric
from seamlore.steps.fabrics.facts import FabricFacts, alike, called, fabric_facts
from seamlore.steps.study.job import Job
from seamlore.steps.study.patch_rings import blocks_shown, patch_rings, quads_of

_PLAIN_PX = (56, 64, 4)


def swatches(job: Job) -> list[bytes]:
    """Cut every fabric's largest patch out of the quilt laid flat: PNG files, in the order of `fabric_facts`."""
    return job.memo.get(
        ("swatches", job.look_key),
        lambda: [_cut(job, each.fabric) for each in fabric_facts(job.reading.fabrics or ())],
    )


def _cut(job: Job, fabric: SeenFabric) -> bytes:
    """Cut the largest patch of a fabric that the photograph shows whole; where none is, its color alone."""
    shown = best_shown(job.look, fabric)
    if shown is not None:
        return to_png(shown[1])
    plain = np.empty(_PLAIN_PX, dtype=np.uint8)
    plain[:] = (*bytes.fromhex(fabric.srgb[1:]), 255)
    return to_png(plain)


def fabric_map(job: Job, facts: Sequence[FabricFacts]) -> dict[str, Any]:
    """Give what lights fabrics up: outlines of blocks and patches in pixels of the quilt laid flat.

    Blocks are named "row,column", patches "row,column,patch"; with a "b" before them those between the whole rows.
    """
    flat, quads = job.flat, quads_of(job.look)
    rings = patch_rings(job.look, sorted({spot for each in facts for spot in each.fabric.everywhere}))
    patches = {patch_name(*at): np.round(ring[:-1], 1).tolist() for at, ring in rings.items()}
    seen = blocks_shown(job.look, (at[:3] for at in rings))
    blocks = {patch_name(*at): np.round(flat.to_flat(quads[at[0]][at[1:]]), 1).tolist() for at in seen}
    names = called([each.fabric for each in facts])
    near = alike([each.fabric for each in facts])
    tall, wide = flat.pixels.shape[:2]
    return {
        "flat": {"width": wide, "height": tall},
        "blocks": blocks,
        "patches": patches,
        "fabrics": [
            {
                "called": names[index],
                "says": each.words,
                "value": each.fabric.value,
                "patches": [patch_name(*spot) for spot in each.fabric.everywhere],
                "alike": near[index],
            }
            for index, each in enumerate(facts)
        ],
    }


def patch_name(between: bool, *at: int) -> str:
    """Name a block or a patch as the map of fabrics does.

    Examples
    --------
    >>> patch_name(False, 2, 1), patch_name(True, 0, 3, 5)
    ('2,1', 'b0,3,5')
    """
    return "b" * between + ",".join(map(str, at))
