"""Blocks square to the edge: straight, rows offset by half, strips; with their sashing."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from seamlore.draft.block import Block
from seamlore.draft.quilt import AS_DRAWN, Quilt
from seamlore.draft.setting.parts import Bit, Frame, HalfPlane, Role, Spot, box, inside
from seamlore.draft.setting.setting import Offset, Strips, column_width, field_size


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
    for row, column in quilt.spots:
        x = left + column * (wide + across)
        if isinstance(quilt.setting, Offset) and row % 2:
            x += (wide + across) / 2 * (-1 if quilt.setting.ends == "cut blocks" else 1)
        spot = at_spot(quilt, row, column, (x, top + row * (high + down)), frame)
        yield spot if whole else kept(spot, edge)


def at_spot(quilt: Quilt, row: int, column: int, corner: tuple[Fraction, Fraction], frame: Frame) -> Spot:
    """Make the spot of one block of the quilt, lying as the quilt says."""
    block = quilt.block_at(row, column)
    return Spot(
        block,
        quilt.turned.get((row, column), AS_DRAWN),
        quilt.block_width.inches,
        quilt.block_height.inches,
        *corner,
        frame,
        row,
        column,
        role_of(quilt, block),
    )


def role_of(quilt: Quilt, block: Block) -> Role:
    """A second block of one patch is a plain block."""
    return "plain block" if block is quilt.second and len(block.patches) == 1 else "patch"


def kept(spot: Spot, edge: tuple[HalfPlane, ...]) -> Spot:
    """Mark a spot as cut when it reaches over the edge; a whole one stays as it is."""
    if inside(spot.box, edge):
        return spot
    return Spot(
        spot.block, spot.turned, spot.width, spot.height, spot.x, spot.y, spot.frame,
        spot.row, spot.column, spot.role, edge,
    )  # fmt: skip


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
            found.append(Bit(bit.role, bit.key, bit.fabric, bit.label, box(x1 - x0, y1 - y0), x0, y0, bit.frame))
    return found


def _sashing(quilt: Quilt, frame: Frame) -> Iterator[Bit]:
    sashing = quilt.sashing
    if sashing is None:
        return
    across, down = (gap.inches for gap in quilt.gaps)
    wide, high = quilt.block_width.inches, quilt.block_height.inches
    fabric, corner = quilt.fabric_of("sashing"), quilt.fabric_of("cornerstone")
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
                place = left_of(column), above(row) + down
                yield Bit("sashing", "sashing", fabric, "vertical sashing", upright, *place, frame)
    if not down:
        return
    whole = wide * quilt.columns + across * len(standing)
    for row in lying:
        if not sashing.cornerstones:
            yield Bit(
                "sashing", "sashing", fabric, "horizontal sashing", box(whole, down), Fraction(0), above(row), frame
            )
            continue
        for column in range(quilt.columns):
            place = left_of(column) + across, above(row)
            yield Bit("sashing", "sashing", fabric, "horizontal sashing", box(wide, down), *place, frame)
        for column in standing if across else ():
            place = left_of(column), above(row)
            yield Bit("cornerstone", "cornerstone", corner, "cornerstone", box(across, down), *place, frame)


def _offset(quilt: Quilt, frame: Frame) -> Iterator[Bit]:
    across, down = (gap.inches for gap in quilt.gaps)
    wide, high = quilt.block_width.inches, quilt.block_height.inches
    zero, end = Fraction(0), (wide - across) / 2
    whole = wide * quilt.columns + across * (quilt.columns - 1)
    fabric, plain = quilt.fabric_of("sashing"), quilt.fabric_of("plain block")
    for row in range(quilt.rows):
        y = row * (high + down)
        shifted = bool(row % 2)
        if across:
            first = end if shifted else wide
            for number in range(quilt.columns if shifted else quilt.columns - 1):
                x = first + number * (wide + across)
                yield Bit("sashing", "sashing", fabric, "vertical sashing", box(across, high), x, y, frame)
        if shifted and quilt.setting == Offset("plain"):
            for x in (zero, whole - end):
                yield Bit("plain block", "plain block", plain, "row end", box(end, high), x, y, frame)
        if down and row:
            yield Bit("sashing", "sashing", fabric, "horizontal sashing", box(whole, down), zero, y - down, frame)


def _strips(quilt: Quilt, frame: Frame) -> Iterator[Bit]:
    setting = quilt.setting
    assert isinstance(setting, Strips)
    column = column_width(setting, quilt.measure).inches
    high = field_size(setting, quilt.measure)[1].inches
    lead = 1 if setting.outer else 0
    strip = setting.width.inches
    for number in range(1 - lead, quilt.columns + lead):
        x = number * (column + strip) + (lead - 1) * strip
        yield Bit("sashing", "strip", quilt.fabric_of("strip"), "strip", box(strip, high), x, Fraction(0), frame)
