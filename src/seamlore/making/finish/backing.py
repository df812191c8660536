"""The backing: how many lengths of fabric, which way the seams run, how much to buy, and what other ways take."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil
from typing import Literal

from seamlore.errors import PlanError
from seamlore.fabric.shop import to_buy
from seamlore.lengths import Length, Unit, in_unit, inches, on_mark, show, show_seam, show_size

# Common practice without a source: 4 in beyond the top on each side, seams of 1/2 in pressed open.
EXTRA = {Unit.INCH: inches(4), Unit.CM: in_unit(10, Unit.CM)}
SEAM = {Unit.INCH: inches(Fraction(1, 2)), Unit.CM: in_unit(Fraction(5, 4), Unit.CM)}
# Wide backing fabric: sold as 108 in, 106 usable (trade facts A8); 270 cm (custom).
WIDE = {Unit.INCH: inches(106), Unit.CM: in_unit(270, Unit.CM)}
# A narrower piece is not worth telling (custom).
_WORTH = {Unit.INCH: inches(4), Unit.CM: in_unit(10, Unit.CM)}

Seams = Literal["none", "vertical", "horizontal"]


@dataclass(frozen=True, slots=True)
class Backing:
    """A backing of panels side by side.

    Parameters
    ----------
    size : tuple of Length
        Width and height needed, with what stands out beyond the top.
    panels : int
        How many lengths of fabric are bought.
    seams : {"none", "vertical", "horizontal"}
        Which way the seams between them run.
    panel_length : Length
        How long each is.
    length : Length
        What they take together, with what matching a pattern takes.
    buy : str
        What to ask for in a shop, rounded up once.
    fabric_width, seam, extra : Length
        Usable width; seam allowance between panels; what stands out on each side.
    side : Length
        Cut width of the two panels at the sides, which are cut from one length so that no seam runs down the middle; 0 where
        all panels are as wide as the fabric.
    matching : Length
        What is bought more so that a pattern or stripe meets at the seams.
    leftover : tuple of Length
        The piece that is left beside the last panel: width and length; 0 by 0 where it is not worth telling.
    others : tuple of Backing
        Every other way, what takes less first.
    """

    size: tuple[Length, Length]
    panels: int
    seams: Seams
    panel_length: Length
    length: Length
    buy: str
    fabric_width: Length
    seam: Length
    extra: Length
    side: Length
    matching: Length
    leftover: tuple[Length, Length]
    others: tuple[Backing, ...] = ()

    def __str__(self) -> str:
        if self.panels == 1:
            return f"one piece of {show(self.panel_length)}: {self.buy} of fabric {show(self.fabric_width)} wide"
        words = f"{self.panels} lengths of {show(self.panel_length)}, seams {self.seams}"
        if self.side:
            words += f", the last cut into two sides {show(self.side)} wide so that no seam runs down the middle"
        if self.matching:
            words += f", {show(self.matching)} of it to match the pattern"
        return f"{words}: {self.buy} of fabric {show(self.fabric_width)} wide"

    @property
    def left(self) -> str:
        """Say what is left over; empty where it is not worth telling."""
        wide, long = self.leftover
        return f"leaves a piece of {show_size(wide, long)}" if wide else ""


def backing(
    width: Length,
    height: Length,
    fabric_width: Length,
    *,
    extra: Length | None = None,
    seam: Length | None = None,
    repeat: Length | None = None,
    off_middle: bool = False,
) -> Backing:
    """Plan the backing with seams the way that takes less fabric, and tell what every other way takes.

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
    repeat : Length, optional
        How long the fabric's pattern or stripe is until it comes again; nothing is matched when not given.
    off_middle : bool
        Keep seams away from the middle.

    Returns
    -------
    Backing
        Seams that run up and down when both ways take the same.

    Raises
    ------
    PlanError
        When the fabric is not wider than its seams take, or a pattern does not come again within a panel.

    Examples
    --------
    >>> print(backing(inches(72), inches(90), inches(42)))
    2 lengths of 98 in, seams vertical: 5 1/2 yd of fabric 42 in wide
    >>> print(backing(inches(72), inches(90), inches(40)))  # 2 x 40 - 1 is 79, and 80 is needed
    3 lengths of 80 in, seams horizontal: 6 3/4 yd of fabric 40 in wide
    >>> print(backing(inches(60), inches(75), inches(42), off_middle=True, repeat=inches(24)))
    2 lengths of 83 in, seams vertical, the last cut into two sides 14 in wide so that no seam runs down the middle, ...
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
    size = (on_mark(width + beyond * 2, "up"), on_mark(height + beyond * 2, "up"))
    if repeat is not None and checked_repeat(repeat).inches > min(size).inches:
        raise PlanError(
            f"a pattern that comes again every {show(repeat)}",
            f"it does so within a panel, at most every {show(min(size))}",
            "measure from one flower to the next like it, along the fabric",
        )
    found = []
    for wide in dict.fromkeys((fabric_width, WIDE[unit])):
        for seams in ("vertical", "horizontal"):
            one = _panels(size, seams, wide, between, beyond, repeat)
            aside = _off_middle(one, repeat)
            found += [aside, one] if off_middle else [one, aside]
    own = [each for each in found if each.fabric_width == fabric_width and (not off_middle or not _in_middle(each))]
    best = min(own, key=lambda each: each.length.inches)
    others = sorted(dict.fromkeys(each for each in found if each != best), key=lambda each: each.length.inches)
    return replace(best, others=tuple(others))


