"""The pressing of a block as a program of whole numbers: what is wanted first weighs more than all that comes after it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from seamlore.draft.block import VALUES, Value
from seamlore.sewing.allowances import MANY, Allowances, heaps
from seamlore.sewing.steps import Press, Sewn
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


class Model:
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
