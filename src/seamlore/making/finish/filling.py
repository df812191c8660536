"""The filling, what lies between top and backing: how large a piece, and which package of batting holds it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from seamlore.errors import PlanError
from seamlore.lengths import Length, Unit, in_unit, inches, on_mark, show, show_size

# What may lie between: batting, or, as in many old quilts, a blanket or an older quilt.
Kind = Literal["batting", "blanket", "older quilt"]
KINDS: tuple[Kind, ...] = get_args(Kind)
# Sizes of packaged batting in the US trade, inches (needlepointers.com 353; honeybegood.com 2012;
# stitchingtimes 2011/07). Makers differ by an inch or more: read the label.
PACKAGES = (
    ("craft", 36, 45),
    ("crib", 45, 60),
    ("twin", 72, 90),
    ("full", 81, 96),
    ("queen", 90, 108),
    ("king", 120, 120),
)
# How far apart stitching may be, in inches, as labels and teachers have it (trade facts A9: quiltingboard 7952308;
# generations-quilt-patterns.com; melodycrust.blogspot.com 2020/11; bonnysews.com 2019/03). Makers differ: read the label.
DISTANCES = (
    ("cotton that is not bonded", 2, 2),
    ("needle-punched cotton with scrim", 8, 10),
    ("80/20 cotton and polyester", 2, 10),
    ("polyester", 2, 4),
    ("wool", 3, 3),
    ("batting without a label", 1, 2),
)
# 8 in beyond the top in all, 4 on each side (bhgstylebook.com); 20 cm where one works in centimeters (custom).
ALLOWANCE = {Unit.INCH: inches(8), Unit.CM: in_unit(20, Unit.CM)}


@dataclass(frozen=True, slots=True)
class Filling:
    """A piece of batting, or what takes its place.

    Parameters
    ----------
    kind : {"batting", "blanket", "older quilt"}
    size : tuple of Length
        Width and height to cut.
    allowance : Length
        How much larger than the top, in all, each way.
    package : str
        The smallest packaged size of batting that holds it; empty when none does, and for what is no batting.
    package_size : tuple of Length or None
        Its size as the trade prints it.
    """

    kind: Kind
    size: tuple[Length, Length]
    allowance: Length
    package: str
    package_size: tuple[Length, Length] | None

    def __str__(self) -> str:
        if self.kind != "batting":
            return f"{show_size(*self.size)}, cut from {_ARTICLE[self.kind]} {self.kind} at least as large"
        if self.package_size is None:
            return f"{show_size(*self.size)}: larger than packaged batting; buy it by the length or join two pieces"
        return f"{show_size(*self.size)}, from a {self.package} package ({show_size(*self.package_size)})"


_ARTICLE: dict[Kind, str] = {"batting": "a", "blanket": "a", "older quilt": "an"}


def distances_said(unit: Unit) -> str:
    """Say how far apart stitching may be on kinds of batting.

    Examples
    --------
    >>> distances_said(Unit.INCH)
    'cotton that is not bonded 2 in; needle-punched cotton with scrim 8 to 10 in; 80/20 cotton and polyester 2 to 10 in; ...'
    """
    said = []
    for kind, least, most in DISTANCES:
        # Down to whole centimeters: never farther than an inch figure allows.
        low, high = (on_mark(inches(each).shown_in(unit), "down", in_unit(1, unit)) for each in (least, most))
        said.append(f"{kind} {show(low)}" if low == high else f"{kind} {show(low, bare=True)} to {show(high)}")
    return "; ".join(said)


def filling(width: Length, height: Length, *, allowance: Length | None = None, kind: str = "batting") -> Filling:
    """Plan the filling.

    Parameters
    ----------
    width, height : Length
        Finished size of the top; each is first rounded up to a whole inch or centimeter.
    allowance : Length, optional
        How much larger, in all: 8 in or 20 cm when not given.
    kind : {"batting", "blanket", "older quilt"}

    Raises
    ------
    PlanError
        When there is no such kind.

    Examples
    --------
    >>> print(filling(inches("62.5"), inches(74)))
    71 x 82 in, from a twin package (72 x 90 in)
    >>> print(filling(inches(118), inches(118)))
    126 x 126 in: larger than packaged batting; buy it by the length or join two pieces
    >>> print(filling(inches("62.5"), inches(74), kind="older quilt"))
    71 x 82 in, cut from an older quilt at least as large
    """
    known = next((each for each in KINDS if each == kind), None)
    if known is None:
        raise PlanError(f'a filling of "{kind}"', f"it is {', '.join(KINDS)} or none", "choose one of these")
    unit = width.unit
    more = ALLOWANCE[unit] if allowance is None else allowance
    whole = in_unit(1, unit)
    size = (on_mark(width, "up", whole) + more, on_mark(height, "up", whole) + more)
    short, long = sorted(size)
    for name, one, two in sorted(PACKAGES, key=lambda each: each[1] * each[2]) if known == "batting" else ():
        if short <= inches(one) and long <= inches(two):
            return Filling(known, size, more, name, (inches(one), inches(two)))
    return Filling(known, size, more, "", None)
