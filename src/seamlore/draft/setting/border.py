"""Borders laid round the field: butted, mitered, with corner squares, or pieced of units that repeat."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Literal

from seamlore.draft.border import Round, Side, rounds
from seamlore.draft.kinds import Turned
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.parts import Bit, Frame, Ring, Role, Spot, box
from seamlore.draft.where import SIDES, SideName, Where

_TURNS: tuple[Literal[0, 90, 180, 270], ...] = (0, 90, 180, 270)
_QUILT = Frame()


def border_parts(quilt: Quilt) -> tuple[list[list[Bit]], list[list[Spot]]]:
    """Lay every border out.

    Parameters
    ----------
    quilt : Quilt
        Any quilt.

    Returns
    -------
    bits, spots : list of lists
        For each border from the inside outward: its strips and squares; the spots of its units.
    """
    bits: list[list[Bit]] = []
    spots: list[list[Spot]] = []
    top, _, _, left = (band.inches for band in quilt.bands)
    for each in rounds(quilt.borders, quilt.field_size):
        left, top = left - each.border.left.width.inches, top - each.border.top.width.inches
        laid = _Laid(quilt, each, left, top)
        bits.append([*laid.strips(), *laid.squares()])
        spots.append(list(laid.units()))
    return bits, spots


class _Laid:
    """One border, its own top left corner at x, y from the quilt's."""

    def __init__(self, quilt: Quilt, of: Round, x: Fraction, y: Fraction) -> None:
        self.quilt, self.round, self.border, self.x, self.y = quilt, of, of.border, x, y
        self.width, self.height = of.width.inches, of.height.inches
        self.top, self.right, self.bottom, self.left = (side.width.inches for side in of.border.sides)
        self.name = f"border {of.number}" if len(quilt.borders) > 1 else "border"
        self.squared = of.border.corners == "squares"

    def where(self, side: SideName | Literal[""], number: int = -1) -> Where:
        return Where("border", self.round.number - 1, number, side=side)

    def bit(self, name: SideName, label: str, ring: Ring, x: Fraction, y: Fraction) -> Bit:
        side = self.border.side(name)
        return Bit(
            self.where(name), "border", self.key(name), side.fabric, f"{self.name}, {label}", ring,
            self.x + x, self.y + y, _QUILT,
        )  # fmt: skip

    def key(self, name: SideName) -> str:
        """What the color of a side hangs on: the border, or the side alone where its fabric is another."""
        key = f"border {self.round.number}"
        return key if len({side.fabric for side in self.border.sides}) == 1 else f"{key} {name}"

    def strips(self) -> Iterator[Bit]:
        zero, far_x, far_y = Fraction(0), self.left + self.width, self.top + self.height
        wide, high = far_x + self.right, far_y + self.bottom
        if self.border.corners == "mitered":
            # A miter runs from the outer corner to the inner one, at 45 degrees where both sides are of one width.
            rings: dict[SideName, tuple[str, Ring, Fraction, Fraction]] = {
                "top": ("top and bottom", ((zero, zero), (wide, zero), (far_x, self.top), (self.left, self.top)), zero, zero),
                "bottom": ("top and bottom", ((self.left, zero), (far_x, zero), (wide, self.bottom), (zero, self.bottom)), zero, far_y),
                "left": ("sides", ((zero, zero), (self.left, self.top), (self.left, far_y), (zero, high)), zero, zero),
                "right": ("sides", ((self.right, zero), (self.right, high), (zero, far_y), (zero, self.top)), far_x, zero),
            }  # fmt: skip
            for name, (label, ring, x, y) in rings.items():
                yield self.bit(name, f"{self._labeled(name, label)}, mitered", ring, x, y)
            return
        start, long = (self.left, self.width) if self.squared else (zero, wide)
        places: tuple[tuple[SideName, str, Fraction, Fraction, Fraction, Fraction], ...] = (
            ("left", "sides", self.left, self.height, zero, self.top),
            ("right", "sides", self.right, self.height, far_x, self.top),
            ("top", "top and bottom", long, self.top, start, zero),
            ("bottom", "top and bottom", long, self.bottom, start, far_y),
        )
        for name, label, across, down, x, y in places:
            side = self.border.side(name)
            if side.width and not side.pieced:
                yield self.bit(name, self._labeled(name, label), box(across, down), x, y)

    def _labeled(self, name: SideName, label: str) -> str:
        """Both of a pair have one label where they are alike."""
        pair = (self.border.left, self.border.right) if label == "sides" else (self.border.top, self.border.bottom)
        alike = _size(pair[0]) == _size(pair[1]) and pair[0].fabric == pair[1].fabric
        return label if alike else f"{name} side" if label == "sides" else name

    def corners(self) -> Iterator[tuple[Fraction, Fraction, Fraction, Fraction]]:
        """Corner, width and height of each corner piece, clockwise from the top left."""
        far_x, far_y = self.x + self.left + self.width, self.y + self.top + self.height
        yield self.x, self.y, self.left, self.top
        yield far_x, self.y, self.right, self.top
        yield far_x, far_y, self.right, self.bottom
        yield self.x, far_y, self.left, self.bottom

    def squares(self) -> Iterator[Bit]:
        if not self.squared or self.border.corner:
            return
        fabric = self.quilt.fabric_of("cornerstone")
        for number, (x, y, wide, high) in enumerate(self.corners()):
            label, ring = f"{self.name}, corners", box(wide, high)
            role: Role = "border corner"
            yield Bit(self.where("", number), role, "cornerstone", fabric, label, ring, x, y, _QUILT)

    def units(self) -> Iterator[Spot]:
        for turn, name, count in zip(_TURNS, SIDES, self.round.units, strict=True):
            side = self.border.side(name)
            if count and side.pieced:
                yield from self._side(turn, name, side, count)
        if self.border.corner:
            kind = self.quilt.kind(self.border.corner)
            for number, (turn, (x, y, wide, high)) in enumerate(zip(_TURNS, self.corners(), strict=True)):
                yield Spot(self.where("", number), "border corner", kind, Turned(turn), wide, high, x, y, _QUILT)

    def _side(self, turn: Literal[0, 90, 180, 270], name: SideName, side: Side, count: int) -> Iterator[Spot]:
        pieced, band = side.pieced, side.width.inches
        assert pieced is not None
        kind, lying = self.quilt.kind(pieced.kind), turn in (0, 180)
        whole = self.width if self.squared else self.left + self.width + self.right
        long = (whole if lying else self.height) / count
        wide, high = (long, band) if lying else (band, long)
        start = self.x + (self.left if self.squared else 0)
        for number in range(count):
            if lying:
                x, y = start + number * long, self.y + (self.top + self.height if turn == 180 else 0)
            else:
                x, y = self.x + (self.left + self.width if turn == 90 else 0), self.y + self.top + number * long
            # The foot of a side toward the middle, its units run from left to right in the order of the turn.
            along = number if turn in (0, 90) else count - 1 - number
            how = Turned(turn, pieced.mirrored and 2 * along >= count)
            yield Spot(self.where(name, number), "border", kind, how, wide, high, Fraction(x), Fraction(y), _QUILT)


def _size(side: Side) -> tuple[Fraction, bool]:
    return side.width.inches, side.pieced is not None
