"""The ground that notes lie on: the quilt as found, its blocks and patches where they lie, and which fabric each is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from seamlore.draft.where import Where
from seamlore.photo.perspective import as_it_lies, blocks_to_quilt

if TYPE_CHECKING:
    from seamlore.photo.reading import Reading

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Ground:
    """The quilt as found.

    Parameters
    ----------
    size : (width, height)
        Of the quilt, in its unit.
    block_at : tuple of (row, column)
        Of each block, from 0 at the top left.
    blocks : ndarray, shape (blocks, 4, 2)
        Corners of each block in the quilt's unit from its top left.
    where : tuple of Where
        The address of each patch.
    outlines : sequence of ndarray, shape (n, 2)
        Of each patch, in the quilt's unit.
    fabric : ndarray of int, shape (patches,)
        Which fabric each patch is cut from; -1 where that was not read.
    fabrics : tuple of str
        What each fabric is called.
    cut : frozenset of (row, column)
        Blocks that the quilt's edge cuts.
    """

    size: tuple[float, float]
    block_at: tuple[tuple[int, int], ...] = ()
    blocks: Floats = None  # type: ignore[assignment]
    where: tuple[Where, ...] = ()
    outlines: Sequence[Floats] = ()
    fabric: Ints = None  # type: ignore[assignment]
    fabrics: tuple[str, ...] = ()
    cut: frozenset[tuple[int, int]] = frozenset()

    def __post_init__(self) -> None:
        if self.blocks is None:
            object.__setattr__(self, "blocks", np.zeros((0, 4, 2)))
        if self.fabric is None:
            object.__setattr__(self, "fabric", np.full(len(self.where), -1, dtype=np.intp))

    @cached_property
    def whole_shape(self) -> Any:
        """The quilt as one outline."""
        from shapely import box  # slow to import: only where areas are wanted

        return box(0, 0, *self.size)

    @cached_property
    def block_shapes(self) -> NDArray[Any]:
        """The blocks as outlines, what the quilt's edge cuts off left out."""
        from shapely import intersection, polygons  # as above

        return np.asarray(intersection(polygons(self.blocks), self.whole_shape), dtype=object)

    @cached_property
    def patch_shapes(self) -> NDArray[Any]:
        """The patches as outlines, all made at once; what the quilt's edge cuts off left out."""
        from shapely import intersection, linearrings, polygons  # as above

        if not len(self.outlines):
            return np.zeros(0, dtype=object)
        counts = [len(each) for each in self.outlines]
        rings = linearrings(np.concatenate(self.outlines), indices=np.repeat(np.arange(len(counts)), counts))
        made = polygons(rings)
        low = np.array([each.min() for each in self.outlines])
        high = np.array([(each - self.size).max() for each in self.outlines])
        beyond = (low < 0) | (high > 0)
        made[beyond] = intersection(made[beyond], self.whole_shape)
        return np.asarray(made, dtype=object)

    @cached_property
    def block_of(self) -> Ints:
        """The number of the block that each patch lies in, -1 for none."""
        number = {at: index for index, at in enumerate(self.block_at)}
        return np.array([number.get((each.row, each.column), -1) for each in self.where], dtype=np.intp)


def shape_of(outline: Floats) -> Any:
    """Give what a note encloses; of one or two corners its points alone."""
    import shapely  # as above

    return shapely.MultiPoint(outline) if len(outline) < 3 else shapely.buffer(shapely.Polygon(outline), 0)


def blocks_under(ground: Ground, outline: Floats) -> tuple[tuple[int, int], ...]:
    """Give the blocks that an outline lies on, or a point or a line, in reading order; not those it only brushes.

    Examples
    --------
    >>> corners = np.array([[[0, 0], [8, 0], [8, 8], [0, 8]], [[8, 0], [16, 0], [16, 8], [8, 8]]], dtype=float)
    >>> ground = Ground((16, 8), ((0, 0), (0, 1)), corners)
    >>> blocks_under(ground, np.array([[6, 1], [10, 1], [10, 3]])), blocks_under(ground, np.array([[9.0, 1]]))
    (((0, 0), (0, 1)), ((0, 1),))
    """
    import shapely  # as above

    if not len(ground.block_at):
        return ()
    shape = shape_of(outline)
    meet = shapely.intersection(ground.block_shapes, shape)
    much = shapely.area(meet) > 0.02 * shape.area if shape.area else ~shapely.is_empty(meet)
    return tuple(sorted(ground.block_at[index] for index in np.flatnonzero(much).tolist()))


