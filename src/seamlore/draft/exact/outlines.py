"""Outlines with exact corners: made whole numbers, made canonical, and the cover test that rounds nothing.

Whole numbers are many times quicker than fractions, and a catalogue is thousands of corners. Where a corner has a part
of the square root of two, what is made whole are its parts, and the same steps run on such numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import gcd, lcm

from seamlore.draft.exact.roots import SQRT2 as SQRT2
from seamlore.draft.exact.roots import Exact, Root2

Corner = tuple[Exact, Exact]
# A coordinate made whole: an int, or a number with a root whose two parts are whole.
Whole = int | Root2 | Fraction
Point = tuple[Whole, Whole]


def whole_numbers(rings: Sequence[Sequence[Corner]]) -> tuple[int, list[list[Point]]]:
    """Multiply outlines by the least number that makes every corner whole.

    Examples
    --------
    >>> whole_numbers([[(Fraction(1, 2), Fraction(1, 3)), (Fraction(1), Fraction(0))]])
    (6, [[(3, 2), (6, 0)]])
    >>> whole_numbers([[(Fraction(1), 1 + SQRT2 / 2)]])
    (2, [[(2, Root2('2+sqrt2'))]])
    >>> whole_numbers([])
    (1, [])
    """
    scale = lcm(*{number.denominator for ring in rings for corner in ring for number in corner})

    def whole(number: Exact) -> Whole:
        if isinstance(number, Fraction):
            return number.numerator * (scale // number.denominator)
        return number * scale

    return scale, [[(whole(x), whole(y)) for x, y in ring] for ring in rings]


def part(number: Whole, scale: int) -> Exact:
    """Divide a whole number by the scale that made it whole.

    Examples
    --------
    >>> part(3, 6), part(2 + SQRT2, 2)
    (Fraction(1, 2), Root2('1+sqrt2/2'))
    """
    return Fraction(number, scale) if isinstance(number, int) else number / scale


def tidy(ring: Sequence[Point]) -> list[Point]:
    """Drop corners on straight sides, turn clockwise, begin at the topmost, then leftmost corner.

    Examples
    --------
    >>> tidy([(2, 0), (0, 0), (0, 2), (2, 2), (2, 1)])
    [(0, 0), (2, 0), (2, 2), (0, 2)]
    >>> tidy([(0, 0), (2, 0), (1, 0)])
    []
    """
    kept = list(ring)
    # Dropping one corner can lay two others onto one side, as at a spike: repeat until nothing changes.
    while True:
        count = len(kept)
        if count < 3:
            return []
        kept = [
            (x, y)
            for index, (x, y) in enumerate(kept)
            if (x - kept[index - 1][0]) * (kept[(index + 1) % count][1] - y)
            != (y - kept[index - 1][1]) * (kept[(index + 1) % count][0] - x)
        ]
        if len(kept) == count:
            break
    turned = twice_area(kept)
    if turned == 0:
        return []
    if turned < 0:
        kept.reverse()
    start = min(range(len(kept)), key=lambda index: (kept[index][1], kept[index][0]))
    return kept[start:] + kept[:start]


def fills_square(scale: Whole, rings: Sequence[Sequence[Point]]) -> bool:
    """Tell whether outlines that run clockwise fill the square from 0 to `scale` exactly, with no rounding at all.

    Along every line, each side of a patch is taken together with the sides that run the other way; when nothing is
    left but the frame, the patches' winding numbers sum to 1 inside and to 0 outside. Since a patch that does not
    cross itself winds once, each spot then lies in just one of them.

    Parameters
    ----------
    scale : int, or a number with a root
        Side of the square.
    rings : sequence of outlines
        Whole corners, as `tidy` leaves them.

    Examples
    --------
    >>> left, right = [(0, 0), (1, 0), (1, 2), (0, 2)], [(1, 0), (2, 0), (2, 2), (1, 2)]
    >>> fills_square(2, [left, right]), fills_square(2, [left]), fills_square(2, [])
    (True, False, False)
    """
    if not all(_is_simple(ring) for ring in rings):
        return False
    frame: list[Point] = [(0, 0), (0, scale), (scale, scale), (scale, 0)]
    ends: dict[tuple[Whole, Whole, Whole, Whole], int] = {}
    for ring in (*rings, frame):
        x0, y0 = ring[-1]
        for x, y in ring:
            dx, dy = direction(x - x0, y - y0)
            line = dx * y - dy * x
            # Each line is a sum of stretches; +1 where a side begins and -1 where it ends, whichever way it runs.
            for spot, change in (((dx, dy, line, dx * x0 + dy * y0), 1), ((dx, dy, line, dx * x + dy * y), -1)):
                ends[spot] = ends.get(spot, 0) + change
            x0, y0 = x, y
    return not any(ends.values())


def direction(dx: Whole, dy: Whole) -> Point:
    """Which way a line runs, the same for all its stretches: in least whole numbers, pointing right (or down).

    A slope with a root in it has no least whole numbers; it is told by how far it falls for each step to the right.

    Examples
    --------
    >>> direction(-4, 6), direction(SQRT2, 2 * SQRT2), direction(2, 2 * SQRT2 - 2)
    ((2, -3), (1, 2), (1, Root2('sqrt2-1')))
    """
    if not (isinstance(dx, int) and isinstance(dy, int)):
        return _slope(dx, dy)
    step = gcd(dx, dy)
    if dx < 0 or (dx == 0 and dy < 0):
        step = -step
    return dx // step, dy // step


@lru_cache(maxsize=4096)
def _slope(dx: Whole, dy: Whole) -> Point:
    if not dx:
        return 0, 1
    slope = Fraction(1) / dx * dy
    return (1, slope) if isinstance(slope, Root2) else (slope.denominator, slope.numerator)


def _is_simple(ring: Sequence[Point]) -> bool:
    """Whether no two sides of an outline cross or touch other than at the corner that they share."""
    count = len(ring)
    for one in range(count - 2):
        a, b = ring[one], ring[one + 1]
        for two in range(one + 2, count - (one == 0)):
            c, d = ring[two], ring[(two + 1) % count]
            if (
                _side(a, b, c) * _side(a, b, d) <= 0
                and _side(c, d, a) * _side(c, d, b) <= 0
                and _boxes_meet(a, b, c, d)
            ):
                return False
    return True


def _side(a: Point, b: Point, c: Point) -> int:
    turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return (turn > 0) - (turn < 0)


def _boxes_meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    return all(
        max(min(a[axis], b[axis]), min(c[axis], d[axis])) <= min(max(a[axis], b[axis]), max(c[axis], d[axis]))
        for axis in (0, 1)
    )


def join(rings: Sequence[Sequence[Point]]) -> list[Point] | None:
    """Join touching outlines into one: their sides, less every stretch that two of them share.

    Parameters
    ----------
    rings : sequence of outlines
        Clockwise, none over another.

    Returns
    -------
    list of corners, or None
        None when they do not make one piece without a hole.

    Examples
    --------
    >>> upper, lower = [(0, 0), (1, 0), (1, 1), (0, 1)], [(0, 1), (1, 1), (1, 2), (0, 2)]
    >>> join([upper, lower])
    [(0, 0), (1, 0), (1, 1), (1, 2), (0, 2), (0, 1)]
    >>> join([upper, [(x, y + 5) for x, y in upper]]) is None
    True
    """
    if len(rings) == 1:
        return list(rings[0])
    corners = {corner: (float(corner[0]), float(corner[1])) for ring in rings for corner in ring}
    loose: set[tuple[Point, Point]] = set()
    for ring in rings:
        for start, end in zip(ring, [*ring[1:], ring[0]], strict=True):
            on_side = sorted(
                (corner for corner in _near(start, end, corners) if _between(start, corner, end)),
                key=lambda c: (c[0] - start[0]) ** 2 + (c[1] - start[1]) ** 2,
            )
            for one, two in pairwise([start, *on_side, end]):
                if (two, one) in loose:
                    loose.remove((two, one))
                else:
                    loose.add((one, two))
    follow = dict(loose)
    # Where two loose sides begin at one corner the pieces only touch at a point.
    if not loose or len(follow) != len(loose):
        return None
    first = min(follow, key=lambda corner: (corner[1], corner[0]))
    outline, corner = [first], follow[first]
    while corner != first and len(outline) <= len(follow):
        outline.append(corner)
        corner = follow[corner]
    return outline if len(outline) == len(follow) else None


def twice_area(ring: Sequence[Point]) -> Whole:
    """Twice the area of an outline with whole corners; positive when it runs clockwise as seen.

    Examples
    --------
    >>> twice_area([(0, 0), (2, 0), (2, 2), (0, 2)])
    8
    """
    return sum(ring[index - 1][0] * y - x * ring[index - 1][1] for index, (x, y) in enumerate(ring))


def _near(start: Point, end: Point, corners: Mapping[Point, tuple[float, float]]) -> list[Point]:
    """Corners that may lie on a side, by floats: nearly all others are told apart so, without exact sums."""
    (x0, y0), (x1, y1) = corners[start], corners[end]
    dx, dy = x1 - x0, y1 - y0
    length = dx * dx + dy * dy
    # Wide of any rounding of floats, whose last place is 1e-16 of them.
    wide = 1e-6 * length
    found = []
    for corner, (x, y) in corners.items():
        ahead, aside = x - x0, y - y0
        if -wide <= ahead * dx + aside * dy <= length + wide and -wide <= ahead * dy - aside * dx <= wide:
            found.append(corner)
    return found


def _between(start: Point, corner: Point, end: Point) -> bool:
    (x0, y0), (x, y), (x1, y1) = start, corner, end
    if not ((x0 <= x <= x1 or x1 <= x <= x0) and (y0 <= y <= y1 or y1 <= y <= y0)) or corner in (start, end):
        return False
    return (x1 - x0) * (y - y0) == (y1 - y0) * (x - x0)
