"""Pieces cut at a fixed repeat of the print, so that each shows the same motif.

Nobody knows before the fabric lies there how far its first whole motif stands from the selvage and from the cut end: one
repeat each way is allowed for. What lies between the pieces is of use for others.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from seamlore.packing.pieces import EMPTY, Block, Kind, in_a_row, piece
from seamlore.packing.sheets import fill_sheets


@dataclass(frozen=True, slots=True)
class Repeat:
    """How far apart motifs stand across the fabric and along it, in parts."""

    across: int
    along: int


@dataclass(frozen=True, slots=True)
class Band:
    """Strips of motifs.

    Parameters
    ----------
    strips : tuple of Block
        What each cut across the whole width sets free.
    left : tuple of int
        How many of every kind are still to be cut.
    least : int
        No layout can be shorter, wherever the first motif lies.
    """

    strips: tuple[Block, ...]
    left: tuple[int, ...]
    least: int


def whole_motifs(kind: Kind, repeat: Repeat, width: int) -> int:
    """How many pieces surely lie side by side on whole motifs.

    Examples
    --------
    >>> whole_motifs(Kind(5, 5, 1, False), Repeat(8, 6), 42), whole_motifs(Kind(5, 5, 1, False), Repeat(24, 6), 20)
    (4, 0)
    """
    room = width - kind.width - (repeat.across - 1)
    return room // _apart(kind.width, repeat.across) + 1 if room >= 0 else 0


def _apart(side: int, repeat: int) -> int:
    return -(-side // repeat) * repeat


def band(kinds: Sequence[Kind], counts: Sequence[int], index: int, repeat: Repeat, width: int) -> Band:
    """Cut all pieces of one kind at their motifs, and what fits of the others between them.

    Parameters
    ----------
    kinds : sequence of Kind
    counts : sequence of int
        How many of each are still to be cut; of kinds with a repeat of their own, 0 but for this one.
    index : int
        Which kind is cut at its motifs; `whole_motifs` is 1 or more.
    repeat : Repeat
    width : int
        Of the fabric, in parts.

    Examples
    --------
    >>> made = band([Kind(5, 5, 6, False), Kind(3, 5, 2, False)], [6, 2], 0, Repeat(8, 6), 42)
    >>> sum(each.height for each in made.strips), made.left, made.least
    (17, (0, 0), 11)
    """
    kind = kinds[index]
    each = whole_motifs(kind, repeat, width)
    wide, high = _apart(kind.width, repeat.across), _apart(kind.height, repeat.along)
    rows = -(-counts[index] // each)
    lead = _nothing(width, repeat.along)
    gap, between = wide - kind.width, high - kind.height
    strips = [lead]
    sheets = [(gap, kind.height)] * (rows * (each - 1)) if gap else []
    sheets += [(width, between)] * (rows - 1) if between else []
    left = list(counts)
    left[index] = 0
    filled = fill_sheets(kinds, left, sheets)
    gaps = iter(filled.blocks)
    todo = counts[index]
    for _ in range(rows):
        row = [_nothing(repeat.across, kind.height)]
        for at in range(each):
            used = next(gaps) if gap and at else None
            if todo:
                row += [_padded(used, gap, kind.height)] if at and gap else []
                row.append(piece(kinds, index))
                todo -= 1
            elif used is not None:
                row.append(_padded(used, gap, kind.height))
        strips.append(in_a_row(row, across=True))
    for at in range(rows - 1 if between else 0):
        strips.insert(2 + 2 * at, _padded(next(gaps), width, between))
    motifs = (width - kind.width) // wide + 1
    least = (-(-counts[index] // motifs) - 1) * high + kind.height
    return Band(tuple(strips), filled.left, least)


def _nothing(width: int, height: int) -> Block:
    return Block(width, height, 0, False, EMPTY)


def _padded(used: Block | None, width: int, height: int) -> Block:
    """Make what is cut from a gap as large as the gap."""
    if used is None:
        return _nothing(width, height)
    if used.width < width:
        used = in_a_row([used, _nothing(width - used.width, used.height)], across=True)
    if used.height < height:
        used = in_a_row([used, _nothing(width, height - used.height)], across=False)
    return used
