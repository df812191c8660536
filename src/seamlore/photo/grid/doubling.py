"""Whole blocks where the grid found cuts every block into halves or quarters.

Halves of a block repeat at every second place and differ from their neighbors, all alike over the quilt: so does a
pinwheel cut into its four squares. Blocks that alternate differ from their neighbors too, but not from those that touch
them corner to corner; and blocks turned about by chance do not repeat at every second place. Where each block has cloth of
its own, its quarters share it, and differ from the quarters of the next. Four squares round a cross half as wide as they
are one block: sashing is narrower.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.grid.candidates import Candidate
from seamlore.photo.grid.combs import Comb

Floats = NDArray[np.float64]
Map = NDArray[np.float32]

_SPOTS = 8
# How alike cells two apart must be, and how much more alike than neighbors, as correlations. Set on 280 rendered quilts of
# the tuning set: of 267 grids that were right none is taken for halves, of 14 that were wrong four are.
_ALIKE = 0.28
_MORE = 0.22
# How much less the cloth of two cells that may be of one block must differ than that of two that are not, both ways; and so
# many CIELAB that these must differ by.
_SHARED, _OTHER = 0.4, 4.0
# Sashing parts whole blocks.
_SASHED = 0.05
# Of a block's side: the widest sashing that is customary is 0.4 (common practice, no source), and quilts are not sewn evenly.
_WIDEST_SASHING = 0.45
# How far a block that fills the picture may end from its edges, of its side.
_FILLS = 0.1


def whole_blocks(lab: Map, found: Candidate) -> Candidate:
    """Give a grid of whole blocks for one that cuts them, or the same grid.

    Parameters
    ----------
    lab : ndarray of float32, shape (height, width, 3)
        The flattened quilt in CIELAB.
    found : Candidate

    Examples
    --------
    >>> pinwheel = np.kron([[0, 1], [2, 3]], np.ones((20, 20)))
    >>> lab = np.tile(pinwheel, (3, 4)).astype(np.float32)[..., None].repeat(3, axis=2)
    >>> across, down = (Comb(0.0, 1 / n, 0.0, n, 0.0, 0.0, 1.0, 1.0, 0.0) for n in (8, 6))
    >>> whole = whole_blocks(lab, Candidate(False, across, down, {}))
    >>> whole.across.count, whole.down.count
    (4, 3)
    >>> lab = np.kron(np.indices((6, 8)).sum(axis=0) % 2, np.ones((20, 20))).astype(np.float32)[..., None].repeat(3, axis=2)
    >>> whole_blocks(lab, Candidate(False, across, down, {})).across.count
    8
    """
    if found.on_point:
        return found
    cells = _cells(lab, found)
    if _is_one_block(cells, found):
        return replace(found, across=_single(found.across), down=_single(found.down))
    if share_cloth(cells) and all(comb.gap <= _SASHED * comb.pitch for comb in (found.across, found.down)):
        return replace(found, across=_doubled(found.across), down=_doubled(found.down))
    beside, below, slanting = (_alike(cells, *step) for step in ((0, 1), (1, 0), (1, 1)))
    second, second_below, second_both = (_alike(cells, *step) for step in ((0, 2), (2, 0), (2, 2)))

    def halved(comb: Comb, repeats: float, neighbors: float) -> bool:
        fits = comb.count % 2 == 0 and comb.gap <= _SASHED * comb.pitch
        return fits and repeats > max(_ALIKE, max(neighbors, slanting) + _MORE)

    across, down = halved(found.across, second, beside), halved(found.down, second_below, below)
    # Cut both ways, blocks repeat slantwise too; cut one way only, the same halves stand in line the other way.
    must = second_both if across and down else below if across else beside
    if must < _ALIKE:
        return found
    return replace(
        found,
        across=_doubled(found.across) if across else found.across,
        down=_doubled(found.down) if down else found.down,
    )


def share_cloth(cells: Floats) -> bool:
    """Whether cells share their cloth two by two, across and down, and hardly with the others beside them.

    Parameters
    ----------
    cells : ndarray, shape (rows, columns, spots, spots, 3)
        What is seen of each cell, CIELAB.

    Examples
    --------
    >>> quilt = np.random.default_rng(3).uniform(0, 80, (3, 4, 1, 1, 3))
    >>> quarters = quilt.repeat(2, axis=0).repeat(2, axis=1) * np.ones((1, 1, 8, 8, 1))
    >>> share_cloth(quarters), share_cloth(quarters[1:-1, 1:-1]), share_cloth(quilt[:2] * np.ones((1, 1, 8, 8, 1)))
    (True, False, False)
    """
    if min(cells.shape[:2]) < 4 or cells.shape[0] % 2 or cells.shape[1] % 2:
        return False
    # However a cell lies: its colors in the mean, and how far they stray.
    looks = np.concatenate([cells.mean(axis=(2, 3)), cells.std(axis=(2, 3))], axis=-1)
    for along in (looks, looks.swapaxes(0, 1)):
        apart = np.linalg.norm(along[1:] - along[:-1], axis=-1)
        within, among = float(apart[::2].mean()), float(apart[1::2].mean())
        if among < _OTHER or within > _SHARED * among:
            return False
    return True


def _is_one_block(cells: Floats, found: Candidate) -> bool:
    """Whether four squares round a wide cross are the corners of one block, turned round its middle or mirrored."""
    for comb in (found.across, found.down):
        body = comb.pitch - comb.gap
        fills = max(abs(comb.first), abs(comb.last - 1)) < _FILLS
        if comb.count != 2 or comb.gap < _WIDEST_SASHING * body or not fills:
            return False
    corners = [cells[0, 0], cells[0, 1], cells[1, 1], cells[1, 0]]
    turned = [np.rot90(corner, times) for times, corner in enumerate(corners)]
    mirrored = [corners[0], corners[1][:, ::-1], corners[2][::-1, ::-1], corners[3][::-1]]
    return max(_round_a_middle(turned), _round_a_middle(mirrored)) > _ALIKE


def _round_a_middle(corners: Sequence[Floats]) -> float:
    """Give how alike each of four corners is to the next, -1..1."""
    each = np.stack([corner - corner.mean(axis=(0, 1)) for corner in corners])
    return float((each * np.roll(each, 1, axis=0)).mean() / ((each * each).mean() + 1e-9))


def _single(comb: Comb) -> Comb:
    return replace(comb, pitch=comb.last - comb.first, gap=0.0, count=1)


def _doubled(comb: Comb) -> Comb:
    return replace(comb, pitch=2 * comb.pitch, count=comb.count // 2)


def _cells(lab: Map, found: Candidate) -> Floats:
    """Give every cell less the mean cell, shape (rows, columns, spots, spots, 3)."""
    height, width = lab.shape[:2]

    def places(comb: Comb, length: int) -> Floats:
        part = (np.arange(_SPOTS) + 0.5) / _SPOTS
        start = comb.first + np.arange(comb.count)[:, None] * comb.pitch
        return np.asarray(((start + part * (comb.pitch - comb.gap)) * length - 0.5).ravel())

    x, y = np.meshgrid(places(found.across, width), places(found.down, height))
    seen = cv2.remap(
        cv2.GaussianBlur(lab, (0, 0), 0.8),
        x.astype(np.float32),
        y.astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    each = seen.reshape(found.down.count, _SPOTS, found.across.count, _SPOTS, 3).transpose(0, 2, 1, 3, 4)
    return np.asarray(each - each.mean(axis=(0, 1)), dtype=np.float64)


def _alike(cells: Floats, down: int, across: int) -> float:
    """Give how alike cells so far apart are, -1..1; 0 where there are none so far apart."""
    rows, columns = cells.shape[:2]
    if rows <= down or columns <= across:
        return 0.0
    one, two = cells[: rows - down, : columns - across], cells[down:, across:]
    return float((one * two).mean() / np.sqrt((one * one).mean() * (two * two).mean() + 1e-9))
