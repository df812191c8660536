"""Write the seams of the trade's own blocks, as the reading of photographs knows them: `python tools/known_blocks.py`.

The reading (`photo`) does not import the drawing room (`draft`), so that the outlines of the catalogue's drawings lie beside
it in a file. Drawings with the same seams, however they are turned, are one; those with more patches than could be told in
a photograph of one block are left out. `tests/photo/block/test_known.py` fails when the file is out of date.
"""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO
from pathlib import Path

import numpy as np

from seamlore.draft.block import Block
from seamlore.draft.catalogue import all_blocks

FILE = Path(__file__).resolve().parent.parent / "src" / "seamlore" / "photo" / "block" / "known.npz"
MOST_PATCHES = 64
_ALIKE = 6  # decimals


def drawings(blocks: Iterable[Block]) -> list[list[np.ndarray]]:
    """Give the outlines of the patches of each drawing that differs in its seams from those before it.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> [len(rings) for rings in drawings([find("Four Patch"), find("Four Patch").moved(90), find("Nine Patch")])]
    [4, 9]
    """
    found: list[list[np.ndarray]] = []
    met: set[frozenset[frozenset[tuple[float, float]]]] = set()
    for block in blocks:
        if not 1 < len(block.patches) <= MOST_PATCHES or _key(block) in met:
            continue
        met |= {
            _key(block.moved(turn, mirrored=mirrored)) for turn in (0, 90, 180, 270) for mirrored in (False, True)
        }
        found.append([each.points for each in block.patches])
    return found


def _key(block: Block) -> frozenset[frozenset[tuple[float, float]]]:
    rings = (np.round(each.points, _ALIKE) + 0.0 for each in block.patches)
    return frozenset(frozenset(map(tuple, ring.tolist())) for ring in rings)


def to_file(found: list[list[np.ndarray]]) -> bytes:
    """Write drawings: how many rings each has, how many corners each ring, and the corners."""
    rings = [ring for each in found for ring in each]
    file = BytesIO()
    np.savez_compressed(
        file,
        rings=np.array([len(each) for each in found]),
        corners=np.array([len(ring) for ring in rings]),
        points=np.concatenate(rings),
    )
    return file.getvalue()


if __name__ == "__main__":
    made = drawings(all_blocks())
    FILE.write_bytes(to_file(made))
    print(f"{FILE.name}: {len(made)} drawings, {FILE.stat().st_size:,} bytes")
