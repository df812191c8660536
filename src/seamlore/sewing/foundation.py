"""Foundation piecing: whether pieces can be sewn on one foundation, in which order, and if not on how few.

On a foundation pieces go on one at a time, each along one straight line. Patches are the nodes, seams the hyperedges:
a seam joins all patches that lie along it. Leake, Bernstein, Davis and Agrawala (A Mathematical Foundation for
Foundation Paper Pieceable Quilts, ACM Transactions on Graphics, 2021) show that one foundation is enough if and only
if this hypergraph has no cycle: when patches that lie along one seam only are plucked, one after the other, none is
left; they are sewn in the reverse order. Once all patches on one side of a seam are plucked, it joins nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

import numpy as np

from seamlore.draft.block import Corner
from seamlore.lengths import Length
from seamlore.plane.outline import Points, as_outline, grow
from seamlore.sewing.cuts import Pieces, ring, runs, set_in
from seamlore.sewing.seammap import SeamMap, seam_map
from seamlore.sewing.steps import Outline, Step, sewing_steps

# How much wider than its place with its seam allowances a rough piece is, on every side: common practice, no source.
SPARE_IN = Fraction(1, 4)
# Parts of a block that are looked at for the fewest sections; beyond, what was found is not proved to be the fewest.
_PARTS = 4000


@dataclass(frozen=True, slots=True)
class FoundationPatch:
    """One numbered place on a foundation.

    Parameters
    ----------
    number : int
        From 1 up: the order of sewing.
    piece : int
        Which piece it is.
    outline : tuple of corners
        As printed: mirrored, in inches from the top left corner of the section's box.
    line : tuple of corners
        The line that is sewn when it is added, from end to end, as printed; empty for the first.
    rough : tuple of Length
        Cut at least so wide and high, `rough[0]` along the line that is sewn.
    """

    number: int
    piece: int
    outline: Outline
    line: tuple[Corner, ...]
    rough: tuple[Length, Length]


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """What is sewn on one foundation.

    Parameters
    ----------
    name : str
        "A", "B" and so on.
    patches : tuple of FoundationPatch
        In the order of sewing.
    outline : tuple of corners
        Its sewing line, as printed: mirrored, in inches, its box beginning at 0, 0.
    cutting : ndarray, shape (n, 2)
        The line to trim to, a seam allowance outside.
    """

    name: str
    patches: tuple[FoundationPatch, ...]
    outline: Outline
    cutting: Points

    @property
    def pieces(self) -> tuple[int, ...]:
        """Its pieces in the order of sewing."""
        return tuple(each.piece for each in self.patches)

    @property
    def slanted(self) -> bool:
        """Whether it holds anything but rectangles square to it."""
        return any(
            len(each.outline) != 4 or len({x for x, _ in each.outline}) > 2 or len({y for _, y in each.outline}) > 2
            for each in self.patches
        )


@dataclass(frozen=True, slots=True)
class Foundations:
    """How pieces are sewn on foundations.

    Parameters
    ----------
    sections : tuple of Section
        One when one foundation is enough.
    joins : tuple of Step
        How the sections are joined, called "section A"; none when there is one.
    fewest : bool
        Whether it is proved that no fewer sections can be joined by straight seams from edge to edge.
    """

    sections: tuple[Section, ...]
    joins: tuple[Step, ...]
    fewest: bool


def order_on_one(net: SeamMap, part: Pieces) -> tuple[int, ...] | None:
    """Find the order in which a part is sewn on one foundation.

    Parameters
    ----------
    net : SeamMap
    part : frozenset of int
        Pieces that make one piece of cloth.

    Returns
    -------
    tuple of int, or None
        None when one foundation is not enough.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> half, four = (seam_map([each.outline for each in find(name).patches]) for name in ("half-square triangle", "four patch"))
    >>> order_on_one(half, half.everything), order_on_one(four, four.everything)
    ((0, 1), None)
    """
    found = runs(net, part)
    sides: list[tuple[set[int], set[int]]] = [
        ({net.stretches[number].left for number in run}, {net.stretches[number].right for number in run})
        for run in (*(run for slope in found.whole.values() for run in slope), *found.ending)
    ]
    left, plucked = set(part), list[int]()
    # Of each piece: the seams that it lies along while they join something.
    along: dict[int, set[int]] = {piece: set() for piece in part}
    for number, (one, other) in enumerate(sides):
        for piece in one | other:
            along[piece].add(number)
    away = dict[int, float]()
    while len(left) > 1:
        leaves = [piece for piece in left if len(along[piece]) == 1]
        if not leaves:
            return None
        away = away or _away(net, part)
        # From the edge inward, so that the middle comes first on the foundation.
        leaf = max(leaves, key=lambda piece: (round(away[piece], 6), piece))
        left.discard(leaf)
        plucked.append(leaf)
        for number in along.pop(leaf):
            one, other = sides[number]
            one.discard(leaf)
            other.discard(leaf)
            if not (one and other):
                for piece in one | other:
                    along[piece].discard(number)
    return (*left, *reversed(plucked))


def _away(net: SeamMap, part: Pieces) -> dict[int, float]:
    """How far the middle of each piece lies from that of its part."""
    pieces = list(part)
    middle = net.points[[at for piece in pieces for at in net.rings[piece]]].mean(axis=0)
    far = np.hypot(*(_middles(net)[pieces] - middle).T).tolist()
    return dict(zip(pieces, far, strict=True))


@lru_cache(maxsize=4)
def _middles(net: SeamMap) -> Points:
    """The middle of each piece's corners."""
    return np.array([net.points[list(corners)].mean(axis=0) for corners in net.rings])


