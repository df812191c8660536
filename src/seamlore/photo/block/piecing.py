"""Where the seams of the block run, asked of all its copies at once.

The square is cut into triangles by a division grid. Over all blocks it is asked whether the color changes between
neighbors; neighbors that agree are merged, and the merged triangles are the patches. The smallest division that
explains nearly all that the finest one explains is taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.division import triangle_of_pixel
from seamlore.photo.merging import Loss, Pieces, merge, side_by_side
from seamlore.photo.stack import blurred, masks, shrunk
from seamlore.photo.triangles import CLEAR, LIGHT, Cells, by_pixel, changes, triangles

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_COARSEST = 12
FLAT: tuple[Cells, ...] = tuple(cells for n in range(1, _COARSEST // 2 + 1) for cells in ((n, 2 * n), (2 * n, n)))
COARSE: tuple[Cells, ...] = (*((n, n) for n in range(1, _COARSEST + 1)), *FLAT)
FINE: tuple[Cells, ...] = tuple((n, n) for n in (14, 16, 18, 20, 24))
_CHOOSERS = 30  # blocks by which the division is chosen; more would only take time
_KEPT = 20  # directions of color change, over all blocks, that the choice of division looks at
_PIECE_COST = 4.0  # a block, in units of noise: less is what a print alone would gain
_PIECE_SHARE = 0.001  # of all color change, that a piece must explain at the least
_FINE_GAIN = 0.08  # of all color change, that a grid finer than 12 must explain more
_QUICK, _FEW = 6, 12  # grids up to this are quickly weighed; and so few of any size take no longer
_SLACK = 0.025  # of what the best division explains, that a smaller one may leave unexplained
_NEAR, _ALWAYS = 2.0, 3  # of the slack, within which a division comes near; and up to which all are asked again
USUAL_STRAY = 0.006  # how far, in parts of the block, seams lie from their place in one block or another


@dataclass(frozen=True, eq=False)
class Piecing:
    """The seams of the block.

    Attributes
    ----------
    cells : (int, int)
        Cells along and down of the division grid.
    patch_of_triangle : ndarray of int, shape (triangles,)
        Which patch each triangle of the grid belongs to.
    means : ndarray, shape (patches, blocks, 3)
        CIELAB of each patch in each block.
    areas : ndarray, shape (patches,)
        Of the block's area.
    pairs : ndarray of int, shape (pairs, 2)
        Patches that share a seam.
    votes : ndarray, shape (pairs,)
        How clearly the fabric changes there over all blocks, -1 (nowhere) to 1 (in every block).
    misfit : float
        Part of the color change that the patches leave unexplained and a finer grid would explain, 0..1.
    left : float
        Part of the color change that the division grid leaves unexplained, 0..1.
    near : tuple of (int, int)
        The division grids that come near it.
    """

    cells: Cells
    patch_of_triangle: Ints
    means: Floats
    areas: Floats
    pairs: Ints
    votes: Floats
    misfit: float
    left: float
    near: tuple[Cells, ...] = ()

    def picture(self, size: int) -> Ints:
        """Which patch each pixel of a square lies in, shape (size, size)."""
        found: Ints = self.patch_of_triangle[triangle_of_pixel(*self.cells, size)]
        return found

    def relabeled(self, labels: Ints) -> Piecing:
        """The same seams with patches split or numbered otherwise."""
        return replace(self, patch_of_triangle=labels)


def read_piecing(
    lab: NDArray[np.float32],
    noise: Floats,
    *,
    stray: float = USUAL_STRAY,
    given: int | None = None,
    among: Sequence[Cells] = (),
) -> Piecing:
    """Find the seams of the block from its copies.

    Parameters
    ----------
    lab : ndarray of float32, shape (blocks, size, size, 3)
        The stack, all blocks lying the same way.
    noise : ndarray, shape (blocks,)
        How restless the fabrics of each block are.
    stray : float
        How far seams lie from their place in one block or another, in parts of the block.
    given : int, optional
        Divisions, when they are known.
    among : sequence of (int, int), optional
        Division grids to choose from; all when empty.

    Returns
    -------
    Piecing
    """
    size = lab.shape[1]
    few = np.unique(np.linspace(0, len(lab) - 1, _CHOOSERS).astype(int))
    # Between coarse divisions half the size chooses as well.
    finest = max((max(cells) for cells in among), default=size)
    half = size // 2 if 4 * finest <= size // 2 else size
    small = lab[few] if half == size else shrunk(lab[few], half)
    calm = noise[few] * (half / size) ** 2
    cells, misfit, left, near = choose_division(by_pixel(small), calm, half, stray, given, among)
    votes = seam_votes(noise, stray)
    labels, merged = merge(triangles(by_pixel(lab), cells, size), votes)
    means = merged.means.reshape(len(merged.counts), -1, 3)
    areas = merged.counts / merged.counts.sum()
    return Piecing(cells, labels, means, areas, merged.pairs, votes(merged) / CLEAR, misfit, left, near)


def seam_votes(noise: Floats, stray: float) -> Loss:
    """Let every block vote on whether two pieces are of two fabrics: `CLEAR` when all say so, minus it when none.

    A thin piece beside a strong seam takes on some of the color beyond it where the seam strays; so much of a change,
    in the direction of that color, is not counted.
    """

    def loss(pieces: Pieces) -> Floats:
        if not len(pieces.pairs):
            return np.zeros(0)
        one, two = pieces.pairs.T
        change = changes(pieces)
        towards, size = _strongest(pieces, change)
        taken = _stray_share(pieces, stray)[:, None] * size
        for end, sign in ((one, 1.0), (two, -1.0)):
            along = sign * np.einsum("pbc,pbc->pb", change, towards[end])
            change = change - (sign * np.clip(along, 0, taken[end]))[..., None] * towards[end]
        spread = noise * (1 / pieces.counts[one] + 1 / pieces.counts[two])[:, None] + LIGHT**2
        step = np.einsum("pbc,pbc->pb", change, change)
        votes: Floats = np.clip(step / (2 * spread) - CLEAR, -CLEAR, CLEAR).mean(axis=1)
        return votes

    return loss


def _strongest(pieces: Pieces, change: Floats) -> tuple[Floats, Floats]:
    """For each piece and block the direction in color of its most different neighbor, and how different that is."""
    count, sides = len(pieces.counts), len(pieces.pairs)
    ends = np.concatenate([pieces.pairs[:, 0], pieces.pairs[:, 1]])
    order = np.argsort(ends, kind="stable")
    rank = np.arange(2 * sides) - np.searchsorted(ends[order], ends[order])
    neighbors = np.full((count, int(rank.max()) + 1), 2 * sides)
    neighbors[ends[order], rank] = order
    away = np.concatenate([-change, change, np.zeros_like(change[:1])])
    size = np.sqrt(np.einsum("pbc,pbc->pb", away, away))
    best = neighbors[np.arange(count)[:, None], size[neighbors].argmax(axis=1)]
    blocks = np.arange(change.shape[1])
    strongest = size[best, blocks]
    towards: Floats = away[best, blocks] / np.maximum(strongest, 1e-6)[..., None]
    return towards, strongest


def _stray_share(pieces: Pieces, stray: float) -> Floats:
    """The part of each piece that lies within a seam's stray of its edge."""
    area = pieces.counts / pieces.counts.sum()
    around = np.bincount(pieces.pairs.ravel(), weights=np.repeat(pieces.lengths, 2), minlength=len(area))
    share: Floats = np.minimum(0.5, stray * around / area)
    return share


