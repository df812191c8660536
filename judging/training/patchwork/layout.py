"""What lies where in a window of quilt: blocks, plain squares, sashing and posts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from judging.training.patchwork.blocks import make_block
from judging.training.patchwork.outlines import BOX, Patch, Ring, Rng, turned

_WHOLE: list[Patch] = [(BOX.copy(), 0)]
# Kinds of what is laid: 0 to 3 are blocks, these are plain.
SQUARE, SQUARE_TOO, SASH, POST = 9, 10, 20, 21


@dataclass(frozen=True, eq=False)
class Laid:
    """A block, a plain square, a sash or a post where it lies.

    Attributes
    ----------
    corners : ndarray, shape (4, 2)
        Top left, top right, bottom right, bottom left, in pixels.
    patches : list of (outline, place)
    kind : int
        Patches of one kind and place may be of one fabric.
    pictured : bool
        Whether its cloth is a picture.
    """

    corners: Ring
    patches: list[Patch]
    kind: int
    pictured: bool = False


def lay_out(rng: Rng, side: float, full: int) -> list[Laid]:
    """Lay out a window.

    Parameters
    ----------
    rng : Generator
    side : float
        Of a block, in pixels.
    full : int
        Of the window, in pixels; what is laid reaches over it.

    Examples
    --------
    >>> laid = lay_out(np.random.default_rng(0), 100.0, 256)
    >>> every = np.concatenate([each.corners for each in laid])
    >>> bool((every.min(axis=0) < 0).all() and (every.max(axis=0) > 256).all())
    True
    """
    quilt = str(
        rng.choice(["one", "two", "plain", "sampler", "squares", "pictures"], p=[0.38, 0.14, 0.16, 0.14, 0.1, 0.08])
    )
    blocks = [make_block(rng) for _ in range(4 if quilt == "sampler" else 2)]
    oblong = rng.choice([1.0, 1.0, 1.0, rng.uniform(0.6, 1.6)])
    gap = side * rng.choice([0.0, rng.uniform(0.04, 0.35)], p=[0.62, 0.38])
    size = np.array([side * oblong, side])
    step = np.array([size[0] + gap, size[1] + gap])
    start = rng.uniform(0, step)
    columns, rows = np.ceil((full + start) / step).astype(int) + 1
    posts = bool(gap > 0 and rng.random() < 0.4)
    turning = rng.random() < 0.4
    by_turns = rng.random() < 0.7
    pictures = rng.random() if rng.random() < 0.3 else 0.0  # the share of plain squares with something on them
    out = []
    for i in range(rows):
        for j in range(columns):
            low = np.array([j, i]) * step - start - step / 2
            kind, pictured = 0, False
            patches = blocks[0]
            if quilt == "two":
                kind = (i + j) % 2
                patches = blocks[kind]
            elif quilt == "plain":
                if ((i + j) % 2 == 1) if by_turns else rng.random() < 0.6:
                    patches, kind = _WHOLE, SQUARE
            elif quilt == "sampler":
                kind = int(rng.integers(len(blocks)))
                patches = blocks[kind] if rng.random() < 0.9 else _WHOLE
            elif quilt == "squares":
                patches, kind = _WHOLE, (SQUARE, SQUARE_TOO)[(i + j) % 2]
            elif quilt == "pictures":
                patches, kind, pictured = _WHOLE, SQUARE, rng.random() < 0.8
            if turning and patches is not _WHOLE:
                turn, mirror = int(rng.integers(4)), rng.random() < 0.2
                patches = [(turned(ring, turn, mirror), at) for ring, at in patches]
            if patches is _WHOLE and not pictured:
                pictured = rng.random() < pictures
            out.append(Laid(low + BOX * size, patches, kind, pictured))
            if gap > 0:
                out += _sashes(low, size, gap, step[0] * columns if j == 0 else 0.0, posts)
    return out


def _sashes(low: NDArray[np.float64], size: NDArray[np.float64], gap: float, row: float, posts: bool) -> list[Laid]:
    """What lies right of a block and below it; without posts the sash below is one for the whole row."""
    right, below = np.array([low[0] + size[0], low[1]]), np.array([low[0], low[1] + size[1]])
    out = [Laid(right + BOX * [gap, size[1]], _WHOLE, SASH)]
    if posts:
        out.append(Laid(below + BOX * [size[0], gap], _WHOLE, SASH))
        out.append(Laid(low + size + BOX * gap, _WHOLE, POST))
    elif row:
        out.append(Laid(below + BOX * [row, gap], _WHOLE, SASH))
    return out
