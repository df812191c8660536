"""Where the seams of the block run, asked of all its copies at once.

The square is cut into triangles by a division grid. Over all blocks it is asked whether the colour changes between
neighbours; neighbours that agree are merged, and the merged triangles are the patches. The smallest division that
explains nearly all that the finest one explains is taken.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.division import division, triangle_of_pixel
from seamlore.photo.merging import Loss, Pieces, merge

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Cells = tuple[int, int]

SQUARE: tuple[Cells, ...] = tuple((n, n) for n in (*range(1, 13), 14, 16, 18, 20, 24))
FLAT: tuple[Cells, ...] = tuple(cells for n in range(1, 7) for cells in ((n, 2 * n), (2 * n, n)))
_KEPT = 24  # directions of colour change, over all blocks, that the choice of division looks at
_PIECE_COST = 4.0  # a block, in units of noise: less is what a print alone would gain
_CLEAR = 3.0  # half the squared step, in units of noise, at which one block votes neither way
_LIGHT = 2.5  # colour difference (CIELAB) that uneven light alone makes between two patches
_SLACK = 0.04  # of what the best division explains, that a smaller one may leave unexplained
_STRAY = 0.01  # how far, in parts of the block, a seam may stray from its place in one block


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
        Part of the colour change that the patches leave unexplained and a finer grid would explain, 0..1.
    """

    cells: Cells
    patch_of_triangle: Ints
    means: Floats
    areas: Floats
    pairs: Ints
    votes: Floats
    misfit: float

    def picture(self, size: int) -> Ints:
        """Which patch each pixel of a square lies in, shape (size, size)."""
        found: Ints = self.patch_of_triangle[triangle_of_pixel(*self.cells, size)]
        return found

    def relabelled(self, labels: Ints) -> Piecing:
        """The same seams with patches split or numbered otherwise."""
        return replace(self, patch_of_triangle=labels)


def by_pixel(lab: NDArray[np.float32]) -> NDArray[np.float32]:
    """Put a stack (blocks, size, size, 3) as (size * size, blocks * 3): one row a pixel of the square."""
    return np.ascontiguousarray(lab.transpose(1, 2, 0, 3)).reshape(lab.shape[1] ** 2, -1)


def triangles(rows: NDArray[np.floating], cells: Cells, size: int) -> Pieces:
    """Gather rows of pixels into the triangles of a division grid."""
    which = triangle_of_pixel(*cells, size).ravel()
    order = np.argsort(which, kind="stable")
    starts = np.searchsorted(which[order], np.arange(4 * cells[0] * cells[1]))
    counts = np.diff(np.append(starts, len(which))).astype(np.float64)
    grid = division(*cells)
    sums = np.add.reduceat(rows[order], starts, axis=0).astype(np.float64)
    return Pieces(sums, counts, grid.pairs, grid.lengths)


def print_noise(rows: NDArray[np.float32], size: int) -> Floats:
    """How restless the fabrics of each block are, shape (blocks,).

    The variance of a mean over n pixels within one fabric is this divided by n. It is taken from triangles between
    which no seam runs in most blocks.
    """
    found = []
    for count in (6, 8, 9):
        pieces = triangles(rows, (count, count), size)
        one, two = pieces.pairs.T
        step = _steps(pieces) / (1 / pieces.counts[one] + 1 / pieces.counts[two])[:, None]
        rough = np.quantile(step, 0.3, axis=0) / 1.42  # of chi-square with 3 degrees of freedom
        vote = np.clip(step / (2 * np.maximum(rough, 1.0)) - _CLEAR, -_CLEAR, _CLEAR).mean(axis=1)
        calm = step[vote <= np.quantile(vote, 0.4)]
        found.append(np.maximum(np.minimum(calm, np.quantile(calm, 0.9, axis=0)).mean(axis=0) / 2.4, 1.0))
    noise: Floats = np.median(found, axis=0)
    return noise


def stepped_share(rows: NDArray[np.float32], noise: Floats, size: int) -> Floats:
    """How much of each block changes colour from one small triangle to the next, 0..1, shape (blocks,)."""
    pieces = triangles(rows, (6, 6), size)
    one, two = pieces.pairs.T
    spread = noise * (1 / pieces.counts[one] + 1 / pieces.counts[two])[:, None] + _LIGHT**2
    share: Floats = (_steps(pieces) > 2 * _CLEAR * spread).mean(axis=0)
    return share


