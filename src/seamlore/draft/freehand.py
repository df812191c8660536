"""Seams drawn by a free hand: ends put where a seam can begin or end. Exact throughout."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from seamlore.draft.block import Block, Corner, Patch
from seamlore.draft.exact.roots import Exact

# How near, in parts of the block's side, the hand must come to a corner or a seam to be meant; on a fine block half of
# the way to the next point of its grid. Own judgement, as with a pencil on a block drawn 6 in wide.
_REACH = Fraction(1, 40)
# On a seam the hand is put at a whole number of these parts of it: its half, thirds, quarters, sixths and eighths are
# among them.
_PARTS = 24
# Elsewhere it is put on a grid so many times as fine as the block's own.
_FINER = 8


def snapped(given: Block, point: Corner) -> Corner:
    """Put a point where a quilter would mean it: on a corner or the grid, on a seam, else on a finer grid.

    Parameters
    ----------
    given : Block
    point : (Fraction, Fraction)
        In parts of the block's side.

    Returns
    -------
    (Fraction, Fraction)

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> half = read_block("block Half\\nA light\\nB dark\\n\\nA/B")
    >>> x, y = snapped(half, (Fraction(31, 100), Fraction(70, 100)))
    >>> str(x), str(y)
    ('7/24', '17/24')
    >>> snapped(half, (Fraction(1, 100), Fraction(0))) == (0, 0)
    True
    """
    # What was put on the finer grid may have come near to a seam, and then to a corner: three moves at most.
    while (put := _put(given, point)) != point:
        point = put
    return point


def _put(given: Block, point: Corner) -> Corner:
    reach = min(_REACH, Fraction(1, 8 * given.divisions))
    corners = {corner for each in given.patches for corner in each.outline}
    near = min([*corners, _on_grid(point, 2 * given.divisions)], key=lambda each: (_apart(each, point), each))
    if _apart(near, point) <= reach**2:
        return near
    on_seams = [_on_line(point, start, end) for each in given.patches for start, end in _sides(each)]
    near = min(on_seams, key=lambda each: (_apart(each, point), each))
    return near if _apart(near, point) <= reach**2 else _on_grid(point, _FINER * given.divisions)


def carried(given: Block, start: Corner, end: Corner) -> tuple[Corner, Corner]:
    """Carry the ends of a seam that lie inside a patch on to its side: no seam ends in the midst of cloth.

    Parameters
    ----------
    given : Block
    start, end : (Fraction, Fraction)
        In parts of the block's side.

    Returns
    -------
    start, end : (Fraction, Fraction)
        On the same line; the very points given where they lie on a seam or on the edge, or are one point.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> plain = read_block("block Plain\\nA light\\n\\nA")
    >>> middle = Fraction(1, 2), Fraction(1, 2)
    >>> carried(plain, (Fraction(0), Fraction(1, 2)), middle)[1] == (1, Fraction(1, 2))
    True
    >>> carried(plain, middle, middle) == (middle, middle)
    True
    """
    if start == end:
        return start, end
    return _on_to_side(given, end, start), _on_to_side(given, start, end)


def _on_to_side(given: Block, come_from: Corner, at: Corner) -> Corner:
    home = next((each for each in given.patches if _inside(each, at)), None)
    if home is None:
        return at
    dx, dy = at[0] - come_from[0], at[1] - come_from[1]
    ways = []
    for (x0, y0), (x1, y1) in _sides(home):
        ex, ey = x1 - x0, y1 - y0
        across = dx * ey - dy * ex
        if across == 0:
            continue
        along = ((x0 - at[0]) * ey - (y0 - at[1]) * ex) / across
        on_side = ((x0 - at[0]) * dy - (y0 - at[1]) * dx) / across
        if along > 0 and 0 <= on_side <= 1:
            ways.append(along)
    way = min(ways)
    return at[0] + way * dx, at[1] + way * dy


def _inside(each: Patch, point: Corner) -> bool:
    """Whether a point lies within a patch and not on its sides."""
    x, y = point
    odd = False
    for (x0, y0), (x1, y1) in _sides(each):
        turn = (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)
        if turn == 0 and min(x0, x1) <= x <= max(x0, x1) and min(y0, y1) <= y <= max(y0, y1):
            return False
        if (y0 > y) != (y1 > y) and (turn > 0) == (y1 > y0):
            odd = not odd
    return odd


def _sides(each: Patch) -> Iterator[tuple[Corner, Corner]]:
    return zip(each.outline, each.outline[1:] + each.outline[:1], strict=True)


def _apart(one: Corner, two: Corner) -> Exact:
    return (one[0] - two[0]) ** 2 + (one[1] - two[1]) ** 2


def _on_grid(point: Corner, parts: int) -> Corner:
    x, y = (min(max(Fraction(round(value * parts), parts), Fraction(0)), Fraction(1)) for value in point)
    return x, y


def _on_line(point: Corner, start: Corner, end: Corner) -> Corner:
    """The nearest of the even parts of a side."""
    # Told from its lower end, so that both patches of a seam give the same points.
    low, high = min(start, end), max(start, end)
    dx, dy = high[0] - low[0], high[1] - low[1]
    share = (dx * (point[0] - low[0]) + dy * (point[1] - low[1])) / (dx**2 + dy**2)
    part = Fraction(min(max(round(share * _PARTS), 0), _PARTS), _PARTS)
    return low[0] + part * dx, low[1] + part * dy
