"""Re-setting: the same blocks in the same places with new sashing or borders: seams to open, the draft set anew, what is cut."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal

from seamlore.draft.border import border
from seamlore.draft.groups import canonical, groups
from seamlore.draft.kinds import Cell
from seamlore.draft.pieces import Piece, pieces
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.setting.arranged import arrange
from seamlore.draft.setting.parts import inside, parts
from seamlore.draft.setting.setting import Cut, OnPoint, Straight
from seamlore.draft.where import Where, in_block
from seamlore.errors import MeasureError
from seamlore.lengths import Length
from seamlore.making.cutting import cutting_list
from seamlore.making.strips import FabricNeed, needs

At = tuple[int, int]
CutBlocks = Literal["as they are", "completed", "left out"]
# What becomes of the blocks that the old edge cuts.
CUT_BLOCKS: dict[CutBlocks, str] = {
    "as they are": "set in as they are, cut",
    "completed": "completed: every patch that the edge cuts through is cut anew",
    "left out": "left out: the new quilt is smaller by them",
}
NEW = "new "
_SET = ("sashing", "cornerstone", "strip", "border", "border corner", "side triangle", "corner triangle")


@dataclass(frozen=True, slots=True, eq=False)
class Opened:
    """A quilt set anew.

    Parameters
    ----------
    quilt : Quilt
        As it is drafted with its new setting.
    seams : Length
        Inches of seam to open before every block that is set again is free.
    edges : Length
        Inches of edge finish to open.
    fabrics : tuple of FabricNeed
        What is new: of the setting and the borders, and of patches that complete cut blocks, with what is cut from each.
    completed : int
        How many cut blocks are completed.
    new : frozenset of Where
        Patches of blocks that are cut anew.
    stands : mapping of (row, column) to (row, column)
        Where each block of the old quilt stands in the new one.
    """

    quilt: Quilt
    seams: Length
    edges: Length
    fabrics: tuple[FabricNeed, ...]
    completed: int = 0
    new: frozenset[Where] = frozenset()
    stands: Mapping[At, At] = field(default_factory=dict)


def set_anew(
    quilt: Quilt,
    sashing: Length | None,
    new_border: Length | None,
    cut_blocks: CutBlocks = "as they are",
    cut: Mapping[str, Length] | None = None,
) -> Quilt:
    """Draft a quilt with its blocks where they are and a new setting.

    Parameters
    ----------
    quilt : Quilt
        The old one.
    sashing : Length or None
        Finished width of the new sashing, 0 for none; as wide as the old when not given.
    new_border : Length or None
        Finished width of a new border all round; none when not given.
    cut_blocks : str
        What becomes of cut blocks.
    cut : mapping of side to Length, optional
        What the edge has cut off the outermost blocks, set straight; on point the half blocks of the draft are meant.

    Raises
    ------
    MeasureError
        When a width is less than 0 or wider than a block, or the setting is one of strips or shifted rows.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> old = repeated("q", find("shoo fly"), inches(8), inches(8), 8, 7, Sashing(inches(3), inches(3)))
    >>> ring = {side: inches(4) for side in ("left", "top", "right", "bottom")}
    >>> [str(side) for side in set_anew(old, inches(2), None, "left out", ring).finished_size]
    ['48 in', '58 in']
    >>> [str(side) for side in set_anew(old, inches(2), inches(3), "completed", ring).finished_size]
    ['74 in', '84 in']
    """
    block = (quilt.block_width, quilt.block_height)
    for what, wide in (("sashing", sashing), ("border", new_border)):
        if wide is not None and not 0 <= wide.inches <= max(side.inches for side in block):
            raise MeasureError(f"new {what} of {wide}", "it is from 0 to the size of a block", "choose another width")
    if not isinstance(quilt.setting, Straight | OnPoint):
        raise MeasureError(
            "a new setting", "it is reckoned for blocks set straight or on point", "draft it on the page Draft"
        )
    before = quilt.sashing
    if sashing is not None:
        old = before or Sashing(sashing, sashing)
        before = replace(old, between_columns=sashing, between_rows=sashing) if sashing.inches > 0 else None
    around = (border(new_border, f"{NEW}border"),) if new_border is not None and new_border.inches > 0 else ()
    fabrics = {**quilt.fabrics, "sashing": f"{NEW}sashing", "cornerstone": f"{NEW}cornerstones"}
    if sashing is not None or cut_blocks != "as they are":
        fabrics["setting triangle"] = f"{NEW}setting triangles"
    made = replace(quilt, borders=(), cut=None)
    gone = dict(cut or {})
    if cut_blocks == "left out":
        made = _without_cut(made, gone)
    elif cut_blocks == "completed" and _halved(made):
        made = replace(made, setting=OnPoint())
    elif cut_blocks == "as they are" and gone and isinstance(made.setting, Straight):
        none = block[0] * 0
        made = replace(made, cut=Cut(*(gone.get(side, none) for side in ("left", "top", "right", "bottom"))))
    return replace(made, name=f"{quilt.name}, set anew", sashing=before, borders=around, fabrics=fabrics)


def _halved(quilt: Quilt) -> bool:
    return isinstance(quilt.setting, OnPoint) and quilt.setting.edge == "half blocks"


def _without_cut(quilt: Quilt, cut: Mapping[str, Length]) -> Quilt:
    cells: dict[int, list[Cell]] = {}
    for (row, column), (now, _) in _kept(quilt, cut).items():
        cells.setdefault(now, []).append(quilt.cells[row][column])
    if not cells:
        raise MeasureError("re-setting without the cut blocks", "no whole block is left", "complete them instead")
    used = {cell.kind for row in cells.values() for cell in row}
    kinds = tuple(kind for kind in quilt.kinds if kind.name in used)
    setting = OnPoint() if _halved(quilt) else quilt.setting
    return replace(quilt, kinds=kinds, cells=tuple(map(tuple, cells.values())), setting=setting)


def _kept(quilt: Quilt, cut: Mapping[str, Length]) -> dict[At, At]:
    """Where each whole block stands once cut ones are left out, in reading order."""
    last = len(quilt.cells) - 1
    if _halved(quilt):
        # The rows that the top and bottom edge halve, and both ends of every second one between.
        return {
            (row, column): (row - 1, column - (row % 2 == 0))
            for row, column in quilt.spots
            if 0 < row < last and (row % 2 or 0 < column < len(quilt.cells[row]) - 1)
        }
    top, left = int("top" in cut), int("left" in cut)
    return {
        (row, column): (row - top, column - left)
        for row, column in quilt.spots
        if top <= row <= last - ("bottom" in cut) and left <= column < len(quilt.cells[row]) - ("right" in cut)
    }


def has_cut_blocks(quilt: Quilt | None, cut: Mapping[str, Length]) -> bool:
    """Whether the edge cuts blocks, as drafted or as reckoned."""
    return bool(cut) or (quilt is not None and _halved(quilt))


def completing(quilt: Quilt, cut: Mapping[str, Length]) -> tuple[tuple[Piece, ...], frozenset[Where], int]:
    """List the patches that complete cut blocks: those of each that the edge cuts through or off.

    Parameters
    ----------
    quilt : Quilt
        The old one.
    cut : mapping of side to Length

    Returns
    -------
    pieces, where, blocks
        The new patches, equal ones together; where each lies; how many blocks are completed.

    Examples
    --------
    A column of two nine patches of 9 in, 4 in cut off: the 3 in patches of the first two columns are cut anew, 6 of each.

    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> old = repeated("q", find("nine patch"), inches(9), inches(9), 2, 1)
    >>> found, where, blocks = completing(old, {"left": inches(4)})
    >>> [(each.label, each.count) for each in found], len(where), blocks
    ([('B1', 6), ('A1', 6)], 12, 2)
    """
    halved = _halved(quilt)
    if halved:
        seen = quilt
    else:
        none = quilt.block_width * 0
        lost = [cut.get(side, none) for side in ("left", "top", "right", "bottom")]
        seen = replace(quilt, borders=(), cut=Cut(*lost))
    whole = replace(quilt, borders=(), cut=None) if not halved else set_anew(quilt, None, None, "completed")
    labels = {
        (group.kind.name, part.place, canonical(ring)): label
        for group in groups(whole)
        for part, ring, label in zip(group.parts, group.as_cut, group.labels, strict=True)
    }
    found: dict[Piece, int] = {}
    where: set[Where] = set()
    blocks = 0
    for spot in arrange(seen).spots:
        if spot.kind is None or not spot.keep or spot.where.part != "block":
            continue
        own, before = dict(spot.own), len(where)
        for part in parts(replace(spot, keep=())):
            if inside(part.outline, spot.left):
                continue
            fabric = own.get(part.place) or quilt.fabric_of(quilt.key(spot.kind, part.place))
            ring = canonical(part.outline)
            label = labels.get((spot.kind.name, part.place, ring), part.place)
            piece = Piece(spot.role, fabric, ring, 1, label, spot.kind.name, part.place)
            found[piece] = found.get(piece, 0) + 1
            where.add(in_block(spot.where.row, spot.where.column, part.index))
        blocks += len(where) > before
    return tuple(replace(piece, count=count) for piece, count in found.items()), frozenset(where), blocks


def opened(
    quilt: Quilt,
    to_open: Length,
    edges: Length,
    seam: Length,
    fabric_width: Length,
    *,
    sashing: Length | None = None,
    new_border: Length | None = None,
    cut_blocks: CutBlocks = "as they are",
    cut: Mapping[str, Length] | None = None,
) -> Opened:
    """Reckon what it takes to set the same blocks anew.

    Parameters
    ----------
    quilt : Quilt
        The old one.
    to_open, edges : Length
        Of seam and of edge finish.
    seam, fabric_width : Length
    sashing, new_border, cut_blocks, cut
        As `set_anew` takes them.

    Raises
    ------
    SeamloreError
        When it cannot be set so.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> old = repeated("q", find("shoo fly"), inches(8), inches(8), 2, 2)
    >>> found = opened(old, inches(32), inches(64), inches("1/4"), inches(42), sashing=inches(0), new_border=inches(3))
    >>> [(cut.count, *map(str, cut.size)) for need in found.fabrics for cut in need.cuts]
    [(2, '22 1/2 in', '3 1/2 in'), (2, '16 1/2 in', '3 1/2 in')]
    """
    made = set_anew(quilt, sashing, new_border, cut_blocks, cut)
    new: Iterable[Piece] = [each for each in pieces(made) if each.role in _SET and each.fabric.startswith(NEW)]
    where: frozenset[Where] = frozenset()
    count = 0
    if cut_blocks == "completed":
        patches, where, count = completing(quilt, cut or {})
        new = [*new, *patches]
    listed = cutting_list(new, seam, fabric_width)
    stands = _kept(quilt, cut or {}) if cut_blocks == "left out" else {at: at for at in quilt.spots}
    fabrics = needs(listed, fabric_width, seam, spare=seam * Fraction(0))
    return Opened(made, to_open, edges, fabrics, count, where, stands)
