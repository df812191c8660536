"""How blocks lie in a quilt: straight, on point, rows offset by half, strips; and how large that makes them.

A setting says only what kind it is; rows, columns, block and sashing belong to the quilt. `parts` has
what a setting is made of, `straight` and `on_point` lay it out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from seamlore.errors import ShapeError
from seamlore.lengths import Length, root2, show


@dataclass(frozen=True, slots=True)
class Straight:
    """Blocks side by side, square to the edge of the quilt."""


@dataclass(frozen=True, slots=True)
class OnPoint:
    """Blocks turned to stand on a corner, in rows and columns counted where they are widest.

    Parameters
    ----------
    edge : {"triangles", "half blocks"}
        How the edge is made straight: with side and corner triangles round whole blocks, or with more blocks
        that the edge cuts in half.
    """

    edge: Literal["triangles", "half blocks"] = "triangles"


@dataclass(frozen=True, slots=True)
class Offset:
    """Every second row shifted by half a block, as bricks are laid.

    Parameters
    ----------
    ends : {"cut blocks", "plain"}
        What fills the two ends of a shifted row: blocks that the edge cuts, or plain pieces.
    """

    ends: Literal["cut blocks", "plain"] = "cut blocks"


@dataclass(frozen=True, slots=True)
class Strips:
    """Columns of blocks with plain strips of the full height between them: a strippy quilt.

    Parameters
    ----------
    width : Length
        Finished width of the plain strips.
    outer : bool
        Whether a strip also stands left and right of the blocks.
    on_point : bool
        Whether the blocks of a column stand on point, filled out with side and corner triangles.
    """

    width: Length
    outer: bool = False
    on_point: bool = False


Setting = Straight | OnPoint | Offset | Strips
STRAIGHT = Straight()


@dataclass(frozen=True, slots=True)
class Cut:
    """How much the edge has cut off the outermost blocks and sashing, before any border; finished lengths."""

    left: Length
    top: Length
    right: Length
    bottom: Length


@dataclass(frozen=True, slots=True)
class Measure:
    """The numbers that the size of a setting hangs on.

    Parameters
    ----------
    rows, columns : int
        Of blocks; on point where they are widest.
    width, height : Length
        Of a block, finished.
    across, down : Length
        Of the sashing between columns and between rows; 0 without.
    outer : bool
        Whether sashing also runs round the outside.
    """

    rows: int
    columns: int
    width: Length
    height: Length
    across: Length
    down: Length
    outer: bool = False


def field_size(setting: Setting, of: Measure) -> tuple[Length, Length]:
    """Give the finished size of blocks and setting, before anything is cut off and without borders.

    Parameters
    ----------
    setting : Straight, OnPoint, Offset or Strips
        The kind.
    of : Measure
        The numbers.

    Returns
    -------
    tuple of Length
        Width and height; exact, but on point a multiple of the square root of two to within a millionth of a
        millionth, to be rounded when it is shown.

    Examples
    --------
    Four by five 12 in blocks on point; then twenty 9 in blocks in sashing of 3 5/8 in, outside too.

    >>> from seamlore.lengths import inches
    >>> of = Measure(5, 4, inches(12), inches(12), inches(0), inches(0))
    >>> [round(side.inches_float, 2) for side in field_size(OnPoint(), of)]
    [67.88, 84.85]
    >>> gap = inches("29/8")
    >>> field_size(STRAIGHT, Measure(5, 4, inches(9), inches(9), gap, gap, outer=True))
    (Length('54 1/8 in'), Length('66 3/4 in'))
    >>> field_size(STRAIGHT, Measure(1, 1, inches(9), inches(9), gap, gap))
    (Length('9 in'), Length('9 in'))
    """
    if isinstance(setting, OnPoint):
        wide = (of.width + of.across) * (of.columns - 1) + padded(of)
        high = (of.width + of.across) * (of.rows - 1) + padded(of)
        return root2(wide), root2(high)
    if isinstance(setting, Strips):
        row = root2(of.height) if setting.on_point else of.height
        strips = of.columns + (1 if setting.outer else -1)
        return column_width(setting, of) * of.columns + setting.width * strips, row * of.rows
    more = 1 if of.outer else -1
    return (
        of.width * of.columns + of.across * (of.columns + more),
        of.height * of.rows + of.down * (of.rows + more),
    )


def column_width(setting: Strips, of: Measure) -> Length:
    """Give the finished width of one column of blocks in strips: on point it is the block's diagonal."""
    return root2(of.width) if setting.on_point else of.width


def padded(of: Measure) -> Length:
    """Give the side of an outermost block with the sashing that stands outside it."""
    return of.width + of.across * 2 if of.outer else of.width


