"""Where the patches that were read lie on the quilt laid flat."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from seamlore.draft.exact.lookup import inner_point
from seamlore.photo.perspective import as_it_lies, blocks_to_quilt
from seamlore.photo.read import Look

Floats = NDArray[np.float64]
# Whether its block is one of those between the whole rows, its row and column, and its number in the block.
PatchAt = tuple[bool, int, int, int]
BlockAt = tuple[bool, int, int]


def quads_of(look: Look) -> tuple[Floats, Floats]:
    """Corners of the whole rows' blocks, and of those between."""
    return look.cells_quilt, look.between_quilt


def blocks_shown(look: Look, blocks: Iterable[BlockAt]) -> list[BlockAt]:
    """Those of some blocks that were read and have a place on the photograph, in the order given."""
    lies, quads = look.reading.everywhere, quads_of(look)

    def shown(at: BlockAt) -> bool:
        corners = quads[at[0]]
        there = at[1] < corners.shape[0] and at[2] < corners.shape[1]
        return at in lies and lies[at].kind is not None and there and bool(np.isfinite(corners[at[1], at[2]]).all())

    return [at for at in dict.fromkeys(blocks) if shown(at)]


def patch_rings(look: Look, spots: Iterable[PatchAt]) -> dict[PatchAt, Floats]:
    """Give the outline of patches, and behind its corners a point inside, in pixels of the quilt laid flat.

    Parameters
    ----------
    look : Look
    spots : iterable of (bool, int, int, int)

    Returns
    -------
    dict
        For each that lies in a block that was read, an ndarray of shape (corners + 1, 2).
    """
    wanted = dict.fromkeys(spots)
    seen = blocks_shown(look, (at[:3] for at in wanted))
    lies, quads = look.reading.everywhere, quads_of(look)
    ways = {at: (lies[at].kind or 0, lies[at].turn, lies[at].mirrored) for at in seen}
    found: dict[BlockAt, list[Floats]] = {}
    # All blocks that lie alike at once, and every patch of them: one by one they are most of the page's time.
    for way in set(ways.values()):
        kind, turn, mirrored = way
        rings = [np.array(each.outline) for each in (look.reading.kinds or ())[kind].patches]
        rings = [np.concatenate([ring, [inner_point(ring.tolist())]]) for ring in rings]
        whole, cuts = np.concatenate(rings), np.cumsum([len(each) for each in rings])[:-1]
        alike = [at for at in seen if ways[at] == way]
        there = np.array([quads[at[0]][at[1], at[2]] for at in alike])
        placed = blocks_to_quilt(as_it_lies(whole, turn, mirrored), there)
        on_flat = look.flat.to_flat(placed.reshape(-1, 2)).reshape(placed.shape)
        found |= {at: np.split(points, cuts) for at, points in zip(alike, on_flat, strict=True)}
    return {at: found[at[:3]][at[3]] for at in wanted if at[:3] in found and at[3] < len(found[at[:3]])}
