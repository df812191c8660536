"""Read the block of a quilt from a flattened photograph and its block grid.

This joins the parts: the stack of all blocks, their piecing, places and odd ones, the fabrics, the alignment.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.alignment import Alignment, align
from seamlore.photo.fabrics import Swatches, even_light, gather_fabrics, srgb_of, take_swatches
from seamlore.photo.oddities import (
    lay_alike,
    lie_of_blocks,
    likeness_to_most,
    most_unmoved,
    own_symmetry,
    plain_blocks,
)
from seamlore.photo.outlines import painted, rings, simple_patches
from seamlore.photo.piecing import USUAL_STRAY, Piecing, by_pixel, print_noise, read_piecing, stepped_share
from seamlore.photo.places import Value, gather_places, letter, values_of
from seamlore.photo.reading import BlockAt, Ring, SeenBlock, SeenFabric, SeenPatch
from seamlore.photo.registering import set_by_seams
from seamlore.photo.stack import Cloth, Stack, cloth, move_corners, move_square, restack, stack_blocks, turned, undo
from seamlore.photo.sureness import Signs, sureness

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_ENOUGH = (40, 120)  # blocks to learn the piecing from, at first and in the end; more would only take time
_STRAY_BOUNDS = 0.004, 0.015  # of the block
_BLUR_PX = 0.5  # of the photograph, over which a seam is smeared
_SMALL_SIDES = 48, 32  # of the small stack by which turns and shifts are told, for few and for many blocks
_MANY = 150
_SINGLE = 2  # blocks up to which each is read through its own symmetry
_SURE = 0.5  # below which the piecing is called unsure, and blocks stay where the block grid has them
_MANY_ODD = 0.2  # of the blocks, from where on there may be two kinds
_USUAL, _DIFFERS = 0.5, 0.42  # of the likeness that most blocks have to the mean block


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

    Raises
    ------
    MeasureError
        When there is no block in `cells`, or a unit has no pixels.

    Examples
    --------
    >>> halves = np.zeros((64, 128, 3), np.uint8)
    >>> halves[:, 32:64] = halves[:, 96:] = 255
    >>> cells = np.array([[[[0, 0], [64, 0], [64, 64], [0, 64]], [[64, 0], [128, 0], [128, 64], [64, 64]]]]) - 0.5
    >>> found = read_blocks(halves, cells, px_per_unit=8)
    >>> [patch.value for patch in found.block.patches]
    ['dark', 'light']
    >>> read_blocks(halves, cells * np.nan, px_per_unit=8)
    Traceback (most recent call last):
        ...
    seamlore.errors.MeasureError: 0 blocks: an even grid needs at least 1; find the block grid first
    """
    align(cells, px_per_unit=px_per_unit)  # refuses a grid without blocks before anything is read
    size = _size(int(np.isfinite(cells).all(axis=(2, 3)).sum()))
    source = cloth(pixels, cells, size)
    stack = stack_blocks(source, cells, size)
    laid = _lay(stack, source, divisions, patches)
    block = _seen_block(laid)
    swatches = take_swatches(laid.stack.lab, laid.stack.shown, laid.picture, laid.noise)
    label = gather_fabrics(swatches, even_light(swatches, stack.places))
    fabrics = _seen_fabrics(swatches, label, laid)
    sure = 1.0 if laid.signs is None else sureness(laid.signs)
    placed = _placed(cells, laid) if sure >= _SURE else cells
    alignment = align(placed, px_per_unit=px_per_unit)
    blocks = tuple(_block_at(laid, index, alignment) for index in range(len(stack)))
    warnings = tuple(_warnings(laid, block, sure))
    return BlockReading(block, blocks, fabrics, sure, warnings, placed, alignment)


def _placed(cells: Floats, laid: _Laid) -> Floats:
    """The block grid with each block set by its own seams, but those that differ left where the grid has them."""
    placed = cells.copy()
    like = ~laid.differs & laid.stack.whole
    row, column = laid.stack.places[like].T
    placed[row, column] = laid.as_found[like]
    return placed


