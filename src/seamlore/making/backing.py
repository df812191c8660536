"""The backing: how many lengths of fabric, which way the seams run, how much to buy."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Literal

from seamlore.errors import PlanError
from seamlore.lengths import Length, Unit, in_unit, inches, on_mark, show, show_seam
from seamlore.making.buying import to_buy

# Common practice without a source: 4 in beyond the top on each side, seams of 1/2 in pressed open.
EXTRA = {Unit.INCH: inches(4), Unit.CM: in_unit(10, Unit.CM)}
SEAM = {Unit.INCH: inches(Fraction(1, 2)), Unit.CM: in_unit(Fraction(5, 4), Unit.CM)}


@dataclass(frozen=True, slots=True)
class Backing:
    """A backing of equal panels.

    Parameters
    ----------
    size : tuple of Length
        Width and height needed, with what stands out beyond the top.
    panels : int
        How many lengths of fabric lie side by side.
    seams : {"none", "vertical", "horizontal"}
        Which way the seams between them run.
    panel_length : Length
        How long each is.
    length : Length
        What they take together.
    buy : str
        What to ask for in a shop, rounded up once.
    fabric_width, seam, extra : Length
        Usable width; seam allowance between panels; what stands out on each side.
    other : Backing, optional
        The same with the seams the other way, for comparison.
    """

    size: tuple[Length, Length]
    panels: int
    seams: Literal["none", "vertical", "horizontal"]
    panel_length: Length
    length: Length
    buy: str
    fabric_width: Length
    seam: Length
    extra: Length
    other: Backing | None = None

    def __str__(self) -> str:
        if self.panels == 1:
            return f"one piece of {show(self.panel_length)}: {self.buy} of fabric {show(self.fabric_width)} wide"
        return (
            f"{self.panels} lengths of {show(self.panel_length)}, seams {self.seams}: {self.buy} of fabric "
            f"{show(self.fabric_width)} wide"
        )


def backing(
    width: Length,
    height: Length,
    fabric_width: Length,
    *,
    extra: Length | None = None,
    seam: Length | None = None,
) -> Backing:
    """Plan the backing with seams the way that takes less fabric.

    Parameters
    ----------
    width, height : Length
        Finished size of the top.
    fabric_width : Length
        Usable width of the backing fabric.
    extra : Length, optional
        How far it stands out on each side: 4 in (10 cm) when not given.
    seam : Length, optional
        Seam allowance between panels: 1/2 in (1.25 cm) when not given.

    Returns
    -------
    Backing
        Seams that run up and down when both ways take the same.

    Raises
    ------
    PlanError
        When the fabric is not wider than its seams take.

    Examples
    --------
    >>> print(backing(inches(72), inches(90), inches(42)))
    2 lengths of 98 in, seams vertical: 5 1/2 yd of fabric 42 in wide
    >>> print(backing(inches(72), inches(90), inches(40)))  # 2 x 40 - 1 is 79, and 80 is needed
    3 lengths of 80 in, seams horizontal: 6 3/4 yd of fabric 40 in wide
    """
    unit = width.unit
    beyond = EXTRA[unit] if extra is None else extra
    between = SEAM[unit] if seam is None else seam
    if beyond.inches < 0 or between.inches < 0:
        raise PlanError("an extra or a seam of less than 0", "both are 0 or more", "give how far it stands out")
    if fabric_width.inches <= 2 * between.inches:
        raise PlanError(
            f"a backing fabric {show(fabric_width)} wide with seams of {show_seam(between)}",
            "the seams would take all of it",
            "give the usable width of the fabric",
        )
    # Up to a mark of the ruler: a diagonal is never exact, and cloth is not torn to a hair.
    need = (on_mark(width + beyond * 2, "up"), on_mark(height + beyond * 2, "up"))
    ways = []
    for seams, spanned, long in (("vertical", need[0], need[1]), ("horizontal", need[1], need[0])):
        panels = panel_count(spanned, fabric_width, between)
        named: Literal["none", "vertical", "horizontal"] = (
            "none" if panels == 1 else "vertical" if seams == "vertical" else "horizontal"
        )
        ways.append(
            Backing(need, panels, named, long, long * panels, to_buy(long * panels), fabric_width, between, beyond)
        )
    first, second = ways if ways[0].length <= ways[1].length else ways[::-1]
    return Backing(
        first.size,
        first.panels,
        first.seams,
        first.panel_length,
        first.length,
        first.buy,
        fabric_width,
        between,
        beyond,
        other=second,
    )


def panel_count(spanned: Length, fabric_width: Length, seam: Length) -> int:
    """The smallest n with n widths, less a seam on both sides of each join, at least as wide as is needed.

    Examples
    --------
    >>> panel_count(inches(80), inches(40), inches("1/2"))
    3
    >>> panel_count(inches(79), inches(40), inches("1/2"))
    2
    """
    lost = 2 * seam.inches
    return max(1, ceil((spanned.inches - lost) / (fabric_width.inches - lost)))
