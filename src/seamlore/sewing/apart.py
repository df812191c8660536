"""How pieces of cloth are joined: parts that are sewn first, the parts of those, and so down to single pieces.

What is sewn last is found first, by taking the whole apart. Cells of a grid are made before they are joined into
rows, and long seams before short ones are as few as can be. Parts that are alike, up to a turn, come apart alike.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import pi
from typing import Literal

import numpy as np

from seamlore.sewing.cuts import Pieces, Run, frame, ring, runs, set_in, square_to, turned_slope
from seamlore.sewing.seammap import SeamMap

Manner = Literal["", "straight", "partial", "mitered", "set in"]
Way = Literal["", "across", "up and down", "on the diagonal", "at a slant"]
# No corner of a draft falls halfway between two of these, so that the rounding of floats tells no two alike parts apart.
_QUANTUM = 1.2345678e-6
_SAME = 1e-5


@dataclass(frozen=True, slots=True)
class Part:
    """One piece of cloth, or parts sewn together.

    Parameters
    ----------
    pieces : tuple of int
        Numbers of its pieces, in order.
    parts : tuple of Part
        What it is joined from, in order: along the line that crosses their seams; of a partial seam the middle, then
        what goes round it; of a mitered frame its middle, then its sides clockwise; what others are set into before those;
        empty for a piece.
    manner : {"", "straight", "partial", "mitered", "set in"}
        Whether all its seams are straight from edge to edge, or one is begun and finished last, or a frame's corners are
        sewn last, or seams turn corners.
    way : str
        How straight seams run: "across", "up and down", "on the diagonal", "at a slant".
    row : bool
        Whether it is a row of cells of a grid.
    """

    pieces: tuple[int, ...]
    parts: tuple[Part, ...] = ()
    manner: Manner = ""
    way: Way = ""
    row: bool = False

    @property
    def height(self) -> int:
        """How many stages of sewing it takes: 0 for a piece."""
        return 1 + max(part.height for part in self.parts) if self.parts else 0


class Apart:
    """Takes pieces in their places apart.

    Parameters
    ----------
    net : SeamMap
    labels : sequence of str
        What each piece is called; pieces of one outline and one label are alike.
    turning : bool
        Whether parts that differ by quarter turns are alike.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.sewing.seammap import seam_map
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> take = Apart(seam_map([each.outline for each in four.patches]), ["A", "B", "B", "A"])
    >>> whole = take.whole()
    >>> whole.way, [part.pieces for part in whole.parts], take.key(whole.parts[0]) == take.key(whole.parts[1])
    ('across', [(0, 1), (2, 3)], True)
    """

    def __init__(self, net: SeamMap, labels: Sequence[str], *, turning: bool = True) -> None:
        self.net, self.turning = net, turning
        self._turns = (0, 1, 2, 3) if turning else (0,)
        self._made: dict[object, tuple[Part, tuple[int, ...]]] = {}
        self._keys: dict[Pieces, tuple[object, int, tuple[int, ...]]] = {}
        self._read: dict[Pieces, list[tuple[object, tuple[int, ...]]]] = {}
        self._shapes, self._at = self._outlines(labels)

    def _outlines(self, labels: Sequence[str]) -> tuple[list[list[int]], list[list[tuple[float, float]]]]:
        """Of each turn and piece: a number for its shape and label, and the corner of its box."""
        points = self.net.points
        extent = float(np.ptp(points, axis=0).max()) if len(points) else 1.0
        self._quantum = extent * _QUANTUM
        known: dict[object, int] = {}
        shapes, places = [], []
        for turn in self._turns:
            c, s = ((1, 0), (0, 1), (-1, 0), (0, -1))[turn]
            turned = np.column_stack([c * points[:, 0] - s * points[:, 1], s * points[:, 0] + c * points[:, 1]])
            numbers, at = [], []
            for label, corners in zip(labels, self.net.rings, strict=True):
                here = turned[list(corners)]
                low = here.min(axis=0)
                near = [(int(x), int(y)) for x, y in np.rint((here - low) / self._quantum).tolist()]
                first = near.index(min(near))
                numbers.append(known.setdefault((label, *near[first:], *near[:first]), len(known)))
                at.append((float(low[0]), float(low[1])))
            shapes.append(numbers)
            places.append(at)
        return shapes, places

    def key(self, part: Part) -> object:
        """What is the same for parts that are alike."""
        return self._key(frozenset(part.pieces))[0]

    def _key(self, pieces: Pieces) -> tuple[object, int, tuple[int, ...]]:
        """Key, the turn in which it is read, and the pieces in the order in which they are read then."""
        if pieces not in self._keys:
            found = []
            for turn in range(len(self._turns)):
                shapes, at = self._shapes[turn], self._at[turn]
                left, top = min(at[piece][0] for piece in pieces), min(at[piece][1] for piece in pieces)
                read = sorted(
                    (
                        shapes[piece],
                        round((at[piece][0] - left) / self._quantum),
                        round((at[piece][1] - top) / self._quantum),
                        piece,
                    )
                    for piece in pieces
                )
                found.append((tuple(each[:3] for each in read), turn, tuple(each[3] for each in read)))
            self._keys[pieces] = min(found)
            self._read[pieces] = [(kept, order) for kept, _, order in found]
        return self._keys[pieces]

    def orders(self, pieces: Pieces) -> list[tuple[int, ...]]:
        """Every order in which pieces can be read alike: more than one where a part turned is still the same."""
        key, _, first = self._key(pieces)
        return [first, *(order for kept, order in self._read[pieces] if kept == key and order != first)]

    def whole(self) -> Part:
        """Take all pieces apart; they have one outline without a hole."""
        return self.apart(self.net.everything, as_it_lies=True)

    def apart(self, pieces: Pieces, *, as_it_lies: bool = False) -> Part:
        """Take some pieces apart that are sewn together before others."""
        if len(pieces) == 1:
            return Part(tuple(pieces))
        key, turn, order = self._key(pieces)
        if key not in self._made:
            self._made[key] = self._divided(pieces, 0 if as_it_lies else turn), order
        return self._like(key, order)

    def _like(self, key: object, order: tuple[int, ...]) -> Part:
        made, pieces = self._made[key]
        if pieces == order:
            return made
        return self._renamed(made, dict(zip(pieces, order, strict=True)))

    def _renamed(self, part: Part, names: dict[int, int]) -> Part:
        pieces = tuple(sorted(names[piece] for piece in part.pieces))
        parts = tuple(self._renamed(each, names) for each in part.parts)
        if part.manner != "straight":
            return Part(pieces, parts, part.manner)
        one, two = (frozenset(each.pieces) for each in parts[:2])
        (number, *_) = self.net.between(one, two)
        slope = float(self.net.slopes[self.net.stretches[number].line])
        if self._away(one, slope) > self._away(two, slope):
            parts = parts[::-1]
        return Part(pieces, parts, part.manner, way_of(slope), part.row)

    def _divided(self, pieces: Pieces, turn: int) -> Part:
        found = runs(self.net, pieces)
        if found.whole:
            return self._straight(pieces, found.whole, turn)
        around = ring(self.net, pieces, found.ending)
        if around:
            parts = (around.middle, *around.arms)
            return Part(tuple(sorted(pieces)), tuple(map(self.apart, parts)), "partial")
        framed = frame(self.net, pieces, found.ending)
        if framed:
            parts = (framed.middle, *framed.sides)
            return Part(tuple(sorted(pieces)), tuple(map(self.apart, parts)), "mitered")
        return self._set_in(pieces)

    def _straight(self, pieces: Pieces, whole: Mapping[float, list[Run]], turn: int) -> Part:
        slopes = _frame(whole, turn)
        if not _along_edges(slopes[0]):
            spared = {slope: [run for run in whole[slope] if not self._halves_cells(run)] for slope in slopes}
            if any(spared.values()):
                whole, slopes = spared, [slope for slope in slopes if spared[slope]]
        ways = []
        for slope in slopes:
            rows = self._parted(pieces, whole[slope], slope)
            kinds = len({self._key(row)[0] for row in rows})
            # Few kinds of rows, few long seams, and rows rather than columns; a top is always joined in rows.
            many = (kinds, len(rows)) if self.turning else (0, 0)
            ways.append((*many, turned_slope(slope, turn), slope, rows))
        _, _, _, slope, rows = min(ways, key=lambda way: way[:3])
        across = [other for other in slopes if square_to(other, slope)]
        if across:
            parts = [self._row(row, whole[across[0]], across[0], turn) for row in rows]
        else:
            parts = [self.apart(group) for group in self._grouped(rows, slope)]
        return Part(tuple(sorted(pieces)), tuple(parts), "straight", way_of(slope))

    def _halves_cells(self, run: Run) -> bool:
        """Whether a slanting seam runs through a cell of two triangles, which is sewn as a unit."""
        for number in run:
            each = self.net.stretches[number]
            both = frozenset((each.left, each.right))
            wide, high = self._size(both)
            if self._area(both) > wide * high * (1 - 1e-6):
                return True
        return False

    def _row(self, row: Pieces, cuts: Sequence[Run], slope: float, turn: int) -> Part:
        """A row of a grid, parted along the seams that run through the whole grid alone."""
        cells = self._parted(row, cuts, slope)
        if len(cells) == 1:
            return self.apart(row)
        key, _, order = self._key(row)
        if key not in self._made:
            parts = tuple(self.apart(cell) for cell in self._lengthwise(cells, slope))
            self._made[key] = Part(tuple(sorted(row)), parts, "straight", way_of(slope), row=True), order
        return self._like(key, order)

    def _lengthwise(self, cells: Sequence[Pieces], slope: float) -> list[Pieces]:
        """Cells of a row of a top, those gathered through which a seam runs along the row: blocks and their sashing on point
        are two rows, joined before the triangles at their ends are sewn on."""
        if self.turning:
            return list(cells)
        best = 0, 0
        for first in range(len(cells)):
            for last in range(first + 2, len(cells) + 1):
                found = runs(self.net, frozenset[int]().union(*cells[first:last])).whole
                if not any(square_to(other, slope) for other in found):
                    break
                if last - first > best[1] - best[0]:
                    best = first, last
        first, last = best
        if best == (0, 0) or last - first == len(cells):
            return list(cells)
        return [*cells[:first], frozenset[int]().union(*cells[first:last]), *cells[last:]]

    def _parted(self, pieces: Pieces, cuts: Iterable[Run], slope: float) -> list[Pieces]:
        """Parts of some pieces between parallel seams, in order."""
        groups = self.net.components(pieces, [number for cut in cuts for number in cut])
        return sorted(groups, key=lambda group: (round(self._away(group, slope) / self._quantum), min(group)))

    def _away(self, group: Pieces, slope: float) -> float:
        """How far a group begins from a line with some slope through the origin, downward or to the right of it."""
        corners = self.net.points[[at for piece in group for at in self.net.rings[piece]]]
        down = 1 if slope < pi / 2 - _SAME else -1
        return float(((corners[:, 1] * np.cos(slope) - corners[:, 0] * np.sin(slope)) * down).min())

    def _grouped(self, strips: Sequence[Pieces], slope: float) -> list[Pieces]:
        """Strips side by side, those gathered that a seam crosses: a nine patch in a frame is sewn before its frame."""
        lines = []
        for strip in strips:
            found = runs(self.net, strip).whole if len(strip) > 1 else {}
            square = [run for other, here in found.items() if square_to(other, slope) for run in here]
            lines.append({self.net.stretches[run[0]].line for run in square})
        count, best = len(strips), (0, 0)
        for first in range(count):
            common = lines[first]
            for last in range(first + 1, count):
                common = common & lines[last]
                if not common:
                    break
                if last - first + 1 < count and last - first + 1 > best[1] - best[0]:
                    best = first, last + 1
        if best == (0, 0):
            return list(strips)
        first, last = best
        before = self._grouped(strips[:first], slope) if first > 1 else list(strips[:first])
        after = self._grouped(strips[last:], slope) if count - last > 1 else list(strips[last:])
        return [*before, *self._squares(strips[first:last]), *after]

    def _squares(self, strips: Sequence[Pieces]) -> list[Pieces]:
        """Gather strips into squares where they make nothing but squares, otherwise all together."""
        found: list[Pieces] = []
        here: Pieces = frozenset()
        for strip in strips:
            here = here | strip
            wide, high = self._size(here)
            if abs(wide - high) < self._quantum * 10:
                found.append(here)
                here = frozenset()
        return [frozenset().union(*strips)] if here or len(found) < 2 else found

    def _size(self, pieces: Pieces) -> tuple[float, float]:
        corners = self.net.points[[at for piece in pieces for at in self.net.rings[piece]]]
        wide, high = np.ptp(corners, axis=0).tolist()
        return wide, high

    def _set_in(self, pieces: Pieces) -> Part:
        kinds: dict[object, list[Pieces]] = defaultdict(list)
        for _, group in set_in(self.net, pieces):
            kinds[self._key(group)[0]].append(group)
        # Small things are set into larger ones; of those the largest last.
        alike = min(
            kinds.values(), key=lambda same: (len(same[0]), -round(self._area(same[0]), 9), min(map(min, same)))
        )
        chosen: list[Pieces] = []
        core = pieces
        for group in sorted(alike, key=min):
            apart = all(not self.net.between(group, other) for other in chosen)
            if group <= core and apart and len(self.net.components(core - group, [])) == 1 and core - group:
                chosen.append(group)
                core = core - group
        return Part(tuple(sorted(pieces)), tuple(map(self.apart, (core, *chosen))), "set in")

    def _area(self, pieces: Pieces) -> float:
        total = 0.0
        for piece in pieces:
            x, y = self.net.points[list(self.net.rings[piece])].T
            total += float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2
        return total


def _frame(whole: Mapping[float, list[Run]], turn: int) -> list[float]:
    """The slopes to part along: one, or two at right angles; those along the edges before slanting ones."""
    frames: dict[int, list[float]] = defaultdict(list)
    for slope in whole:
        frames[round((slope % (pi / 2)) / (pi / 2) * 1e4) % 10_000].append(slope)

    def rank(frame: int) -> tuple[int, int, int]:
        return (
            0 if frame == 0 else 1 if frame == 5000 else 2,
            -sum(len(whole[slope]) for slope in frames[frame]),
            frame,
        )

    best = min(frames, key=rank)
    return sorted(frames[best], key=lambda slope: turned_slope(slope, turn))


def _along_edges(slope: float) -> bool:
    return way_of(slope) in ("across", "up and down")


def way_of(slope: float) -> Way:
    """Say how a seam runs.

    Examples
    --------
    >>> way_of(0.0), way_of(pi / 2), way_of(3 * pi / 4), way_of(1.0)
    ('across', 'up and down', 'on the diagonal', 'at a slant')
    """
    for angle, way in ((0.0, "across"), (pi, "across"), (pi / 2, "up and down")):
        if abs(slope - angle) < _SAME:
            return way  # type: ignore[return-value]
    return "on the diagonal" if abs(abs(slope - pi / 2) - pi / 4) < _SAME else "at a slant"
