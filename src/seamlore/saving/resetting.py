"""Re-setting: the same blocks in the same places with new sashing: seams to open, strips to cut."""

from __future__ import annotations

from dataclasses import dataclass
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
    """

    seams: Length
    edges: Length
    short: tuple[int, Length, Length]
    long: tuple[int, Length, Length]
    strips: int


def reset(
    rows: int,
    columns: int,
    block: tuple[Length, Length],
    old: tuple[Length, Length],
    new: Length,
    seam: Length,
    fabric_width: Length,
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

    Raises
    ------
    MeasureError
        When the new sashing is wider than a block or less than 0.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> found = reset(8, 7, (inches(8), inches(8)), (inches(3), inches(3)), inches(2), inches("1/4"), inches(42))
    >>> str(found.seams), found.short[0], str(found.short[1]), found.long[0], found.strips
    ('1804 in', 48, '8 1/2 in', 7, 24)
    >>> reset(2, 2, (inches(8), inches(8)), (inches(0), inches(0)), inches(0), inches("1/4"), inches(42)).strips
    0
    """
    if new.inches < 0 or new.inches > max(side.inches for side in block):
        raise MeasureError(f"new sashing of {new}", "it is from 0 to the size of a block", "choose another width")
    width, height = block[0] * columns + old[0] * (columns - 1), block[1] * rows + old[1] * (rows - 1)
    # A gap with sashing has a seam at both of its sides, one without has one.
    beside, between = (2 if each.inches > 0 else 1 for each in old)
    seams = block[1] * (rows * (columns - 1) * beside) + width * ((rows - 1) * between)
    none = (0, new * 0, new * 0)
    short = long = none
    strips = 0
    if new.inches > 0:
        cut = new + seam * 2
        length = block[0] * columns + new * (columns - 1) + seam * 2
        short = (rows * (columns - 1), block[1] + seam * 2, cut)
        long = (rows - 1, length, cut)
        each = max(int(fabric_width.inches // short[1].inches), 1)
        # A long strip may be joined from several: joining takes two seams each time, straight across.
        whole = (long[1] * long[0]).inches + 2 * seam.inches * long[0] * ceil(long[1].inches / fabric_width.inches)
        strips = ceil(short[0] / each) + ceil(whole / fabric_width.inches)
    return Opened(seams, (width + height) * 2, short, long, strips)
