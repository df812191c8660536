"""The whole reading of one photograph: corners, flattening, block grid, block, fabrics, alignment, warnings."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace
from math import exp, log, log1p
from typing import Literal, Protocol, TypedDict, TypeVar, Unpack

import msgspec
import numpy as np
from numpy.typing import ArrayLike, NDArray

from seamlore.errors import PhotoError
from seamlore.lengths import Length, Unit
from seamlore.limits import PAGE_ROWS
from seamlore.photo.alignment import align
from seamlore.photo.block.grid_by_blocks import spans_by_blocks
from seamlore.photo.block.patches import BlockReading, read_blocks
from seamlore.photo.edges.corners import FoundCorners, find_corners
from seamlore.photo.flatten import Flat, flatten
from seamlore.photo.frame import STRAIGHT, Bows, Corners, Frame, check_corners
from seamlore.photo.grid.grid import Grid, Setting, find_grid, survey
from seamlore.photo.opening import Photo
from seamlore.photo.perspective import proportion
from seamlore.photo.reading import Reading, Ring
from seamlore.photo.written import UnitName, reading_of

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]
T = TypeVar("T")


class Keep(Protocol):
    """Give what is kept under a key, or do the work and keep what comes of it."""

    def __call__(self, key: Hashable, work: Callable[[], T]) -> T:
        """Take a key that says all the work rests on but the photograph, and the work."""
        ...


def _afresh(key: Hashable, work: Callable[[], T]) -> T:
    return work()


# Quilts that differ by less than this in proportion are flattened alike. A half of it is what pixels may differ by across
# and down, which every length is freed of; it is less than an old quilt's blocks differ among themselves.
_ALIKE = 0.01
# Corners found that lie this near to those given, in parts of the quilt's width, are of the same edges.
_SAME_CORNERS = 0.02


@dataclass(frozen=True, eq=False)
class Look:
    """A reading and what it was made from.

    Attributes
    ----------
    reading
        What the photograph says.
    flat
        The flattened quilt, with the frame that it was flattened by.
    grid
        The block grid in pixels of the flattened picture.
    blocks
        What the blocks say together; None when there is no block grid.
    cells_quilt
        Corners of every block in the reading's unit from the quilt's top left, shape (rows, columns, 4, 2),
        clockwise from the block's own top left; each set by its own seams. Shape (0, 0, 4, 2) without a grid.
    between_quilt
        On point, the same of the blocks between the whole rows.
    """

    reading: Reading
    flat: Flat
    grid: Grid
    blocks: BlockReading | None
    cells_quilt: Floats
    between_quilt: Floats


def look(
    photo: Photo,
    *,
    size: tuple[Length, Length] | None = None,
    corners: ArrayLike | None = None,
    bows: Bows | None = None,
    setting: Setting | None = None,
    rows: int | None = None,
    columns: int | None = None,
    row_lines: Sequence[float] | None = None,
    column_lines: Sequence[float] | None = None,
    divisions: int | None = None,
    patches: Sequence[Ring] | None = None,
    progress: Progress | None = None,
    keep: Keep = _afresh,
) -> Look:
    """Read a quilt from its photograph, and keep what the reading was made from.

    Parameters
    ----------
    photo : Photo
        The photograph.
    size : (width, height), optional
        Of the quilt, by tape. Without it lengths are parts of the quilt's width.
    corners : array_like, shape (4, 2), optional
        The quilt's corners in photograph pixels, clockwise from its top left; found when not given.
    bows : four tuples of float, optional
        How its edges bow, as `Frame` takes it. Followed when not given and the edges can be found at the corners.
    setting, rows, columns : optional
        How the blocks are set and how many there are, when she says so.
    row_lines, column_lines : sequence of float, optional
        Lines of the block grid that she has put in place, in parts (0 to 1) of the quilt's height and width; each
        stands for the nearest line.
    divisions : int, optional
        Into how many parts the block's side is divided, when she says so.
    patches : sequence of rings, optional
        Outlines of the block's patches in 0..1 of the block, when she says so.
    progress : callable, optional
        Told what is being done and how far the work is, 0..1.
    keep : callable, optional
        Keeps parts of the work between two readings of this very photograph, so that a correction redoes only what
        rests on it.

    Returns
    -------
    Look

    Raises
    ------
    PhotoError
        When corners cross or lie far outside the photograph, a line is not 0 to 1, or a count cannot be.
    """
    tell = progress or (lambda _what, _part: None)
    for name, lines in (("row", row_lines), ("column", column_lines)):
        for line in lines or ():
            if not 0 <= line <= 1:
                raise PhotoError(
                    f"a {name} line at {line:g}", "lines lie at 0 to 1 of the quilt", "put it on the quilt"
                )
    if corners is not None:
        check_corners(corners, photo.size_px)
    tell("finding the quilt's edges", 0.0)
    found = keep("corners", lambda: find_corners(photo.pixels)) if corners is None or bows is None else None
    frame, from_where = _frame(photo, size, corners, bows, found)
    tell("flattening", 0.3)
    drawn = _drawn_as(frame)
    flat = Flat(keep(("flat", drawn), lambda: flatten(photo, drawn).pixels), frame)
    height_px, width_px = flat.pixels.shape[:2]

    def grid_progress(what: str, part: float) -> None:
        tell(what, 0.35 + 0.3 * part)

    def grid_of(counts: tuple[int | None, int | None], asked: Setting | None) -> tuple[Hashable, Grid]:
        key = ("grid", drawn, asked, *counts, tuple(row_lines or ()), tuple(column_lines or ()))
        return key, keep(
            key,
            lambda: find_grid(
                flat.pixels,
                seen=keep(("survey", drawn), lambda: survey(flat.pixels, progress=grid_progress))
                if asked != "none"
                else None,
                rows=counts[0],
                columns=counts[1],
                setting=asked,
                row_lines=[line * height_px for line in row_lines or ()],
                column_lines=[line * width_px for line in column_lines or ()],
                progress=grid_progress,
            ),
        )

    # A grid that she has counted is no longer in doubt.
    counted = rows is not None and columns is not None
    given = tuple(patches) if patches is not None else None

    def blocks_on(key: Hashable, grid: Grid) -> BlockReading:
        # The block reading counts pixels from the middle of the first; what it says in pixels is measured afterwards.
        return keep(
            ("blocks", key, divisions, given),
            lambda: read_blocks(
                flat.pixels,
                grid.cells - 0.5,
                px_per_unit=1.0,
                between=grid.between - 0.5,
                grid_confidence=1.0 if counted else grid.confidence,
                divisions=divisions,
                patches=patches,
            ),
        )

    key, grid = grid_of((rows, columns), setting)
    blocks: BlockReading | None = None
    if grid.setting != "none":
        tell("reading the blocks", 0.65)
        blocks = blocks_on(key, grid)
        if blocks.of_quarters and rows is None and columns is None and max(grid.rows, grid.columns) <= PAGE_ROWS // 2:
            key, finer = grid_of((2 * grid.rows, 2 * grid.columns), grid.setting)
            # That there are so many is no surer than what it rests on.
            finer = replace(finer, confidence=min(finer.confidence, grid.confidence))
            again = blocks_on((key, "quarters"), finer)
            grid, blocks = (finer, again) if again.kinds else (grid, blocks)
        blocks = _measured(blocks, flat)
        # Lines put in place by hand stay.
        grid = spans_by_blocks(grid, blocks.cells + 0.5, rows=not row_lines, columns=not column_lines)
    unit: UnitName = "width" if size is None else _unit_name(size[0].unit)
    seen = frame_proportion(photo, frame) if size is not None else None
    reading = reading_of(photo, frame, from_where, found, grid, blocks, unit, flat, seen, counted=counted)
    tell("done", 1.0)
    cells = (blocks.cells + 0.5) / flat.scale if blocks is not None else grid.cells
    return Look(reading, flat, grid, blocks, cells, grid.between / flat.scale)


def _drawn_as(frame: Frame) -> Frame:
    """Give the frame by which a quilt is flattened: all that differ little in proportion are flattened alike.

    So a size that is taped anew changes what a pixel measures, and nothing has to be looked for again.
    """
    width, height = frame.size
    step = log1p(_ALIKE)
    count = round(log(width / height) / step)
    # What is far too long is refused, and by its own size.
    return frame if abs(count * step) > log(40) else frame.resized(exp(count * step), 1.0)


def _measured(blocks: BlockReading, flat: Flat) -> BlockReading:
    """Take the alignment of blocks from pixels to the quilt's unit."""
    alignment = align((blocks.cells + 0.5) / flat.scale, px_per_unit=1.0)
    shifts = alignment.shift.tolist()
    return replace(
        blocks,
        blocks=tuple(
            msgspec.structs.replace(each, shift=tuple(shifts[each.row][each.column])) for each in blocks.blocks
        ),
        alignment=alignment,
    )


