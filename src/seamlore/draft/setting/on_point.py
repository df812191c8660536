"""Blocks on point: in a whole field or in strips, with side and corner triangles or half blocks, and sashing.

Seen from a block on point, its rows run down to the right (u) and down to the left (v). In that turned frame all
corners of blocks and sashing are exact; the triangles at the edge are exact in the quilt's own frame once the
diagonal is taken from `lengths.root2`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import product

from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.parts import Bit, Frame, HalfPlane, Ring, Role, Spot, box
from seamlore.draft.setting.setting import OnPoint, Strips, padded
from seamlore.draft.setting.straight import at_spot, bit_maker, kept
from seamlore.lengths import inches, root2

Cell = tuple[int, int]
_TRIANGLES: tuple[Role, Role] = ("side triangle", "corner triangle")


def point_spots(quilt: Quilt, frame: Frame) -> Iterator[Spot]:
    """Give the spot of every block of a quilt on point, or of strips on point.

    Parameters
    ----------
    quilt : Quilt
        Its setting is `OnPoint`, or `Strips` on point.
    frame : Frame
        Its origin is the corner of the field.
    """
    side = quilt.block_width.inches
    if isinstance(quilt.setting, Strips):
        for column in range(quilt.columns):
            tilted = _tilted(quilt, _column_frame(quilt, frame, column))
            for row in range(quilt.rows):
                yield at_spot(quilt, row, column, (row * side, row * side), tilted)
    elif quilt.setting == OnPoint("half blocks"):
        tilted = Frame(frame.x, frame.y, tilted=True)
        edge = _half_planes(quilt)
        for row, column in quilt.spots:
            odd = row % 2
            u = side * (column + Fraction(row + odd, 2)) - side / 2
            v = side * (Fraction(row - odd, 2) - column) - side / 2
            yield kept(at_spot(quilt, row, column, (u, v), tilted), edge)
    else:
        tilted = _tilted(quilt, frame)
        pitch, pad = _pitch(quilt), _pad(quilt)
        for (row, column), (i, j) in _cells(quilt).items():
            yield at_spot(quilt, row, column, (pad + i * pitch, pad + j * pitch), tilted)


def point_bits(quilt: Quilt, frame: Frame) -> list[Bit]:
    """Give sashing, cornerstones and setting triangles of a quilt or of strips on point."""
    if isinstance(quilt.setting, Strips):
        return [
            bit
            for column in range(quilt.columns)
            for bit in _edge(quilt, _column_frame(quilt, frame, column), quilt.rows, 1)
        ]
    if quilt.setting == OnPoint("half blocks"):
        return []
    return [*_sashing(quilt, frame), *_edge(quilt, frame, quilt.rows, quilt.columns)]


def _cells(quilt: Quilt) -> dict[tuple[int, int], Cell]:
    """Where each block stands on the diagonal grid, counted from the block in the top left corner."""
    return {
        (row, column): ((row + row % 2) // 2 + column, (row - row % 2) // 2 - column) for row, column in quilt.spots
    }


def _pitch(quilt: Quilt) -> Fraction:
    return quilt.block_width.inches + quilt.gaps[0].inches


def _pad(quilt: Quilt) -> Fraction:
    return quilt.gaps[0].inches if quilt.measure.outer else Fraction(0)


def _tilted(quilt: Quilt, frame: Frame) -> Frame:
    """The turned frame, its origin the top corner of the first block with its outer sashing."""
    return Frame(frame.x + root2(padded(quilt.measure)).inches / 2, frame.y, tilted=True)


def _column_frame(quilt: Quilt, frame: Frame, column: int) -> Frame:
    assert isinstance(quilt.setting, Strips)
    strip = quilt.setting.width.inches
    wide = root2(quilt.block_width).inches
    return Frame(frame.x + column * (wide + strip) + (strip if quilt.setting.outer else 0), frame.y)


def _half_planes(quilt: Quilt) -> tuple[HalfPlane, ...]:
    """The edge of a field of half blocks, which runs through the middles of its outer blocks."""
    one, twice = Fraction(1), 2 * quilt.block_width.inches
    return (
        (one, one, Fraction(0)),
        (one, -one, Fraction(0)),
        (-one, -one, -twice * quilt.rows),
        (-one, one, -twice * quilt.columns),
    )


def _edge(quilt: Quilt, frame: Frame, rows: int, columns: int) -> Iterator[Bit]:
    """Side triangles, their long side on the edge; corner triangles, their short sides on it."""
    make = bit_maker(quilt, frame)
    long = root2(inches(_pitch(quilt))).inches
    leg = root2(padded(quilt.measure)).inches / 2
    width = long * (columns - 1) + 2 * leg
    height = long * (rows - 1) + 2 * leg

    def bits(number: int, found: Iterable[tuple[Ring, Fraction, Fraction]]) -> Iterator[Bit]:
        for ring, x, y in found:
            yield make(_TRIANGLES[number], _TRIANGLES[number], ring, x, y)

    zero, deep = Fraction(0), long / 2
    down: Ring = ((zero, zero), (long, zero), (deep, deep))
    up: Ring = ((deep, zero), (long, deep), (zero, deep))
    right: Ring = ((zero, zero), (deep, deep), (zero, long))
    left: Ring = ((deep, zero), (deep, long), (zero, deep))
    for column in range(columns - 1):
        x = leg + column * long
        yield from bits(0, [(down, x, zero), (up, x, height - deep)])
    for row in range(rows - 1):
        y = leg + row * long
        yield from bits(0, [(right, zero, y), (left, width - deep, y)])
    corner = box(leg, leg)
    yield from bits(
        1,
        [
            ((corner[0], corner[1], corner[3]), zero, zero),
            ((corner[0], corner[1], corner[2]), width - leg, zero),
            ((corner[1], corner[2], corner[3]), width - leg, height - leg),
            ((corner[0], corner[2], corner[3]), zero, height - leg),
        ],
    )


def _sashing(quilt: Quilt, frame: Frame) -> Iterator[Bit]:
    sashing, gap = quilt.sashing, quilt.gaps[0].inches
    if sashing is None or not gap:
        return
    tilted, pitch, pad, side = _tilted(quilt, frame), _pitch(quilt), _pad(quilt), quilt.block_width.inches
    cells = set(_cells(quilt).values())
    # Inside sashing lies between blocks only; outer sashing lies on every side of a block.
    enough = any if sashing.outer else all
    near = range(min(i for i, _ in cells) - 1, max(i for i, _ in cells) + 1)
    far = range(min(j for _, j in cells) - 1, max(j for _, j in cells) + 1)

    def there(*around: Cell) -> bool:
        return enough(cell in cells for cell in around)

    make = bit_maker(quilt, tilted)
    short = [(i, j) for j, i in product(far, near) if there((i, j), (i + 1, j))]
    between = [(i, j) for j, i in product(far, near) if there((i, j), (i, j + 1))]
    crossings = {(i, j) for j, i in product(far, near) if there((i, j), (i + 1, j), (i, j + 1), (i + 1, j + 1))}
    for i, j in short:
        place = pad + i * pitch + side, pad + j * pitch
        yield make("sashing", "sashing, in the rows", box(gap, side), *place)
    if sashing.cornerstones:
        for i, j in between:
            place = pad + i * pitch, pad + j * pitch + side
            yield make("sashing", "sashing, between rows", box(side, gap), *place)
        for i, j in sorted(crossings, key=lambda cell: (cell[1], cell[0])):
            place = pad + i * pitch + side, pad + j * pitch + side
            yield make("cornerstone", "cornerstone", box(gap, gap), *place)
        return
    for start, end, v in _runs(between, crossings, pitch, side):
        place = pad + start, pad + v
        yield make("sashing", "sashing, between rows", box(end - start, gap), *place)


def _runs(
    between: Iterable[Cell], crossings: Iterable[Cell], pitch: Fraction, side: Fraction
) -> Iterator[tuple[Fraction, Fraction, Fraction]]:
    """Join what lies end to end between two diagonal rows into one long strip: start, end, and where its side is."""
    spans = sorted(
        [(j * pitch + side, i * pitch, i * pitch + side) for i, j in between]
        + [(j * pitch + side, i * pitch + side, (i + 1) * pitch) for i, j in crossings]
    )
    current: tuple[Fraction, Fraction, Fraction] | None = None
    for v, start, end in spans:
        if current and current[2] == v and current[1] == start:
            current = (current[0], end, v)
            continue
        if current:
            yield current
        current = (start, end, v)
    if current:
        yield current
