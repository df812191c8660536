"""Re-setting: the same blocks in the same places with new sashing: seams to open, strips to cut."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from seamlore.errors import MeasureError
from seamlore.lengths import Length


@dataclass(frozen=True, slots=True)
class Opened:
    """Seams to open, and new strips.

    Parameters
    ----------
    seams : Length
        Inches of seam to open before every block is free: between blocks and strips, or from block to block.
    edges : Length
        Inches of edge finish to open.
    short, long : (count, length, width)
        New strips between blocks of a row, and between rows, cut size; a count of 0 where there are none.
    strips : int
        Strips across the width of the fabric for them.
    borders : tuple of (count, length, width)
        Strips of a new border, cut size: the sides, then top and bottom over their ends.
    border_strips : int
        Strips across the width of the fabric for these.
    """

    seams: Length
    edges: Length
    short: tuple[int, Length, Length]
    long: tuple[int, Length, Length]
    strips: int
    borders: tuple[tuple[int, Length, Length], ...] = ()
    border_strips: int = 0


def seams(
    rows: int, columns: int, block: tuple[Length, Length], old: tuple[Length, Length], bordered: Collection[str] = ()
) -> Length:
    """Say how much seam is to be opened before every block, set straight, is free.

    Parameters
    ----------
    rows, columns : int
    block : (width, height)
        Finished.
    old : (between columns, between rows)
        Sashing as it is; 0 where block is sewn to block.
    bordered : collection of {"left", "top", "right", "bottom"}
        Sides along which a border is sewn to the outermost blocks.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> str(seams(2, 3, (inches(8), inches(8)), (inches(0), inches(0))))
    '56 in'
    >>> str(seams(2, 3, (inches(8), inches(8)), (inches(0), inches(0)), {"top", "left"}))
    '96 in'
    """
    width, height = _field(rows, columns, block, old)
    # A gap with sashing has a seam at both of its sides, one without has one.
    beside, between = (2 if each.inches > 0 else 1 for each in old)
    found = block[1] * (rows * (columns - 1) * beside) + width * ((rows - 1) * between)
    for side in bordered:
        found += width if side in ("top", "bottom") else height
    return found


def _field(
    rows: int, columns: int, block: tuple[Length, Length], gap: tuple[Length, Length]
) -> tuple[Length, Length]:
    return block[0] * columns + gap[0] * (columns - 1), block[1] * rows + gap[1] * (rows - 1)


def seams_on_point(at: Collection[tuple[int, int]], side: Length, sashed: bool) -> Length:
    """Say how much seam is to be opened before every block on point is free, the setting triangles round them too.

    Parameters
    ----------
    at : collection of (row, column)
        The blocks; every second row is one of those between the whole rows.
    side : Length
        Of a block, finished.
    sashed : bool
        Whether strips lie between them.

    Examples
    --------
    Four whole blocks round one between them: it shares each of its sides with one of these.

    >>> from seamlore.lengths import inches
    >>> five = [(0, 0), (0, 1), (1, 0), (2, 0), (2, 1)]
    >>> str(seams_on_point(five, inches(8), False)), str(seams_on_point(five, inches(8), True))
    ('128 in', '160 in')
    """
    there = set(at)
    shared = sum(
        (row + step, column + aside) in there
        for row, column in there
        if row % 2
        for step in (-1, 1)
        for aside in (0, 1)
    )
    return side * (4 * len(there) - (0 if sashed else shared))


def reset(
    rows: int,
    columns: int,
    block: tuple[Length, Length],
    old: tuple[Length, Length],
    new: Length,
    seam: Length,
    fabric_width: Length,
    *,
    border: Length | None = None,
    bordered: Collection[str] = (),
    around: tuple[Length, Length] | None = None,
) -> Opened:
    """Reckon what it takes to set the same blocks anew.

    Parameters
    ----------
    rows, columns : int
    block : (width, height)
        Finished.
    old : (between columns, between rows)
        Sashing as it is; 0 where block is sewn to block.
    new : Length
        Finished width of the new sashing; 0 for none.
    seam, fabric_width : Length
    border : Length, optional
        Finished width of a new border all round; none when not given.
    bordered : collection of str
        Sides of the old quilt that have a border.
    around : (width, height), optional
        Of the old quilt, whose edge is opened; that of its blocks when not given.

    Raises
    ------
    MeasureError
        When the new sashing or border is wider than a block or less than 0.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> found = reset(8, 7, (inches(8), inches(8)), (inches(3), inches(3)), inches(2), inches("1/4"), inches(42))
    >>> str(found.seams), found.short[0], str(found.short[1]), found.long[0], found.strips
    ('1804 in', 48, '8 1/2 in', 7, 24)
    >>> reset(2, 2, (inches(8), inches(8)), (inches(0), inches(0)), inches(0), inches("1/4"), inches(42)).strips
    0
    >>> framed = reset(2, 2, (inches(8), inches(8)), (inches(0), inches(0)), inches(0), inches("1/4"), inches(42), border=inches(3))
    >>> [(count, str(long), str(wide)) for count, long, wide in framed.borders], framed.border_strips
    ([(2, '16 1/2 in', '3 1/2 in'), (2, '22 1/2 in', '3 1/2 in')], 2)
    """
    for what, wide in (("sashing", new), ("border", border or new * 0)):
        if wide.inches < 0 or wide.inches > max(side.inches for side in block):
            raise MeasureError(f"new {what} of {wide}", "it is from 0 to the size of a block", "choose another width")
    whole = around or _field(rows, columns, block, old)
    none = (0, new * 0, new * 0)
    short = long = none
    strips = 0
    if new.inches > 0:
        cut = new + seam * 2
        length = block[0] * columns + new * (columns - 1) + seam * 2
        short = (rows * (columns - 1), block[1] + seam * 2, cut)
        long = (rows - 1, length, cut)
        each = max(int(fabric_width.inches // short[1].inches), 1)
        strips = ceil(short[0] / each) + _joined([long], seam, fabric_width)
    borders: tuple[tuple[int, Length, Length], ...] = ()
    border_strips = 0
    if border is not None and border.inches > 0:
        width, height = _field(rows, columns, block, (new, new))
        # Both sides first, then top and bottom over their ends.
        borders = ((2, height + seam * 2, border + seam * 2), (2, width + (border + seam) * 2, border + seam * 2))
        border_strips = _joined(borders, seam, fabric_width)
    return Opened(
        seams(rows, columns, block, old, bordered),
        (whole[0] + whole[1]) * 2,
        short,
        long,
        strips,
        borders,
        border_strips,
    )


def _joined(pieces: Sequence[tuple[int, Length, Length]], seam: Length, fabric_width: Length) -> int:
    """How many strips across the fabric give long ones, joined straight across: joining takes two seams each time.

    One that begins in what is left of a strip is joined once more than its length alone asks for.
    """
    whole = sum(
        (
            count * (long.inches + 2 * seam.inches * ceil(long.inches / fabric_width.inches))
            for count, long, _ in pieces
        ),
        Fraction(0),
    )
    return ceil(whole / fabric_width.inches)