def foundations(outlines: Sequence[Outline], allowance: Length) -> Foundations:
    """Work out foundations for pieces of cloth.

    Parameters
    ----------
    outlines : sequence of outlines
        Finished, exact, in inches, each where it lies.
    allowance : Length
        Round each section, and round each piece.

    Returns
    -------
    Foundations

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> def of(name):
    ...     return foundations([each.outline for each in find(name).patches], inches("1/4"))
    >>> [len(of(name).sections) for name in ("square in a square", "log cabin", "four patch", "nine patch", "hourglass")]
    [1, 1, 2, 3, 2]
    >>> of("four patch").joins[0].joins
    (('section A', 1), ('section B', 1))
    """
    net = seam_map(outlines)
    search = _Search(net)
    groups = search.fewest(net.everything)
    middles = {group: net.points[[at for piece in group for at in net.rings[piece]]].min(axis=0) for group in groups}
    ordered = sorted(groups, key=lambda group: (round(middles[group][1], 6), round(middles[group][0], 6)))
    names = [_letter(number) for number in range(len(ordered))]
    sections = tuple(
        _section(net, outlines, name, group, allowance) for name, group in zip(names, ordered, strict=True)
    )
    shapes = tuple(net.outline(group) for group in ordered)
    joins = sewing_steps(shapes, tuple(f"section {name}" for name in names)) if len(shapes) > 1 else ()
    # Nothing is less than two where one is not enough.
    fewest = len(sections) <= 2 or (search.complete and not search.turns)
    return Foundations(sections, joins, fewest)


def alike_sections(sections: Sequence[Section], labels: Sequence[str]) -> list[tuple[Section, ...]]:
    """Gather sections of the same pieces in the same places, up to quarter turns: one is drawn for all of them.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> shoo = find("shoo fly")
    >>> found = foundations([each.outline for each in shoo.patches], inches("1/4"))
    >>> [[each.name for each in alike] for alike in alike_sections(found.sections, [each.place for each in shoo.patches])]
    [['A', 'C'], ['B']]
    """
    found: dict[object, list[Section]] = {}
    for section in sections:
        found.setdefault(min(_read(section, labels, turn) for turn in range(4)), []).append(section)
    return [tuple(alike) for alike in found.values()]


def _read(section: Section, labels: Sequence[str], turn: int) -> tuple[object, ...]:
    rings = []
    for each in section.patches:
        ring = [(float(x), float(y)) for x, y in each.outline]
        for _ in range(turn):
            ring = [(-y, x) for x, y in ring]
        rings.append((labels[each.piece], ring))
    left, top = min(x for _, ring in rings for x, _ in ring), min(y for _, ring in rings for _, y in ring)
    return tuple(
        sorted((label, *sorted((round(x - left, 5), round(y - top, 5)) for x, y in ring)) for label, ring in rings)
    )


