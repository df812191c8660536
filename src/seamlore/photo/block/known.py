"""The trade's own blocks: their seams, and which of them a block looks like.

Most quilts are made of blocks that have a name. Their outlines lie beside this module in a file that
`tools/known_blocks.py` writes from the catalogue; they are tried beside what is drawn freely, and are believed no sooner.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.block.agreement import Drawing, Drawn, lay, spots
from seamlore.photo.block.gathering import looks_of
from seamlore.photo.block.seams import ACROSS, ANY, DOWN, FALLING, OTHER, RISING, SIDE
from seamlore.photo.stack import undo

Floats = NDArray[np.float32]

_FILE = Path(__file__).parent / "known.npz"
_ANGLES = ((ACROSS, 0.0), (ACROSS, 180.0), (DOWN, 90.0), (RISING, 135.0), (FALLING, 45.0))
_ASKEW = 13.0  # degrees by which a seam may be off one of them, as the network was taught
_UNSEEN = -4.0  # log-odds where a drawing has no seam
_LEAST = 0.45  # correlation, from which a known block is tried
_TRIED = 3
_THE_SAME = 0.94  # of two drawings, that lies beside the other where they are one


@dataclass(frozen=True, eq=False)
class Known:
    """Known drawings.

    Attributes
    ----------
    drawings : tuple of drawings
        Outlines of the patches of each, in 0..1 of the block.
    looks : ndarray of float32, shape (drawings, numbers)
        How the seams of each look, of length 1.
    """

    drawings: tuple[Drawing, ...]
    looks: Floats


@cache
def known() -> Known:
    """Read them, when they are first asked for.

    Examples
    --------
    >>> len(known().drawings) > 100
    True
    """
    with np.load(_FILE) as kept:
        rings, corners, points = kept["rings"], kept["corners"], kept["points"]
    each = np.split(points, np.cumsum(corners)[:-1])
    outlines = [tuple((float(x), float(y)) for x, y in ring) for ring in each]
    ends = np.cumsum(rings)
    drawings = tuple(tuple(outlines[end - count : end]) for count, end in zip(rings, ends, strict=True))
    return Known(drawings, np.stack([looks_of(_as_seen(drawing))[0] for drawing in drawings]))


def known_like(maps: Floats) -> list[Drawing]:
    """The known drawings that a block looks like, as it lies; the likest first.

    Parameters
    ----------
    maps : ndarray of float32, shape (6, SIDE, SIDE)
        Log-odds of seams, as `lines.inner` gives them.

    Examples
    --------
    >>> maps = np.full((6, 64, 64), -4, np.float32)
    >>> maps[[ANY, DOWN], :, 31:33] = maps[[ANY, ACROSS], 31:33] = 4
    >>> len(known_like(maps)[0])
    4
    """
    all_known = known()
    looks = looks_of(maps)
    like = looks @ all_known.looks.T
    best = like.max(axis=0)
    found = []
    for which in np.argsort(-best)[:_TRIED]:
        if best[which] < _LEAST:
            break
        # What lays the block like the drawing, undone.
        found.append(lay(all_known.drawings[which], undo(int(like[:, which].argmax()))))
    return found


def _as_seen(drawing: Drawing) -> Floats:
    """A drawing as the network would see it: log-odds of seams."""
    maps = np.full((6, SIDE, SIDE), _UNSEEN, np.float32)
    pixels, along = spots(drawing)
    tilt = np.degrees(np.arctan2(along[:, 1], along[:, 0])) % 180
    way = np.full(len(tilt), OTHER)
    for each, angle in _ANGLES:
        way[np.abs(tilt - angle) < _ASKEW] = each
    x, y = pixels.T
    maps[ANY, y, x] = maps[way, y, x] = -_UNSEEN
    return maps


def is_known(drawing: Drawing) -> bool:
    """Whether a drawing has the seams of a known block, however it lies.

    Examples
    --------
    >>> is_known((((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), ((1.0, 0.0), (1.0, 1.0), (0.0, 1.0))))
    True
    >>> third = 0.29
    >>> is_known((((0.0, 0.0), (1.0, 0.0), (1.0, third), (0.0, 0.1)), ((0.0, 0.1), (1.0, third), (1.0, 1.0), (0.0, 1.0))))
    False
    """
    if len(drawing) < 2:
        return False
    mine = Drawn.of(drawing)
    for other in known_like(_as_seen(drawing)):
        theirs = Drawn.of(other)
        if all(
            len(lines.spots) and beside[lines.spots[:, 1], lines.spots[:, 0]].mean() > _THE_SAME
            for lines, beside in ((mine, theirs.beside), (theirs, mine.beside))
        ):
            return True
    return False