def ground_of(reading: Reading, quads: tuple[Floats, Floats] | None = None, names: Sequence[str] = ()) -> Ground:
    """Lay out the quilt as a photograph was read.

    Parameters
    ----------
    reading : Reading
    quads : two ndarrays, shape (rows, columns, 4, 2), optional
        Corners of every block in the reading's unit, as the photograph shows them, and of those between the whole rows
        on point; from the rows and columns of the reading when not given.
    names : sequence of str, optional
        What its fabrics are called; "Fabric 1" and so on, in the order of the reading, when not given.

    Returns
    -------
    Ground
        Of a quilt with no block grid the whole alone. On point every second row is one of the blocks between the whole
        rows.
    """
    whole, halfway = _even(reading) if quads is None else quads
    seen = [(each, False) for each in reading.blocks or ()] + [(each, True) for each in reading.between or ()]
    corners = {
        (between, each.row, each.column): of[each.row, each.column]
        for each, between in seen
        for of in ((whole, halfway)[between],)
        if each.row < of.shape[0] and each.column < of.shape[1] and np.isfinite(of[each.row, each.column]).all()
    }
    seen = [(each, between) for each, between in seen if (between, each.row, each.column) in corners]
    called = tuple(names) or tuple(f"Fabric {number + 1}" for number in range(len(reading.fabrics or ())))
    if not seen:
        return Ground(reading.size, fabrics=called)
    blocks = np.array([corners[between, each.row, each.column] for each, between in seen])
    fabric_at = {spot: number for number, each in enumerate(reading.fabrics or ()) for spot in each.everywhere}
    kinds = [[np.array(patch.outline) for patch in kind.patches] for kind in reading.kinds or ()]
    laid: list[list[Floats]] = [[] for _ in seen]
    ways = [(each.kind, each.turn, each.mirrored) for each, _ in seen]
    for way in dict.fromkeys(ways):
        kind, turn, mirrored = way
        if kind is None or not kinds[kind]:
            continue
        alike = [index for index, each in enumerate(ways) if each == way]
        points = as_it_lies(np.concatenate(kinds[kind]), turn, mirrored)
        cuts = np.cumsum([len(each) for each in kinds[kind]])[:-1]
        for index, placed in zip(alike, blocks_to_quilt(points, blocks[alike]), strict=True):
            laid[index] = np.split(placed, cuts)
    on_point = reading.setting == "on point"
    at = [(2 * each.row + between if on_point else each.row, each.column) for each, between in seen]
    counts = [len(outlines) for outlines in laid]
    where = [Where("block", *spot, number) for spot, count in zip(at, counts, strict=True) for number in range(count)]
    fabric = np.array(
        [
            fabric_at.get((between, each.row, each.column, number), -1)
            for (each, between), count in zip(seen, counts, strict=True)
            for number in range(count)
        ],
        dtype=np.intp,
    )
    return Ground(
        reading.size,
        tuple(at),
        blocks,
        tuple(where),
        [outline for outlines in laid for outline in outlines],
        fabric,
        called,
        cut_blocks(reading),
    )


def cut_sides(reading: Reading) -> frozenset[str]:
    """Give the sides of the quilt where its edge runs inside the outermost blocks."""
    edge = reading.edge
    if edge is None or not reading.block_size:
        return frozenset()
    # What is less than the reading can tell (or a tenth of a block, where it does not say) is no cut.
    least = 2 * reading.uncertainty.edge if reading.uncertainty else 0.1 * min(reading.block_size)
    return frozenset(side for side in ("left", "top", "right", "bottom") if getattr(edge, side) < -least)


def cut_blocks(reading: Reading) -> frozenset[tuple[int, int]]:
    """Give the blocks that the quilt's edge cuts."""
    if reading.setting != "straight":
        return frozenset()
    rows, columns, sides = reading.rows or 0, reading.columns or 0, cut_sides(reading)
    return frozenset(
        (row, column)
        for row in range(rows)
        for column in range(columns)
        if ("left" in sides and column == 0)
        or ("right" in sides and column == columns - 1)
        or ("top" in sides and row == 0)
        or ("bottom" in sides and row == rows - 1)
    )


def _even(reading: Reading) -> tuple[Floats, Floats]:
    """Corners of blocks from the rows and columns of a reading, as its record has them; then of those between."""
    rows, columns = np.array(reading.row_spans or ()), np.array(reading.column_spans or ())
    if not len(rows) or not len(columns):
        return np.zeros((0, 0, 4, 2)), np.zeros((0, 0, 4, 2))
    if reading.setting == "on point":
        middles = [(spans[:-1] + spans[1:]) / 2 for spans in (rows, columns)]
        return _corners(rows, columns, on_point=True), _corners(*middles, on_point=True)
    return _corners(rows, columns, on_point=False), np.zeros((0, 0, 4, 2))


def _corners(rows: Floats, columns: Floats, *, on_point: bool) -> Floats:
    corners = np.empty((len(rows), len(columns), 4, 2))
    if on_point:
        middle_x, middle_y = columns.mean(axis=1)[None, :], rows.mean(axis=1)[:, None]
        along = [
            (middle_x, rows[:, None, 0]),
            (columns[None, :, 1], middle_y),
            (middle_x, rows[:, None, 1]),
            (columns[None, :, 0], middle_y),
        ]
    else:
        (left, right), (top, bottom) = columns.T[:, None, :], rows.T[:, :, None]
        along = [(left, top), (right, top), (right, bottom), (left, bottom)]
    for number, (x, y) in enumerate(along):
        corners[..., number, 0], corners[..., number, 1] = x, y
    return corners
