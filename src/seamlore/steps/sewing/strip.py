"""What the page on sewing shows: every kind of spot as a strip of pictures, and each of its steps opened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import Paint
from seamlore.lengths import Length
from seamlore.pictures.palette import kind_cloths, quilt_cloths
from seamlore.pictures.sewing import result_picture, step_picture
from seamlore.sewing.top import sewn_top
from seamlore.sheets.pattern import DrawnStep, SewnBlock
from seamlore.steps.sewing.blocks import sewn_blocks
from seamlore.steps.sewing.difficulty import difficulty
from seamlore.steps.sewing.step_words import BEFORE, METHODS, still_round
from seamlore.steps.sewing.top_words import top_steps
from seamlore.steps.study.job import Job

_SMALL_MM, _OPEN_MM = 30.0, 118.0
_PRESSED = {"first": "to one side", "second": "to one side", "open": "open", "fanned": "fanned"}


@dataclass(frozen=True, slots=True)
class ShownStep:
    """One step: small in its strip, and opened; how its seams are sewn and pressed, in words."""

    told: DrawnStep
    small: Picture
    opened: Picture
    seams: str


@dataclass(frozen=True, slots=True)
class ShownBlock:
    """One kind of spot and its strip."""

    told: SewnBlock
    steps: tuple[ShownStep, ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """All that the page shows.

    Parameters
    ----------
    answer : str
        How it is sewn, in one line.
    for_whom : str
    before : tuple of str
        How every piece is handled.
    blocks : tuple of ShownBlock
    top : tuple of str
        How the top is joined.
    """

    answer: str
    for_whom: str
    before: tuple[str, ...]
    blocks: tuple[ShownBlock, ...]
    top: tuple[str, ...]


def shown(job: Job) -> Shown:
    """Gather what the page on sewing shows.

    Raises
    ------
    SeamloreError
        When there is no draft, or it cannot be sewn.
    """
    quilt, method, seam = job.quilt, job.inputs.sewing.method, job.plan.seam
    top = sewn_top(quilt, method)
    cloths = quilt_cloths(quilt, job.cloths[0])
    blocks = sewn_blocks(top, quilt, seam, method)
    found = []
    for block in blocks:
        paints = kind_cloths(quilt, quilt.kind(block.kind), cloths)
        pieces = [paints[each.place] for each in block.patches]
        found.append(
            ShownBlock(block, tuple(_step(block, step, pieces, still_round(seam, method)) for step in block.steps))
        )
    count = sum(len(each.steps) for each in blocks)
    kinds = sum(1 for each in blocks if each.steps)
    steps = f"{count} step{'s' * (count != 1)} for {kinds} kind{'s' * (kinds != 1)} of block, then the top"
    answer = f"{METHODS[method].capitalize()}: {steps if count else 'no block that is known is pieced; the top alone is joined'}"
    told = tuple(line for each in top_steps(top, quilt) for line in each.steps)
    return Shown(answer, difficulty(quilt, top), BEFORE[method], tuple(found), told)


def _step(block: SewnBlock, step: DrawnStep, paints: Sequence[Paint], allowance: Length) -> ShownStep:
    title = f"{block.name}: {step.title}"
    opened = step_picture(
        step.step, block.outlines, block.lettered, paints, _OPEN_MM, allowance=allowance, title=title
    )
    return ShownStep(
        step, result_picture(step.step, block.outlines, paints, _SMALL_MM, title=title), opened, _seams(step)
    )


def _seams(step: DrawnStep) -> str:
    seams = step.step.seams
    kinds = [seam.manner for seam in seams]
    said = [f"{kinds.count(kind)} {kind}" for kind in dict.fromkeys(kinds)]
    ways = [_PRESSED[seam.press] for seam in seams if seam.press]
    pressed = f"; pressed {', '.join(dict.fromkeys(ways))}" if ways else ""
    return f"Seam{'s' * (len(seams) != 1)}: {', '.join(said)}{pressed}."
