"""What lies between and round the blocks: its strips with what of each is sound, and which of these parts a hand test found weak."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.reading import Reading
from seamlore.saving.between import Strip, strips
from seamlore.saving.cloth import BACKING, spoilt_places, written_places
from seamlore.steps.assess.assess import Assessed
from seamlore.steps.study.job import Job


def weak_parts(found: Assessed, around: Iterable[Strip]) -> dict[str, str]:
    """Name the sashing, the border and the backing where a hand test found them weak, and say why.

    A test counts for a part that it lies on, or that it is said to be of.
    """
    import shapely  # slow to import: only where cloth is counted

    weak: dict[str, str] = {}
    for each in found.laid:
        note = found.notes[each.number]
        if each.kind != "hand test" or note.result not in ("weak", "powder"):
            continue
        of, spot = note.of.casefold(), shapely.Point(each.outline[0])
        on = {strip.of for strip in around if not each.behind and strip.shape.intersects(spot)}
        for part, words in (("sashing", "sash"), ("border", "border"), (BACKING, BACKING)):
            if part in on or words in of or (part == BACKING and each.behind):
                weak.setdefault(part, f"{note.result} when tried")
    return weak


def strips_of(job: Job, found: Assessed) -> tuple[Strip, ...]:
    """List the strips between and round the blocks with what of each is sound; none of parts that are not there."""
    key = ("strips", job.look_key, repr(job.inputs.notes), repr(job.inputs.condition), repr(job.inputs.photographs))
    return job.memo.get(key, lambda: strips_read(job.reading, found))


def strips_read(reading: Reading, found: Assessed) -> tuple[Strip, ...]:
    """As `strips_of`, where the reading alone is known."""
    parts = {"sashing": "setting", "border": "border"}
    sashed = any(gap > 0 for gap in reading.sashing or ())
    every = strips(
        found.ground,
        spoilt_places(found.laid, behind=False),
        written_places(written(found)),
        on_point=reading.setting == "on point",
    )
    return tuple(each for each in every if parts[each.of] not in found.without and (sashed or each.of == "border"))


def written(found: Assessed) -> list[NDArray[np.float64]]:
    """Give the inscriptions of the front as outlines."""
    return [each.outline for each in found.laid if each.kind == "inscription" and not each.behind]
