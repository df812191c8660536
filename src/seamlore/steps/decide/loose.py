"""Loose blocks as she measured them: a common size, a frame for each, and what her own seam takes up."""

from __future__ import annotations

from seamlore.lengths import Length, Unit, in_unit, inches, length, on_mark, pair
from seamlore.saving.trimming import Framed, Trimmed, common_size, frame, own_seam
from seamlore.steps.decide.setting import seam_of
from seamlore.steps.study.job import Job


def sewn_by_her(job: Job) -> Length | None:
    """What her own seam takes up, by the test block that she measured; None where she measured none.

    Raises
    ------
    SeamloreError
        When its measures do not go together.
    """
    decision = job.inputs.decision
    if not (decision.strip_cut.strip() and decision.strips_sewn.strip()):
        return None
    cut, sewn = (length(text, unit=job.unit) for text in (decision.strip_cut, decision.strips_sewn))
    return own_seam(cut, sewn, int(decision.strips or "3"))


def frames(job: Job) -> tuple[Length, tuple[Framed, ...]] | None:
    """Give each loose block a frame of its own to one size, a strip about an inch wide on every side; None without any.

    Raises
    ------
    SeamloreError
        When a side cannot be read.
    """
    sides = _loose(job)
    if not sides:
        return None
    inch = in_unit(1, Unit.INCH).shown_in(job.unit)
    half = inches("1/2") if job.unit is Unit.INCH else in_unit(1, Unit.CM)
    to = on_mark(max((side for each in sides for side in each), key=lambda each: each.inches) + inch * 2, "up", half)
    return to, tuple(frame(each, to, allowance_left(job), seam_of(job)) for each in sides)


def allowance_left(job: Job) -> Length:
    """What is left of the blocks' own seam allowance: what she said, or what is sewn now."""
    text = job.inputs.decision.allowance.strip()
    return length(text, unit=job.unit) if text else seam_of(job)


def _loose(job: Job) -> list[tuple[Length, Length]]:
    return [pair(line, unit=job.unit) for line in job.inputs.decision.loose.splitlines() if line.strip()]


def trimmed_alike(job: Job) -> Trimmed | None:
    sides = _loose(job)
    return common_size(sides, allowance_left(job), seam_of(job)) if sides else None
