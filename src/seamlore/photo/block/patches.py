"""Read the block of a quilt from a flattened photograph and its block grid.

This joins the parts: the stack of all blocks, their piecing, places and odd ones, the fabrics, the alignment.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.alignment import Alignment, align
from seamlore.photo.block.confidence import confidence
from seamlore.photo.block.laying import ENOUGH, SINGLE, Laid, areas, lay_blocks, patch_means, some_of, stack_size
from seamlore.photo.block.places import Value, gather_places, letter, values_of
from seamlore.photo.fabric.fabrics import Swatches, gather_fabrics, spots, srgb_of, take_swatches
from seamlore.photo.fabric.light import even_light
from seamlore.photo.reading import BlockAt, Ring, SeenBlock, SeenFabric, SeenPatch
from seamlore.photo.stack import cloth, undo

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_SURE = 0.5  # below which the piecing is called unsure, and blocks stay where the block grid has them
_MANY_ODD = 0.2  # of the blocks, from where on there may be two kinds


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
    source = cloth(pixels, cells, stack_size(cells))
    laid = lay_blocks(source, cells, divisions, patches)
    block = _seen_block(laid)
    swatches = take_swatches(laid.stack.lab, laid.stack.shown, laid.picture)
    label = gather_fabrics(swatches, even_light(swatches, spots(swatches.where, laid.picture, laid.stack.corners)))
    fabrics = _seen_fabrics(swatches, label, laid)
    known = 1.0 if laid.signs is None else confidence(laid.signs)
    placed = _placed(cells, laid) if known >= _SURE else cells
    alignment = align(placed, px_per_unit=px_per_unit)
    blocks = tuple(_block_at(laid, index, alignment) for index in range(len(laid.stack)))
    warnings = tuple(_warnings(laid, block, known))
    return BlockReading(block, blocks, fabrics, known, warnings, placed, alignment)


def _placed(cells: Floats, laid: Laid) -> Floats:
    """The block grid with each block set by its own seams, but those that differ left where the grid has them."""
    placed = cells.copy()
    like = ~laid.differs & laid.stack.whole
    row, column = laid.stack.places[like].T
    placed[row, column] = laid.as_found[like]
    return placed


def _warnings(laid: Laid, block: SeenBlock, known: float) -> Iterator[str]:
    blocks, plain = len(laid.stack), int(laid.plain.sum())
    odd = int(laid.differs.sum()) - plain
    if len(block.patches) == 1:
        yield "No seam was found inside the block: the fabrics may be too much alike, or each block is one piece of cloth."
    elif known < _SURE:
        yield "The piecing of the block is not sure: check its seams against the quilt and draw them where they are wrong."
    if blocks <= SINGLE and laid.signs is not None:
        yield "So few blocks do not tell a print from a seam: a bold print may have been taken for piecing."
    if plain and odd + plain < blocks:
        yield f"{plain} of {blocks} blocks look like one piece of cloth; they are marked as different from the pieced ones."
    if odd > _MANY_ODD * (blocks - plain):
        yield f"{odd} of {blocks} blocks differ from the rest: this quilt may be made of two kinds of block."


def _seen_block(laid: Laid) -> SeenBlock:
    # The median of many blocks is as good as that of all.
    like = some_of(np.flatnonzero(~laid.differs | laid.differs.all()), ENOUGH)
    means = patch_means(laid.stack.part(like), laid.picture)
    counts = areas(laid.picture)
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


def _seen_fabrics(swatches: Swatches, label: Ints, laid: Laid) -> tuple[SeenFabric, ...]:
    found = []
    values = _fabric_values(swatches, label)
    for number in range(int(label.max()) + 1 if len(label) else 0):
        members = np.flatnonzero(label == number)
        block, patch = swatches.where[members].T
        row, column = laid.stack.places[block].T
        patches = tuple(zip(row.tolist(), column.tolist(), patch.tolist(), strict=True))
        color = np.median(swatches.lab[members], axis=0)
        found.append(SeenFabric(id=f"F{number + 1}", srgb=srgb_of(color), value=values[number], patches=patches))
    return tuple(found)


def _block_at(laid: Laid, index: int, alignment: Alignment) -> BlockAt:
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
