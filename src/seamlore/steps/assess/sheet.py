"""What the study sheet says of the condition."""

from __future__ import annotations

from seamlore.sheets.condition_part import ConditionContent
from seamlore.steps.assess.assess import assess
from seamlore.steps.assess.words import record
from seamlore.steps.study.job import Job


def condition_content(job: Job) -> ConditionContent | None:
    """Gather what the study sheet says of the condition; None where nothing was noted or said of it."""
    inputs = job.inputs
    if inputs.photo is None or not (inputs.notes.annotations or inputs.condition != type(inputs.condition)()):
        return None
    found = assess(job)
    drawn = tuple(
        each for each in found.laid if found.notes[each.number].about.damage or each.kind == "earlier repair"
    )
    return ConditionContent(found.ground, drawn, found.survey, tuple((each.name, each.lines) for each in record(job)))
