"""What is seen of blocks that were not read: below the floor of confidence, to be offered and never to be drawn by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.block.agreement import Drawn, Seen, agreement
from seamlore.photo.block.kinds import kinds_of
from seamlore.photo.block.lines import inner
from seamlore.photo.block.patches import every_row
from seamlore.photo.block.seams import moved, see_seams
from seamlore.photo.perspective import as_it_lies
from seamlore.photo.read import Look
from seamlore.photo.reading import Ring
from seamlore.photo.stack import undo

Turn = Literal[0, 90, 180, 270]
Way = tuple[int, bool]
_TURNS: tuple[Turn, ...] = (0, 90, 180, 270)
# Into so many parts, at most, a side is divided.
_MOST = 24
_NEAR = 0.02  # of the side, by which a corner may lie off a division


@dataclass(frozen=True, slots=True)
class UnreadBlock:
    """One block that was not read: where it is, and how it lies against the first of those like it.

    Attributes
    ----------
    at : (bool, int, int)
        Whether it is one of those between the whole rows, its row and column.
    turn, mirrored : int and bool
        Clockwise, after mirroring left to right.
    """

    at: tuple[bool, int, int]
    turn: Turn
    mirrored: bool


@dataclass(frozen=True, slots=True, eq=False)
class Unread:
    """Blocks that were not read and look alike.

    Attributes
    ----------
    blocks : tuple of UnreadBlock
    outlines : tuple of rings
        Of the patches that the seams seen in them would make, in 0..1 of the block as the first of them lies; one where
        none is seen.
    divisions : int
        On which their corners come to lie.
    sight : ndarray of float32, shape (6, SIDE, SIDE)
        Log-odds of a seam at each place of the first of them, as all of them show it.
    """

    blocks: tuple[UnreadBlock, ...]
    outlines: tuple[Ring, ...]
    divisions: int
    sight: NDArray[np.float32]

    def lying(self, way: Way) -> Unread:
        """The same, told as it lies in a block that lies so against the first."""
        return replace(
            self,
            outlines=_laid(self.outlines, way),
            sight=moved(self.sight, _move(way)),
        )

    def agrees(self, drawings: Sequence[Drawn]) -> list[float]:
        """How well each drawing agrees with the seams that are seen, 0..1."""
        seen = Seen.of(inner(self.sight))
        return [agreement(seen, each)[0] for each in drawings]


def unread_blocks(look: Look) -> tuple[Unread, ...]:
    """Gather the blocks that were not read by what is seen of their seams, the commonest first.

    Parameters
    ----------
    look : Look

    Returns
    -------
    tuple of Unread
        Empty where all were read, or there is no block grid.
    """
    reading = look.reading
    missing = [at for at, each in reading.everywhere.items() if each.kind is None]
    if not missing:
        return ()
    scale = np.array(look.flat.scale)
    between = look.between_quilt if reading.between is not None and look.between_quilt.size else None
    every = every_row(look.cells_quilt * scale, None if between is None else between * scale) - 0.5
    step = 1 + (len(every) > len(look.cells_quilt))
    wanted = np.full_like(every, np.nan)
    where = {(step * row + aside, column): (aside, row, column) for aside, row, column in missing}
    for row, column in where:
        wanted[row, column] = every[row, column]
    sight = see_seams(look.flat.pixels, wanted)
    found = []
    for kind in kinds_of(sight):
        blocks = []
        for member, move in zip(kind.members.tolist(), kind.moves.tolist(), strict=True):
            row, column = sight.places[member].tolist()
            lies = undo(int(move))
            blocks.append((where[row, column], (lies % 4, lies >= 4)))
        blocks.sort(key=lambda each: (each[0][1], each[0][0], each[0][2]))
        # Everything is told as it lies in the first of them.
        first = blocks[0][1]
        outlines = _laid(kind.drawing, first)
        lying = [(at, after(lies, undone(first))) for at, lies in blocks]
        told = tuple(UnreadBlock(at, _TURNS[quarters], mirrored) for at, (quarters, mirrored) in lying)
        to_first = [_move(undone(lies)) for _, lies in lying]
        index = {tuple(place): k for k, place in enumerate(sight.places.tolist())}
        maps = [sight.maps[index[step * at[1] + at[0], at[2]]] for at, _ in lying]
        together = np.mean([moved(each, move) for each, move in zip(maps, to_first, strict=True)], axis=0)
        found.append(Unread(told, outlines, _divisions(outlines), np.asarray(together, np.float32)))
    return tuple(found)


def _laid(outlines: Sequence[Ring], way: Way) -> tuple[Ring, ...]:
    return tuple(tuple((float(x), float(y)) for x, y in as_it_lies(ring, 90 * way[0], way[1])) for ring in outlines)


def _move(way: Way) -> int:
    return way[0] + 4 * way[1]


def after(second: Way, first: Way) -> Way:
    """One way of lying after another, each in quarter turns after mirroring.

    Examples
    --------
    >>> after((1, False), (1, True)), after((1, True), (1, False)), after((3, True), undone((3, True)))
    ((2, True), (0, True), (0, False))
    """
    return (second[0] + (-first[0] if second[1] else first[0])) % 4, second[1] != first[1]


def undone(way: Way) -> Way:
    """What takes a way of lying back."""
    return way if way[1] else (-way[0] % 4, False)


def _divisions(outlines: tuple[Ring, ...]) -> int:
    """Into how many parts the side must be divided for all corners to come near to a line, or to the middle between two."""
    corners = np.array([corner for ring in outlines for corner in ring])
    for count in range(1, _MOST):
        halves = corners * 2 * count
        if (
            np.abs(halves - np.rint(halves)).max() <= _NEAR * 2 * count
            and np.abs(halves - np.rint(halves)).max() <= 0.4
        ):
            return count
    return _MOST
