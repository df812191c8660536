"""One fabric's pieces laid out in two ways, with little fabric and with few settings of the ruler; how short none can be."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

from seamlore.packing.bounds import least_length
from seamlore.packing.cuts import Cut, cuts_of, in_order, settings, strokes
from seamlore.packing.improving import improve, improve_strips, strips_of
from seamlore.packing.merging import ENDLESS, join_all
from seamlore.packing.pieces import Block, Kind, in_a_row, joined, piece
from seamlore.packing.simple import simplest
from seamlore.packing.strips import StripPlans, strip_plans, whole_strips

# Up to so many blocks are joined two by two; where there are more pieces, most lie in strips first.
FEW = 150
# Where there are more pieces than this, all of them lie in strips: what is left over is less than a thousandth.
MANY = 20_000
# Pairs looked at in each step, and states kept, for a layout to begin with: about a tenth of a second's work.
WORK = 5_000
STATES = 300
# How far over the area's length that layout may be, tried in this order: a tight limit prunes early.
OVER = (1.04, 1.1)
# Into how many blocks a layout is taken apart at the most, before and after the best beginning is chosen.
SIZE, LAST_SIZE = 20, 28
# How much more fabric the plan with few settings may take.
SHARE = 0.05


@dataclass(frozen=True, slots=True)
class Effort:
    """How long a short layout is looked for.

    Parameters
    ----------
    joins : bool
        Whether pieces are also joined one by one from the start; else only strips are.
    rounds : int
        Times that a layout is taken apart and joined anew.
    """

    joins: bool
    rounds: int


# A few seconds, for fabric that cannot be bought again; or some tenths of a second, for the like pieces of a draft.
THOROUGH = Effort(True, 90)
QUICK = Effort(False, 6)


@dataclass(frozen=True, slots=True)
class Place:
    """Where one piece lies: `x` across the fabric and `y` along it, in parts, from the first corner."""

    kind: int
    x: int
    y: int
    width: int
    height: int
    turned: bool


@dataclass(frozen=True)
class Layout:
    """A layout that can be cut edge to edge.

    Parameters
    ----------
    width, length, least_length : int
        Of the fabric, in parts; no layout can be shorter than the last.
    strips : tuple of Block
        What each cut across the whole width sets free, in order along the fabric.
    """

    width: int
    length: int
    least_length: int
    strips: tuple[Block, ...]

    @cached_property
    def cuts(self) -> tuple[Cut, ...]:
        """Every cut in order; lists, counts and pictures all ask for them."""
        return cuts_of(self.strips, self.width)

    @property
    def settings(self) -> int:
        """How often the ruler is set."""
        return settings(self.cuts)

    def strokes(self, layers: int) -> int:
        """How often the blade runs when so many layers are cut at once."""
        return strokes(self.cuts, layers)

    def places(self) -> list[Place]:
        """Lay each piece at its place."""
        found: list[Place] = []
        y = 0
        for strip in self.strips:
            found += places_in(strip, y)
            y += strip.height
        return found


@dataclass(frozen=True, slots=True)
class Plans:
    """The layouts that are offered; they may be the same.

    Parameters
    ----------
    simple, frugal : Layout
        Few settings of the ruler for a little more fabric; little fabric.
    fitting : Layout
        As few settings as can be for the fabric that is bought for the frugal one anyway.
    """

    simple: Layout
    frugal: Layout
    fitting: Layout


def places_in(block: Block, y: int = 0) -> list[Place]:
    """Lay each piece of a block at its place, the block beginning so far along the fabric."""
    found: list[Place] = []
    todo = [(block, 0, y)]
    while todo:
        each, left, top = todo.pop()
        if each.kind >= 0:
            found.append(Place(each.kind, left, top, each.width, each.height, each.turned))
        if each.blocks:
            first, second = each.blocks
            beyond = (left + first.width, top) if each.across else (left, top + first.height)
            todo += [(second, *beyond), (first, left, top)]
    return found


def lay_out(kinds: Sequence[Kind], width: int, effort: Effort = THOROUGH) -> Layout:
    """Lay all pieces out on a fabric, with little waste.

    The same pieces give the same layout: work is limited by steps, never by the clock.

    Parameters
    ----------
    kinds : sequence of Kind
        At least one; each lies in some way within the width.
    width : int
        In parts.
    effort : Effort

    Returns
    -------
    Layout

    Examples
    --------
    >>> layout = lay_out([Kind(5, 5, 16, False), Kind(2, 5, 4, False)], 42)
    >>> layout.length, layout.least_length, len(layout.places())
    (15, 15, 20)
    """
    return _frugal(kinds, width, effort)[0]


def two_plans(
    kinds: Sequence[Kind],
    width: int,
    effort: Effort = THOROUGH,
    share: float = SHARE,
    *,
    anyway: Callable[[int], int] = lambda length: length,
) -> Plans:
    """Lay all pieces out with little fabric, and with few settings of the ruler for a little more fabric.

    Parameters
    ----------
    kinds, width, effort
        As for `lay_out`.
    share : float
        How much longer the plan with few settings may be, as a part of the other.
    anyway : callable
        How much is bought for a length; that length when not given.

    Examples
    --------
    Here little fabric is also the fewest settings: one depth of strip, two widths across.

    >>> plans = two_plans([Kind(5, 5, 16, False), Kind(2, 5, 4, False)], 42)
    >>> plans.simple.length, plans.simple.settings, plans.frugal.length
    (15, 3, 15)
    """
    if alike := _alike(kinds, width):
        return Plans(alike, alike, alike)
    frugal, offered = _frugal(kinds, width, effort)

    def simpler(longest: int) -> Layout:
        strips = simplest(kinds, width, frugal.strips, offered, longest)
        return Layout(width, sum(each.height for each in strips), frugal.least_length, strips)

    longest, enough = int(frugal.length * (1 + share) + 1e-9), max(frugal.length, anyway(frugal.length))
    simple = simpler(longest)
    if simple.settings > frugal.settings or simple.length <= frugal.length:
        frugal = simple
    # Strips of one kind each take two settings a kind: where that is not reached, and more may be taken than the simple plan
    # takes at most, fewer settings still may do.
    fitting = simple
    if simple.length > enough or (enough > longest and simple.settings > 2 * len(kinds)):
        fitting = simpler(enough)
        if fitting.settings >= simple.settings and simple.length <= enough:
            fitting = simple
    return Plans(simple, frugal, fitting)


def _alike(kinds: Sequence[Kind], width: int) -> Layout | None:
    """Lay pieces that all lie one way in rows; None for others.

    No layout is shorter or simpler: a line across the fabric meets no more of them than lie side by side.
    """
    if len(kinds) > 1 or len(ways := kinds[0].lies(width)) > 1:
        return None
    one, count = piece(kinds, 0, turned=ways[0][2]), kinds[0].count
    many = width // one.width
    row = in_a_row([one] * min(many, count), across=True)
    strips = in_order(whole_strips(kinds, [(row, -(-count // many))]))
    length = sum(each.height for each in strips)
    return Layout(width, length, length, strips)


def _frugal(kinds: Sequence[Kind], width: int, effort: Effort) -> tuple[Layout, tuple[Block, ...]]:
    many = sum(kind.count for kind in kinds)
    joins = effort.joins and many <= MANY
    plans = strip_plans(kinds, width, FEW // 2, whole=not joins) if many > len(kinds) or not joins else None
    starts = [plans.whole] if plans and plans.whole else []
    if plans and plans.surest and joins:
        starts.append(_with_the_rest_joined(kinds, plans, width, effort.rounds))
    if joins and (many <= FEW or not starts):
        starts.append(_joined_singly(kinds, [kind.count for kind in kinds], width))
    least = least_length(kinds, width, min(each.height for each in starts))
    best = min(starts, key=lambda each: each.height)
    if joins and many > FEW:
        best = improve_strips(best, width, least, rounds=effort.rounds // 3)
    elif joins:
        # What is shortest at first need not be what can be shortened most; chance has it otherwise each time.
        ways = [(each, seed) for each in starts for seed in range(3 - len(starts))]
        tried = [improve(each, width, least, size=SIZE, rounds=effort.rounds, seed=seed) for each, seed in ways]
        best = min(tried, key=lambda each: each.height)
        best = improve(best, width, least, size=LAST_SIZE, rounds=effort.rounds, seed=2)
    elif many <= MANY:
        best = improve(best, width, least, size=SIZE, rounds=effort.rounds)
    strips = in_order(strips_of(best))
    length = sum(each.height for each in strips)
    return Layout(width, length, min(least, length), strips), plans.found if plans else ()


def _with_the_rest_joined(kinds: Sequence[Kind], plans: StripPlans, width: int, rounds: int) -> Block:
    if not any(plans.left):
        return in_a_row(plans.surest, across=False)
    rest = _joined_singly(kinds, plans.left, width)
    best = improve(rest, width, -(-rest.area // width), size=SIZE, rounds=rounds)
    return in_a_row([*plans.surest, best], across=False)


def _joined_singly(kinds: Sequence[Kind], counts: Sequence[int], width: int) -> Block:
    pieces = _bundles(kinds, counts, width)
    area = sum(each.area for each in pieces)
    for over in OVER:
        found = join_all(pieces, width, int(area / width * over), work=WORK, states=STATES)
        if found is not None:
            return found
    found = join_all(pieces, width, ENDLESS, work=WORK, states=STATES)
    # Where few states are kept, all of them may have come to an end that does not fit: rows always fit.
    return found if found is not None else in_a_row(pieces, across=False)


def _bundles(kinds: Sequence[Kind], counts: Sequence[int], width: int) -> list[Block]:
    """Give the pieces one by one; when they are many, like ones in twos, fours, eights, as square as they come."""
    size = 1
    while sum(-(-count // size) for count in counts) > FEW and size < max(counts):
        size *= 2
    found = []
    for index, count in enumerate(counts):
        lies = kinds[index].lies(width)[0]
        one = piece(kinds, index, turned=lies[2])
        while count > 0:
            block = one
            while 2 * block.area <= min(size, count) * one.area:
                across = block.width <= block.height and 2 * block.width <= width
                block = joined(block, block, across=across)
            found.append(block)
            count -= block.area // one.area
    return found
