"""How drawings part a block, place by place, and how well each parts the cloth that the photograph shows."""

from __future__ import annotations

from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from seamlore.draft.block import Block
from seamlore.draft.catalogue import all_blocks
from seamlore.draft.exact.lookup import move_spots, patches_at, sides

Floats = NDArray[np.float64]
Turn = Literal[0, 90, 180, 270]

# A block is looked at in so many places across and down.
ACROSS = 24
# A print reaches over about three places across and down: so many count for one (own judgment).
_TOGETHER = 9
MOTIONS: tuple[tuple[Turn, bool], ...] = (
    (0, False), (90, False), (180, False), (270, False), (0, True), (90, True), (180, True), (270, True),
)  # fmt: skip


def spots() -> Floats:
    """Give the places at which a block is looked at, in 0..1 of it, row by row."""
    ticks = (np.arange(ACROSS) + 0.5) / ACROSS
    return np.stack(np.meshgrid(ticks, ticks), axis=-1).reshape(-1, 2)


def labels_of(block: Block) -> NDArray[np.int_]:
    """Which patch lies at each place."""
    labels = np.full(ACROSS**2, -1)
    # A little aside, so that no place lies on a seam.
    for patch, spot in patches_at(sides(block), spots() + np.array([1e-4, 2.3e-4])):
        labels[spot] = patch
    return labels


@cache
def catalogue_ways() -> tuple[tuple[Block, tuple[tuple[int, NDArray[np.int_]], ...]], ...]:
    """Every block of the catalogue, and what lies where in each way of lying that differs."""
    moved = [np.rint(move_spots(spots(), turn, mirrored) * ACROSS - 0.5).astype(int) for turn, mirrored in MOTIONS]
    found = []
    for block in all_blocks():
        labels = labels_of(block)
        ways: list[tuple[int, NDArray[np.int_]]] = []
        for number, (x, y) in enumerate(each.T for each in moved):
            lying = np.empty_like(labels)
            lying[y * ACROSS + x] = labels
            if not any(same_parting(lying, other) for _, other in ways):
                ways.append((number, lying))
        found.append((block, tuple(ways)))
    return tuple(found)


def same_parting(one: NDArray[np.int_], two: NDArray[np.int_]) -> bool:
    """Whether two drawings part a block alike, whatever their patches are numbered."""
    both = len(np.unique(one * 4096 + two))
    return both == len(np.unique(one)) == len(np.unique(two))


def cost_of(seen: Floats, labels: NDArray[np.int_]) -> float:
    """How badly a drawing parts the cloth that is seen: the Bayesian information criterion, one color for each patch.

    Parameters
    ----------
    seen : ndarray, shape (places, blocks x 3)
        CIELAB of each block at each place.
    labels : ndarray of int, shape (places,)
        Which patch lies there.
    """
    order = np.argsort(labels, kind="stable")
    firsts = np.flatnonzero(np.diff(labels[order], prepend=-2))
    counts = np.diff([*firsts, len(labels)])[:, None]
    sums = np.add.reduceat(seen[order], firsts, axis=0)
    left = (seen**2).sum() - (sums**2 / counts).sum()
    places = len(labels) / _TOGETHER
    # Each block has fabrics of its own: as many colors as patches in each.
    blocks = seen.shape[1] / 3
    return float(blocks * (3 * places * np.log(max(left / seen.size, 1e-6)) + 3 * len(firsts) * np.log(places)))