class Given(TypedDict, total=False):
    """What `look` can be given."""

    size: tuple[Length, Length] | None
    corners: ArrayLike | None
    bows: Bows | None
    setting: Setting | None
    rows: int | None
    columns: int | None
    row_lines: Sequence[float] | None
    column_lines: Sequence[float] | None
    divisions: int | None
    patches: Sequence[Ring] | None
    progress: Progress | None


def read_photo(photo: Photo, **given: Unpack[Given]) -> Reading:
    """Read a quilt from its photograph; takes what `look` takes, and gives its reading alone."""
    return look(photo, **given).reading


def frame_proportion(photo: Photo, frame: Frame) -> float:
    """Say how many times as wide as tall the quilt looks in the photograph."""
    return proportion(frame.corners, photo.size_px)


def _unit_name(unit: Unit) -> Literal["in", "cm"]:
    return "in" if unit is Unit.INCH else "cm"


def _frame(
    photo: Photo,
    size: tuple[Length, Length] | None,
    corners: ArrayLike | None,
    bows: Bows | None,
    found: FoundCorners | None,
) -> tuple[Frame, Literal["given", "found"]]:
    """Lay the frame: by what is given first, by what was found where nothing is."""
    if corners is None:
        assert found is not None
        used: Corners = found.corners
        bent = bows if bows is not None else found.bows
    else:
        points = check_corners(corners, photo.size_px)
        used = tuple((float(x), float(y)) for x, y in points)  # type: ignore[assignment]
        bent = bows if bows is not None else _borrowed(points, found)
    if size is None:
        wide = (1.0, 1.0 / proportion(used, photo.size_px))
    else:
        unit = size[0].unit
        wide = (float(size[0].measured_in(unit)), float(size[1].measured_in(unit)))
    return Frame(used, wide, bent), "found" if corners is None else "given"


def _borrowed(points: Floats, found: FoundCorners | None) -> Bows:
    """Take the bow of the edges found, when they run to the corners given."""
    if found is None:
        return STRAIGHT
    width = float(np.linalg.norm(points[1] - points[0]))
    off = np.linalg.norm(np.asarray(found.corners) - points, axis=1)
    near = off < _SAME_CORNERS * width
    top, right, bottom, left = (
        bow if near[side] and near[(side + 1) % 4] else () for side, bow in enumerate(found.bows)
    )
    return top, right, bottom, left
