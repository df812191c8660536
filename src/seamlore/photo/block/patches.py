"""Read the block of a quilt from a flattened photograph and its block grid.

This joins the parts: the stack of all blocks, their piecing, places and odd ones, the fabrics, the alignment.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.alignment import Alignment, align
from seamlore.photo.block.bearing_out import doubts, of_quarters
from seamlore.photo.block.groups import Group, blocks_as_said, sorted_blocks
from seamlore.photo.block.laying import ENOUGH, SINGLE, Laid, areas, lay_blocks, patch_means, some_of, stack_size
from seamlore.photo.block.places import Value, gather_places, letter, values_of
from seamlore.photo.fabric.fabrics import Swatches, gather_fabrics, spots, srgb_of, take_swatches
from seamlore.photo.fabric.light import even_light
from seamlore.photo.reading import TO_SHOW, BlockAt, Ring, SeenBlock, SeenFabric, SeenKind, SeenPatch
from seamlore.photo.stack import cloth, undo

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_NO_SWATCHES = Swatches(np.zeros((0, 2), np.intp), np.zeros((0, 3)), np.zeros((0, 4)), np.zeros((0, 3)), np.zeros(0))


@dataclass(frozen=True)
class BlockReading:
    """What all the blocks of one quilt say together.

    Attributes
    ----------
    kinds : tuple of SeenKind
        The kinds of blocks that could be read, the commonest first.
    blocks : tuple of BlockAt
        One for each block there is, in reading order.
    between : tuple of BlockAt or None
        On point, the same of the blocks between the whole rows; None where there are none.
    fabrics : tuple of SeenFabric
        The commonest first; of the blocks that were read.
    warnings : tuple of str
        What she should know about this reading.
    cells : ndarray, shape (rows, columns, 4, 2)
        Corners of the blocks in pixels of the flattened quilt, each set by its own seams.
    alignment : Alignment
        Shift and lean of every block, and seams that do not meet, in the record's unit.
    of_quarters : bool
        Whether the grid is in doubt because its blocks look like four blocks each.
    """

    kinds: tuple[SeenKind, ...]
    blocks: tuple[BlockAt, ...]
    between: tuple[BlockAt, ...] | None
    fabrics: tuple[SeenFabric, ...]
    warnings: tuple[str, ...]
    cells: NDArray[np.float64]
    alignment: Alignment
    of_quarters: bool = False

    @property
    def block(self) -> SeenBlock | None:
        """The block as it stands in most blocks; None when no piecing could be read."""
        return SeenBlock(divisions=self.kinds[0].divisions, patches=self.kinds[0].patches) if self.kinds else None

    @property
    def confidence(self) -> float:
        """How sure it is that the seams of the commonest kind are right, 0..1."""
        return self.kinds[0].confidence if self.kinds else 0.0


def read_blocks(
    pixels: NDArray[np.uint8],
    cells: NDArray[np.float64],
    *,
    px_per_unit: float,
    between: NDArray[np.float64] | None = None,
    grid_confidence: float = 1.0,
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
    between : ndarray, shape (rows - 1, columns - 1, 4, 2), optional
        On point, the same of the blocks between the whole rows.
    grid_confidence : float, optional
        How sure the block grid is, 0..1; on a doubtful one no block is read for sure.
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
    every = every_row(cells, between)
    step = len(every) > len(cells)  # from one of the whole rows to the next there are two
    source = cloth(pixels, every, stack_size(cells))
    laid = in_every_row(lay_blocks(source, cells, divisions, patches), step=1 + step)
    said = divisions is not None or patches is not None
    if said:
        groups, sides = blocks_as_said(pixels, every, source, laid), 1.0
    else:
        groups, sides = sorted_blocks(pixels, every, source, laid)
    doubted = "" if said or grid_confidence == 1 else doubts(groups, cells.shape[:2], grid_confidence, sides)
    quarters = bool(doubted) and of_quarters(groups, sides)
    if doubted:
        groups = []
    read = [_Kind.of(group) for group in groups if group.believed.any()]
    read.sort(key=lambda kind: (-len(kind.laid.moves), kind.laid.stack.places[0].tolist()))
    swatches, where = _all_swatches(read)
    label = gather_fabrics(swatches, even_light(swatches, where)) if len(where) else np.zeros(0, np.intp)
    fabrics = _seen_fabrics(swatches, label, read, by_turns=step) if len(where) else ()
    placed = cells.copy()
    for kind in read:
        use = kind.laid.stack.whole & (kind.laid.stack.places[:, 0] % (1 + step) == 0)
        row, column = kind.laid.stack.places[use].T
        placed[row // (1 + step), column] = kind.laid.as_found[use]
    alignment = align(placed, px_per_unit=px_per_unit)
    seen = {
        (int(row), int(column)): (kind, index, number)
        for number, kind in enumerate(read)
        for index, (row, column) in enumerate(kind.laid.stack.places)
    }
    blocks: list[BlockAt] = []
    others: list[BlockAt] = []
    for row, column in np.argwhere(np.isfinite(every).all(axis=(2, 3))).tolist():
        aside = bool(step and row % 2)
        at = row // (1 + step), column
        shift = (0.0, 0.0) if aside else _shift(alignment, *at)
        (others if aside else blocks).append(_block_at(*at, shift, seen.get((row, column))))
    kinds = tuple(
        SeenKind(
            divisions=kind.block.divisions,
            patches=kind.block.patches,
            count=len(kind.laid.moves),
            confidence=kind.confidence,
        )
        for kind in read
    )
    count = len(blocks) + len(others)
    warnings = (doubted,) if doubted else tuple(_warnings(read, count, count - len(seen)))
    return BlockReading(
        kinds, tuple(blocks), tuple(others) if step else None, fabrics, warnings, placed, alignment, quarters
    )


def every_row(cells: Floats, between: Floats | None) -> Floats:
    """All blocks in rows as they lie: on point those between the whole rows in rows of their own."""
    if between is None or not between.size:
        return cells
    rows = np.full((2 * len(cells) - 1, *cells.shape[1:]), np.nan)
    rows[::2] = cells
    rows[1::2, :-1] = between
    return rows


def in_every_row(laid: Laid, step: int) -> Laid:
    """Whole rows called by their number among all rows."""
    return replace(laid, stack=replace(laid.stack, places=laid.stack.places * np.array([step, 1], dtype=np.intp)))


@dataclass(frozen=True, eq=False)
class _Kind:
    """The blocks of one kind that are believed, and what they say together."""

    laid: Laid
    block: SeenBlock
    confidence: float

    @classmethod
    def of(cls, group: Group) -> _Kind:
        laid = group.laid.part(group.believed)
        return cls(laid, _seen_block(laid), float(group.sure[group.believed].mean()))


def _all_swatches(read: list[_Kind]) -> tuple[Swatches, Floats]:
    """The swatches of all kinds, blocks counted on from kind to kind, and where each lies in the quilt."""
    if not read:
        return _NO_SWATCHES, np.zeros((0, 2))
    taken, where, start = [], [], 0
    for kind in read:
        one = take_swatches(kind.laid.stack.lab, kind.laid.stack.shown, kind.laid.picture)
        where.append(spots(one.where, kind.laid.picture, kind.laid.stack.corners))
        taken.append(replace(one, where=one.where + np.array([start, 0])))
        start += len(kind.laid.moves)
    together = Swatches(
        *(
            np.concatenate([getattr(one, name) for one in taken])
            for name in ("where", "lab", "print_", "error", "pixels")
        )
    )
    return together, np.concatenate(where)


def _warnings(read: list[_Kind], count: int, unread: int) -> Iterator[str]:
    if unread == count:
        yield f"The piecing of the blocks was not read: {TO_SHOW} the seams on the photograph."
    elif unread:
        were, they = ("was", "it is") if unread == 1 else ("were", "they are")
        yield f"{unread} of {count} blocks {were} not read: {TO_SHOW} how {they} pieced."
    plain = sum(len(kind.laid.moves) for kind in read if len(kind.block.patches) == 1)
    if read and plain == count:
        yield "No seam was found inside the blocks: each is one piece of cloth, or its fabrics are too much alike."
    if count <= SINGLE and plain < count - unread:
        yield "So few blocks do not tell a print from a seam: a bold print may have been taken for piecing."


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


def _seen_fabrics(swatches: Swatches, label: Ints, read: list[_Kind], *, by_turns: bool) -> tuple[SeenFabric, ...]:
    found = []
    places = np.concatenate([kind.laid.stack.places for kind in read]) if read else np.zeros((0, 2), np.intp)
    values = _fabric_values(swatches, label)
    for number in range(int(label.max()) + 1):
        members = np.flatnonzero(label == number)
        block, patch = swatches.where[members].T
        row, column = places[block].T
        aside = (row % 2 == 1) & by_turns
        at = np.stack([row // (1 + by_turns), column, patch], axis=-1)
        whole, between = (tuple((r, c, p) for r, c, p in at[which].tolist()) for which in (~aside, aside))
        color = srgb_of(np.median(swatches.lab[members], axis=0))
        found.append(
            SeenFabric(id=f"F{number + 1}", srgb=color, value=values[number], patches=whole, between=between)
        )
    return tuple(found)


def _block_at(row: int, column: int, shift: tuple[float, float], seen: tuple[_Kind, int, int] | None) -> BlockAt:
    if seen is None:
        return BlockAt(row=row, column=column, shift=shift, differs=True)
    kind, index, number = seen
    lies = undo(int(kind.laid.moves[index]))
    return BlockAt(
        row=row,
        column=column,
        kind=number,
        turn=90 * (lies % 4),  # type: ignore[arg-type]
        mirrored=lies >= 4,
        shift=shift,
        differs=bool(kind.laid.differs[index]),
    )


def _shift(alignment: Alignment, row: int, column: int) -> tuple[float, float]:
    return float(alignment.shift[row, column, 0]), float(alignment.shift[row, column, 1])


def _fabric_values(swatches: Swatches, label: Ints) -> tuple[Value, ...]:
    lightness = np.array([np.median(swatches.lab[label == n, 0]) for n in range(int(label.max()) + 1)])
    return values_of(lightness)