def choose_division(
    rows: NDArray[np.float32],
    noise: Floats,
    size: int,
    stray: float = USUAL_STRAY,
    given: int | None = None,
    among: Sequence[Cells] = (),
) -> tuple[Cells, float, float, tuple[Cells, ...]]:
    """Choose the smallest division that explains nearly all that any does.

    Also what it leaves unexplained, beyond that and in all, and which others come near.
    """
    main = _main_changes(rows, noise)
    single = main.astype(np.float32)
    total = 0.5 * float((main**2).sum())
    price = max(_PIECE_COST * len(noise), _PIECE_SHARE * total)
    costs: dict[Cells, float] = {}

    def weigh(tries: Sequence[Cells], best: float) -> float:
        cut = {cells: triangles(main, cells, size) for cells in tries}
        quick = [cells for cells in tries if max(cells) <= _QUICK or len(tries) <= _FEW]
        costs.update(_costs(single, size, {cells: cut[cells] for cells in quick}, total, price, stray))
        best = min([best, *(costs[cells] for cells in quick)])
        # What a grid leaves unexplained before merging is nearly the least that it can cost.
        enough = best + 3 * _SLACK * (total - best)
        worth = [cells for cells in tries if cells not in quick and _unexplained(cut[cells], total) <= enough]
        costs.update(_costs(single, size, {cells: cut[cells] for cells in worth}, total, price, stray))
        return min([best, *(costs[cells] for cells in worth)])

    coarse = tuple(each for each in among if max(each) <= _COARSEST) or COARSE
    tries = coarse if given is None else tuple((given * x, given * y) for x, y in ((1, 1), (1, 2), (2, 1), (2, 2)))
    best = weigh(tries, total)
    if given is None and best > _SLACK * total:
        # A fine grid follows prints and blurred seams too, so it must explain much more.
        # Triangles of fewer than four pixels across have no color of their own.
        fine = tuple(cells for cells in FINE if 4 * max(cells) <= size and (not among or cells in among))
        found = weigh(fine, best - _FINE_GAIN * total)
        best = found if found < best - _FINE_GAIN * total else best
    limit = best + _SLACK * (total - best)
    fit = [cells for cells in costs if costs[cells] <= limit and (cells in tries or best == costs[cells])]
    chosen = min(fit or [tries[0]], key=lambda each: (max(each), each[0] * each[1], each))
    cost = costs.get(chosen, total)
    near = tuple(
        each for each in costs if max(each) <= _ALWAYS or costs[each] <= best + _NEAR * _SLACK * (total - best)
    )
    return chosen, (cost - best) / max(total - best, 1e-9), cost / max(total, 1e-9), near


