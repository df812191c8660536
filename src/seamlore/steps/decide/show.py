"""What the page on deciding draws and gives of the old quilt's cloth."""

from __future__ import annotations

from seamlore.drawing.shapes import ImageFile
from seamlore.drawing.svg import to_svg
from seamlore.errors import MeasureError
from seamlore.lengths import Unit
from seamlore.pictures.condition import old_cloth
from seamlore.saving.cloth import BACKING
from seamlore.steps.decide.cloth import stash_lines
from seamlore.steps.decide.decide import Basis
from seamlore.steps.photograph import flat_jpeg
from seamlore.steps.study.job import Job

_ROOM_MM = (170.0, 200.0)


def cloth_svg(job: Job, basis: Basis, *, behind: bool) -> str:
    """Draw the sound cloth of the front, or of the backing as it lies under the front."""
    shown = [each for each in basis.cloths if (each.of == BACKING) == behind]
    names = {each.of for each in shown}
    photo = None if behind else ImageFile("as-found.jpg", "image/jpeg", flat_jpeg(job))
    patches = [(each.of, each.places) for each in basis.patches if each.of in names]
    return to_svg(
        old_cloth(basis.assessed.ground.size, [(each.of, each.pieces) for each in shown], patches, photo, *_ROOM_MM)
    )


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