def _steps(pieces: Pieces) -> Floats:
    """Squared colour difference of each pair of neighbours in each block, shape (pairs, blocks)."""
    one, two = pieces.pairs.T
    means = pieces.means
    change = (means[one] - means[two]).reshape(len(one), means.shape[1] // 3, 3)
    step: Floats = np.einsum("pbc,pbc->pb", change, change)
    return step


def read_piecing(lab: NDArray[np.float32], *, given: int | None = None) -> Piecing:
    """Find the seams of the block from its copies.

    Parameters
    ----------
    lab : ndarray of float32, shape (blocks, size, size, 3)
        The stack, all blocks lying the same way.
    given : int, optional
        Divisions, when they are known.

    Returns
    -------
    Piecing
    """
    size = lab.shape[1]
    rows = by_pixel(lab)
    noise = print_noise(rows, size)
    cells, misfit = choose_division(rows, noise, size, given)
    votes = seam_votes(noise)
    labels, merged = merge(triangles(rows, cells, size), votes)
    means = merged.means.reshape(len(merged.counts), -1, 3)
    areas = merged.counts / merged.counts.sum()
    return Piecing(cells, labels, means, areas, merged.pairs, votes(merged) / _CLEAR, misfit)


def seam_votes(noise: Floats) -> Loss:
    """Let every block vote on whether two pieces are of two fabrics: `_CLEAR` when all say so, minus it when none.

    A thin piece beside a strong seam takes on some of the colour beyond it where the seam strays; so much is granted.
    """

    def loss(pieces: Pieces) -> Floats:
        if not len(pieces.pairs):
            return np.zeros(0)
        one, two = pieces.pairs.T
        step = _steps(pieces)
        area = pieces.counts / pieces.counts.sum()
        strongest, share = _strongest(pieces, step), _stray_share(pieces, area)
        spread = noise * (1 / pieces.counts[one] + 1 / pieces.counts[two])[:, None] + _LIGHT**2
        spread += np.maximum(share[one, None] ** 2 * strongest[one], share[two, None] ** 2 * strongest[two])
        votes: Floats = np.clip(step / (2 * spread) - _CLEAR, -_CLEAR, _CLEAR).mean(axis=1)
        return votes

    return loss


def _strongest(pieces: Pieces, step: Floats) -> Floats:
    """The strongest squared step at the edge of each piece in each block."""
    ends = np.concatenate([pieces.pairs[:, 0], pieces.pairs[:, 1]])
    order = np.argsort(ends, kind="stable")
    owners, starts = np.unique(ends[order], return_index=True)
    found = np.zeros((len(pieces.counts), step.shape[1]))
    found[owners] = np.maximum.reduceat(step[order % len(step)], starts, axis=0)
    return found


def _stray_share(pieces: Pieces, area: Floats) -> Floats:
    """The part of each piece that lies within a seam's stray of its edge."""
    around = np.bincount(pieces.pairs.ravel(), weights=np.repeat(pieces.lengths, 2), minlength=len(area))
    return np.minimum(0.5, _STRAY * around / area)


def choose_division(
    rows: NDArray[np.float32], noise: Floats, size: int, given: int | None = None
) -> tuple[Cells, float]:
    """Choose the smallest division that explains nearly all that any does; also the part left unexplained."""
    main = _main_changes(rows, noise)
    blocks = len(noise)
    total = 0.5 * float((main**2).sum())
    tries = (*SQUARE, *FLAT)
    if given is not None:
        tries = ((given, given), (2 * given, 2 * given), (given, 2 * given), (2 * given, given))
    cut = {cells: triangles(main, cells, size) for cells in tries}
    bases = {cells: _unexplained(pieces, total) for cells, pieces in cut.items()}
    costs: dict[Cells, float] = {}
    best = total
    for cells in sorted(tries, key=lambda each: (max(each) > 12, bases[each])):
        if bases[cells] <= best + _SLACK * (total - best):
            costs[cells] = _cost(cut[cells], total, blocks)
            best = min(best, costs[cells])
    limit = best + _SLACK * (total - best)
    fit = [cells for cells, cost in costs.items() if cost <= limit] or [tries[0]]
    chosen = min(fit, key=lambda each: (max(each), each[0] * each[1], each))
    return chosen, (costs.get(chosen, total) - best) / max(total - best, 1e-9)


def _main_changes(rows: NDArray[np.float32], noise: Floats) -> Floats:
    """The strongest directions of colour change in units of noise; no single block may rule them."""
    centred = rows - rows.mean(axis=0)
    spread = np.maximum((np.einsum("xb,xb->b", centred, centred) / len(rows)).reshape(-1, 3).sum(axis=1), 1e-3)
    ceiling = np.maximum(noise, np.median(noise / spread) * spread)
    scaled = centred / np.repeat(np.sqrt(ceiling), 3).astype(np.float32)
    vectors = np.linalg.eigh(scaled.T @ scaled)[1]
    main: Floats = (scaled @ vectors[:, ::-1][:, :_KEPT]).astype(np.float64)
    return main


def _unexplained(pieces: Pieces, total: float) -> float:
    return total - 0.5 * float(((pieces.sums**2).sum(axis=1) / pieces.counts).sum())


def _cost(pieces: Pieces, total: float, blocks: int) -> float:
    price = _PIECE_COST * blocks

    def loss(now: Pieces) -> Floats:
        one, two = now.pairs.T
        means = now.means
        harmonic = now.counts[one] * now.counts[two] / (now.counts[one] + now.counts[two])
        lost: Floats = 0.5 * harmonic * ((means[one] - means[two]) ** 2).sum(axis=1) - price * (1 + now.lengths)
        return lost

    _, merged = merge(pieces, loss)
    return _unexplained(merged, total) + price * (len(merged.counts) + float(merged.lengths.sum()))
