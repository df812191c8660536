"""Drafts of what could be made: the smaller quilt, and each thing, of the old quilt's own blocks."""

from __future__ import annotations

from seamlore.draft.catalogue import find
from seamlore.draft.quilt import Quilt
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.errors import MeasureError
from seamlore.lengths import show, show_size
from seamlore.steps.decide.decide import Basis, draft_of
from seamlore.steps.make import make
from seamlore.steps.making.work import in_all, tasks
from seamlore.steps.study.job import Job


def plan_text(job: Job, basis: Basis, which: int) -> str:
    """Write what the smaller quilt (0) or a thing takes when it is made all of new cloth: what is cut, bought and sewn.

    Raises
    ------
    SeamloreError
        When there is no draft of the old quilt, or nothing comes out.
    """
    made = make(_thing(job, basis, which), None, seam_allowance=job.seam_allowance)
    lines = [
        f"{made.quilt.name}: {show_size(*made.finished)} finished; of old blocks only what is added is cut new", "", "To cut"
    ]  # fmt: skip
    lines += [f"  {each.count} of {each.fabric}, {show_size(*each.size)}: {each.shape}" for each in made.cutting]
    lines += ["", "Fabric"] + [f"  {each.fabric}: {show(each.length)}; buy {each.buy}" for each in made.fabrics]
    lines += ["", f"Backing: {made.backing}"] + ([f"{made.filling.kind}: {made.filling}"] if made.filling else [])
    return "\n".join([*lines, f"Hours: {in_all(tasks(made))}"]) + "\n"


def draft_text(job: Job, basis: Basis, which: int) -> str:
    """Write the draft of the smaller quilt (0) or of a thing (1 and on, as `Basis.fits` lists them).

    Raises
    ------
    SeamloreError
        When there is no draft of the old quilt, or nothing comes out.
    """
    return write_quilt(_thing(job, basis, which), find_block=find)


def _thing(job: Job, basis: Basis, which: int) -> Quilt:
    quilt = basis.quilt
    if quilt is None:
        raise MeasureError("a draft of it", "the old quilt is not drafted yet", "go to the page Draft first")
    if which == 0:
        if basis.small is None:
            raise MeasureError("a smaller quilt", basis.small_fault or "none comes out", "look at the things below")
        small = basis.small
        return draft_of(quilt, small.rows, small.columns, small.sashing, job.inputs.decision.outer, "Smaller quilt")
    if which > len(basis.fits):
        raise MeasureError(f"thing {which}", f"there are {len(basis.fits)}", "choose one of them")
    fit = basis.fits[which - 1]
    return draft_of(quilt, fit.rows, fit.columns, quilt.gaps[0] * 0, False, fit.project.name)
