"""What a quilt's top is sewn from, spot by spot: every kind of spot with its units and its count, then the rows."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal

from seamlore.draft.block import Corner
from seamlore.draft.border import Border
from seamlore.draft.groups import Group, groups
from seamlore.draft.layout import Arrangement, arrange
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import OnPoint, Strips
from seamlore.errors import ShapeError
from seamlore.sewing.pressing import Pressed, pressed_pieces
from seamlore.sewing.setting import TopPiece, joined_top, top_pieces
from seamlore.sewing.steps import Step


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
    """

    group: Group
    steps: tuple[Step, ...]
    pressed: Pressed | None = None
    clashes: tuple[Corner, ...] = ()

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
    """

    blocks: tuple[Made, ...]
    rows: Rows
    borders: tuple[Ring, ...]
    pieces: tuple[TopPiece, ...] = ()
    steps: tuple[Step, ...] = ()


def sewn_top(quilt: Quilt) -> Top:
    """Work out how the top of a quilt is sewn; blocks that were not read are not counted.

    Parameters
    ----------
    quilt : Quilt
        As drafted.

    Returns
    -------
    Top

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
    made = tuple(map(_made, found))
    pieces = top_pieces(quilt, arranged, found)
    return Top(made, _rows(quilt, arranged), _rings(quilt, arranged), pieces, joined_top(pieces))


def _made(group: Group) -> Made:
    if len(group.parts) < 2:
        return Made(group, ())
    places = group.kind.block.places
    try:
        found = pressed_pieces(
            tuple(part.outline for part in group.parts),
            group.labels,
            tuple(places[part.place].value for part in group.parts),
        )
    except ShapeError as fault:
        raise ShapeError(fault.given, fault.limit, fault.remedy, where=f"block {group.kind.block.name}") from fault
    return Made(group, found.steps, found.pressed, found.corners(found.pressed.clashes))


def _rows(quilt: Quilt, arranged: Arrangement) -> Rows:
    blocks = [spot for spot in arranged.spots if spot.where.part == "block"]
    roles = Counter(bit.role for bit in arranged.setting)
    triangles = roles["side triangle"], roles["corner triangle"]
    if isinstance(quilt.setting, Strips):
        return Rows("columns", (quilt.rows,) * quilt.columns, *triangles)
    if isinstance(quilt.setting, OnPoint):
        # In the turned frame a row on the diagonal runs along x.
        across = Counter(spot.y for spot in blocks)
        return Rows("diagonal rows", tuple(across[y] for y in sorted(across)), *triangles)
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
