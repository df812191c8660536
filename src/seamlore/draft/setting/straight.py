"""Blocks square to the edge: straight, rows offset by half, strips; with their sashing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction

from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.parts import Bit, Frame, HalfPlane, Ring, Role, Spot, box, inside
from seamlore.draft.setting.setting import Offset, Strips, column_width, field_size
from seamlore.draft.where import Where, WherePart


def straight_spots(quilt: Quilt, frame: Frame) -> Iterator[Spot]:
    """Give the spot of every block of a straight, offset or strip setting.

    Parameters
    ----------
    quilt : Quilt
        A quilt whose blocks lie square to its edge.
    frame : Frame
        Its origin is the corner of blocks and sashing before anything is cut off.
    """
    wide, high = quilt.block_width.inches, quilt.block_height.inches
    across, down = (gap.inches for gap in quilt.gaps)
    left = top = Fraction(0)
    if isinstance(quilt.setting, Strips):
        across = quilt.setting.width.inches
        left = across if quilt.setting.outer else left
    elif quilt.sashing and quilt.sashing.outer:
        left, top = across, down
    edge = _field_planes(quilt)
    # Rows that are not shifted fill their field exactly: no block reaches over its edge.
    whole = quilt.cut is None and not isinstance(quilt.setting, Offset)
    shift = Fraction(0)
    if isinstance(quilt.setting, Offset):
        shift = (wide + across) / 2 * (-1 if quilt.setting.ends == "cut blocks" else 1)
    # A place is reckoned once for its whole column and row.
    xs = [left + column * (wide + across) for column in range(max(map(len, quilt.cells)))]
    shifted = [x + shift for x in xs]
    for row, cells in enumerate(quilt.cells):
        y = top + row * (high + down)
        for column in range(len(cells)):
            spot = at_spot(quilt, row, column, ((shifted if row % 2 else xs)[column], y), frame)
            yield spot if whole else kept(spot, edge)


def at_spot(quilt: Quilt, row: int, column: int, corner: tuple[Fraction, Fraction], frame: Frame) -> Spot:
    """Make the spot of one cell of the quilt, its block lying as the quilt says."""
    cell = quilt.cells[row][column]
    kind = quilt.kind(cell.kind) if cell.read else None
    return Spot(
        Where("block", row, column),
        "not read" if kind is None else "plain block" if kind.plain else "patch",
        kind,
        cell.lies,
        quilt.block_width.inches,
        quilt.block_height.inches,
        *corner,
        frame,
        tuple(cell.fabrics.items()),
    )


def kept(spot: Spot, edge: tuple[HalfPlane, ...]) -> Spot:
    """Mark a spot as cut when it reaches over the edge; a whole one stays as it is."""
    return spot if inside(spot.box, edge) else replace(spot, keep=edge)


def _field_planes(quilt: Quilt) -> tuple[HalfPlane, ...]:
    """What lies within the field after its cut, counted from the corner before it."""
    width, height = (side.inches for side in quilt.field_size)
    left = quilt.cut.left.inches if quilt.cut else Fraction(0)
    top = quilt.cut.top.inches if quilt.cut else Fraction(0)
    one, zero = Fraction(1), Fraction(0)
    return ((one, zero, left), (zero, one, top), (-one, zero, -left - width), (zero, -one, -top - height))


def straight_bits(quilt: Quilt, frame: Frame) -> list[Bit]:
    """Give sashing, cornerstones, strips and plain ends of a straight, offset or strip setting, cut to the edge."""
    if isinstance(quilt.setting, Strips):
        found = list(_strips(quilt, frame))
    elif isinstance(quilt.setting, Offset):
        found = list(_offset(quilt, frame))
    else:
        found = list(_sashing(quilt, frame))
    return found if quilt.cut is None else _cut_bits(found, _field_planes(quilt))


def _cut_bits(bits: list[Bit], edge: tuple[HalfPlane, ...]) -> list[Bit]:
    """Bits that lie square to the edge stay rectangles when it cuts them."""
    (_, _, left), (_, _, top), (_, _, right), (_, _, bottom) = edge
    found = []
    for bit in bits:
        width, height = bit.outline[2]
        x0, y0 = max(bit.x, left), max(bit.y, top)
        x1, y1 = min(bit.x + width, -right), min(bit.y + height, -bottom)
        if x1 > x0 and y1 > y0:
            found.append(replace(bit, outline=box(x1 - x0, y1 - y0), x=x0, y=y0))
    return found


_PARTS: dict[Role, tuple[WherePart, str]] = {
    "sashing": ("sashing", "sashing"),
    "cornerstone": ("cornerstone", "cornerstone"),
    "strip": ("strip", "strip"),
    "row end": ("setting", "plain block"),
    "side triangle": ("setting", "setting triangle"),
    "corner triangle": ("setting", "setting triangle"),
}


def bit_maker(quilt: Quilt, frame: Frame) -> Callable[[Role, str, Ring, Fraction, Fraction], Bit]:
    """Give a function that makes pieces of the setting: of a role, its label, its outline and where it lies."""

    numbers: dict[WherePart, int] = {}

    def make(role: Role, label: str, ring: Ring, x: Fraction, y: Fraction) -> Bit:
        part, key = _PARTS[role]
        number = numbers[part] = numbers.get(part, -1) + 1
        return Bit(Where(part, column=number), role, key, quilt.fabric_of(key), label, ring, x, y, frame)

    return make


def _sashing(quilt: Quilt, frame: Frame) -> Iterator[Bit]:
    sashing = quilt.sashing
    if sashing is None:
        return
    across, down = (gap.inches for gap in quilt.gaps)
    wide, high = quilt.block_width.inches, quilt.block_height.inches
    make = bit_maker(quilt, frame)
    lead = 1 if sashing.outer else 0
    # A standing strip lies left of its column, a lying one above its row.
    standing = range(1 - lead, quilt.columns + lead)
    lying = range(1 - lead, quilt.rows + lead)

    def left_of(column: int) -> Fraction:
        return column * (wide + across) + (lead - 1) * across

    def above(row: int) -> Fraction:
        return row * (high + down) + (lead - 1) * down

    if across:
        upright = box(across, high)
        for row in range(quilt.rows):
            for column in standing:
                yield make("sashing", "vertical sashing", upright, left_of(column), above(row) + down)
    if not down:
        return
    whole = wide * quilt.columns + across * len(standing)
    for row in lying:
        if not sashing.cornerstones:
            yield make("sashing", "horizontal sashing", box(whole, down), Fraction(0), above(row))
            continue
        for column in range(quilt.columns):
            yield make("sashing", "horizontal sashing", box(wide, down), left_of(column) + across, above(row))
        for column in standing if across else ():
            yield make("cornerstone", "cornerstone", box(across, down), left_of(column), above(row))


def _offset(quilt: Quilt, frame: Frame) -> Iterator[Bit]:
    across, down = (gap.inches for gap in quilt.gaps)
    wide, high = quilt.block_width.inches, quilt.block_height.inches
    zero, end = Fraction(0), (wide - across) / 2
    whole = wide * quilt.columns + across * (quilt.columns - 1)
    make = bit_maker(quilt, frame)
    for row in range(quilt.rows):
        y = row * (high + down)
        shifted = bool(row % 2)
        if across:
            first = end if shifted else wide
            for number in range(quilt.columns if shifted else quilt.columns - 1):
                x = first + number * (wide + across)
                yield make("sashing", "vertical sashing", box(across, high), x, y)
        if shifted and quilt.setting == Offset("plain"):
            for x in (zero, whole - end):
                yield make("row end", "row end", box(end, high), x, y)
        if down and row:
            yield make("sashing", "horizontal sashing", box(whole, down), zero, y - down)


def _strips(quilt: Quilt, frame: Frame) -> Iterator[Bit]:
    setting = quilt.setting
    assert isinstance(setting, Strips)
    column = column_width(setting, quilt.measure).inches
    high = field_size(setting, quilt.measure)[1].inches
    lead, make = (1 if setting.outer else 0), bit_maker(quilt, frame)
    strip = setting.width.inches
    for number in range(1 - lead, quilt.columns + lead):
        x = number * (column + strip) + (lead - 1) * strip
        yield make("strip", "strip", box(strip, high), x, Fraction(0))
