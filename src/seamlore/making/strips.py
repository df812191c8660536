"""Strips across the width of the fabric: how many pieces in each, how many strips, how long the cloth must be.

Plain arithmetic, one kind of cut to a strip, as it is done on paper.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from seamlore.errors import PlanError
from seamlore.lengths import INCHES_PER_YARD, Length, Unit, in_unit, inches, on_mark, show, show_seam
from seamlore.making.cutting import Cut


@dataclass(frozen=True, slots=True)
class Strips:
    """A run of equal strips and what is cut from them.

    Parameters
    ----------
    cuts : tuple of Cut
        What comes from these strips: one kind, or several long ones joined.
    depth : Length
        How wide the strip is cut.
    across : int
        How many pieces lie in one strip; 0 when long pieces run along the fabric or are joined.
    count : int
        How many strips.
    length : Length
        How much fabric they take.
    way : {"across", "joined", "lengthwise"}
        Cut across the fabric; across and joined end to end; along the fabric.
    """

    cuts: tuple[Cut, ...]
    depth: Length
    across: int
    count: int
    length: Length
    way: str

    def __str__(self) -> str:
        strips = f"{self.count} strip{'s' * (self.count != 1)} {show(self.depth)} wide"
        if self.way == "lengthwise":
            return f"cut {strips} along the fabric, {show(self.length)} long"
        if self.way == "joined":
            return f"cut {strips} across the fabric and join them end to end"
        return f"cut {strips} across the fabric, {self.across} from {'each' if self.count > 1 else 'it'}"


@dataclass(frozen=True, slots=True)
class FabricNeed:
    """How much of one fabric is needed.

    Parameters
    ----------
    fabric : str
        Its name.
    width : Length
        Usable width.
    length : Length
        What the strips take.
    least_length : Length
        No layout of these cuts can be shorter: their area over the width, and the deepest of them.
    buy : str
        What to ask for in a shop.
    strips : tuple of Strips
        How it is cut, the widest first.
    """

    fabric: str
    width: Length
    length: Length
    least_length: Length
    buy: str
    strips: tuple[Strips, ...]


def pieces_from(cut: tuple[Length, Length], width: Length, length: Length) -> int:
    """How many equal pieces come from a cloth, all laid the same way, the better of the two.

    Examples
    --------
    >>> pieces_from((inches("2.5"), inches("2.5")), inches(42), inches(36))
    224
    >>> pieces_from((inches(50), inches(2)), inches(42), inches(36))
    0
    """
    one, two = cut
    ways = [(one, two), (two, one)]
    return max(floor(width.inches / wide.inches) * floor(length.inches / high.inches) for wide, high in ways)


def checked_width(width: Length) -> Length:
    """Give the usable width of a fabric back, or refuse one that has none.

    Examples
    --------
    >>> checked_width(inches(42))
    Length('42 in')
    >>> checked_width(inches(0))
    Traceback (most recent call last):
        ...
    seamlore.errors.PlanError: a fabric 0 in wide: fabric is wider than that; give its width without the selvages
    """
    if width.inches <= 0:
        raise PlanError(
            f"a fabric {show(width)} wide", "fabric is wider than that", "give its width without the selvages"
        )
    return width


def fabric_need(cuts: Sequence[Cut], width: Length, seam: Length, *, spare: Length | None = None) -> FabricNeed:
    """Work out the strips of one fabric and how much to buy.

    Parameters
    ----------
    cuts : sequence of Cut
        All of one fabric.
    width : Length
        Usable width, without the selvages.
    seam : Length
        Seam allowance, lost where strips are joined.
    spare : Length, optional
        Added before rounding up for the shop; nothing when not given.

    Raises
    ------
    PlanError
        When the width is 0 or less, or a piece is too large for the fabric either way.

    Examples
    --------
    >>> from seamlore.making.shapes import Shaped
    >>> square = Shaped("square", (Fraction(9), Fraction(9)))
    >>> nine = (inches("9.5"), inches("9.5"))
    >>> cut = Cut("Back", "square", nine, 1, 63, 63, (inches(9), inches(9)), ("A1",), "", Fraction(361, 4), square)
    >>> need = fabric_need([cut], inches(42), inches("1/4"))
    >>> need.length, need.buy
    (Length('152 in'), '4 1/4 yd')
    """
    checked_width(width)
    long_ones: dict[Length, list[Cut]] = defaultdict(list)
    runs = []
    for cut in cuts:
        if cut.size[0] > width:
            long_ones[cut.size[1]].append(cut)
        else:
            runs.append(_across(cut, width))
    runs += [_long(depth, members, width, seam) for depth, members in long_ones.items()]
    runs.sort(key=lambda run: -run.depth.inches)
    unit = seam.unit
    total = sum((run.length for run in runs), in_unit(0, unit))
    area = sum((cut.cloth_sq_in * cut.count for cut in cuts), Fraction(0))
    deepest = max((cut.size[1] for cut in cuts), default=in_unit(0, unit))
    least = max(Length(area / width.inches, unit), deepest)
    return FabricNeed(cuts[0].fabric, width, total, least, to_buy(total + (spare or in_unit(0, unit))), tuple(runs))


def _across(cut: Cut, width: Length) -> Strips:
    """Strips across the fabric, turned the better way: less cloth, then fewer strips."""
    one, two = cut.size
    ways = []
    for along, depth in ((one, two), (two, one)):
        each = floor(width.inches / along.inches)
        if each:
            count = ceil(Fraction(cut.count, each))
            ways.append(Strips((cut,), depth, min(each, cut.count), count, depth * count, "across"))
    return min(ways, key=lambda run: (run.length, run.count, run.depth))


def _long(depth: Length, members: list[Cut], width: Length, seam: Length) -> Strips:
    """Pieces longer than the fabric is wide: joined from strips, or cut along the fabric; whichever takes less."""
    if depth > width:
        too = members[0]
        raise PlanError(
            f"a piece {show(depth)} by {show(too.size[0])} ({', '.join(too.labels)})",
            f"the fabric is {show(width)} wide",
            "use a wider fabric, or divide the piece",
        )
    total = sum((cut.size[0] * cut.count for cut in members), in_unit(0, width.unit))
    count = joined_strips(total, width, seam)
    joined = Strips(tuple(members), depth, 0, count, depth * count, "joined")
    each = floor(width.inches / depth.inches)
    lengths = sorted((cut.size[0] for cut in members for _ in range(cut.count)), reverse=True)
    # Side by side along the fabric, longest together.
    along = sum((lengths[index] for index in range(0, len(lengths), each)), in_unit(0, width.unit))
    lengthwise = Strips(tuple(members), depth, 0, len(lengths), along, "lengthwise")
    return lengthwise if lengthwise.length <= joined.length else joined


def joined_strips(total: Length, width: Length, seam: Length) -> int:
    """How many strips across the fabric make a run of `total` when joined with straight seams.

    Examples
    --------
    >>> joined_strips(inches(100), inches(42), inches("1/4"))
    3
    >>> joined_strips(inches(84), inches(42), inches("1/4"))  # the seam takes 1/2 in
    3
    """
    if width.inches <= 2 * seam.inches:
        raise PlanError(
            f"a fabric {show(width)} wide with seams of {show_seam(seam)}",
            "a join would take all of it",
            "use wider fabric",
        )
    return max(1, ceil((total.inches - 2 * seam.inches) / (width.inches - 2 * seam.inches)))


def to_buy(length: Length) -> str:
    """Say what to ask for in a shop: yards to the next eighth, or meters to the next 5 cm.

    Examples
    --------
    >>> to_buy(inches(152)), to_buy(inches(36)), to_buy(in_unit(187, Unit.CM)), to_buy(inches(0))
    ('4 1/4 yd', '1 yd', '1.9 m', '0 yd')
    """
    bought = bought_length(length)
    if length.unit is Unit.CM:
        return f"{float(bought.measured_in(Unit.CM) / 100):g} m"
    return f"{show(inches(bought.yards), mark=inches(Fraction(1, 8)), bare=True)} yd"


def bought_length(length: Length) -> Length:
    """The length that a shop cuts for a need: up to the next 1/8 yd (4 1/2 in) or 5 cm.

    Examples
    --------
    >>> bought_length(inches("27.5"))
    Length('31 1/2 in')
    """
    step = in_unit(5, Unit.CM) if length.unit is Unit.CM else inches(Fraction(INCHES_PER_YARD, 8))
    return on_mark(length, "up", step)


def needs(cuts: Iterable[Cut], width: Length, seam: Length, *, spare: Length | None = None) -> tuple[FabricNeed, ...]:
    """Work out every fabric of a cutting list, in its order."""
    by_fabric: dict[str, list[Cut]] = defaultdict(list)
    for cut in cuts:
        by_fabric[cut.fabric].append(cut)
    return tuple(fabric_need(members, width, seam, spare=spare) for members in by_fabric.values())
