"""Whether the blocks that are read on a doubtful grid bear it out, or say that it is another."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.block.agreement import By, repeats_itself
from seamlore.photo.block.groups import Group
from seamlore.photo.block.laying import patch_means
from seamlore.photo.block.seams import SIDE

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

DOUBTFUL_GRID = "The blocks are not read before the block grid is sure: count the rows and columns on the quilt, or set its corners right."
_ONE_OR_FOUR = (
    "Four blocks turned round the middle, or one block? Count the rows and columns: then the blocks are read."
)
_GRID_FLOOR = 0.7  # of the grid's confidence, below which no block is drawn
_OF_ITS_OWN = 0.5  # of the difference of cloth from block to block, under which it is much less within them
# unless so many blocks bear it out: how clearly their sides are seen, the share of one kind, and how sure that is
_ENOUGH_BLOCKS, _SIDES, _NEARLY_ALL, _VERY_SURE = 12, 0.6, 0.8, 0.9

_HALVES: tuple[By, By] = ((SIDE // 2, 0), (0, SIDE // 2))


def doubts(groups: list[Group], shape: tuple[int, ...], grid_confidence: float, sides: float) -> str:
    """Why no block is to be drawn on a grid that she has not counted; empty where nothing speaks against it."""
    if grid_confidence < _GRID_FLOOR and not borne_out(groups, sides):
        return DOUBTFUL_GRID
    return _ONE_OR_FOUR if shape == (2, 2) and round_the_middle(groups) else ""


def borne_out(groups: list[Group], sides: float) -> bool:
    """Whether the blocks bear a doubtful grid out: seams around them, one pieced kind in nearly all, that is one block."""
    main = _one_kind(groups, sides)
    return main is not None and all(_own(main, by) for by in repeats_itself(main.laid.outlines))


def of_quarters(groups: list[Group], sides: float) -> bool:
    """Whether blocks of one kind in nearly all places are four blocks each: the same again half-way on, both across and
    down, and not of one cloth in each."""
    main = _one_kind(groups, sides)
    if main is None:
        return False
    again = repeats_itself(main.laid.outlines)
    return all(by in again for by in _HALVES) and not all(_own(main, by) for by in _HALVES)


def _one_kind(groups: list[Group], sides: float) -> Group | None:
    """The pieced kind that nearly all blocks surely are, where there are many with seams around them."""
    count = sum(len(group.sure) for group in groups)
    if count < _ENOUGH_BLOCKS or sides < _SIDES:
        return None
    main = max(groups, key=lambda group: len(group.sure))
    told = len(main.laid.outlines) > 1 and len(main.sure) >= _NEARLY_ALL * count and main.sure.mean() >= _VERY_SURE
    return main if told else None


def _own(group: Group, by: By) -> bool:
    return own_cloth(patch_means(group.laid.stack, group.laid.picture), group.laid.picture, by)


def own_cloth(colors: Floats, picture: Ints, by: tuple[int, int]) -> bool:
    """Whether each block has cloth of its own, though its drawing is the same again further on: then it is one block.

    Patches that lie by so much from each other are of one cloth within a block far more often than from block to block.

    Parameters
    ----------
    colors : ndarray, shape (patches, blocks, 3)
        CIELAB of each patch in each block.
    picture : ndarray of int, shape (size, size)
        The patch of each pixel.
    by : pair of int
        Across and down, in parts of `seams.SIDE`.

    Examples
    --------
    >>> fours = np.kron(np.arange(4).reshape(2, 2), np.ones((8, 8), np.intp))
    >>> each = np.random.default_rng(1).uniform(0, 100, (1, 9, 3)).repeat(4, axis=0)
    >>> own_cloth(each, fours, (32, 0)), own_cloth(np.random.default_rng(1).uniform(0, 100, (4, 9, 3)), fours, (32, 0))
    (True, False)
    >>> own_cloth(np.zeros((4, 9, 3)), fours, (32, 0))
    False
    """
    size = len(picture)
    across, down = (round(each * size / SIDE) for each in by)
    pairs, counts = np.unique(
        np.stack([picture.ravel(), np.roll(picture, (-down, -across), (0, 1)).ravel()]), axis=1, return_counts=True
    )
    one, two = colors[pairs[0]], colors[pairs[1]]
    weight = counts[:, None] * np.ones(colors.shape[1])
    within = np.average(np.linalg.norm(one - two, axis=-1), weights=weight)
    among = np.average(np.linalg.norm(one - np.roll(two, 1, axis=1), axis=-1), weights=weight)
    return bool(within < _OF_ITS_OWN * among)


def round_the_middle(groups: list[Group]) -> bool:
    """Whether four blocks may be the quarters of one: across the middle pieced alike, beside each other not."""
    lies = {
        (int(row), int(column)): (kind, int(move))
        for kind, group in enumerate(groups)
        if len(group.laid.outlines) > 1
        for (row, column), move in zip(group.laid.stack.places, group.laid.moves, strict=True)
    }
    if len(lies) < 4:
        return False
    one, two, three, four = (lies[at] for at in ((0, 0), (0, 1), (1, 1), (1, 0)))
    return one[0] == three[0] and two[0] == four[0] and not {one, three} & {two, four}
