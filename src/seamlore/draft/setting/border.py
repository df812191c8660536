"""Borders laid round the field: butted, mitered, with corner squares, or pieced of a unit that repeats."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Literal

from seamlore.draft.quilt import Border, Quilt, Turned, border_sides
from seamlore.draft.setting.parts import Bit, Frame, Ring, Spot, box

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
    inset = sum((border.width.inches for border in quilt.borders), Fraction(0))
    for number, (border, width, height, across, down) in enumerate(border_sides(quilt), start=1):
        inset -= border.width.inches
        name = f"border {number}" if len(quilt.borders) > 1 else "border"
        laid = _Border(quilt, border, f"border {number}", name, width.inches, height.inches, inset)
        bits.append(list(laid.strips()) if not border.pieced else [])
        spots.append(list(laid.units(across, down)) if border.pieced else [])
        if border.corners == "squares" and not (border.pieced and border.pieced.corner):
            bits[-1] += list(laid.squares())
    return bits, spots


class _Border:
    """One border round a field of width by height, its own corner at `inset` from the quilt's."""

    def __init__(
        self, quilt: Quilt, border: Border, key: str, name: str, width: Fraction, height: Fraction, inset: Fraction
    ) -> None:
        self.quilt, self.border, self.key, self.name = quilt, border, key, name
        self.width, self.height, self.inset = width, height, inset
        self.band = border.width.inches

    def bit(self, label: str, ring: Ring, x: Fraction, y: Fraction) -> Bit:
        at = self.inset + x, self.inset + y
        return Bit("border", self.key, self.border.fabric, f"{self.name}, {label}", ring, *at, _QUILT)

    def strips(self) -> Iterator[Bit]:
        band, zero = self.band, Fraction(0)
        far_x, far_y = self.width + band, self.height + band
        if self.border.corners == "mitered":
            wide, high = far_x + band, far_y + band
            top: Ring = ((zero, zero), (wide, zero), (far_x, band), (band, band))
            yield self.bit("top and bottom, mitered", top, zero, zero)
            bottom: Ring = ((band, zero), (far_x, zero), (wide, band), (zero, band))
            yield self.bit("top and bottom, mitered", bottom, zero, far_y)
            left: Ring = ((zero, zero), (band, band), (band, far_y), (zero, high))
            yield self.bit("sides, mitered", left, zero, zero)
            right: Ring = ((band, zero), (band, high), (zero, far_y), (zero, band))
            yield self.bit("sides, mitered", right, far_x, zero)
            return
        for x in (zero, far_x):
            yield self.bit("sides", box(band, self.height), x, band)
        start, long = (band, self.width) if self.border.corners == "squares" else (zero, self.width + 2 * band)
        for y in (zero, far_y):
            yield self.bit("top and bottom", box(long, band), start, y)

    def corners(self) -> Iterator[tuple[Fraction, Fraction]]:
        """The corner of each corner square, clockwise from the top left."""
        zero, far_x, far_y = Fraction(0), self.width + self.band, self.height + self.band
        for x, y in ((zero, zero), (far_x, zero), (far_x, far_y), (zero, far_y)):
            yield self.inset + x, self.inset + y

    def squares(self) -> Iterator[Bit]:
        fabric, ring = self.quilt.fabric_of("cornerstone"), box(self.band, self.band)
        for x, y in self.corners():
            yield Bit("border corner", "cornerstone", fabric, f"{self.name}, corners", ring, x, y, _QUILT)

    def units(self, across: int, down: int) -> Iterator[Spot]:
        pieced, band = self.border.pieced, self.band
        assert pieced is not None
        squares = self.border.corners == "squares"
        start = self.inset + (band if squares else 0)
        top = (self.width if squares else self.width + 2 * band) / across
        side = self.height / down
        for turn in _TURNS:
            lying = turn in (0, 180)
            count = across if lying else down
            wide, high = (top, band) if lying else (band, side)
            for number in range(count):
                x = start + number * top if lying else self.inset + (band + self.width if turn == 90 else 0)
                y = self.inset + ((band + self.height if turn == 180 else 0) if lying else band + number * side)
                # The foot of a side toward the middle, its units run from left to right in the order of the turn.
                along = number if turn in (0, 90) else count - 1 - number
                how = Turned(turn, pieced.mirrored and 2 * along >= count)
                yield Spot(pieced.unit, how, wide, high, Fraction(x), Fraction(y), _QUILT, role="border")
        if pieced.corner:
            for turn, (x, y) in zip(_TURNS, self.corners(), strict=True):
                yield Spot(pieced.corner, Turned(turn), band, band, x, y, _QUILT, role="border corner")
