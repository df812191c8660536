"""How the seams that join a top are pressed: toward the plainer side, rows by turns, so that they nest."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np

from seamlore.sewing.allowances import Allowances, Leg, allowances, direction
from seamlore.sewing.ends import End
from seamlore.sewing.setting import Round
from seamlore.sewing.steps import Press
from seamlore.solving.program import INFINITY, Rows, solve

_NEAR = 1e-4
_NODES = 2_000
# With more seams than this a better pressing is no longer searched for when the first does not nest everywhere.
_SEAMS = 400


@dataclass(frozen=True, eq=False)
class PressedRound:
    """How the seams of one round of a top are pressed.

    Parameters
    ----------
    met : Allowances
    ways : tuple of str
        Of each seam.
    clashes : tuple of (float, float)
        Where seams do not nest, in inches from the quilt's top left corner.
    bound : int
        In how many places no pressing of these seams could make them nest.
    """

    met: Allowances
    ways: tuple[Press, ...]
    clashes: tuple[tuple[float, float], ...]
    bound: int


def pressed_rounds(rounds: Sequence[Round], ends: Mapping[int, Sequence[End]]) -> list[PressedRound]:
    """Press the seams of a top, round by round.

    Parameters
    ----------
    rounds : sequence of Round
    ends : dict of int to sequence of End
        Where the seams of each block end on its edge, and how they lie there; by the number of the piece.
    """
    found: list[PressedRound] = []
    inner: list[End] = []
    for each in rounds:
        found.append(_pressed_round(each, ends, inner))
        inner = _outer_ends(each, found[-1], ends, inner)
    return found


def _outer_ends(each: Round, by: PressedRound, ends: Mapping[int, Sequence[End]], inner: Sequence[End]) -> list[End]:
    """Where seams end on the edge of what has been joined so far."""
    net = each.of.net
    (left, top), (right, bottom) = net.points.min(axis=0).tolist(), net.points.max(axis=0).tolist()
    edge = {at for number in net.edge(net.everything) for at in net.stretches[number][:2]}
    found = []
    for leg in by.met.legs:
        x, y = direction(net, leg)
        onto_right = (by.ways[leg.seam] == "second") == leg.right_is_second
        for at, sign in ((leg.corners[0], 1), (leg.corners[-1], -1)):
            if at in edge:
                corner = net.points[at].tolist()
                lean = (-y, x) if onto_right else (y, -x)
                found.append(End((corner[0], corner[1]), (sign * x, sign * y), lean))
    blocks = [end for inside in each.numbers if len(inside) == 1 for end in ends.get(inside[0], ())]
    for end in (*blocks, *inner):
        x, y = end.at
        if min(x - left, right - x, y - top, bottom - y) < _NEAR:
            found.append(end)
    return found


def _pressed_round(each: Round, ends: Mapping[int, Sequence[End]], inner: Sequence[End]) -> PressedRound:
    met = allowances(each.of)
    problem = _Problem(each, met, ends, inner)
    ways, clashing = problem.by_turns()
    bound = 0
    if clashing and len(met.seams) <= _SEAMS:
        ways, clashing, bound = problem.searched(ways)
    net = each.of.net
    points = tuple((float(net.points[at][0]), float(net.points[at][1])) for at in clashing)
    return PressedRound(met, tuple(ways), points, bound)


class _Problem:
    """Seams as nodes, pressed to their first or second side; links between those that must nest."""

    def __init__(self, each: Round, met: Allowances, ends: Mapping[int, Sequence[End]], inner: Sequence[End]) -> None:
        self.met, self.net = met, each.of.net
        count = len(met.seams)
        crowd = [list(pair) for pair in met.crowd]
        # Of each seam: where it should be pressed to one side so that it nests with the seam of a block.
        self.wanted: list[tuple[int, bool, int]] = []
        at_corner: dict[tuple[int, int], list[int]] = defaultdict(list)
        for at, (x, y) in enumerate(self.net.points.tolist()):
            at_corner[round(x / _NEAR / 4), round(y / _NEAR / 4)].append(at)
        legs_at: dict[int, list[int]] = defaultdict(list)
        for number, leg in enumerate(met.legs):
            for corner in (leg.corners[0], leg.corners[-1]):
                legs_at[corner].append(number)
        corners = [list(pair) for pair in met.at_ends]
        for leg in met.legs:
            for end, second in self._ends_on(each, leg, ends, inner):
                at_tip = any(
                    hypot(end.at[0] - x, end.at[1] - y) < _NEAR
                    for x, y in self.net.points[[leg.corners[0], leg.corners[-1]]].tolist()
                )
                (corners if at_tip else crowd)[leg.seam][second] += 1
                key = round(end.at[0] / _NEAR / 4), round(end.at[1] / _NEAR / 4)
                for corner in at_corner.get(key, ()):
                    self._against(leg, end, corner, legs_at.get(corner, ()))
        self.fixed: list[bool | None] = [None] * count
        # Toward sashing and plain blocks always; toward the plainer of two pieced ones where nothing else speaks.
        self.plainer: dict[int, bool] = {}
        for seam, (one, two) in enumerate(zip(crowd, corners, strict=True)):
            whole = one[0] + two[0], one[1] + two[1]
            if one[0] != one[1] or (whole[0] != whole[1] and 0 in whole):
                self.fixed[seam] = whole[1] < whole[0] if one[0] == one[1] else one[1] < one[0]
            elif two[0] != two[1]:
                self.plainer[seam] = two[1] < two[0]

    def _ends_on(
        self, each: Round, leg: Leg, ends: Mapping[int, Sequence[End]], inner: Sequence[End]
    ) -> list[tuple[End, bool]]:
        """Seams of blocks, and of what was joined before, that end on a leg, and whether they come from its second side."""
        # An end at the corner between two stretches is met in both.
        found: dict[int, tuple[End, bool]] = {}
        for number in leg.numbers:
            stretch = self.net.stretches[number]
            (x0, y0), (x1, y1) = self.net.points[stretch.start].tolist(), self.net.points[stretch.end].tolist()
            long = hypot(x1 - x0, y1 - y0)
            for piece in (stretch.left, stretch.right):
                inside = each.numbers[piece]
                for end in ends.get(inside[0], ()) if len(inside) == 1 else inner:
                    dx, dy = end.at[0] - x0, end.at[1] - y0
                    along = (dx * (x1 - x0) + dy * (y1 - y0)) / long
                    off = abs(dx * (y1 - y0) - dy * (x1 - x0)) / long
                    if off < _NEAR and -_NEAR < along < long + _NEAR:
                        found[id(end)] = end, (piece == stretch.right) == leg.right_is_second
        return list(found.values())

    def _against(self, over: Leg, end: End, corner: int, legs: Sequence[int]) -> None:
        """A seam of the top that goes on where the seam of a block ends should be pressed against it."""
        if end.lean is None:
            return
        t = direction(self.net, over)
        for number in legs:
            leg = self.met.legs[number]
            x, y = direction(self.net, leg)
            ray = (x, y) if leg.corners[0] == corner else (-x, -y)
            if leg.seam == over.seam or hypot(ray[0] + end.ray[0], ray[1] + end.ray[1]) > 1e-3:
                continue
            right_leans = -y * t[0] + x * t[1] > 0
            block_leans = end.lean[0] * t[0] + end.lean[1] * t[1] > 0
            right = right_leans != block_leans
            self.wanted.append((leg.seam, right == leg.right_is_second, corner))

    def _links(self) -> list[tuple[int, int, bool, int]]:
        """Two seams, whether they nest when both lie on their second sides (or both on their first), and where."""
        found = []
        for crossing in self.met.crossings:
            one, other = self.met.legs[crossing.one], self.met.legs[crossing.other]
            same_right = crossing.turned
            same_second = same_right == (one.right_is_second == other.right_is_second)
            found.append((one.seam, other.seam, same_second, crossing.at))
        return found

    def by_turns(self) -> tuple[list[Press], list[int]]:
        """Press one seam after the other so that it nests with those before it."""
        near: dict[int, list[tuple[int, bool]]] = defaultdict(list)
        links = self._links()
        for one, other, same, _ in links:
            near[one].append((other, same))
            near[other].append((one, same))
        asked: dict[int, int] = defaultdict(int)
        for seam, wanted, _ in self.wanted:
            asked[seam] += 1 if wanted else -1
        side: dict[int, bool] = {seam: second for seam, second in enumerate(self.fixed) if second is not None}
        starts = [*side, *sorted(asked, key=lambda seam: (-abs(asked[seam]), seam)), *range(len(self.met.seams))]
        for start in starts:
            side.setdefault(start, asked[start] > 0 if asked[start] else self.plainer.get(start, False))
            waiting = [start]
            while waiting:
                seam = waiting.pop()
                for other, same in near[seam]:
                    if other not in side:
                        side[other] = side[seam] == same
                        waiting.append(other)
        ways: list[Press] = ["second" if side[seam] else "first" for seam in range(len(self.met.seams))]
        return ways, self._clashing(ways)

    def _clashing(self, ways: Sequence[Press]) -> list[int]:
        second = [way == "second" for way in ways]
        apart = [at for one, other, same, at in self._links() if (second[one] == second[other]) != same]
        return apart + [at for seam, wanted, at in self.wanted if second[seam] != wanted]

    def searched(self, start: Sequence[Press]) -> tuple[list[Press], list[int], int]:
        """Look for the pressing with the fewest clashes, and what none can better."""
        count, links = len(self.met.seams), self._links()
        total = count + len(links)
        cost = np.concatenate([np.zeros(count), np.ones(len(links))])
        constant = 0
        for seam, wanted, _ in self.wanted:
            cost[seam] += -1 if wanted else 1
            constant += wanted
        rows, upper, lower = Rows(), np.ones(total), np.zeros(total)
        for seam, fixed in enumerate(self.fixed):
            if fixed is not None:
                lower[seam] = upper[seam] = fixed
        for number, (one, other, same, _) in enumerate(links):
            clash = count + number
            if one == other:
                continue
            if same:
                rows.add([one, other, clash], [1.0, -1.0, -1.0], -INFINITY, 0.0)
                rows.add([one, other, clash], [-1.0, 1.0, -1.0], -INFINITY, 0.0)
            else:
                rows.add([one, other, clash], [1.0, 1.0, -1.0], -INFINITY, 1.0)
                rows.add([one, other, clash], [-1.0, -1.0, -1.0], -INFINITY, -1.0)
        rows.add([0], [0.0], -INFINITY, INFINITY)
        program = rows.program(upper, cost=cost, whole=np.ones(total, bool))
        program.lower[:] = lower
        found = solve(program, nodes=_NODES)
        if found.values is None:
            return list(start), self._clashing(start), 0
        ways: list[Press] = ["second" if value > 0.5 else "first" for value in found.values[:count]]
        return ways, self._clashing(ways), max(int(np.ceil(found.bound + constant - 1e-6)), 0)
