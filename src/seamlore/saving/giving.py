"""What a quilt can give: whole and cut blocks that are sound, and the size to which they can be sewn again."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from fractions import Fraction

from seamlore.condition.survey import BlockState
from seamlore.errors import MeasureError
from seamlore.lengths import Length

Block = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Given:
    """The blocks of a quilt, by what they are worth.

    Parameters
    ----------
    whole : tuple of (row, column)
        Sound, with all four sides.
    edge : tuple of (row, column)
        Sound, cut at one side.
    corners : tuple of (row, column)
        Sound, cut at two.
    doubtful, lost : int
        How many of each are not counted above.
    """

    whole: tuple[Block, ...]
    edge: tuple[Block, ...]
    corners: tuple[Block, ...]
    doubtful: int = 0
    lost: int = 0


def given(at: Iterable[Block], cut_sides: Collection[str], blocks: Iterable[BlockState] = ()) -> Given:
    """Sort the blocks of a quilt.

    Parameters
    ----------
    at : iterable of (row, column)
        Every block.
    cut_sides : collection of {"left", "right", "top", "bottom"}
        Sides of the quilt whose outermost blocks its edge cuts.
    blocks : iterable of BlockState, optional
        What is known of their state; a block of which nothing is known is sound.

    Examples
    --------
    >>> found = given(grid(8, 7), {"left", "right", "top", "bottom"})
    >>> len(found.whole), len(found.edge), len(found.corners)
    (30, 22, 4)
    >>> given([(0, 0)], ()).whole
    ((0, 0),)
    """
    states = {each.at: each.verdict for each in blocks}
    found: dict[int, list[Block]] = {0: [], 1: [], 2: []}
    every = list(at)
    last_row, last_column = (max((each[axis] for each in every), default=-1) for axis in (0, 1))
    for row, column in every:
        if states.get((row, column), "sound") != "sound":
            continue
        sides = [
            "left" in cut_sides and column == 0,
            "right" in cut_sides and column == last_column,
            "top" in cut_sides and row == 0,
            "bottom" in cut_sides and row == last_row,
        ]
        found[min(sum(sides), 2)].append((row, column))
    counts = [sum(each == verdict for each in states.values()) for verdict in ("doubtful", "lost")]
    return Given(tuple(found[0]), tuple(found[1]), tuple(found[2]), *counts)


def grid(rows: int, columns: int) -> list[Block]:
    """Give every block of so many rows and columns.

    Examples
    --------
    >>> grid(1, 2)
    [(0, 0), (0, 1)]
    """
    return [(row, column) for row in range(rows) for column in range(columns)]


@dataclass(frozen=True, slots=True)
class Resewn:
    """A block taken out and sewn again.

    Parameters
    ----------
    raw : Length
        Its side as it comes out, raw edge to raw edge.
    finished : Length
        What it finishes at with the seam that is sewn now.
    points_lost : Length
        How much of every point along its edges is sewn or cut away; 0 where none is.
    """

    raw: Length
    finished: Length
    points_lost: Length

    @property
    def keeps_points(self) -> bool:
        """Whether its points stay whole."""
        return not self.points_lost


def resewn(side: Length, allowance: Length, seam: Length, *, cut_ends: int = 0) -> Resewn:
    """Say what a block, or a strip, finishes at when it is sewn again.

    Parameters
    ----------
    side : Length
        Finished, in the old quilt; of a block that the edge cuts what is left of it.
    allowance : Length
        What is left of its seam allowance all round, frayed edges trimmed off.
    seam : Length
        The seam that it is sewn with now.
    cut_ends : {0, 1, 2}
        How many ends of the side are cut off: there nothing lies beyond it, and the seam is taken from the side itself.

    Raises
    ------
    MeasureError
        When nothing is left between the seams.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> found = resewn(inches(8), inches("1/8"), inches("1/4"))
    >>> str(found.finished), str(found.points_lost), found.keeps_points
    ('7 3/4 in', '1/8 in', False)
    >>> resewn(inches(8), inches("1/4"), inches("1/4")).keeps_points
    True
    >>> half = resewn(inches(4), inches("1/4"), inches("1/4"), cut_ends=1)
    >>> str(half.raw), str(half.finished)
    ('4 1/4 in', '3 3/4 in')
    """
    raw = side + allowance * (2 - cut_ends)
    finished = raw - seam * 2
    if finished.inches <= 0:
        raise MeasureError(
            f"a block of {side} with {allowance} of allowance",
            "nothing is left between the seams",
            "sew a narrower seam",
        )
    lost = seam - allowance
    none = side * Fraction(0)
    return Resewn(raw, min(finished, side, key=lambda each: each.inches), lost if lost.inches > 0 else none)