def spots(setting: Setting, rows: int, columns: int) -> Iterator[tuple[int, int]]:
    """List the row and column of every block, counted from 0 at the top left.

    On point every second row is one of the shorter rows between; a shifted row with cut blocks has one more.

    Examples
    --------
    >>> len(list(spots(OnPoint(), 5, 4))), len(list(spots(STRAIGHT, 7, 5)))
    (32, 35)
    >>> list(spots(Offset("plain"), 2, 2)), len(list(spots(OnPoint("half blocks"), 1, 1)))
    ([(0, 0), (0, 1), (1, 0)], 5)
    """
    return ((row, column) for row, count in enumerate(row_counts(setting, rows, columns)) for column in range(count))


def row_counts(setting: Setting, rows: int, columns: int) -> list[int]:
    """Count the blocks of every row as it is laid; counted as in `spots`.

    Examples
    --------
    >>> row_counts(OnPoint(), 2, 3), row_counts(Offset("plain"), 2, 2), row_counts(STRAIGHT, 0, 3)
    ([3, 2, 3], [2, 1], [])
    """
    if isinstance(setting, OnPoint):
        halves = setting.edge == "half blocks"
        # With cut blocks the row that the top edge halves comes first, and it is one of the longer.
        return [columns + halves - row % 2 for row in range(2 * rows + 1 if halves else 2 * rows - 1)]
    more = {"cut blocks": 1, "plain": -1}[setting.ends] if isinstance(setting, Offset) else 0
    return [columns + more * (row % 2) for row in range(rows)]


def row_as_laid(setting: Setting, row: int, *, between: bool = False) -> int:
    """Give the row of a quilt in which a row of whole blocks lies, or one of the blocks between them.

    Parameters
    ----------
    setting : Straight, OnPoint, Offset or Strips
    row : int
        Counted from 0 among the whole rows, or among those between.
    between : bool
        Whether it is one of those between, which there are on point only.

    Examples
    --------
    >>> row_as_laid(OnPoint(), 2), row_as_laid(OnPoint(), 2, between=True), row_as_laid(STRAIGHT, 2)
    (4, 5, 2)
    >>> row_as_laid(OnPoint("half blocks"), 0)
    1
    """
    if not isinstance(setting, OnPoint):
        return row
    # With half blocks the row that the top edge halves comes first.
    first = 1 if setting.edge == "half blocks" else 0
    return 2 * row + first + between


def takes_every_other(setting: Setting, row: int, column: int) -> bool:
    """Tell whether the second of two blocks that take turns lies here: every other one, as on a checkerboard.

    On point it fills the shorter rows between the others, so that the first block stands at the corners.
    """
    if isinstance(setting, OnPoint):
        return row % 2 == (0 if setting.edge == "half blocks" else 1)
    return (row + column) % 2 == 1


def check_setting(setting: Setting, of: Measure, *, cornerstones: bool) -> None:
    """Refuse a setting that these blocks and this sashing cannot be sewn into.

    Raises
    ------
    ShapeError
        When blocks on point are not square or their sashing has two widths; when strips or shifted rows are
        asked for together with what they leave no place for.
    """
    if isinstance(setting, OnPoint) or (isinstance(setting, Strips) and setting.on_point):
        if of.width != of.height:
            raise ShapeError(
                f"a block of {show(of.width)} by {show(of.height)} on point",
                "a block on point is square, since its setting triangles have two equal sides",
                "make width and height the same",
            )
        if of.across != of.down:
            raise ShapeError(
                f"sashing of {show(of.across)} and {show(of.down)} on point",
                "all sashing on point has one width",
                "make both the same",
            )
    if isinstance(setting, OnPoint) and setting.edge == "half blocks" and of.across:
        raise ShapeError(
            f"sashing of {show(of.across)} with half blocks at the edge",
            "sashed blocks on point are finished with side triangles",
            "leave out the sashing or the half blocks",
        )
    if isinstance(setting, Strips):
        if setting.width.inches <= 0:
            raise ShapeError(f"strips of {show(setting.width)}", "a strip is wider than 0", "give its finished width")
        if of.across or of.down:
            raise ShapeError("sashing in a quilt set in strips", "the strips stand in its place", "leave it out")
    if isinstance(setting, Offset):
        if cornerstones or of.outer:
            raise ShapeError(
                "cornerstones or outer sashing with rows offset by half",
                "shifted rows do not meet at corners",
                "leave them out, or set the blocks straight",
            )
        if of.rows < 2 or of.columns < 2:
            raise ShapeError(
                f"{of.rows} rows of {of.columns} blocks offset by half",
                "it takes 2 of each to see that rows are shifted",
                "give more rows or columns, or set the blocks straight",
            )
        if of.across >= of.width:
            raise ShapeError(
                f"sashing of {show(of.across)} between blocks of {show(of.width)}, rows offset by half",
                "the sashing must be narrower than the block, or nothing is left at the ends",
                "use narrower sashing",
            )
