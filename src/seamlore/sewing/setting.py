"""How a top is put together from its blocks: rows of the field, then what closes its corners, then border by border."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from seamlore.draft.block import Corner
from seamlore.draft.exact.roots import SQRT2, Exact
from seamlore.draft.groups import Group, ways
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import Arrangement
from seamlore.draft.setting.parts import Bit, Frame, Ring, Spot, outlines
from seamlore.draft.setting.setting import OnPoint
from seamlore.draft.where import Where
from seamlore.sewing.row_names import Line, lines, named_field
from seamlore.sewing.steps import Outline, Sewn, Step, sewn


@dataclass(frozen=True, slots=True)
class TopPiece:
    """One thing that the top is joined from: a block, or a piece that belongs to none.

    Parameters
    ----------
    where : Where
        Its address.
    name : str
        What it is called: "block", "half block", "SF", "side triangle", "border (sides)".
    alike : str
        The same for those that may take each other's place in a row.
    outline : tuple of corners
        Finished, in inches from the quilt's top left corner; exact but for the diagonals of setting triangles, which
        are right to a millionth of a millionth.
    round : int
        0 for the field; 1 for what closes the corners of a field on point; from 2 up the borders.
    line : int
        Of a block the number of the row, or column, in which it is joined, as the layout numbers them; 0 for all else.
    """

    where: Where
    name: str
    alike: str
    outline: Outline
    round: int
    line: int = 0


def top_pieces(quilt: Quilt, arranged: Arrangement, found: Sequence[Group]) -> tuple[TopPiece, ...]:
    """List what the top is joined from, blocks that were not read too.

    Examples
    --------
    >>> from seamlore.draft.groups import groups
    >>> from seamlore.draft.layout import arrange
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> point = repeated("q", find("four patch"), inches(8), inches(8), 1, 1, setting=OnPoint())
    >>> [(each.name, each.round) for each in top_pieces(point, arrange(point), groups(point))][:2]
    [('block', 0), ('corner triangle', 1)]
    """
    alone = len(quilt.kinds) == 1
    name_of = {
        spot.where: f"{_name(group, alone)} {number}" if count > 1 else _name(group, alone)
        for group, (number, count) in zip(found, ways(found), strict=True)
        for spot in group.spots
    }
    line_of_spot = {
        spot.where: number for number, line in enumerate(lines(quilt, arranged.spots), start=1) for spot in line
    }
    pieces = []
    for spot in arranged.spots:
        name = name_of.get(spot.where, "block not read")
        turned = f"{spot.turned.turn} {spot.turned.mirrored}" if spot.where in name_of else ""
        ring = outlines(spot)[0]
        placed = _placed(ring, spot)
        around = spot.where.row + 2 if spot.where.part == "border" else 0
        line = line_of_spot.get(spot.where, 0)
        pieces.append(TopPiece(spot.where, name, f"{name} {turned}", placed, around, line))
    corners = isinstance(quilt.setting, OnPoint)
    for bit in arranged.bits:
        around = bit.where.row + 2 if bit.where.part == "border" else int(corners and bit.role == "corner triangle")
        pieces.append(
            TopPiece(bit.where, _bracketed(bit.label), f"{bit.label} {bit.key}", _placed(bit.outline, bit), around)
        )
    return tuple(pieces)


def _name(group: Group, alone: bool) -> str:
    if group.role in ("border", "border corner"):
        name = "border unit" if group.role == "border" else "border corner"
        name = name if alone else f"{name} {group.kind.name}"
    elif alone:
        name = {"half": "half block", "quarter": "quarter block", "part": "part of a block"}.get(group.part, "block")
    else:
        name = group.kind.name if group.part == "whole" else f"{group.part} {group.kind.name}"
    return f"{name} reversed" if group.reversed else name


def _bracketed(label: str) -> str:
    """A label of the cutting list as it is said in a row of names: "border, sides" there is "border (sides)" here."""
    name, comma, where = label.partition(", ")
    return f"{name} ({where})" if comma else name


def _placed(ring: Ring, at: Spot | Bit) -> Outline:
    return tuple(_in_quilt(x + at.x, y + at.y, at.frame) for x, y in ring)


# Blocks that lie side by side share their corners.
@lru_cache(maxsize=4096)
def _in_quilt(x: Exact, y: Exact, frame: Frame) -> Corner:
    if frame.tilted:
        x, y = (x - y) * SQRT2 / 2, (x + y) * SQRT2 / 2
    return x + frame.x, y + frame.y


@dataclass(frozen=True, eq=False)
class Round:
    """One round of a top: what was joined before it, and what is joined to that.

    Parameters
    ----------
    of : Sewn
        Its pieces as they are sewn; where there was something before, that is the last of them.
    numbers : tuple of tuple of int
        Of each of its pieces: which pieces of the top are in it.
    names : _Names
    """

    of: Sewn
    numbers: tuple[tuple[int, ...], ...]
    names: _Names


def rounds_of(pieces: Sequence[TopPiece]) -> tuple[Round, ...]:
    """Take a top apart, round by round: the field in rows, then the corners of a field on point, then the borders."""
    found: list[Round] = []
    inner: tuple[int, ...] = ()
    outline: Outline = ()
    name = ""
    rounds = sorted({each.round for each in pieces})
    for number in rounds:
        here = [index for index, each in enumerate(pieces) if each.round == number]
        numbers: list[tuple[int, ...]] = [(index,) for index in here]
        shapes = [pieces[index].outline for index in here]
        called = [pieces[index].name for index in here]
        alike = [pieces[index].alike for index in here]
        box = _box(outline)
        names = _Names(
            number, number == rounds[-1], inner, box, _beyond([pieces[index].outline for index in here], box)
        )
        if inner:
            numbers.append(inner)
            shapes.append(outline)
            called.append(name)
            alike.append("what is joined already")
        if len(shapes) > 1:
            of = sewn(tuple(shapes), tuple(called), tuple(alike), False)
            found.append(Round(of, tuple(numbers), names))
            outline, name = of.steps[-1].outline, names.whole
        else:
            outline, name = shapes[0], called[0]
        inner = tuple(sorted(index for each in numbers for index in each))
    return tuple(found)


# Left, top, right, bottom.
Box = tuple[float, float, float, float]


def _box(outline: Outline) -> Box:
    xs, ys = [float(x) for x, _ in outline] or [0.0], [float(y) for _, y in outline] or [0.0]
    return min(xs), min(ys), max(xs), max(ys)


def joined_top(
    rounds: Sequence[Round], pieces: Sequence[TopPiece], steps: Sequence[Sequence[Step]] = (), line: Line = "row"
) -> tuple[Step, ...]:
    """Give the steps in which a top is joined.

    Parameters
    ----------
    rounds : sequence of Round
        From `rounds_of`.
    pieces : sequence of TopPiece
        From `top_pieces`.
    steps : sequence of sequence of Step, optional
        The steps of each round with their pressing.
    line : {"row", "diagonal row", "column"}
        In what its blocks are joined first.

    Returns
    -------
    tuple of Step
        The top last; none for a single piece. Numbers of pieces are places among the pieces of the top. Steps are alike
        only where they lie alike: a row is not turned.

    Examples
    --------
    >>> from seamlore.draft.groups import groups
    >>> from seamlore.draft.layout import arrange
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> point = repeated("q", find("four patch"), inches(8), inches(8), 2, 2, setting=OnPoint())
    >>> pieces = top_pieces(point, arrange(point), groups(point))
    >>> for step in joined_top(rounds_of(pieces), pieces, line="diagonal row"):
    ...     print(step.name, step.joins)
    diagonal row 1 (('side triangle', 2), ('block', 1))
    diagonal row 2 (('block', 3),)
    diagonal row 3 (('side triangle', 2), ('block', 1))
    the field (('diagonal row 1', 1), ('diagonal row 2', 1), ('diagonal row 3', 1))
    the field with its corners on two sides (('corner triangle', 2), ('the field', 1))
    the top (('corner triangle', 2), ('the field with its corners on two sides', 1))
    """
    found: list[Step] = []
    for index, each in enumerate(rounds):
        made = steps[index] if steps else each.of.steps
        if not each.names.inner and each.names.round == 0:
            inside = [pieces[numbers[0]] for numbers in each.numbers]
            made = named_field(made, [one.line for one in inside], [one.name for one in inside], line)
        found += _renumbered(made, each.numbers, found, each.names)
    return tuple(found)


def _beyond(shapes: Sequence[Outline], box: Box) -> int:
    """On how many sides something reaches beyond a box."""
    around = _box(tuple(corner for shape in shapes for corner in shape))
    return sum((inner - outer) * sign > 1e-6 for inner, outer, sign in zip(box, around, (1, 1, -1, -1), strict=True))


@dataclass(frozen=True, slots=True)
class _Names:
    """What the steps of a round are called: `inner` are the pieces joined before it, within a box; how many sides it has."""

    round: int
    last: bool
    inner: tuple[int, ...]
    box: Box = (0.0, 0.0, 0.0, 0.0)
    sides: int = 4

    @property
    def whole(self) -> str:
        """What comes of the round."""
        if self.last or self.round == 0:
            return "the top" if self.last else "the field"
        # A border that does not run along every side does not go all round.
        return f"{self._done} all round" if self.round == 1 or self.sides == 4 else self._done

    def of(self, step: Step, pieces: tuple[int, ...], seen: Collection[str]) -> str:
        if step.made == "whole":
            return self.whole
        if not self.inner:
            return step.name
        if set(self.inner) <= set(pieces):
            return f"{self._done} on {'one side' if len(step.parts) == 2 else 'two sides'}"
        name = f"{self._side(step)} strip of border {self.round - 1}"
        if step.count > 1:
            name = f"strip of border {self.round - 1}"
        return f"{name} with its corners" if name in seen else name

    def _side(self, step: Step) -> str:
        """On which side of what was joined before it a strip lies."""
        xs, ys = [float(x) for x, _ in step.outline], [float(y) for _, y in step.outline]
        left, top, right, bottom = self.box
        away = {"left": left - min(xs), "right": max(xs) - right, "top": top - min(ys), "bottom": max(ys) - bottom}
        inside = {"left": max(xs) - left, "right": right - min(xs), "top": max(ys) - top, "bottom": bottom - min(ys)}
        return max(away, key=lambda side: away[side] - max(inside[side], 0.0))

    @property
    def _done(self) -> str:
        return "the field with its corners" if self.round == 1 else f"the top with border {self.round - 1}"


def _renumbered(
    made: Sequence[Step], numbers: Sequence[tuple[int, ...]], before: Sequence[Step], names: _Names
) -> list[Step]:
    """The steps of one round with the numbers and names that they have in the whole top."""
    stage = max((each.stage for each in before), default=0)

    def pieces(given: tuple[int, ...]) -> tuple[int, ...]:
        return tuple(sorted(index for each in given for index in numbers[each]))

    called: dict[str, str] = {}
    for step in made:
        name = names.of(step, pieces(step.pieces), called.values())
        called[step.name] = f"{name}, part {len(called) + 1}" if name in called.values() else name
    return [
        replace(
            step,
            name=called[step.name],
            made="unit" if step.made == "row" and names.inner else step.made,
            stage=step.stage + stage,
            parts=tuple(
                replace(part, name=called.get(part.name, part.name), pieces=pieces(part.pieces))
                for part in step.parts
            ),
            copies=tuple(map(pieces, step.copies)),
        )
        for step in made
    ]
