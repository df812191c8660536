"""What a quilt's top is sewn from, spot by spot: every kind of spot with its units and its count, then the rows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from seamlore.draft.block import Corner
from seamlore.draft.border import Border
from seamlore.draft.groups import Group, groups
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import Arrangement, arrange
from seamlore.draft.setting.setting import OnPoint, Strips
from seamlore.once import Once
from seamlore.sewing.allowances import Allowances
from seamlore.sewing.ends import Lying
from seamlore.sewing.nesting import Nested, nested
from seamlore.sewing.pressing import PressedPieces, fanned, pressed_steps, ways_to_press
from seamlore.sewing.pressing_model import Pressed
from seamlore.sewing.row_names import line_of, lines
from seamlore.sewing.seams import named
from seamlore.sewing.setting import Round, TopPiece, joined_top, rounds_of, top_pieces
from seamlore.sewing.steps import Method, Press, Sewn, Step
from seamlore.sewing.top_pressing import pressed_rounds


@dataclass(frozen=True)
class OtherWay:
    """Some of the spots of one kind that are pressed otherwise than most: how many, and their steps."""

    count: int
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class Made:
    """One kind of spot and how it is sewn.

    Parameters
    ----------
    group : Group
        The spots that are sewn alike.
    steps : tuple of Step
        In the order of sewing, the whole last; none for a single piece of cloth. Numbers of pieces are places in
        `group.parts`, corners are in inches from the corner of the spot.
    pressed : Pressed or None
        How well its seams are pressed, and how well they could be.
    clashes : tuple of corners
        Where seams do not nest, whatever is done.
    others : tuple of OtherWay
        How many of them are pressed otherwise, so that they nest with their neighbors, and how.
    method : {"machine", "hand", "papers"}
    """

    group: Group
    steps: tuple[Step, ...]
    pressed: Pressed | None = None
    clashes: tuple[Corner, ...] = ()
    others: tuple[OtherWay, ...] = ()
    method: Method = "machine"

    @property
    def count(self) -> int:
        """How many are sewn."""
        return self.group.count


@dataclass(frozen=True)
class Rows:
    """How the blocks are joined.

    Parameters
    ----------
    way : {"rows", "diagonal rows", "columns"}
        Rows across; rows on the diagonal, from its top right corner on; columns with strips between.
    lengths : tuple of int
        How many blocks each holds, cut ones too, in their order.
    side_triangles, corner_triangles : int
        How many of each close the edge, in all.
    """

    way: Literal["rows", "diagonal rows", "columns"]
    lengths: tuple[int, ...]
    side_triangles: int = 0
    corner_triangles: int = 0


@dataclass(frozen=True)
class Ring:
    """One border and what is sewn into it: how many units its top, right, bottom and left hold, and corner blocks."""

    border: Border
    units: tuple[int, int, int, int]
    corners: int


@dataclass(frozen=True)
class Top:
    """Everything that is sewn, in its order: blocks, rows, borders.

    Parameters
    ----------
    blocks : tuple of Made
        The blocks of the field, and after them the units of pieced borders.
    rows : Rows
    borders : tuple of Ring
        From the inside outward.
    pieces : tuple of TopPiece
        What the top is joined from.
    steps : tuple of Step
        How it is joined: numbers of pieces are places in `pieces`, corners are in inches from the quilt's top left.
    lying : Nested
        How pieced blocks lie and are pressed so that they nest with their neighbors, and where they do not.
    clashes : tuple of (float, float)
        Where seams that join the top do not nest, in inches from the quilt's top left corner.
    bound : int
        In how many places no pressing of the seams that join the top could make them nest, as the blocks lie.
    in_the_ditch : bool
        Whether its seams are quilted in the ditch, so that none is pressed open.
    """

    blocks: tuple[Made, ...]
    rows: Rows
    borders: tuple[Ring, ...]
    pieces: tuple[TopPiece, ...] = ()
    steps: tuple[Step, ...] = ()
    lying: Nested | None = None
    clashes: tuple[tuple[float, float], ...] = ()
    bound: int = 0
    in_the_ditch: bool = False


@Once
def sewn_top(quilt: Quilt, method: Method = "machine", in_the_ditch: bool = False) -> Top:
    """Work out how the top of a quilt is sewn; blocks that were not read are not counted.

    Parameters
    ----------
    quilt : Quilt
        As drafted.
    method : {"machine", "hand", "papers"}
        How it is sewn.
    in_the_ditch : bool
        Whether it will be quilted along its seams: a seam that is pressed open would then be quilted through its thread alone.

    Returns
    -------
    Top
        By hand no seam clashes, since allowances are fanned where seams cross; over papers nothing is pressed.

    Raises
    ------
    ShapeError
        When a block cannot be sewn by any order of seams; it and its pieces are named.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.kinds import plain_block
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> nine = repeated("q", find("nine patch"), inches(6), inches(6), 3, 2, every_other=plain_block(), setting=OnPoint())
    >>> top = sewn_top(nine)
    >>> [(made.group.kind.name, made.count, len(made.steps)) for made in top.blocks]
    [('NP', 6, 3), ('P', 2, 0)]
    >>> top.rows
    Rows(way='diagonal rows', lengths=(1, 3, 3, 1), side_triangles=6, corner_triangles=4)
    """
    arranged = arrange(quilt)
    found = groups(quilt)
    pressed = [_pressed(group, in_the_ditch) for group in found]
    by_machine = method == "machine"
    pieces = top_pieces(quilt, arranged, found)
    rounds = rounds_of(pieces)
    lying = _laid(arranged, found, pressed, rounds)
    laid = pressed_rounds(rounds, lying.ends)
    steps = [_as_sewn(each.of, by.met, by.ways, method) for each, by in zip(rounds, laid, strict=True)]
    number_of = {piece.where: number for number, piece in enumerate(pieces)}
    made = []
    for group, one in zip(found, pressed, strict=True):
        lies = [lying.lying[number_of[spot.where]] for spot in group.spots] if one else []
        made.append(_made(group, one, lies, method))
    return Top(
        tuple(made),
        _rows(quilt, arranged),
        _rings(quilt, arranged),
        pieces,
        joined_top(rounds, pieces, steps, line_of(quilt)),
        lying if by_machine else None,
        tuple(at for each in laid for at in each.clashes) if by_machine else (),
        sum(each.bound for each in laid) if by_machine else 0,
        in_the_ditch,
    )


def _as_sewn(of: Sewn, met: Allowances, ways: Sequence[Press], method: Method) -> tuple[Step, ...]:
    if method == "papers":
        return of.steps
    return pressed_steps(of, met, fanned(met, ways) if method == "hand" else ways)


def _pressed(group: Group, in_the_ditch: bool) -> tuple[PressedPieces, ...]:
    """The ways in which one kind of spot can be pressed; none for a single piece of cloth."""
    if len(group.parts) < 2:
        return ()
    places = group.kind.block.places
    with named(group):
        return ways_to_press(
            tuple(part.outline for part in group.parts),
            group.labels,
            tuple(places[part.place].value for part in group.parts),
            in_the_ditch=in_the_ditch,
        )


def _made(group: Group, ways: Sequence[PressedPieces], lying: Sequence[Lying], method: Method) -> Made:
    if not ways:
        return Made(group, (), method=method)
    if method != "machine":
        best = ways[0]
        return Made(group, _as_sewn(best.of, best.met, best.pressed.ways, method), method=method)
    counts = Counter(each.way for each in lying)
    (most, _), *others = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    first = ways[most]
    return Made(
        group,
        first.steps,
        first.pressed,
        first.corners(first.pressed.clashes),
        tuple(OtherWay(count, ways[way].steps) for way, count in others),
    )


def _laid(
    arranged: Arrangement, found: Sequence[Group], pressed: Sequence[Sequence[PressedPieces]], rounds: Sequence[Round]
) -> Nested:
    """How pieced blocks lie and are pressed beside their neighbors."""
    of = {spot.where: (group, one) for group, one in zip(found, pressed, strict=True) if one for spot in group.spots}
    # Spots come first among the pieces of the top, in their order.
    spots = {number: spot for number, spot in enumerate(arranged.spots) if spot.where in of}
    nets = [(each.of.net, [inside[0] if len(inside) == 1 else -1 for inside in each.numbers]) for each in rounds]
    return nested(spots, {number: of[spot.where] for number, spot in spots.items()}, nets)


def _rows(quilt: Quilt, arranged: Arrangement) -> Rows:
    roles = Counter(bit.role for bit in arranged.setting)
    triangles = roles["side triangle"], roles["corner triangle"]
    if isinstance(quilt.setting, Strips):
        return Rows("columns", (quilt.rows,) * quilt.columns, *triangles)
    if isinstance(quilt.setting, OnPoint):
        return Rows("diagonal rows", tuple(map(len, lines(quilt, arranged.spots))), *triangles)
    return Rows("rows", tuple(len(row) for row in quilt.cells))


def _rings(quilt: Quilt, arranged: Arrangement) -> tuple[Ring, ...]:
    held = Counter((spot.where.row, spot.where.side) for spot in arranged.spots if spot.where.part == "border")
    return tuple(
        Ring(
            border,
            (held[number, "top"], held[number, "right"], held[number, "bottom"], held[number, "left"]),
            held[number, ""],
        )
        for number, border in enumerate(quilt.borders)
    )
