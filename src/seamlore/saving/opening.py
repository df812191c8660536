"""How much seam is to be opened before the blocks of a quilt are free."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from seamlore.errors import MeasureError
from seamlore.lengths import Length


def seams(
    rows: int,
    columns: int,
    block: tuple[Length, Length],
    old: tuple[Length, Length],
    bordered: Collection[str] = (),
    cut: Mapping[str, Length] | None = None,
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
        Sides along which something is sewn to the outermost blocks.
    cut : mapping of side to Length, optional
        What the edge has cut off them: so much shorter are the seams that end there.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> str(seams(2, 3, (inches(8), inches(8)), (inches(0), inches(0))))
    '56 in'
    >>> str(seams(2, 3, (inches(8), inches(8)), (inches(0), inches(0)), {"top", "left"}))
    '96 in'
    >>> str(seams(2, 3, (inches(8), inches(8)), (inches(0), inches(0)), cut={"left": inches(4), "top": inches(2)}))
    '48 in'
    """
    none = block[0] * 0
    gone = {side: (cut or {}).get(side, none) for side in ("left", "top", "right", "bottom")}
    width = block[0] * columns + old[0] * (columns - 1) - gone["left"] - gone["right"]
    # Short seams are as long as their blocks are high, sashing between the rows left out.
    high = block[1] * rows - gone["top"] - gone["bottom"]
    # A gap with sashing has a seam at both of its sides, one without has one.
    beside, between = (2 if each.inches > 0 else 1 for each in old)
    found = high * ((columns - 1) * beside) + width * ((rows - 1) * between)
    for side in bordered:
        found += width if side in ("top", "bottom") else high + old[1] * (rows - 1)
    return found


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


def seams_kept(
    rows: int,
    columns: int,
    block: tuple[Length, Length],
    old: tuple[Length, Length],
    bordered: Collection[str],
    cut: Mapping[str, Length],
) -> Length:
    """As `seams`, where the blocks that the edge cuts are left out, and need not be parted from each other.

    Examples
    --------
    By hand, 3 x 3 blocks of 8 in of which the left column is cut: 3 x 8 beside the column, 3 x 8 between the others,
    2 x 16 between their rows.

    >>> from seamlore.lengths import inches
    >>> str(seams_kept(3, 3, (inches(8), inches(8)), (inches(0), inches(0)), (), {"left": inches(4)}))
    '80 in'
    """
    rows -= ("top" in cut) + ("bottom" in cut)
    columns -= ("left" in cut) + ("right" in cut)
    if rows < 1 or columns < 1:
        raise MeasureError("re-setting without the cut blocks", "no whole block is left", "complete them instead")
    return seams(rows, columns, block, old, {*bordered, *cut})