def _main_changes(rows: NDArray[np.float32], noise: Floats) -> Floats:
    """The strongest directions of color change in units of noise; no single block may rule them."""
    centered = rows - rows.mean(axis=0)
    spread = np.maximum((np.einsum("xb,xb->b", centered, centered) / len(rows)).reshape(-1, 3).sum(axis=1), 1e-3)
    ceiling = np.maximum(noise, np.median(noise / spread) * spread)
    scaled = centered / np.repeat(np.sqrt(ceiling), 3).astype(np.float32)
    vectors = np.linalg.eigh(scaled.T @ scaled)[1]
    main: Floats = (scaled @ vectors[:, ::-1][:, :_KEPT]).astype(np.float64)
    return main


def _unexplained(pieces: Pieces, total: float) -> float:
    return total - 0.5 * float(((pieces.sums**2).sum(axis=1) / pieces.counts).sum())


def _explained_blurred(main: NDArray[np.float32], picture: Ints, blur_px: float) -> float:
    """What patches explain when their colors run into each other across blurred and straying seams."""
    soft = blurred(masks(picture, int(picture.max()) + 1), blur_px)
    weights = soft.reshape(len(soft), -1)
    right = weights @ main
    colors = np.linalg.solve(weights @ weights.T + 1e-3 * np.eye(len(weights), dtype=np.float32), right)
    return 0.5 * float((colors * right).sum(dtype=np.float64))


def _costs(
    main: NDArray[np.float32], size: int, cut: dict[Cells, Pieces], total: float, price: float, stray: float
) -> dict[Cells, float]:
    """What each division grid leaves unexplained once its triangles are merged, and the price of its pieces and seams."""
    if not cut:
        return {}

    def loss(now: Pieces) -> Floats:
        one, two = now.pairs.T
        means = now.means
        harmonic = now.counts[one] * now.counts[two] / (now.counts[one] + now.counts[two])
        apart = means[one] - means[two]
        lost: Floats = 0.5 * harmonic * np.einsum("pc,pc->p", apart, apart) - price * (1 + now.lengths)
        return lost

    # All at once, which takes no more rounds than the one that takes most.
    pieces, starts = side_by_side(list(cut.values()))
    labels, merged = merge(pieces, loss)
    costs = {}
    for cells, own in zip(cut, np.split(labels, starts[1:]), strict=True):
        first, end = own.min(), own.max() + 1
        picture = (own - first)[triangle_of_pixel(*cells, size)]
        left = total - _explained_blurred(main, picture, max(0.5, stray * size))
        seams = merged.lengths[(merged.pairs[:, 0] >= first) & (merged.pairs[:, 0] < end)]
        costs[cells] = left + price * (end - first + float(seams.sum()))
    return costs