def _warnings(laid: _Laid, block: SeenBlock, sure: float) -> Iterator[str]:
    blocks, plain = len(laid.stack), int(laid.plain.sum())
    odd = int(laid.differs.sum()) - plain
    if len(block.patches) == 1:
        yield "No seam was found inside the block: the fabrics may be too much alike, or each block is one piece of cloth."
    elif sure < _SURE:
        yield "The piecing of the block is not sure: check its seams against the quilt and draw them where they are wrong."
    if blocks <= _SINGLE and laid.signs is not None:
        yield "So few blocks do not tell a print from a seam: a bold print may have been taken for piecing."
    if plain and odd + plain < blocks:
        yield f"{plain} of {blocks} blocks look like one piece of cloth; they are marked as different from the pieced ones."
    if odd > _MANY_ODD * (blocks - plain):
        yield f"{odd} of {blocks} blocks differ from the rest: this quilt may be made of two kinds of block."


@dataclass(frozen=True, eq=False)
class _Laid:
    """All blocks laid alike, and what was read from them; `as_found` are their corners as they lie in the quilt."""

    stack: Stack
    moves: Ints
    noise: Floats
    outlines: tuple[Ring, ...]
    picture: Ints
    divisions: int
    signs: Signs | None
    differs: NDArray[np.bool_]
    plain: NDArray[np.bool_]
    as_found: Floats


def _size(blocks: int) -> int:
    return 96 if blocks <= _MANY else 64


def _lay(stack: Stack, source: Cloth, divisions: int | None, patches: Sequence[Ring] | None) -> _Laid:
    """Turn all blocks to lie alike, set each by its seams and read their piecing, each helping the others."""
    rows = by_pixel(stack.lab)
    noise = print_noise(rows, stack.size)
    plain = plain_blocks(stepped_share(rows, noise, stack.size), stack.places)
    moves, usual = np.zeros(len(stack), dtype=np.intp), ~plain
    moves[~plain], likeness = lay_alike(stack.lab[~plain])
    relative = likeness / max(float(np.quantile(likeness, 0.8)), 1e-6)
    usual[~plain] = relative >= _USUAL
    if not (usual & (stack.whole | ~stack.whole.any())).any():
        usual[:] = True
    side = _SMALL_SIDES[len(stack) > _MANY]
    small_noise = noise * (side / stack.size) ** 2
    blur = _BLUR_PX / _side_px(stack.corners)
    stray = USUAL_STRAY
    for enough in _ENOUGH:
        laid = turned(stack, moves)
        learn = _some(np.flatnonzero(usual & (laid.whole | ~laid.whole.any())), enough)
        picture, outlines, count, piecing = _pieced(laid.part(learn), noise[learn], stray + blur, divisions, patches)
        stack, stray = _set(stack, source, laid, picture, moves, side)
        small, shown = _small(stack, side)
        places = gather_places(_patch_means(laid.part(learn), picture), noise[learn], _areas(picture), stack.size)
        little = cv2.resize(picture.astype(np.uint16), (side, side), interpolation=cv2.INTER_NEAREST)
        lie = lie_of_blocks(small, shown, little.astype(np.intp), places, small_noise, moves, usual)
        moves = np.where(plain, 0, lie.moves)
        if patches is None and enough != _ENOUGH[-1]:
            moves[~plain] = most_unmoved(moves[~plain])
    differs = plain | ((likeness_to_most(stack.lab, moves, usual) < _DIFFERS) & stack.whole)
    signs = Signs.of(piecing, len(learn), _side_px(stack.corners), stray)
    return _Laid(turned(stack, moves), moves, noise, outlines, picture, count, signs, differs, plain, stack.corners)


def _some(which: Ints, enough: int) -> Ints:
    """Some of the blocks, from all over the quilt."""
    if not len(which):
        return which
    some: Ints = which[np.unique(np.linspace(0, len(which) - 1, enough).astype(int))]
    return some


def _side_px(corners: Floats) -> float:
    return float(np.median(np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2)))


def _set(stack: Stack, source: Cloth, laid: Stack, picture: Ints, moves: Ints, side: int) -> tuple[Stack, float]:
    corners, stray = set_by_seams(laid, picture, side)
    back = corners.copy()
    for move in range(1, 8):
        which = moves == move
        back[which] = move_corners(corners[which], undo(move))
    return restack(source, stack.places, back, stack.size), float(np.clip(stray, *_STRAY_BOUNDS))