def _letter(number: int) -> str:
    return chr(65 + number) if number < 26 else f"{_letter(number // 26 - 1)}{chr(65 + number % 26)}"


class _Search:
    """The fewest sections of parts."""

    def __init__(self, net: SeamMap) -> None:
        self.net = net
        self.known: dict[Pieces, tuple[Pieces, ...]] = {}
        self.complete, self.turns = True, False

    def fewest(self, part: Pieces) -> tuple[Pieces, ...]:
        if part in self.known:
            return self.known[part]
        if order_on_one(self.net, part) is not None:
            self.known[part] = (part,)
            return (part,)
        best: tuple[Pieces, ...] = ()
        for one, other in self._halves(part):
            # Two is the least that is left to hope for.
            if len(best) == 2:
                break
            if len(self.known) > _PARTS and best:
                self.complete = False
                break
            split = (*self.fewest(one), *self.fewest(other))
            if not best or len(split) < len(best):
                best = split
        self.known[part] = best
        return best

    def _halves(self, part: Pieces) -> list[tuple[Pieces, Pieces]]:
        """Ways to divide a part in two: by a seam from edge to edge, or where none is left by one that turns."""
        found = runs(self.net, part)
        halves = []
        for whole in found.whole.values():
            for run in whole:
                groups = self.net.components(part, run)
                if len(groups) == 2:
                    halves.append((groups[0], groups[1]))
        if not halves:
            # Not all seams that turn are looked at, only those that turn least.
            self.turns = True
            around = ring(self.net, part, found.ending)
            if around:
                halves = [(part - arm, arm) for arm in around.arms]
            halves += [(part - group, group) for _, group in set_in(self.net, part)]
        # Even halves first: they are the likeliest to need the fewest sections.
        return sorted(halves, key=lambda two: (abs(len(two[0]) - len(two[1])), min(two[0])))


def _section(net: SeamMap, outlines: Sequence[Outline], name: str, group: Pieces, allowance: Length) -> Section:
    order = order_on_one(net, group)
    assert order is not None
    whole = net.outline(group)
    right, top = max(x for x, _ in whole), min(y for _, y in whole)

    def printed(corners: Sequence[Corner]) -> Outline:
        return tuple((right - x, y - top) for x, y in reversed(corners))

    patches, sewn = [], frozenset[int]()
    for number, piece in enumerate(order, start=1):
        line: tuple[Corner, ...] = ()
        if sewn:
            line = net.bends(net.path(net.between(sewn, frozenset((piece,)))))
        rough = _rough(outlines[piece], line, allowance)
        patches.append(FoundationPatch(number, piece, printed(outlines[piece]), printed(line), rough))
        sewn = sewn | {piece}
    outline = printed(whole)
    points = as_outline([(float(x), float(y)) for x, y in outline])
    return Section(name, tuple(patches), outline, grow(points, allowance.inches_float, trimmed=False))


def _rough(outline: Outline, line: Sequence[Corner], allowance: Length) -> tuple[Length, Length]:
    """A rectangle that covers a piece with its allowances and something to spare, one side along the line sewn."""
    points = np.array([(float(x), float(y)) for x, y in outline])
    sides = np.roll(points, -1, axis=0) - points
    # The first is laid along its longest side; others along the line sewn.
    along = sides[int(np.argmax(np.round(np.hypot(sides[:, 0], sides[:, 1]), 6)))]
    if line:
        (x0, y0), (x1, y1) = ((float(x), float(y)) for x, y in (line[0], line[-1]))
        along = np.array([x1 - x0, y1 - y0])
    along = along / np.hypot(*along)
    box = np.ptp(points @ np.array([[along[0], -along[1]], [along[1], along[0]]]), axis=0).tolist()
    more = (allowance.inches + SPARE_IN) * 2
    # A float's rounding is undone: a size that comes out on a tape mark stays there.
    wide, high = (Length(Fraction(round(side * 10**9), 10**9) + more, allowance.unit) for side in box)
    return wide, high
