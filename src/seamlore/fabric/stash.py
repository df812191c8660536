"""The stash: what there is of each fabric, in which form, with the grain along its length; and what more of it costs."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from seamlore.lengths import Length, Unit, centimeters, inches

Form = Literal["length", "fat quarter", "fat eighth", "square", "strip", "scrap"]
Point = tuple[Fraction, Fraction]

# Across the fabric and along it. A fat quarter is half a yard of half the width, 18 by 21 in (allpeoplequilt.com 2017-02-13),
# a fat eighth half of that; in centimeters 50 and 25 by 55 are cut (common practice, no source).
FAT: dict[tuple[str, Unit], tuple[Length, Length]] = {
    ("fat quarter", Unit.INCH): (inches(21), inches(18)),
    ("fat eighth", Unit.INCH): (inches(21), inches(9)),
    ("fat quarter", Unit.CM): (centimeters(55), centimeters(50)),
    ("fat eighth", Unit.CM): (centimeters(55), centimeters(25)),
}


@dataclass(frozen=True, slots=True)
class Holding:
    """So many like pieces of one fabric.

    Parameters
    ----------
    fabric : str
        What the fabric is called.
    form : str
        A length off the bolt, a fat quarter or eighth, a precut square or strip, a scrap.
    width, length : Length
        Across the fabric and along its grain, usable; of an odd scrap the box about it.
    count : int
        1 or more.
    outline : tuple of (x, y)
        Corners of an odd scrap in inches, y along the grain, from the corner of its box; empty for a rectangle.
    spoilt : tuple of outlines
        Places in a scrap that nothing may be cut from.
    """

    fabric: str
    form: Form
    width: Length
    length: Length
    count: int = 1
    outline: tuple[Point, ...] = ()
    spoilt: tuple[tuple[Point, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Offer:
    """How a fabric can be bought.

    Parameters
    ----------
    fabric : str
    width : Length or None
        Usable width; that of the other fabrics when None.
    price : Fraction or None
        What a yard, or a meter, costs.
    per : Unit
        Inches for a yard, centimeters for a meter.
    """

    fabric: str
    width: Length | None
    price: Fraction | None
    per: Unit


@dataclass(frozen=True, slots=True)
class Print:
    """How a fabric is printed.

    Parameters
    ----------
    fabric : str
    one_way : bool
        Whether the print runs one way, along the fabric.
    repeat : tuple of Length or None
        How far apart its motifs stand, across and along.
    labels : tuple of str
        Which pieces are cut around them.
    """

    fabric: str
    one_way: bool
    repeat: tuple[Length, Length] | None = None
    labels: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stash:
    """All fabric at hand, in the order in which it was written down, how more can be bought, and how it is printed."""

    holdings: tuple[Holding, ...] = ()
    offers: tuple[Offer, ...] = ()
    prints: tuple[Print, ...] = ()

    def prints_of(self, fabric: str) -> tuple[Print, ...]:
        """What is said of one fabric's print.

        Examples
        --------
        >>> Stash(prints=(Print("Red", True),)).prints_of("red")[0].one_way, Stash().prints_of("red")
        (True, ())
        """
        return tuple(each for each in self.prints if each.fabric.casefold() == fabric.casefold())

    def of(self, fabric: str) -> tuple[Holding, ...]:
        """What there is of one fabric; capitals do not matter.

        Examples
        --------
        >>> red = Holding("Red", "square", inches(5), inches(5), 40)
        >>> Stash((red,)).of("red") == (red,), Stash().of("red")
        (True, ())
        """
        return tuple(each for each in self.holdings if each.fabric.casefold() == fabric.casefold())

    def offer(self, fabric: str) -> Offer | None:
        """How one fabric can be bought, if that was said; the last line counts."""
        said = [each for each in self.offers if each.fabric.casefold() == fabric.casefold()]
        return said[-1] if said else None

    @property
    def fabrics(self) -> tuple[str, ...]:
        """Every name in it, as first written."""
        found: dict[str, str] = {}
        names = [each.fabric for each in self.holdings] + [each.fabric for each in self.offers]
        for name in names + [each.fabric for each in self.prints]:
            found.setdefault(name.casefold(), name)
        return tuple(found.values())
