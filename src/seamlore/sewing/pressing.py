"""Which way seams are pressed: the best there is, with what no pressing can better.

In this order: no seam is folded back over the more crowded of its two sides; as few crossings as can be that do not
nest; as few points as can be where more than four allowances lie on each other; as few seams as can be that lie toward
the fuller of two pieces, where other seams end only at their very ends; as little dark under light as can be.
Where six or more seams meet in a point, a seam through it may be pressed open, unless it is quilted in the ditch.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from seamlore.draft.block import VALUES, Corner, Value
from seamlore.sewing.allowances import MANY, Allowances, allowances, heaps
from seamlore.sewing.apart import Part
from seamlore.sewing.joins import Join, joins
from seamlore.sewing.steps import Outline, Press, Sewn, Step, every_part, sewn
from seamlore.solving.program import INFINITY, Rows, solve

# Two allowances for each seam.
_SEAMS_ON_EACH_OTHER = 2
_NODES = 20_000


@dataclass(frozen=True, slots=True)
class Pressed:
    """How all seams are pressed.

    Parameters
    ----------
    ways : tuple of str
        Of each seam, as `allowances.Allowances.seams` lists them.
    clashes : tuple of int
        Corners of the crossings that do not nest.
    heaped : tuple of int
        Corners where more than four allowances lie on each other.
    value, bound : tuple of int
        How many crossings do not nest, how many points are heaped, how many seams lie toward the fuller piece, how many
        stretches of seam show dark under light; and what no pressing can better: it holds as a whole, the first number
        before the others.
    """

    ways: tuple[Press, ...]
    clashes: tuple[int, ...]
    heaped: tuple[int, ...]
    value: tuple[int, int, int, int]
    bound: tuple[int, int, int, int]


def pressed(of: Sewn, values: Sequence[Value], *, in_the_ditch: bool = False) -> tuple[Allowances, Pressed]:
    """Work out how the seams of sewn pieces are pressed.

    Parameters
    ----------
    of : Sewn
    values : sequence of {"light", "medium", "dark"}
        Of each piece.
    in_the_ditch : bool
        Whether seams are quilted in the ditch: none is then pressed open.

    Returns
    -------
    Allowances, Pressed

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.sewing.steps import sewn
    >>> four = find("four patch")
    >>> labels = tuple(each.place for each in four.patches)
    >>> taken = sewn(tuple(each.outline for each in four.patches), labels, labels, True)
    >>> _, found = pressed(taken, [four.places[label].value for label in labels])
    >>> found.value, found.bound
    ((0, 0, 0, 1), (0, 0, 0, 1))
    """
    met = allowances(of)
    alike = first_copies(of, met)
    together = _Model(of, met, values, in_the_ditch, alike, shared=True)
    found = together.solved()
    if found.value == together.trivial:
        return met, replace(found, bound=found.value)
    apart = _Model(of, met, values, in_the_ditch, alike, shared=False).solved()
    return met, replace(found, bound=apart.bound) if found.value == apart.value else apart


@dataclass(frozen=True, eq=False)
class PressedPieces:
    """Sewn pieces with their pressing: what `allowances` found, how seams are pressed, and the steps that say so."""

    of: Sewn
    met: Allowances
    pressed: Pressed
    steps: tuple[Step, ...]

    def corners(self, numbers: Sequence[int]) -> tuple[Corner, ...]:
        """Exact corners by their numbers, such as those of clashes."""
        return tuple(self.of.net.corners[number] for number in numbers)


# As for `sewn`: a pressing stays while fabrics change, if their values do.
@lru_cache(maxsize=64)
def pressed_pieces(
    outlines: tuple[Outline, ...], labels: tuple[str, ...], values: tuple[Value, ...], *, in_the_ditch: bool = False
) -> PressedPieces:
    """Sew two or more pieces and press their seams; as `steps.sewn` and `pressed`."""
    of = sewn(outlines, labels, labels, True)
    met, found = pressed(of, values, in_the_ditch=in_the_ditch)
    return PressedPieces(of, met, found, pressed_steps(of, met, found.ways))


def fanned(met: Allowances, ways: Sequence[Press]) -> tuple[Press, ...]:
    """Press seams that are sewn by hand: where they cross, allowances are free to the seam line and are fanned round."""
    crossing = {met.legs[leg].seam for rays in met.points.values() for leg, _ in rays}
    return tuple("fanned" if seam in crossing else way for seam, way in enumerate(ways))


def ways_to_press(
    outlines: tuple[Outline, ...], labels: tuple[str, ...], values: tuple[Value, ...]
) -> tuple[PressedPieces, ...]:
    """Give the ways in which a block can be pressed beside its neighbors; none has more clashes than another.

    The best as such; the same with every seam that is free pressed the other way; and, where seams are pressed open
    that could nest with a neighbor's, those two with no seam open.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> four = find("four patch")
    >>> labels = tuple(each.place for each in four.patches)
    >>> found = ways_to_press(tuple(each.outline for each in four.patches), labels, ("dark", "light", "light", "dark"))
    >>> [each.pressed.ways for each in found]
    [('first', 'second', 'first'), ('second', 'first', 'second')]
    """
    best = pressed_pieces(outlines, labels, values)
    found = [best, _flipped(best)]
    if "open" in best.pressed.ways:
        closed = pressed_pieces(outlines, labels, values, in_the_ditch=True)
        if len(closed.pressed.clashes) <= len(best.pressed.clashes):
            found += [closed, _flipped(closed)]
    by_ways: dict[tuple[Press, ...], PressedPieces] = {}
    for each in found:
        by_ways.setdefault(each.pressed.ways, each)
    return tuple(by_ways.values())


def _flipped(best: PressedPieces) -> PressedPieces:
    """Press the other way every seam that is free to be, whatever lies on it: what nests still does."""
    met, ways = best.met, best.pressed.ways
    clashing = set(best.pressed.clashes)
    together = list(range(len(ways)))

    def root(seam: int) -> int:
        while together[seam] != seam:
            together[seam] = together[together[seam]]
            seam = together[seam]
        return seam

    for crossing in met.crossings:
        seams = [met.legs[leg].seam for leg in (crossing.one, crossing.other)]
        if crossing.at not in clashing and "open" not in [ways[seam] for seam in seams]:
            one, other = map(root, seams)
            together[max(one, other)] = min(one, other)
    fixed = {root(seam) for seam, (first, second) in enumerate(met.crowd) if first != second}
    turned = tuple(way if root(seam) in fixed else _turned(way, True) for seam, way in enumerate(ways))
    return PressedPieces(best.of, met, replace(best.pressed, ways=turned), pressed_steps(best.of, met, turned))


def first_copies(of: Sewn, met: Allowances) -> list[tuple[int, bool]]:
    """Of each seam: the same seam of the first of all parts that are alike, and whether its two sides are the other way
    round there."""
    numbers = {seam: number for number, seam in enumerate(met.seams)}
    kinds: dict[object, list[Part]] = defaultdict(list)
    for part in every_part(of.whole):
        kinds[of.take.key(part)].append(part)
    found = [(number, False) for number in range(len(met.seams))]
    for parts in kinds.values():
        first = min(parts, key=lambda part: part.pieces)
        order = of.take.orders(frozenset(first.pieces))[0]
        for part in parts:
            there = of.take.orders(frozenset(part.pieces))[0]
            for number, same, swapped in same_seams(of, part, first, dict(zip(there, order, strict=True))):
                found[numbers[part.pieces, number]] = numbers[first.pieces, same], swapped
    return found


def same_seams(of: Sewn, part: Part, first: Part, names: dict[int, int]) -> list[tuple[int, int, bool]]:
    """Which seam of one part is which of another that is alike, and whether its sides are the other way round.

    None where the parts are not joined in the same way when they are laid on each other so: a square of four patches
    turned by a quarter has its rows for columns.
    """

    def sides(of_part: Part, join: Join, names: dict[int, int]) -> tuple[frozenset[int], frozenset[int]]:
        one, two = (
            frozenset(names.get(piece, piece) for each in side for piece in of_part.parts[each].pieces)
            for side in (join.first, join.second)
        )
        return one, two

    there = {}
    for number, join in enumerate(joins(of.net, first)):
        if join.manner != "begun":
            one, two = sides(first, join, {})
            there[one, two] = number, False
            there[two, one] = number, True
    found = []
    for number, join in enumerate(joins(of.net, part)):
        if join.manner != "begun":
            same = there.get(sides(part, join, names))
            if same is None:
                return []
            found.append((number, *same))
    return found


def pressed_steps(of: Sewn, met: Allowances, ways: Sequence[Press]) -> tuple[Step, ...]:
    """Give the steps of sewn pieces with the way in which each seam is pressed.

    Parameters
    ----------
    of : Sewn
    met : Allowances
        Of the same pieces.
    ways : sequence of str
        Of each seam, as `Allowances.seams` lists them.
    """
    numbers = {seam: number for number, seam in enumerate(met.seams)}
    parts = {part.pieces: part for part in every_part(of.whole)}
    found = []
    for step in of.steps:
        first = parts[step.pieces]
        order = of.take.orders(frozenset(step.pieces))[0]
        presses: list[tuple[Press, ...]] = []
        for copy in step.copies:
            # A part that is the same when it is turned is laid so that it is pressed as the first is.
            read = []
            for there in of.take.orders(frozenset(copy)):
                here: dict[int, Press] = {}
                same = same_seams(of, parts[copy], first, dict(zip(there, order, strict=True)))
                for number, number_there, swapped in same:
                    here[number_there] = _turned(ways[numbers[copy, number]], swapped)
                if here:
                    begun = len(step.seams) > len(here)
                    read.append(
                        tuple(here.get(each, here[max(here)] if begun else "") for each in range(len(step.seams)))
                    )
            presses.append(presses[0] if presses and presses[0] in read else read[0])
        seams = tuple(replace(seam, press=press) for seam, press in zip(step.seams, presses[0], strict=True))
        found.append(replace(step, seams=seams, presses=tuple(presses)))
    return tuple(found)


def _turned(way: Press, swapped: bool) -> Press:
    other: dict[Press, Press] = {"first": "second", "second": "first"}
    return other.get(way, way) if swapped else way


class _Model:
    """Seams as unknowns: 1 where a seam is pressed to its second side, and others that are 1 where it is open."""

    def __init__(
        self,
        of: Sewn,
        met: Allowances,
        values: Sequence[Value],
        in_the_ditch: bool,
        alike: Sequence[tuple[int, bool]],
        *,
        shared: bool,
    ) -> None:
        self.net, self.met, self.alike = of.net, met, alike
        # Where alike parts are pressed alike, all take the unknowns of the first.
        self.of = list(alike) if shared else [(seam, False) for seam in range(len(met.seams))]
        self.shared = shared
        count = len(met.seams)
        may_open = set() if in_the_ditch else {self.of[seam][0] for seam in met.open_seams}
        self.open = {seam: count + number for number, seam in enumerate(sorted(may_open))}
        self.columns = count + len(self.open)
        self.shadow = self._shadows([VALUES.index(value) for value in values])
        self.rows = Rows()
        # Where seams end at the very ends of a seam, it lies better on the other side.
        self.fuller = {
            (seam, second > first): 1
            for seam, (first, second) in enumerate(met.at_ends)
            if first != second and met.crowd[seam][0] == met.crowd[seam][1]
        }
        least = 0
        for seam, (first, second) in enumerate(met.crowd):
            sides: tuple[bool, ...] = (False, True) if first == second else (second < first,)
            sides = tuple(side for side in sides if (seam, side) not in self.fuller)
            openable = self.of[seam][0] in self.open
            least += 0 if openable else min(self.shadow.get((seam, side), 0) for side in sides)
            if first != second:
                # Not folded back over the more crowded side.
                _add(self.rows, [self.press(seam, second > first)], -1, 0.0)
        # What none can better whatever the rest: no clash, no heap, and each seam by itself toward the plainer piece
        # and with the least shadow.
        self.trivial = 0, 0, 0, least

    def _shadows(self, dark: Sequence[int]) -> dict[tuple[int, bool], int]:
        """Of each seam and side: how many stretches show dark under light when it is pressed there."""
        found: dict[tuple[int, bool], int] = defaultdict(int)
        for leg in self.met.legs:
            for number in leg.numbers:
                each = self.net.stretches[number]
                if dark[each.left] != dark[each.right]:
                    # Pressed to the right, the left one's allowance lies under the right one.
                    right = dark[each.left] > dark[each.right]
                    found[leg.seam, right == leg.right_is_second] += 1
        return found

    def side(self, leg: int, right: bool) -> tuple[float, list[int], list[float]]:
        """1 where a leg is pressed to the right (or left) of its line, as a constant, unknowns and their entries."""
        return self.press(self.met.legs[leg].seam, self.met.legs[leg].right_is_second == right)

    def press(self, seam: int, second: bool) -> tuple[float, list[int], list[float]]:
        """1 where a seam is pressed to its second side (or its first)."""
        column, swapped = self.of[seam]
        if second != swapped:
            return 0.0, [column], [1.0]
        if column in self.open:
            return 1.0, [column, self.open[column]], [-1.0, -1.0]
        return 1.0, [column], [-1.0]

    def solved(self) -> Pressed:
        met, rows = self.met, self.rows
        many = {at for at, rays in met.points.items() if len(rays) >= MANY}
        clash = {number: self.columns + number for number in range(len(met.crossings))}
        at = self.columns + len(clash)
        for number, crossing in enumerate(met.crossings):
            for right in (True, False):
                # Both fold the same way along the seam that they end on.
                one, other = self.side(crossing.one, right), self.side(crossing.other, right != crossing.turned)
                _add(rows, [one, other], clash[number], 1.0)
            if crossing.at not in many:
                for leg in (crossing.one, crossing.other):
                    column, _ = self.of[met.legs[leg].seam]
                    if column in self.open:
                        rows.add([clash[number], self.open[column]], [1.0, -1.0], 0.0, INFINITY)
        for seam, column in self.open.items():
            rows.add([seam, column], [1.0, 1.0], -INFINITY, 1.0)
        heaped: dict[int, int] = {}
        for corner, rays in met.points.items():
            for heap in heaps(self.net, met.legs, rays):
                if len(heap) > _SEAMS_ON_EACH_OTHER:
                    column = heaped.setdefault(corner, at + len(heaped))
                    sides = [self.side(leg, right) for leg, right in heap]
                    _add(rows, sides, column, float(_SEAMS_ON_EACH_OTHER), len(heap) - _SEAMS_ON_EACH_OTHER)
        unlike = {} if self.shared else self._unlike(at + len(heaped))
        return self._read(clash, heaped, unlike)

    def _unlike(self, at: int) -> dict[int, int]:
        """Unknowns that are 1 where a part is pressed otherwise than the first that is alike."""
        found: dict[int, int] = {}
        for seam, (first, swapped) in enumerate(self.alike):
            if seam == first:
                continue
            column = found[seam] = at + len(found)
            for second in (True, False):
                constant, columns, values = self.press(first, second != swapped)
                against = -constant, columns, [-value for value in values]
                _add(self.rows, [self.press(seam, second), against], column, 0.0)
        return found

    def _read(self, clash: dict[int, int], heaped: dict[int, int], unlike: dict[int, int]) -> Pressed:
        met = self.met
        total = self.columns + len(clash) + len(heaped) + len(unlike)
        # Each number before all that come after it: seams that are open or unlike last of all.
        some = len(self.open) + len(unlike) + 1
        full = (sum(self.shadow.values()) + 1) * some
        many = (len(self.fuller) + 1) * full
        most = (len(heaped) + 1) * many
        cost, constant = np.zeros(total), 0.0
        for numbers, weight in ((self.shadow, some), (self.fuller, full)):
            for (seam, second), number in numbers.items():
                more, columns, values = self.press(seam, second)
                constant += more * number * weight
                for column, value in zip(columns, values, strict=True):
                    cost[column] += value * number * weight
        for group, each in ((clash, most), (heaped, many), (self.open, 1), (unlike, 1)):
            cost[[*group.values()]] += each
        self.rows.add([0], [0.0], -INFINITY, INFINITY)
        program = self.rows.program(np.ones(total), cost=cost, whole=np.ones(total, bool))
        found = solve(program, nodes=_NODES)
        assert found.values is not None  # every seam may lie on its plainer side
        chosen = np.rint(found.values).astype(int)
        ways: list[Press] = []
        for column, swapped in self.of:
            opened = column in self.open and chosen[self.open[column]]
            ways.append("open" if opened else "second" if bool(chosen[column]) != swapped else "first")
        clashes = tuple(met.crossings[number].at for number, column in clash.items() if chosen[column])
        heaps_left = tuple(corner for corner, column in heaped.items() if chosen[column])
        fuller, shadows = (
            sum(numbers.get((seam, way == "second"), 0) for seam, way in enumerate(ways) if way != "open")
            for numbers in (self.fuller, self.shadow)
        )
        bound = max(int(np.ceil(found.bound + constant - 1e-3)), 0)
        return Pressed(
            tuple(ways),
            clashes,
            heaps_left,
            (len(clashes), len(heaps_left), fuller, shadows),
            (bound // most, bound % most // many, bound % many // full, bound % full // some),
        )


def _add(
    rows: Rows, sides: Sequence[tuple[float, list[int], list[float]]], column: int, most: float, by: float = 1.0
) -> None:
    """No more than `most` of some sides at once, unless an unknown (if one is given) is 1, which allows `by` more."""
    entries: dict[int, float] = defaultdict(float)
    constant = 0.0
    for part, columns, values in sides:
        constant += part
        for each, value in zip(columns, values, strict=True):
            entries[each] += value
    kept = {each: value for each, value in entries.items() if value}
    more = {column: -by} if column >= 0 else {}
    rows.add([*kept, *more], [*kept.values(), *more.values()], -INFINITY, most - constant)
