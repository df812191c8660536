"""Drafts of what could be made: the smaller quilt, and each thing, of the old quilt's own blocks."""

from __future__ import annotations

from seamlore.draft.catalogue import find
from seamlore.draft.pieces import pieces
from seamlore.draft.quilt import Quilt
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.errors import MeasureError
from seamlore.lengths import Length, show, show_size
from seamlore.saving.projects import Fit
from seamlore.steps.decide.decide import Basis, draft_of
from seamlore.steps.decide.setting import seam_of
from seamlore.steps.decide.show import reset_of
from seamlore.steps.make import make
from seamlore.steps.making.work import in_all, tasks
from seamlore.steps.study.job import Job


def plan_text(job: Job, basis: Basis, which: int) -> str:
    """Write what the smaller quilt (0) or a thing takes: what is cut new beside the old blocks, and what the blocks take
    where new ones are made.

    Raises
    ------
    SeamloreError
        When there is no draft of the old quilt, or nothing comes out.
    """
    drafted = thing(job, basis, which)
    made = make(drafted, None, seam_allowance=job.seam_allowance)
    added = {each.label for each in pieces(drafted) if not each.kind}
    lines = [f"{made.quilt.name}: {show_size(*made.finished)} finished"]
    if which:
        lines += _of_old_blocks(job, basis.fits[which - 1])
    lines.append("")
    for head, new in (("To cut beside the old blocks", True), ("Where the blocks are made new too", False)):
        cuts = [each for each in made.cutting if (set(each.labels) <= added) is new]
        if cuts:
            lines += [head, *(f"  {each}" for each in cuts), ""]
    lines += ["Fabric, all of it new"] + [
        f"  {each.fabric}: {show(each.length)}; buy {each.buy}" for each in made.fabrics
    ]
    lines += ["", f"Backing: {made.backing}"] + ([f"{made.filling.kind}: {made.filling}"] if made.filling else [])
    if which and basis.fits[which - 1].project.adds:
        lines += [f"Also: {basis.fits[which - 1].project.adds}"]
    return "\n".join([*lines, f"Hours, all of it new: {in_all(tasks(made))}"]) + "\n"


def _of_old_blocks(job: Job, fit: Fit) -> list[str]:
    """How many come out of the blocks that there are, and how the parts of one go together."""
    seam, project = seam_of(job), fit.project
    come = f"{fit.count or 'None'} come{'s' * (fit.count <= 1)} out of the old blocks, {fit.left} left"
    if fit.pieces:
        size = show_size(*(side + seam * 2 for side in (project.width, project.height)))
        come += f"; cut from cut blocks, {fit.pieces} from each half of a block, {size} with the seam: no whole block is cut up"
    return [f"{come}."] + ([f"Each takes {project.faces} such parts."] if project.faces > 1 else [])


def draft_text(job: Job, basis: Basis, which: int) -> str:
    """Write the draft of the smaller quilt (0) or of a thing (1 and on, as `Basis.fits` lists them).

    Raises
    ------
    SeamloreError
        When there is no draft of the old quilt, or nothing comes out.
    """
    return write_quilt(thing(job, basis, which), find_block=find)


def reset_text(basis: Basis) -> str:
    """Write the draft of the quilt set anew.

    Raises
    ------
    SeamloreError
        When none was asked for, or it cannot be; without a draft of the old quilt its blocks are not known.
    """
    opened = reset_of(basis)
    if basis.quilt is None:
        raise MeasureError("a draft of it", "the old quilt is not drafted yet", "go to the page Draft first")
    return write_quilt(opened.quilt, find_block=find)


def thing(job: Job, basis: Basis, which: int) -> Quilt:
    """Draft the smaller quilt (0), or a thing at the size that it is to have.

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
        outer = job.inputs.decision.outer
        return draft_of(quilt, small.rows, small.columns, small.sashing, outer, "Smaller quilt", _sewn(basis))
    if which > len(basis.fits):
        raise MeasureError(f"thing {which}", f"there are {len(basis.fits)}", "choose one of them")
    fit = basis.fits[which - 1]
    none = quilt.gaps[0] * 0
    if fit.pieces:
        size = (fit.project.width, fit.project.height)
        return draft_of(quilt, 1, 1, none, False, fit.project.name, _sewn(basis), _over(_sewn(basis), size))
    return draft_of(quilt, fit.rows, fit.columns, none, False, fit.project.name, _sewn(basis), fit.strips)


def _sewn(basis: Basis) -> tuple[Length, Length]:
    assert basis.block is not None
    return basis.block[0].finished, basis.block[1].finished


def _over(block: tuple[Length, Length], size: tuple[Length, Length]) -> tuple[Length, Length]:
    """What a piece leaves of a block, less than 0: it is trimmed away."""
    return size[0] - block[0], size[1] - block[1]