def checked_repeat(repeat: Length) -> Length:
    """Give the repeat of a pattern back, or refuse one of nothing.

    Examples
    --------
    >>> checked_repeat(inches(0))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a pattern that comes again every 0 in: it is longer; measure from one flower to the next ...
    """
    if repeat.inches <= 0:
        raise PlanError(
            f"a pattern that comes again every {show(repeat)}",
            "it is longer",
            "measure from one flower to the next like it, along the fabric",
        )
    return repeat


def _panels(
    size: tuple[Length, Length], seams: str, wide: Length, between: Length, beyond: Length, repeat: Length | None
) -> Backing:
    spanned, long = size if seams == "vertical" else size[::-1]
    count = panel_count(spanned, wide, between)
    named: Seams = "none" if count == 1 else "vertical" if seams == "vertical" else "horizontal"
    none = in_unit(0, wide.unit)
    over = wide * count - between * 2 * (count - 1) - spanned
    return _bought(
        Backing(
            size, count, named, long, none, "", wide, between, beyond, none, none, _worth(over, long)
        ),
        repeat,
    )  # fmt: skip


def _bought(made: Backing, repeat: Length | None) -> Backing:
    """Add the lengths up: each but the last is as long as whole repeats, so that the next begins alike."""
    long, count = made.panel_length, made.panels
    matching = in_unit(0, long.unit)
    if repeat is not None and count > 1:
        matching = (repeat * ceil(long.inches / repeat.inches) - long) * (count - 1)
    total = long * count + matching
    return replace(made, length=total, buy=to_buy(total), matching=matching)


def _worth(over: Length, long: Length) -> tuple[Length, Length]:
    none = in_unit(0, long.unit)
    return (over, long) if over >= _WORTH[long.unit] else (none, none)


def _in_middle(made: Backing) -> bool:
    return made.panels % 2 == 0 and not made.side


def _off_middle(made: Backing, repeat: Length | None) -> Backing:
    """Cut one length of an even number into two sides; where these would be wider than the fabric, take one length more."""
    if not _in_middle(made):
        return made
    spanned = made.size[0] if made.seams == "vertical" else made.size[1]
    whole, wide = made.panels - 1, made.fabric_width
    side = (spanned - wide * whole + made.seam * 2 * made.panels) / 2
    if side * 2 <= wide:
        side = on_mark(side, "up")
        return replace(made, side=side, leftover=_worth(wide - side * 2, made.panel_length))
    more = made.panels + 1
    over = wide * more - made.seam * 2 * (more - 1) - spanned
    return _bought(replace(made, panels=more, leftover=_worth(over, made.panel_length)), repeat)


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
