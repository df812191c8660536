"""How a quilt is folded for its box: away from weak cloth and from last year's lines."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.condition.kinds import kind_named
from seamlore.errors import MeasureError
from seamlore.lengths import Unit, inches, pair
from seamlore.saving.folding import Folds, folds, shunned, weak
from seamlore.steps.assess.assess import Assessed, last_folds
from seamlore.steps.study.job import Job

# Folds nearer than this to last year's are the same fold; what they cost weighs more than any weak cloth.
_NEAR = inches(2)


@dataclass(frozen=True, slots=True)
class Stored:
    """How it is folded for its box: folds from the left and from the top, in the reading's unit."""

    across: Folds
    down: Folds


def weak_places(found: Assessed) -> list[NDArray[np.float64]]:
    """Outlines of what a fold is to avoid: suspect patches, and cloth that is torn, holed, rubbed or gone."""
    suspect = np.flatnonzero(np.isin(found.ground.fabric, [each.fabric for each in found.suspects]))
    torn = [each.outline for each in found.laid if kind_named(each.kind).does == "cloth" and len(each.outline) > 2]
    return [*(found.ground.outlines[index] for index in suspect.tolist()), *torn]


def stored_in(job: Job, found: Assessed) -> Stored | None:
    """Choose folds for the box that was named; None where none was.

    Raises
    ------
    SeamloreError
        When no size is known, or the quilt does not go into it.
    """
    decision = job.inputs.decision
    if not decision.box.strip():
        return None
    if found.unit == "width":
        raise MeasureError("a box", "no size of the quilt is known", "enter it by tape on the page Look")
    unit = Unit(found.unit)
    box = [float(side.measured_in(unit)) for side in pair(decision.box, unit=job.unit)]
    outlines = weak_places(found)
    near = float(_NEAR.measured_in(unit))
    before = [last_folds(job, axis) for axis in (0, 1)]

    def along(axis: int, most: float) -> Folds:
        side, other = found.ground.size[axis], found.ground.size[1 - axis]
        marks, cost = weak(side, other, outlines, axis)
        return folds(marks, shunned(marks, cost, before[axis], near, 2 * other), side, most)

    made, fault = [], None
    for turned in (False, True):
        try:
            made.append(Stored(along(0, box[turned]), along(1, box[not turned])))
        except MeasureError as refused:
            fault = refused
    if not made:
        assert fault is not None
        raise fault
    return min(made, key=lambda each: (len(each.across.at) + len(each.down.at), each.across.cost + each.down.cost))
