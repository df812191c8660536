"""Strips of one fabric: how many pieces in each, how many strips, how long the cloth must be, what to ask for.

Plain arithmetic, as it is done on paper: long pieces first, then strips across, whose ends take smaller pieces.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor

from seamlore.errors import PlanError
from seamlore.fabric.shop import to_buy
from seamlore.lengths import Length, Unit, in_unit, inches, show, show_seam
from seamlore.making.buying import checked_width
from seamlore.making.cutting import Cut
from seamlore.making.shelves import Item, Shelf, shelve

# A spare for shrinking, squaring up and one slip. Good cotton shrinks about 2 in 100, 2 to 5 is typical
# (all-about-quilts.com): 3 is taken; 2 in (5 cm) to square both ends, and one more strip of the width that is cut most
# often, are common practice without a source.
SHRINKAGE = Fraction(3, 100)
SQUARING = {Unit.INCH: inches(2), Unit.CM: in_unit(5, Unit.CM)}


@dataclass(frozen=True, slots=True)
class Strips:
    """A run of equally wide strips and what is cut from them.

    Parameters
    ----------
    cuts : tuple of Cut
        What these strips are cut for: one kind, or several long ones joined.
    depth : Length
        How wide the strip is cut.
    across : int
        How many pieces of that kind lie in one strip; 0 when long pieces run along the fabric or are joined.
    count : int
        How many strips.
    length : Length
        How much fabric they take.
    way : {"across", "joined", "lengthwise"}
        Cut across the fabric; across and joined end to end; along the fabric.
    lays : tuple of Shelf
        What lies in them, strip by strip, of strips across and beside pieces that run along the fabric. Kinds are
        counted as `FabricNeed.cuts` lists them.
    """

    cuts: tuple[Cut, ...]
    depth: Length
    across: int
    count: int
    length: Length
    way: str
    lays: tuple[Shelf, ...] = ()

    def __str__(self) -> str:
        strips = f"{self.count} strip{'s' * (self.count != 1)} {show(self.depth)} wide"
        if self.way == "lengthwise":
            return f"cut {strips} along the fabric, {show(self.length)} long"
        if self.way == "joined":
            return f"cut {strips} across the fabric and join them end to end"
        if self.cuts[0].nest is not None or (self.cuts[0].batch and self.across == 1):
            return f"cut {strips} across the fabric"
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
        What to ask for in a shop, nothing added.
    strips : tuple of Strips
        How it is cut, the widest first.
    cuts : tuple of Cut
        What is cut from it.
    spare : Length
        What is added for shrinking, squaring up and a slip.
    buy_with_spare : str
        What to ask for with that.
    plain : Length
        What strips take of which each holds one kind, as handbooks reckon: nothing is cut from the ends.
    """

    fabric: str
    width: Length
    length: Length
    least_length: Length
    buy: str
    strips: tuple[Strips, ...]
    cuts: tuple[Cut, ...]
    spare: Length
    buy_with_spare: str
    plain: Length

    def beside(self, cut: Cut) -> tuple[tuple[Strips, int], ...]:
        """Which strips that are cut for others hold pieces of this kind, and how many."""
        kind = self.cuts.index(cut)
        found = []
        for strips in self.strips:
            if cut not in strips.cuts:
                held = sum(
                    column.stacked * column.number * lay.times
                    for lay in strips.lays
                    for column in lay.columns
                    if column.kind == kind
                )
                found += [(strips, held)] if held else []
        return tuple(found)

    def how(self, cut: Cut) -> str:
        """Say which strips a kind is cut from.

        Of strips that serve several kinds, all of them are told where the first is listed.
        """
        said = []
        for strips in self.strips:
            if cut == strips.cuts[0]:
                said.append(str(strips).removeprefix("cut "))
            elif cut in strips.cuts:
                said.append(f"from the strips of {strips.cuts[0].labels[0]}")
        places: Counter[str] = Counter()
        for strips, held in self.beside(cut):
            # Strips of one width are one place, said once.
            places[
                f"what {strips.cuts[0].labels[0]} leaves beside it"
                if strips.way == "lengthwise"
                else f"the ends of the strips {show(strips.depth)} wide"
            ] += held
        for place, held in places.items():
            said.append(f"{held}{' more' * bool(said)} from {place}")
        return "; ".join(said)


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
        What is bought beyond; the usual (`SHRINKAGE`, `SQUARING` and a strip) when not given.

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
    >>> need.length, need.buy, need.buy_with_spare
    (Length('152 in'), '4 1/4 yd', '4 3/4 yd')
    """
    checked_width(width)
    unit, none = seam.unit, in_unit(0, seam.unit)
    long_ones: dict[tuple[Length, str], list[Cut]] = defaultdict(list)
    items = []
    for kind, cut in enumerate(cuts):
        if cut.size[0] > width:
            long_ones[cut.size[1], cut.lies].append(cut)
        else:
            one, two = _in_strips(cut)
            items.append(Item(kind, one.inches, two.inches, cut.count, turns=cut.nest is None and not cut.lies))
    ways = [
        _laid(
            cuts, items, [_long(depth, members, width, seam)[0] for (depth, _), members in long_ones.items()], width
        )
    ]
    if long_ones and items:
        # What runs along the fabric takes more by itself, and may leave room for the rest beside it.
        along = [_long(depth, members, width, seam)[1] for (depth, _), members in long_ones.items()]
        ways.append(_laid(cuts, items, along, width))
    runs = min(ways, key=lambda way: sum(run.length.inches for run in way))
    total = sum((run.length for run in runs), none)
    area = sum((cut.cloth_sq_in * cut.count for cut in cuts), Fraction(0))
    deepest = max((cut.size[1] for cut in cuts), default=none)
    least = max(Length(area / width.inches, unit), deepest)
    more = _spare(runs, total) if spare is None else spare
    longs = [_long(depth, members, width, seam)[0].length for (depth, _), members in long_ones.items()]
    plain = sum((*longs, *(_by_itself(each, width) for each in items)), none)
    return FabricNeed(
        cuts[0].fabric, width, total, least, to_buy(total), runs, tuple(cuts), more, to_buy(total + more), plain
    )


def _by_itself(item: Item, width: Length) -> Length:
    """What the strips of one kind take that hold nothing else."""
    ways = [(item.long, item.short), *([(item.short, item.long)] if item.turns else [])]
    each = [(deep, int(width.inches / along)) for along, deep in ways]
    return Length(min(deep * -(-item.count // held) for deep, held in each if held), width.unit)


def _in_strips(cut: Cut) -> tuple[Length, Length]:
    """Which side of a cut piece lies along its strip, and which across."""
    long, short = cut.size
    # What lies side by side in a strip runs along it, whichever of the two is longer.
    turned = cut.nest is not None and cut.nest.depth == long
    # A strip lies across the fabric, and so across its print.
    return (short, long) if turned != (cut.lies == "along") else (long, short)


def _laid(cuts: Sequence[Cut], items: Sequence[Item], long: Sequence[Strips], width: Length) -> tuple[Strips, ...]:
    """All strips of a fabric, the widest first, when its long pieces lie so."""
    unit = width.unit
    left = [replace(shelf, main=-1 - at) for at, run in enumerate(long) for shelf in run.lays]
    shelves = shelve(items, width.inches, left)
    runs = [replace(run, lays=tuple(s for s in shelves if s.main == -1 - at)) for at, run in enumerate(long)]
    for kind, cut in enumerate(cuts):
        lays = tuple(shelf for shelf in shelves if shelf.main == kind)
        if lays:
            depth, count = Length(lays[0].depth, unit), sum(lay.times for lay in lays)
            runs.append(Strips((cut,), depth, lays[0].columns[0].number, count, depth * count, "across", lays))
    return tuple(sorted(runs, key=lambda run: -run.depth.inches))


def _spare(runs: Sequence[Strips], total: Length) -> Length:
    most = max(runs, key=lambda run: (run.count, run.depth.inches)) if runs else None
    slip = most.depth if most is not None else in_unit(0, total.unit)
    return slip + SQUARING[total.unit] + (total + slip) * SHRINKAGE


def _long(depth: Length, members: list[Cut], width: Length, seam: Length) -> tuple[Strips, Strips]:
    """Pieces longer than the fabric is wide: the way that takes less by itself (joined from strips, or along), and along."""
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
    rows = [lengths[index : index + each] for index in range(0, len(lengths), each)]
    along = sum((row[0] for row in rows), in_unit(0, width.unit))
    beside = tuple(Shelf(row[0].inches, width.inches - depth.inches * len(row), 1, (), -1) for row in rows)
    lengthwise = Strips(tuple(members), depth, 0, len(lengths), along, "lengthwise", beside)
    if members[0].lies:
        # A print that runs one way leaves no choice.
        only = joined if members[0].lies == "across" else lengthwise
        return only, only
    return (lengthwise if lengthwise.length <= joined.length else joined), lengthwise


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


def needs(cuts: Iterable[Cut], width: Length, seam: Length, *, spare: Length | None = None) -> tuple[FabricNeed, ...]:
    """Work out every fabric of a cutting list, in its order."""
    by_fabric: dict[str, list[Cut]] = defaultdict(list)
    for cut in cuts:
        by_fabric[cut.fabric].append(cut)
    return tuple(fabric_need(members, width, seam, spare=spare) for members in by_fabric.values())
