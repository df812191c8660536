"""What the page on deciding draws and gives of the old quilt's cloth."""

from __future__ import annotations

from seamlore.draft.where import Where, in_block
from seamlore.drawing.shapes import Hatch, ImageFile, Paint
from seamlore.drawing.svg import to_svg
from seamlore.errors import MeasureError
from seamlore.lengths import Unit
from seamlore.pictures.condition import old_cloth
from seamlore.pictures.quilts import quilt_picture
from seamlore.saving.cloth import BACKING
from seamlore.saving.resetting import Opened
from seamlore.steps.decide.cloth import stash_lines
from seamlore.steps.decide.decide import Basis
from seamlore.steps.photograph import flat_jpeg
from seamlore.steps.study.job import Job

_ROOM_MM = (170.0, 200.0)
# Patches that complete cut blocks: seen at once, and no cloth of the old quilt.
_CUT_ANEW = Hatch("#ffffff", "#8a3b35", "rising", 1.6)


def cloth_svg(job: Job, basis: Basis, *, behind: bool) -> str:
    """Draw the sound cloth of the front, or of the backing as it lies under the front."""
    shown = [each for each in basis.cloths if (each.of == BACKING) == behind]
    names = {each.of for each in shown}
    photo = None if behind else ImageFile("as-found.jpg", "image/jpeg", flat_jpeg(job))
    patches = [(each.of, each.places) for each in basis.patches if each.of in names]
    return to_svg(
        old_cloth(basis.assessed.ground.size, [(each.of, each.pieces) for each in shown], patches, photo, *_ROOM_MM)
    )


def reset_svg(job: Job, basis: Basis) -> str:
    """Draw the quilt as it is set anew, its blocks in the cloths that the photograph shows; what is new stands out.

    Raises
    ------
    MeasureError
        When no new setting was asked for, or it cannot be.
    """
    opened, old = reset_of(basis), basis.quilt
    by_key, single = job.cloths if old is not None else ({}, {})
    cloths: dict[str, Paint] = {}
    if old is not None:
        keys = (
            (old.key(kind, letter), opened.quilt.key(kind, letter))
            for kind in opened.quilt.kinds
            for letter in kind.block.places
        )
        cloths = {now: by_key[before] for before, now in keys if before in by_key}
    patches: dict[Where, Paint] = {}
    for where, color in single.items():
        if where.part == "block" and (stands := opened.stands.get((where.row, where.column))):
            patches[in_block(*stands, where.patch)] = color
    patches |= dict.fromkeys(opened.new, _CUT_ANEW)
    return to_svg(quilt_picture(opened.quilt, *_ROOM_MM, cloths, patch_cloths=patches))


def reset_of(basis: Basis) -> Opened:
    """The quilt set anew.

    Raises
    ------
    MeasureError
        When none was asked for, or it cannot be.
    """
    if basis.opened is None:
        raise MeasureError(
            "a new setting",
            basis.opened_fault or "none was asked for",
            "enter a new sashing or border on the page Decide",
        )
    return basis.opened


def stash_text(job: Job, basis: Basis) -> str:
    """Give the sound cloth as lines of a stash.

    Raises
    ------
    MeasureError
        When no size of the quilt is known.
    """
    if basis.assessed.unit == "width":
        raise MeasureError(
            "cloth for the stash", "no size of the quilt is known", "enter it by tape on the page Look"
        )
    return stash_lines(basis.cloths, Unit(basis.assessed.unit), job.inputs.about.name)