def _small(stack: Stack, side: int) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    shape = (side, side)
    lab = np.stack([cv2.resize(each, shape, interpolation=cv2.INTER_AREA) for each in stack.lab])
    shown = np.stack([cv2.resize(each, shape, interpolation=cv2.INTER_AREA) for each in stack.shown])
    return lab, (shown > 0.99).astype(np.float32)


def _pieced(
    laid: Stack, noise: Floats, stray: float, divisions: int | None, patches: Sequence[Ring] | None
) -> tuple[Ints, tuple[Ring, ...], int, Piecing | None]:
    if patches is not None:
        outlines = tuple(tuple((float(x), float(y)) for x, y in ring) for ring in patches)
        return painted(outlines, laid.size), outlines, divisions or _divisions_of(outlines), None
    lab = laid.lab
    if len(lab) <= _SINGLE:
        # Too few blocks to tell prints from seams: each stands for its own mirror images too.
        moves = [own_symmetry(each) for each in lab]
        lab = np.concatenate(
            [move_square(each[None], m) for each, own in zip(laid.lab, moves, strict=True) for m in own]
        )
        noise = np.repeat(noise, [len(own) for own in moves])
    piecing = read_piecing(lab, noise, stray=stray, given=divisions)
    labels = simple_patches(piecing.patch_of_triangle, *piecing.cells)
    piecing = piecing.relabelled(labels)
    outlines = tuple(rings(labels, *piecing.cells))
    return piecing.picture(laid.size), outlines, divisions or _divisions_of(outlines), piecing


def _divisions_of(outlines: Sequence[Ring]) -> int:
    """The smallest division on whose lines most corners lie, and the rest in halves of one."""
    corners = np.unique(np.round([corner for ring in outlines for corner in ring], 6), axis=0)
    corners = corners[~np.isin(corners, [0.0, 1.0]).all(axis=1)]
    for count in range(1, 25):
        halves = corners * 2 * count
        near = np.abs(halves - np.rint(halves)) < 0.04
        odd = np.rint(halves) % 2 == 1
        on = near.all(axis=1) & ~odd.any(axis=1)
        if (near.all() and on.sum() > 0.55 * len(corners)) or not len(corners):
            return count
    return 24


def _areas(picture: Ints) -> Floats:
    areas: Floats = np.bincount(picture.ravel()) / picture.size
    return areas


def _patch_means(stack: Stack, picture: Ints) -> Floats:
    """CIELAB of each patch in each block, shape (patches, blocks, 3)."""
    rows = by_pixel(stack.lab)
    label = picture.ravel()
    order = np.argsort(label, kind="stable")
    starts = np.searchsorted(label[order], np.arange(int(label.max()) + 1))
    counts = np.diff(np.append(starts, len(label)))
    sums = np.add.reduceat(rows[order], starts, axis=0).astype(np.float64)
    means: Floats = (sums / counts[:, None]).reshape(len(starts), -1, 3)
    return means


def _seen_block(laid: _Laid) -> SeenBlock:
    # The median of many blocks is as good as that of all.
    like = _some(np.flatnonzero(~laid.differs | laid.differs.all()), _ENOUGH[-1])
    means = _patch_means(laid.stack.part(like), laid.picture)
    counts = _areas(laid.picture)
    place = gather_places(means, laid.noise[like], counts, laid.stack.size)
    middle = np.median(means[..., 0], axis=1)
    lightness = np.array(
        [np.average(middle[place == n], weights=counts[place == n]) for n in range(int(place.max()) + 1)]
    )
    values = values_of(lightness)
    seen = tuple(
        SeenPatch(outline=ring, place=letter(int(number)), value=values[number])
        for ring, number in zip(laid.outlines, place, strict=True)
    )
    return SeenBlock(divisions=laid.divisions, patches=seen)


def _seen_fabrics(swatches: Swatches, label: Ints, laid: _Laid) -> tuple[SeenFabric, ...]:
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


def _fabric_values(swatches: Swatches, label: Ints) -> tuple[Value, ...]:
    lightness = np.array([np.median(swatches.lab[label == n, 0]) for n in range(int(label.max()) + 1)])
    return values_of(lightness)
