"""Blocks that were read, but not surely: which of them still stand in the draft as they were read."""

from __future__ import annotations

from collections.abc import Mapping

from seamlore.draft.block import Patch
from seamlore.draft.where import said_all
from seamlore.errors import SeamloreError
from seamlore.photo.reading import Reading, SeenKind
from seamlore.steps.study.job import Job
from seamlore.study.seen_block import exact_block

# A kind less sure than this is drafted, and said to be doubtful on every page and sheet; judgement.
SURE = 0.8

At = tuple[int, int]


def doubtful(job: Job) -> Mapping[At, float]:
    """Give the blocks of the draft that stand as they were read, but not surely, each with how sure that was, 0 to 1.

    Raises
    ------
    SeamloreError
        When there is no draft.
    """
    quilt = job.quilt
    unsure = _unsure(job.reading) if job.inputs.photo is not None else {}
    if job.inputs.choice.block:
        # Named or drawn by hand in place of the commonest.
        unsure.pop(0, None)
    if not unsure:
        return {}
    from seamlore.steps.study.seen_spots import spot_seen  # opens pictures: slow to import

    told = job.reading.everywhere
    found: dict[At, float] = {}
    for row, column in quilt.spots:
        cell, spot = quilt.cells[row][column], spot_seen(job.reading, quilt, row, column)
        each = told.get(spot) if spot and cell.read else None
        if each is None or each.kind not in unsure:
            continue
        sure, outlines = unsure[each.kind]
        # What was drawn otherwise since is her own.
        if outlines == _outlines(quilt.kind(cell.kind).block.patches):
            found[row, column] = sure
    return found


def doubtful_words(job: Job) -> str:
    """Say which blocks of the draft are doubtful, how sure they are, and what else it leaves open; nothing where nothing is."""
    return " ".join(each for each in (_blocks(job), _crossings(job)) if each)


def _crossings(job: Job) -> str:
    sashing = job.quilt.sashing
    if job.inputs.photo is None or sashing is None or sashing.cornerstones or not all(job.quilt.gaps):
        return ""
    from seamlore.steps.study.cloths import crossings_differ  # opens pictures: slow to import

    if not job.memo.get(("crossings", job.look_key), lambda: crossings_differ(job.look)):
        return ""
    return (
        "Where the sashing crosses, the photograph shows another cloth than in its strips: if those are cornerstones, "
        "say so with the setting; none are drafted."
    )


def _blocks(job: Job) -> str:
    found = doubtful(job)
    if not found:
        return ""
    least, most = (round(100 * each) for each in (min(found.values()), max(found.values())))
    sure = f"{least} in 100" if least == most else f"{least} to {most} in 100"
    one = len(found) == 1
    return (
        f"{len(found)} of {len(job.quilt.spots)} blocks {'is' if one else 'are'} doubtful: {said_all(found)}; {sure} that "
        f"{'it is' if one else 'each is'} drawn right. Hold {'it' if one else 'them'} against the quilt first."
    )


def _unsure(reading: Reading) -> dict[int | None, tuple[float, frozenset[object]]]:
    """The kinds that are not sure, by number: how sure, and the outlines of their patches."""
    unsure = ((number, kind) for number, kind in enumerate(reading.kinds or ()) if kind.confidence < SURE)
    return {number: (kind.confidence, drawn) for number, kind in unsure if (drawn := _drawn(kind))}


def _drawn(kind: SeenKind) -> frozenset[object]:
    try:
        return _outlines(exact_block(kind).patches)
    except SeamloreError:
        # It is not drafted at all.
        return frozenset()


def _outlines(patches: tuple[Patch, ...]) -> frozenset[object]:
    return frozenset(each.outline for each in patches)
