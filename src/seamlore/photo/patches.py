"""Read the block of a quilt from a flattened photograph and its block grid.

This joins the parts: the stack of all blocks, their piecing, places and odd ones, the fabrics, the alignment.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.alignment import Alignment, align
from seamlore.photo.fabrics import Swatches, gather_fabrics, srgb_of, take_swatches
from seamlore.photo.oddities import lay_alike, lie_of_blocks, most_unmoved, plain_blocks
from seamlore.photo.outlines import painted, rings, simple_patches
from seamlore.photo.piecing import Piecing, by_pixel, print_noise, read_piecing, stepped_share
from seamlore.photo.places import Value, gather_places, letter, values_of
from seamlore.photo.reading import BlockAt, Ring, SeenBlock, SeenFabric, SeenPatch
from seamlore.photo.registering import set_by_seams
from seamlore.photo.stack import Cloth, Stack, cloth, move_corners, restack, stack_blocks, turned, undo

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_ENOUGH = 120  # blocks to learn the piecing from; more would only take time
_TURN_SIDE = 48  # of the small stack by which turns are told


@dataclass(frozen=True, slots=True)
class BlockReading:
    """What all the blocks of one quilt say together.

    Attributes
    ----------
    block : SeenBlock or None
        The block as it stands in most blocks; None when its piecing could not be read.
    blocks : tuple of BlockAt
        One for each block there is, in reading order.
    fabrics : tuple of SeenFabric
        The commonest first.
    confidence : float
        How sure it is that the block's seams are right, 0..1.
    warnings : tuple of str
        What she should know about this reading.
    cells : ndarray, shape (rows, columns, 4, 2)
        Corners of the blocks in pixels of the flattened quilt, each set by its own seams.
    alignment : Alignment
        Shift and lean of every block, and seams that do not meet, in the record's unit.
    """

    block: SeenBlock | None
    blocks: tuple[BlockAt, ...]
    fabrics: tuple[SeenFabric, ...]
    confidence: float
    warnings: tuple[str, ...]
    cells: NDArray[np.float64]
    alignment: Alignment


def read_blocks(
    pixels: NDArray[np.uint8],
    cells: NDArray[np.float64],
    *,
    px_per_unit: float,
    divisions: int | None = None,
    patches: Sequence[Ring] | None = None,
) -> BlockReading:
    """Read piecing, odd blocks, fabrics and alignment of a quilt whose block grid is known.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        The flattened quilt, sRGB.
    cells : ndarray, shape (rows, columns, 4, 2)
        Corners of the blocks in pixels, clockwise from each block's top left; NaN where there is none.
    px_per_unit : float
        Pixels of the flattened quilt in one of the record's units.
    divisions : int, optional
        Into how many equal parts the side of the block is divided, when she says so.
    patches : sequence of rings, optional
        Outlines of the block's patches in 0..1 of the block, when she says so.

    Returns
    -------
    BlockReading
    """
    alignment = align(cells, px_per_unit=px_per_unit)
    size = _size(int(np.isfinite(cells).all(axis=(2, 3)).sum()))
    source = cloth(pixels, cells, size)
    stack = stack_blocks(source, cells, size)
    laid = _lay(stack, source, divisions, patches)
    block, place = _seen_block(laid)
    swatches = take_swatches(laid.stack.lab, laid.stack.shown, laid.picture, laid.noise)
    fabrics = _seen_fabrics(swatches, gather_fabrics(swatches), laid, block, place)
    blocks = tuple(_block_at(laid, index, alignment) for index in range(len(stack)))
    return BlockReading(block, blocks, fabrics, _confidence(laid), (), cells, alignment)


@dataclass(frozen=True, eq=False)
class _Laid:
    """All blocks laid alike, and what was read from them."""

    stack: Stack
    moves: Ints
    noise: Floats
    outlines: tuple[Ring, ...]
    picture: Ints
    divisions: int
    piecing: Piecing | None
    differs: NDArray[np.bool_]


def _size(blocks: int) -> int:
    return 96 if blocks <= 150 else 64


def _lay(stack: Stack, source: Cloth, divisions: int | None, patches: Sequence[Ring] | None) -> _Laid:
    """Turn all blocks to lie alike, set each by its seams and read their piecing, each helping the others."""
    rows = by_pixel(stack.lab)
    noise = print_noise(rows, stack.size)
    plain = plain_blocks(stepped_share(rows, noise, stack.size), stack.places)
    moves, usual = np.zeros(len(stack), dtype=np.intp), ~plain
    moves[~plain], likeness = lay_alike(stack.lab[~plain])
    usual[~plain] = likeness >= 0.5 * float(np.quantile(likeness, 0.8))
    for number in range(3):
        laid = turned(stack, moves)
        picture, outlines, count, piecing = _pieced(laid, usual, divisions, patches)
        if number == 2:
            break
        stack = _set(stack, source, laid, picture, moves)
        small, shown, small_noise = _small(stack, noise)
        little = cv2.resize(picture.astype(np.uint16), (_TURN_SIDE, _TURN_SIDE), interpolation=cv2.INTER_NEAREST)
        lie = lie_of_blocks(small, shown, little.astype(np.intp), small_noise, moves)
        moves = np.where(plain, 0, lie.moves)
        if patches is None:
            moves[~plain] = most_unmoved(moves[~plain])
    differs = ~usual
    return _Laid(turned(stack, moves), moves, noise, outlines, picture, count, piecing, differs)


def _set(stack: Stack, source: Cloth, laid: Stack, picture: Ints, moves: Ints) -> Stack:
    corners = set_by_seams(laid, picture)
    back = corners.copy()
    for move in range(1, 8):
        which = moves == move
        back[which] = move_corners(corners[which], undo(move))
    return restack(source, stack.places, back, stack.size)


def _small(stack: Stack, noise: Floats) -> tuple[NDArray[np.float32], NDArray[np.float32], Floats]:
    shape = (_TURN_SIDE, _TURN_SIDE)
    lab = np.stack([cv2.resize(each, shape, interpolation=cv2.INTER_AREA) for each in stack.lab])
    shown = np.stack([cv2.resize(each, shape, interpolation=cv2.INTER_AREA) for each in stack.shown])
    return lab, (shown > 0.99).astype(np.float32), noise * (_TURN_SIDE / stack.size) ** 2


def _pieced(
    laid: Stack, usual: NDArray[np.bool_], divisions: int | None, patches: Sequence[Ring] | None
) -> tuple[Ints, tuple[Ring, ...], int, Piecing | None]:
    if patches is not None:
        outlines = tuple(tuple((float(x), float(y)) for x, y in ring) for ring in patches)
        return painted(outlines, laid.size), outlines, divisions or _divisions_of(outlines), None
    learn = np.flatnonzero(usual & laid.whole)
    if not len(learn):
        learn = np.arange(len(laid))
    learn = learn[np.unique(np.linspace(0, len(learn) - 1, _ENOUGH).astype(int))]
    piecing = read_piecing(laid.lab[learn], given=divisions)
    labels = simple_patches(piecing.patch_of_triangle, *piecing.cells)
    piecing = piecing.relabelled(labels)
    count = max(piecing.cells) if max(piecing.cells) <= 12 else max(piecing.cells) // 2
    return piecing.picture(laid.size), tuple(rings(labels, *piecing.cells)), divisions or count, piecing


def _divisions_of(outlines: Sequence[Ring]) -> int:
    """The smallest division on whose lines all corners lie."""
    corners = np.array([corner for ring in outlines for corner in ring])
    for count in range(1, 25):
        if np.abs(corners * count - np.rint(corners * count)).max() < 0.02 * count:
            return count
    return 24


def _patch_means(laid: _Laid) -> Floats:
    """CIELAB of each patch in each block, shape (patches, blocks, 3)."""
    size = laid.stack.size
    rows = by_pixel(laid.stack.lab)
    label = laid.picture.ravel()
    order = np.argsort(label, kind="stable")
    starts = np.searchsorted(label[order], np.arange(len(laid.outlines)))
    counts = np.diff(np.append(starts, size * size))
    sums = np.add.reduceat(rows[order], starts, axis=0).astype(np.float64)
    means: Floats = (sums / counts[:, None]).reshape(len(starts), -1, 3)
    return means


def _seen_block(laid: _Laid) -> tuple[SeenBlock, Ints]:
    means = _patch_means(laid)[:, ~laid.differs]
    counts = np.bincount(laid.picture.ravel(), minlength=len(laid.outlines))
    place = gather_places(means, laid.noise[~laid.differs], counts / counts.sum(), laid.stack.size)
    middle = np.median(means[..., 0], axis=1)
    lightness = np.array(
        [np.average(middle[place == n], weights=counts[place == n]) for n in range(int(place.max()) + 1)]
    )
    values = values_of(lightness)
    seen = tuple(
        SeenPatch(outline=ring, place=letter(int(number)), value=values[number])
        for ring, number in zip(laid.outlines, place, strict=True)
    )
    return SeenBlock(divisions=laid.divisions, patches=seen), place


def _seen_fabrics(
    swatches: Swatches, label: Ints, laid: _Laid, block: SeenBlock, place: Ints
) -> tuple[SeenFabric, ...]:
    found = []
    values = _fabric_values(swatches, label)
    for number in range(int(label.max()) + 1 if len(label) else 0):
        members = np.flatnonzero(label == number)
        patches = tuple(
            (int(laid.stack.places[b, 0]), int(laid.stack.places[b, 1]), int(p)) for b, p in swatches.where[members]
        )
        colour = np.median(swatches.lab[members], axis=0)
        found.append(SeenFabric(id=f"F{number + 1}", srgb=srgb_of(colour), value=values[number], patches=patches))
    return tuple(found)


def _block_at(laid: _Laid, index: int, alignment: Alignment) -> BlockAt:
    row, column = (int(each) for each in laid.stack.places[index])
    lies = undo(int(laid.moves[index]))
    shift = (float(alignment.shift[row, column, 0]), float(alignment.shift[row, column, 1]))
    return BlockAt(
        row=row,
        column=column,
        turn=90 * (lies % 4),  # type: ignore[arg-type]
        mirrored=lies >= 4,
        shift=shift,
        differs=bool(laid.differs[index]),
    )


def _confidence(laid: _Laid) -> float:
    if laid.piecing is None:
        return 1.0
    return 0.5


def _fabric_values(swatches: Swatches, label: Ints) -> tuple[Value, ...]:
    lightness = np.array([np.median(swatches.lab[label == n, 0]) for n in range(int(label.max()) + 1)])
    return values_of(lightness)
