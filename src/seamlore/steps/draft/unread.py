"""Blocks that were not read: those alike together, and which of them a draft waits for."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import msgspec
import numpy as np
from numpy.typing import NDArray

from seamlore.draft.cells import with_cells
from seamlore.draft.kinds import NOT_READ, Turned, plain_block
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import row_as_laid
from seamlore.draft.text.notation import write_block
from seamlore.draft.where import said
from seamlore.errors import SeamloreError, ShapeError
from seamlore.steps.draft.partings import (
    MOTIONS,
)
from seamlore.steps.study.job import Job

if TYPE_CHECKING:
    # Opens pictures: slow to import.
    from seamlore.photo.unread import Unread

Floats = NDArray[np.float64]
At = tuple[int, int]


@dataclass(frozen=True, slots=True)
class UnreadGroup:
    """Blocks of the draft that are not read and look alike on the photograph.

    Parameters
    ----------
    cells : mapping of (int, int) to Turned
        Row and column of each, and how it lies against the first.
    seen : Unread or None
        What is seen of their seams.
    """

    cells: Mapping[At, Turned]
    seen: Unread | None

    @property
    def first(self) -> At:
        """The one that the others are told by."""
        return next(iter(self.cells))


def open_draft(job: Job) -> Quilt | None:
    """Give the draft; where no block is known yet, one of the same rows and sizes in which none is read. None without sizes."""
    try:
        return job.quilt
    except SeamloreError:
        # The page says what is missing; if it is the block alone, there are cells to show it in.
        if job.inputs.photo is None or job.inputs.choice.draft or job.inputs.choice.block:
            return None
    plain = msgspec.structs.replace(job.inputs.choice, block=write_block(plain_block()))
    try:
        quilt = Job(replace(job.inputs, choice=plain), memo=job.memo).quilt
    except SeamloreError:
        return None
    return with_cells(quilt, dict.fromkeys(quilt.spots, NOT_READ))


def unread_groups(job: Job) -> tuple[UnreadGroup, ...]:
    """Gather the blocks of a draft that are not read and that its photograph shows, the commonest first.

    Parameters
    ----------
    job : Job

    Returns
    -------
    tuple of UnreadGroup
        None where the draft has other rows, columns or setting than the photograph.
    """
    quilt = open_draft(job)
    if quilt is None or job.inputs.photo is None or not quilt.not_read:
        return ()
    from seamlore.steps.study.seen_spots import corners_seen, spot_seen  # opens pictures: slow to import

    missing = {at for at in quilt.not_read if corners_seen(job.look, quilt, *at) is not None}
    by_spot = {spot_seen(job.reading, quilt, *at): at for at in missing}
    groups = []
    for seen in _seen(job):
        cells = {
            by_spot[each.at]: Turned(each.turn, each.mirrored)
            for each in seen.blocks
            if each.at in by_spot
            and row_as_laid(quilt.setting, each.at[1], between=each.at[0]) == by_spot[each.at][0]
        }
        if cells:
            groups.append(_told_by_first(cells, seen))
            missing -= set(cells)
    # Read, but as what cannot be drawn exactly, or left open by hand: those of a kind together.
    told = job.reading.everywhere
    of_kind: dict[int, dict[At, Turned]] = defaultdict(dict)
    for at in sorted(missing):
        each = told.get(spot) if (spot := spot_seen(job.reading, quilt, *at)) else None
        if each is not None and each.kind is not None:
            of_kind[each.kind][at] = Turned(each.turn, each.mirrored)
    groups += [_told_by_first(cells, None) for cells in of_kind.values()]
    return tuple(sorted(groups, key=lambda group: -len(group.cells)))


def _told_by_first(cells: Mapping[At, Turned], seen: Unread | None) -> UnreadGroup:
    """The group, unless what its drawing was told by is shown already: then how they lie is told by the first that is left."""
    first = next(iter(cells.values()))
    if first == Turned():
        return UnreadGroup(cells, seen)
    from seamlore.photo.unread import after, undone  # as above

    way = first.turn // 90, first.mirrored
    lying = {at: after((each.turn // 90, each.mirrored), undone(way)) for at, each in cells.items()}
    turns = [turn for turn, mirrored in MOTIONS if not mirrored]
    told = {at: Turned(turns[quarters], mirrored) for at, (quarters, mirrored) in lying.items()}
    return UnreadGroup(told, seen.lying(way) if seen else None)


def _seen(job: Job) -> tuple[Unread, ...]:
    from seamlore.photo.unread import unread_blocks  # as above

    return job.memo.get(("unread", job.read_key), lambda: unread_blocks(job.look))


def group_at(job: Job, at: At) -> UnreadGroup:
    """Give the group that a block is in.

    Raises
    ------
    ShapeError
        When the block there is read, or the photograph does not show it.
    """
    found = next((group for group in unread_groups(job) if at in group.cells), None)
    if found is None:
        raise ShapeError("a block that was not read", "there is none there", "reload the page")
    return found


_AT = re.compile(r"(\d{1,3}),(\d{1,3})")


def cell_said(text: str) -> At:
    """Read the row and column of a block, counted from 0, as "0,2".

    Raises
    ------
    ShapeError

    Examples
    --------
    >>> cell_said("0,2")
    (0, 2)
    """
    read = _AT.fullmatch(text)
    if read is None:
        raise ShapeError(f'a block at "{text[:20]}"', "the quilt has none there", "reload the page")
    return int(read[1]), int(read[2])


# So many of a group are named one by one.
_NAMED = 3


def group_words(group: UnreadGroup) -> str:
    """Say how many blocks a group has, and where.

    Examples
    --------
    >>> group_words(UnreadGroup({(0, 1): Turned()}, None))
    'row 1, column 2'
    >>> group_words(UnreadGroup({(row, 1): Turned() for row in range(5)}, None))
    '5 that look alike: row 1, column 2; row 2, column 2; row 3, column 2 and others'
    """
    places = [said(*at) for at in group.cells]
    if len(places) == 1:
        return places[0]
    others = " and others" if len(places) > _NAMED else ""
    return f"{len(places)} that look alike: {'; '.join(places[:_NAMED])}{others}"
