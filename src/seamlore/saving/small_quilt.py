"""A smaller quilt from the sound blocks: the best rows by columns and sashing to a wished size."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from seamlore.errors import MeasureError
from seamlore.lengths import Length, inches

# A ruler's mark, on which sashing is cut.
MARK = inches("1/8")
# Times the old quilt's proportion: what is longer or wider is a band, and no quilt. Our own judgement.
_A_BAND = 2


@dataclass(frozen=True, slots=True)
class SmallQuilt:
    """A setting of some blocks.

    Parameters
    ----------
    rows, columns : int
    sashing : Length
        Between blocks, the same both ways; 0 for none.
    width, height : Length
        Finished, without borders.
    left_over : int
        Blocks that it does not take.
    off : Length
        How far width and height together are from what was wished; 0 where nothing was.
    """

    rows: int
    columns: int
    sashing: Length
    width: Length
    height: Length
    left_over: int
    off: Length


def best(
    blocks: int,
    block: tuple[Length, Length],
    sashing: tuple[Length, Length],
    *,
    wished: tuple[Length, Length] | None = None,
    like: tuple[int, int] = (1, 1),
    outer: bool = False,
) -> SmallQuilt:
    """Find the best smaller quilt.

    Parameters
    ----------
    blocks : int
        How many sound ones there are.
    block : (width, height)
        Finished.
    sashing : (least, most)
        Between which its width may be chosen, on eighths of an inch from the least on; alike for one width.
    wished : (width, height), optional
        The nearest to it is best, width and height counted alike; then the one with most blocks, the narrowest sashing.
        Without a wish, of those at most twice as long or as wide for their width or length as the old quilt, the one with
        most blocks is best, then the one most like the old quilt.
    like : (rows, columns)
        Of the old quilt.
    outer : bool
        Whether sashing runs round the outside too.

    Raises
    ------
    MeasureError
        When there is no block, the wished size is smaller than one, or the narrowest sashing is wider than the widest.

    Examples
    --------
    >>> three = inches(3), inches(3)
    >>> found = best(30, (inches(8), inches(8)), three, like=(8, 7))
    >>> found.rows, found.columns, str(found.width), str(found.height), found.left_over
    (6, 5, '52 in', '63 in', 0)
    >>> best(0, (inches(8), inches(8)), three)
    Traceback (most recent call last):
        ...
    seamlore.errors.MeasureError: no sound block: a quilt of blocks needs at least one; ...
    """
    if blocks < 1:
        raise MeasureError(
            "no sound block",
            "a quilt of blocks needs at least one",
            "look at what the cut and doubtful blocks and the backing can still give, or keep it as it is",
        )
    if sashing[1].inches < sashing[0].inches:
        raise MeasureError(
            f"sashing from {sashing[0]} to {sashing[1]}", "the narrowest comes first", "enter them the other way"
        )
    if wished is not None:
        needed = tuple(side + sashing[0] * 2 if outer else side for side in block)
        if any(side.inches < least.inches for side, least in zip(wished, needed, strict=True)):
            raise MeasureError(
                f"a wished size of {wished[0]} by {wished[1]}",
                f"one block alone is {needed[0]} by {needed[1]}",
                "wish for at least that, or for a thing of one block",
            )
    made = [
        _made(rows, columns, gap, block, blocks, wished, outer)
        for rows in range(1, blocks + 1)
        for columns in range(1, blocks // rows + 1)
        for gap in _gaps(rows, columns, block, sashing, wished, outer)
    ]
    if wished is not None:
        return min(made, key=lambda each: (each.off.inches, each.left_over, each.sashing.inches, each.rows))
    return min(
        made,
        key=lambda each: (_unlike(each, like) > _A_BAND, each.left_over, _unlike(each, like), each.sashing.inches),
    )


def _unlike(each: SmallQuilt, like: tuple[int, int]) -> Fraction:
    """How far rows by columns are from the old quilt's, as the larger of the two ratios of their ratios."""
    ratio = Fraction(each.rows * like[1], each.columns * like[0])
    return max(ratio, 1 / ratio)


def _gaps(
    rows: int,
    columns: int,
    block: tuple[Length, Length],
    sashing: tuple[Length, Length],
    wished: tuple[Length, Length] | None,
    outer: bool,
) -> Iterator[Length]:
    """Widths of sashing worth trying: the sum of two distances is least where one of them is nothing, or at an end."""
    least, most = sashing
    steps = int((most - least).inches / MARK.inches)
    tried = {0, steps} if wished is not None else {0}
    if wished is not None:
        for count, side, whole in ((columns, block[0], wished[0]), (rows, block[1], wished[1])):
            gaps = count + 1 if outer else count - 1
            if gaps:
                exact = ((whole - side * count) / gaps - least).inches / MARK.inches
                tried |= {int(exact // 1), int(exact // 1) + 1}
    for step in sorted(tried):
        if 0 <= step <= steps:
            yield least + MARK.shown_in(least.unit) * step


def _made(
    rows: int,
    columns: int,
    gap: Length,
    block: tuple[Length, Length],
    blocks: int,
    wished: tuple[Length, Length] | None,
    outer: bool,
) -> SmallQuilt:
    more = 1 if outer else -1
    width, height = block[0] * columns + gap * (columns + more), block[1] * rows + gap * (rows + more)
    off = abs(width - wished[0]) + abs(height - wished[1]) if wished is not None else width * 0
    return SmallQuilt(rows, columns, gap, width, height, blocks - rows * columns, off)
