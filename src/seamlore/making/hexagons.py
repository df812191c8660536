"""Hexagons sewn over papers: their finished and cut sizes, the strips that they are cut from, how many papers.

A regular hexagon with sides s is 2 s from point to point and sqrt 3 s from flat to flat. Grown by the seam allowance SA all
round it is 2 SA wider between its flats, and 4 SA / sqrt 3 wider between its points.
"""

from __future__ import annotations

from dataclasses import dataclass

from seamlore.errors import PlanError
from seamlore.fabric.shop import to_buy
from seamlore.lengths import SEAM_ALLOWANCE, Length, checked_seam, show, show_seam
from seamlore.making.buying import checked_width
from seamlore.making.shapes import root_up
from seamlore.making.sizes import mark_up

MOST = 10_000


@dataclass(frozen=True, slots=True)
class Hexagons:
    """Equal hexagons.

    Parameters
    ----------
    side : Length
        Of the finished hexagon.
    count : int
        How many, and so how many papers.
    seam, width : Length
        Seam allowance, and usable width of the fabric.
    across : Length
        Finished, from flat to flat, on a mark.
    cut : tuple of Length
        The rectangle that one is cut from: along the strip, point to point, and across it.
    held : int
        How many a strip gives.
    """

    side: Length
    count: int
    seam: Length
    width: Length
    across: Length
    cut: tuple[Length, Length]
    held: int

    @property
    def strips(self) -> int:
        """How many strips are cut across the fabric."""
        return -(-self.count // self.held)

    @property
    def length(self) -> Length:
        """What they take of it."""
        return self.cut[1] * self.strips

    @property
    def buy(self) -> str:
        """What to ask for in a shop."""
        return to_buy(self.length)

    def __str__(self) -> str:
        strips = f"{self.strips} strip{'s' * (self.strips != 1)}"
        return (
            f"{self.count:,} hexagons with sides of {show(self.side)}: cut {strips} of {show(self.cut[1])}, a piece every "
            f"{show(self.cut[0])}, {self.held} from each: {self.buy} of fabric {show(self.width)} wide"
        )


def hexagons(side: Length, count: int, width: Length, seam: Length | None = None) -> Hexagons:
    """Reckon hexagons.

    Parameters
    ----------
    side : Length
        Of the finished hexagon; its unit is that of all sizes.
    count : int
    width : Length
        Usable width of the fabric.
    seam : Length, optional
        1/4 in or 0.75 cm when not given.

    Raises
    ------
    PlanError
        When there are none or too many, or none lies within the fabric.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> print(hexagons(inches(1), 120, inches(42)))
    120 hexagons with sides of 1 in: cut 8 strips of 2 1/4 in, a piece every 2 5/8 in, 16 from each: 1/2 yd of fabric 42 in wide
    >>> hexagons(inches(1), 0, inches(42))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: 0 hexagons: 1 to 10,000 are reckoned; say how many
    """
    if not 1 <= count <= MOST:
        raise PlanError(f"{count:,} hexagons", f"1 to {MOST:,} are reckoned", "say how many")
    if side.inches <= 0:
        raise PlanError(f"hexagons with sides of {show(side)}", "a side is more than 0", "give it as 1in")
    unit = side.unit
    allowance = SEAM_ALLOWANCE[unit] if seam is None else checked_seam(seam).shown_in(unit)
    wide = checked_width(width).shown_in(unit)
    if allowance > side:
        raise PlanError(
            f"a seam allowance of {show_seam(allowance)} on hexagons with sides of {show(side)}",
            "a seam is no wider than its patch",
            "make the hexagons larger or the seam narrower",
        )
    flats = root_up(3 * side.inches * side.inches)
    points = root_up(3 * allowance.inches * allowance.inches) * 4 / 3
    cut = mark_up(side.inches * 2 + points, unit), mark_up(flats + allowance.inches * 2, unit)
    held = int(wide.inches / cut[0].inches)
    if not held:
        raise PlanError(
            f"hexagons {show(cut[0])} wide as cut",
            f"the fabric is {show(wide)} wide",
            "use wider fabric or smaller ones",
        )
    return Hexagons(side, count, allowance, wide, mark_up(flats, unit), cut, held)
