"""Drafts of what could be made: the smaller quilt, and each thing, of the old quilt's own blocks."""

from __future__ import annotations

from seamlore.draft.catalogue import find
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.errors import MeasureError
from seamlore.steps.decide.decide import Basis, draft_of
from seamlore.steps.study.job import Job


def draft_text(job: Job, basis: Basis, which: int) -> str:
    """Write the draft of the smaller quilt (0) or of a thing (1 and on, as `Basis.fits` lists them).

    Raises
    ------
    SeamloreError
        When there is no draft of the old quilt, or nothing comes out.
    """
    quilt = basis.quilt
    if quilt is None:
        raise MeasureError("a draft of it", "the old quilt is not drafted yet", "go to the page Draft first")
    if which == 0:
        if basis.small is None:
            raise MeasureError("a smaller quilt", basis.small_fault or "none comes out", "look at the things below")
        small = basis.small
        made = draft_of(quilt, small.rows, small.columns, small.sashing, job.inputs.decision.outer, "Smaller quilt")
    else:
        if which > len(basis.fits):
            raise MeasureError(f"thing {which}", f"there are {len(basis.fits)}", "choose one of them")
        fit = basis.fits[which - 1]
        made = draft_of(quilt, fit.rows, fit.columns, quilt.gaps[0] * 0, False, fit.project.name)
    return write_quilt(made, find_block=find)
