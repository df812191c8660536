"""Regular patterns of turned blocks: those that log cabin blocks are set in, and plain ones for any block.

The names of the patterns of light and dark are in general use in the trade (from memory). Such a pattern says toward
which corner the dark side of each block lies; how a block must be turned for that follows from where its dark side is
as drawn. Plain patterns turn blocks by where they lie alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Literal

from seamlore.draft.block import Block, Corner
from seamlore.draft.exact.roots import Exact, absolute, total
from seamlore.draft.kinds import AS_DRAWN, Turned
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import Straight
from seamlore.errors import ShapeError, UnknownNameError, nearest

# Corners clockwise from the top left; a quarter turn clockwise takes each to the next.
_TL, _TR, _BR, _BL = range(4)
_DARKNESS = {"light": 0, "medium": 1, "dark": 2}
_TURNS: tuple[Literal[0, 90, 180, 270], ...] = (0, 90, 180, 270)


def turns(pattern: str, quilt: Quilt) -> Mapping[tuple[int, int], Turned]:
    """Turn the blocks of a quilt in a pattern.

    Parameters
    ----------
    pattern : str
        Of light and dark, for one block with a dark side, set straight: "barn raising", "straight furrow",
        "streak of lightning", "sunshine and shadow". Plain, for any blocks: "every other" (by a quarter), "in fours"
        (each of four by a quarter more), "in mirrored fours".
    quilt : Quilt
        As drafted; how its blocks are turned now does not matter.

    Returns
    -------
    mapping of (row, column) to Turned
        As `cells.with_lies` takes it; a block that lies as drawn has no entry.

    Raises
    ------
    UnknownNameError
        When no pattern is called that.
    ShapeError
        When no corner of the block is darker than the others, or the pattern does not fit setting or counts.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import inches
    >>> half = read_block("block Half\\nA dark\\nB light\\n\\nA/B")
    >>> four = repeated("q", half, inches(9), inches(9), 2, 2)
    >>> {spot: how.turn for spot, how in turns("sunshine and shadow", four).items()}
    {(0, 0): 180, (0, 1): 270, (1, 0): 90}
    >>> turns("barn raising", repeated("q", half, inches(9), inches(9), 3, 2))
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: barn raising with 3 rows of 2 blocks: its middle is a corner where four blocks meet; ...
    """
    if pattern in PLAIN_PATTERNS:
        ways = {(row, column): PLAIN_PATTERNS[pattern][row % 2][column % 2] for row, column in quilt.spots}
    elif pattern in PATTERNS:
        here = dark_corner(_one_block(pattern, quilt))
        corners = {spot: PATTERNS[pattern](*spot, quilt.rows, quilt.columns) for spot in quilt.spots}
        ways = {spot: Turned(_TURNS[(corner - here) % 4]) for spot, corner in corners.items()}
    else:
        known = [*PATTERNS, *PLAIN_PATTERNS]
        raise UnknownNameError(
            f'a pattern of turns called "{pattern}"', "none is called that", nearest(pattern, known)
        )
    return {spot: how for spot, how in ways.items() if how != AS_DRAWN}


def _one_block(pattern: str, quilt: Quilt) -> Block:
    """The block that a pattern of light and dark is laid from."""
    given = f"{pattern} with {quilt.rows} rows of {quilt.columns} blocks"
    if not isinstance(quilt.setting, Straight) or len(quilt.counts) != 1 or quilt.not_read:
        raise ShapeError(
            f"{given}, not set straight or not of one block",
            "its light and dark run on from block to block",
            "set one block straight, or turn the blocks row by row",
        )
    if pattern in ("barn raising", "sunshine and shadow") and (quilt.rows % 2 or quilt.columns % 2):
        why = {
            "barn raising": "its middle is a corner where four blocks meet",
            "sunshine and shadow": "it is made of groups of two by two blocks",
        }
        raise ShapeError(given, why[pattern], "give an even number of rows and of columns")
    (name,) = quilt.counts
    return quilt.kind(name).block


def dark_corner(block: Block) -> int:
    """Tell which corner of a block its dark side lies toward: 0 top left, 1 top right, 2 bottom right, 3 bottom left.

    Raises
    ------
    ShapeError
        When the dark lies evenly, or toward the middle of a side.

    Examples
    --------
    >>> from seamlore.draft.text.notation import read_block
    >>> dark_corner(read_block("block Half\\nA dark\\nB light\\n\\nB/A"))
    2
    >>> dark_corner(read_block("block Plain\\nA dark\\n\\nA"))
    Traceback (most recent call last):
        ...
    seamlore.errors.ShapeError: Plain in a pattern of turns: no corner of the block is darker than the others; ...
    """
    right: Exact = Fraction(0)
    below: Exact = Fraction(0)
    for each in block.patches:
        dark = _DARKNESS[block.places[each.place].value]
        mean_x, mean_y = _middle(each.outline)
        right += dark * each.area * (mean_x - Fraction(1, 2))
        below += dark * each.area * (mean_y - Fraction(1, 2))
    # A side that is a little off (the middle square of a log cabin) still points at its corner.
    if 4 * min(absolute(right), absolute(below)) <= max(absolute(right), absolute(below)):
        raise ShapeError(
            f"{block.name} in a pattern of turns",
            "no corner of the block is darker than the others",
            "take a block with a light and a dark side, such as a log cabin",
        )
    return {(False, False): _TL, (True, False): _TR, (True, True): _BR, (False, True): _BL}[right > 0, below > 0]


def _middle(ring: tuple[Corner, ...]) -> Corner:
    """The point on which an outline balances."""
    cross = [
        (x0 * y1 - x1 * y0, x0 + x1, y0 + y1) for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True)
    ]
    twice = total(each for each, _, _ in cross)
    return (
        total(each * x for each, x, _ in cross) / (3 * twice),
        total(each * y for each, _, y in cross) / (3 * twice),
    )


def _straight_furrow(row: int, column: int, rows: int, columns: int) -> int:
    return _BR if (row + column) % 2 else _TL


def _sunshine_and_shadow(row: int, column: int, rows: int, columns: int) -> int:
    return (_BR, _BL, _TR, _TL)[2 * (row % 2) + column % 2]


def _barn_raising(row: int, column: int, rows: int, columns: int) -> int:
    down, across = row - rows // 2, column - columns // 2
    inward = (_BR, _BL, _TR, _TL)[2 * (down >= 0) + (across >= 0)]
    ring = (down if down >= 0 else -1 - down) + (across if across >= 0 else -1 - across)
    return (inward + 2 * (ring % 2)) % 4


def _streak_of_lightning(row: int, column: int, rows: int, columns: int) -> int:
    # Both edges of a streak rise and fall together, so that it is as wide everywhere.
    return (_BR, _BL, _TL, _TR)[2 * (row % 2) + column % 2]


PATTERNS: Mapping[str, Callable[[int, int, int, int], int]] = {
    "barn raising": _barn_raising,
    "straight furrow": _straight_furrow,
    "streak of lightning": _streak_of_lightning,
    "sunshine and shadow": _sunshine_and_shadow,
}

# For the four blocks of every group of two by two: the first row, the second.
PLAIN_PATTERNS: Mapping[str, tuple[tuple[Turned, Turned], tuple[Turned, Turned]]] = {
    "every other": ((AS_DRAWN, Turned(90)), (Turned(90), AS_DRAWN)),
    "in fours": ((AS_DRAWN, Turned(90)), (Turned(270), Turned(180))),
    "in mirrored fours": ((AS_DRAWN, Turned(0, True)), (Turned(180, True), Turned(180))),
}
