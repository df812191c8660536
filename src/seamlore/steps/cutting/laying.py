"""Pieces of one fabric laid out: motifs first, then on the stash, the rest on what is bought, in two plans."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm

from seamlore import limits
from seamlore.errors import PlanError
from seamlore.fabric.shop import asked_for, bought, cost
from seamlore.lengths import RULER_MARK, Length, in_unit, on_mark, show, show_size
from seamlore.packing.cuts import tidy
from seamlore.packing.pieces import Block, Kind, renumbered
from seamlore.packing.plan import Layout, Plans, two_plans
from seamlore.steps.cutting.from_stash import Used, from_stash, parts_along
from seamlore.steps.cutting.wanted import Piece, Wishes


@dataclass(frozen=True, slots=True)
class FabricCut:
    """How one fabric is cut.

    Parameters
    ----------
    name : str
    pieces : tuple of Piece
        Their places in it are the kinds of the blocks.
    part : Length
        The length of one part.
    width : Length
        Usable width of what is bought, once it is washed.
    used : tuple of Used
        From the stash.
    plans : Plans or None
        Two plans for what is bought; None where the stash has all.
    wishes : Wishes
    """

    name: str
    pieces: tuple[Piece, ...]
    part: Length
    width: Length
    used: tuple[Used, ...]
    plans: Plans | None
    wishes: Wishes

    @property
    def layout(self) -> Layout | None:
        """The plan that is followed."""
        if self.plans is None:
            return None
        plans = {"simple": self.plans.simple, "frugal": self.plans.frugal, "fitting": self.plans.fitting}
        return plans[self.wishes.which]

    @property
    def length(self) -> Length:
        """What that plan takes; 0 where nothing is bought."""
        return self.part * self.layout.length if self.layout else in_unit(0, self.part.unit)

    @property
    def least_length(self) -> Length:
        """What no plan for the same pieces can go below."""
        return self.part * self.layout.least_length if self.layout else in_unit(0, self.part.unit)

    @property
    def waste(self) -> float:
        """The share of what is bought that becomes no piece."""
        if self.layout is None:
            return 0.0
        area = sum(strip.area for strip in self.layout.strips)
        return 1 - area / (self.layout.width * self.layout.length)

    def bought(self, layout: Layout) -> Length:
        """The length that a shop cuts for a plan."""
        return bought(self.part * layout.length, shrinkage=self.wishes.shrinkage)

    @property
    def buy(self) -> str:
        """What to ask for in a shop; "nothing" where the stash has all."""
        return asked_for(self.bought(self.layout)) if self.layout else "nothing"

    @property
    def price(self) -> Fraction | None:
        """What that costs, if a price was given."""
        offer = self.wishes.stash.offer(self.name)
        return cost(self.bought(self.layout), offer) if self.layout else None


def lay_fabric(name: str, pieces: Sequence[Piece], width: Length, wishes: Wishes | None = None) -> FabricCut:
    """Lay the pieces of one fabric out.

    Parameters
    ----------
    name : str
        What the fabric is called, here and in the stash.
    pieces : sequence of Piece
        At least one.
    width : Length
        Usable width of what is bought, where the stash does not say otherwise.
    wishes : Wishes, optional

    Returns
    -------
    FabricCut

    Raises
    ------
    PlanError
        When a piece lies in no turn within the width, a motif need not lie whole on it, the stash is used up and nothing
        can be bought, or the sizes are too fine.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> red = lay_fabric("red", [Piece("square", inches(5), inches(5), 16, False)], inches(42))
    >>> str(red.length), str(red.least_length), red.buy, round(red.waste, 3)
    ('10 in', '10 in', '3/8 yd', 0.048)
    """
    wishes = wishes or Wishes()
    offer = wishes.stash.offer(name)
    if width.inches <= 0:
        raise PlanError(f"a fabric {width} wide", "a width is more than 0", "give the usable width, such as 42in")
    wide = (offer.width if offer and offer.width else width).shown_in(width.unit)
    if wishes.shrinkage:
        wide = on_mark(wide * (1 - wishes.shrinkage), "down", RULER_MARK[wide.unit])
    part = _part(name, pieces, wide, finest=any(each.form != "length" for each in wishes.stash.of(name)))
    kinds = [
        Kind(
            parts_along(each.width, part),
            parts_along(each.height, part),
            each.count,
            each.may_turn and each.repeat is None,
        )
        for each in pieces
    ]
    across = parts_along(wide, part)
    left = [0 if each.repeat else each.count for each in pieces]
    used, left = from_stash(name, pieces, kinds, left, part, wishes)
    motifs, left, least = _motifs(pieces, kinds, left, across, part, wishes)
    for piece, kind, many in zip(pieces, kinds, left, strict=True):
        if many and not wishes.buying:
            raise _none_left(name, piece, many)
        if many and not kind.lies(across):
            raise _too_wide(piece, wide)
    plans = _bought(kinds, left, part, across, motifs, least, wishes)
    return FabricCut(name, tuple(pieces), part, part * across, used, plans, wishes)


def _part(name: str, pieces: Sequence[Piece], wide: Length, *, finest: bool) -> Length:
    """Parts so fine that every side is a whole number of them; the width is cut down to whole parts.

    Scraps lie where they lie: with them, parts are as fine as the marks of a ruler.
    """
    unit = wide.unit
    marks = in_unit(1, unit).inches / RULER_MARK[unit].inches if finest else Fraction(1)
    sides = [side for each in pieces for side in (each.width, each.height, *(each.repeat or ()))]
    per_unit = lcm(*(side.measured_in(unit).denominator for side in sides), int(marks))
    if wide.measured_in(unit) * per_unit > limits.PARTS_ACROSS:
        raise PlanError(
            f'sizes of "{name}" that only 1/{per_unit} {unit} divides',
            f"a width is at most {limits.PARTS_ACROSS:,} such parts",
            "round the sizes up to marks of the ruler",
        )
    return in_unit(Fraction(1, per_unit), unit)


def _too_wide(piece: Piece, wide: Length) -> PlanError:
    both = ", and it fits in neither turn" if piece.may_turn and not piece.repeat else ""
    return PlanError(
        f'"{piece.name}" of {show_size(piece.width, piece.height)}',
        f"the fabric is {show(wide, direction='down')} wide{both}",
        "cut it in parts, let it turn, or take a wider fabric",
        where=piece.where,
    )


def _none_left(name: str, piece: Piece, many: int) -> PlanError:
    return PlanError(
        f'{many} of "{piece.name}", {show_size(piece.width, piece.height)}',
        f'no fabric of "{name}" is left for {"it" if many == 1 else "them"}, and none is to be bought',
        "add to the stash, cut fewer, or let more be bought",
        where=piece.where,
    )


def _motifs(
    pieces: Sequence[Piece], kinds: Sequence[Kind], left: list[int], across: int, part: Length, wishes: Wishes
) -> tuple[list[Block], list[int], int]:
    """Cut what is cut at a fixed repeat, and between it what fits."""
    if not any(each.repeat for each in pieces):
        return [], left, 0
    from seamlore.packing.repeats import Repeat, band, whole_motifs  # few fabrics are cut around motifs

    strips: list[Block] = []
    least = 0
    for index, piece in enumerate(pieces):
        if piece.repeat is None:
            continue
        if not wishes.buying:
            raise _none_left("it with whole motifs", piece, piece.count)
        repeat = Repeat(*(parts_along(each, part) for each in piece.repeat))
        if not whole_motifs(kinds[index], repeat, across):
            raise PlanError(
                f'a repeat of {show(piece.repeat[0])} across for "{piece.name}", {show(piece.width)} wide',
                f"no whole motif need lie on a fabric {show(part * across)} wide",
                "take a wider fabric, or cut it without regard to the print",
                where=piece.where,
            )
        found = band(kinds, [piece.count if k == index else n for k, n in enumerate(left)], index, repeat, across)
        strips += found.strips
        left, least = list(found.left), max(least, found.least)
    return strips, left, least


def _bought(
    kinds: Sequence[Kind],
    left: Sequence[int],
    part: Length,
    across: int,
    motifs: Sequence[Block],
    least: int,
    wishes: Wishes,
) -> Plans | None:
    wanted = [index for index, many in enumerate(left) if many]
    begun = tuple(tidy(each) if not each.across else each for each in motifs)
    high = sum(each.height for each in begun)
    if not wanted:
        if not begun:
            return None
        only = Layout(across, high, min(high, least), begun)
        return Plans(only, only, only)
    rest = [replace(kinds[index], count=left[index]) for index in wanted]

    def anyway(length: int) -> int:
        def usable(need: Length) -> int:
            return parts_along(bought(need, shrinkage=wishes.shrinkage) * (1 - wishes.shrinkage), part) - high

        plain = 0 if wishes.plain is None else min(usable(wishes.plain), int(length * (1 + wishes.share)))
        return max(usable(part * (high + length)), plain)

    plans = two_plans(rest, across, wishes.effort, wishes.share, anyway=anyway)

    def whole(layout: Layout) -> Layout:
        strips = (*begun, *renumbered(layout.strips, wanted))
        return Layout(across, high + layout.length, max(least, layout.least_length), strips)

    return Plans(whole(plans.simple), whole(plans.frugal), whole(plans.fitting))
