"""What the page on sewing shows: every kind of spot, and the top, as a strip of pictures, each step opened."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from seamlore.draft.quilt import Quilt
from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import Paint
from seamlore.lengths import Length
from seamlore.pictures.layout import layout_picture
from seamlore.pictures.palette import kind_cloths, quilt_cloths
from seamlore.pictures.sewing.steps import result_picture, step_picture
from seamlore.pictures.sewing.tops import top_result_picture, top_seen, top_step_picture
from seamlore.sewing.top import Top, sewn_top
from seamlore.sheets.pattern import DrawnStep, SewnBlock
from seamlore.steps.sewing.blocks import sewn_blocks
from seamlore.steps.sewing.difficulty import difficulty
from seamlore.steps.sewing.step_words import METHODS, before, still_round, top_steps_drawn
from seamlore.steps.sewing.top_words import top_steps
from seamlore.steps.study.job import Job

_SMALL_MM, _OPEN_MM = 30.0, 118.0
_PRESSED = {"first": "to one side", "second": "to one side", "open": "open", "fanned": "fanned"}


@dataclass(frozen=True, slots=True)
class ShownStep:
    """One step: its number in the booklet, small in its strip, and opened; how its seams are sewn and pressed, in words."""

    number: int
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
        How the top is joined, in words.
    layout : Picture
        The blocks laid out, their rows numbered.
    top_steps : tuple of ShownStep
        How the top is joined: rows, sashing, triangles, borders; none where it is a single block.
    """

    answer: str
    for_whom: str
    before: tuple[str, ...]
    blocks: tuple[ShownBlock, ...]
    top: tuple[str, ...]
    layout: Picture
    top_steps: tuple[ShownStep, ...]


def shown(job: Job) -> Shown:
    """Gather what the page on sewing shows.

    Raises
    ------
    SeamloreError
        When there is no draft, or it cannot be sewn.
    """
    quilt, method, seam = job.quilt, job.inputs.sewing.method, job.plan.seam
    ditch = job.inputs.sewing.quilted == "in the ditch"
    top = sewn_top(quilt, method, ditch)
    cloths = quilt_cloths(quilt, job.cloths[0])
    blocks = sewn_blocks(top, quilt, seam, method)
    still = still_round(seam, method)
    found: list[ShownBlock] = []
    number = 0
    for block in blocks:
        paints = kind_cloths(quilt, quilt.kind(block.kind), cloths)
        pieces = [paints[each.place] for each in block.patches]
        steps = tuple(_step(at, block, step, pieces, still) for at, step in enumerate(block.steps, start=number + 1))
        number += len(steps)
        found.append(ShownBlock(block, steps))
    joined = tuple(_joined(quilt, top, cloths, still, tuple(top_steps_drawn(top, seam, method)), number + 1))
    kinds = sum(1 for each in found if each.steps)
    told = tuple(line for each in top_steps(top, quilt) for line in each.steps)
    layout = layout_picture(quilt, _OPEN_MM, _OPEN_MM, job.cloths[0], title="Layout of the quilt")
    answer = f"{METHODS[method].capitalize()}: {_counted(number, kinds, len(joined))}"
    return Shown(answer, difficulty(quilt, top), before(method, ditch), tuple(found), told, layout, joined)


def _counted(steps: int, kinds: int, joined: int) -> str:
    if not steps:
        return "no block that is known is pieced; the top alone is joined"
    of_blocks = f"{steps} step{'s' * (steps != 1)} for {kinds} kind{'s' * (kinds != 1)} of block"
    return f"{of_blocks}, then {joined} for the top" if joined else of_blocks


def _step(number: int, block: SewnBlock, step: DrawnStep, paints: Sequence[Paint], allowance: Length) -> ShownStep:
    title = f"{block.name}: {step.title}"
    opened = step_picture(
        step.step, block.outlines, block.lettered, paints, _OPEN_MM, allowance=allowance, title=title
    )
    small = result_picture(step.step, block.outlines, paints, _SMALL_MM, title=title)
    return ShownStep(number, step, small, opened, _seams(step))


def _joined(
    quilt: Quilt, top: Top, cloths: Mapping[str, Paint], allowance: Length, steps: Sequence[DrawnStep], first: int
) -> Iterator[ShownStep]:
    seen = top_seen(quilt, top.pieces, cloths)
    for number, step in enumerate(steps, start=first):
        title = f"{quilt.name}: {step.title}"
        small = top_result_picture(seen, step.step, _SMALL_MM, title=title)
        still = allowance if step.still_round is None else step.still_round
        opened = top_step_picture(seen, step.step, _OPEN_MM, allowance=still, title=title)
        yield ShownStep(number, step, small, opened, _seams(step))


def _seams(step: DrawnStep) -> str:
    seams = step.step.seams
    kinds = [seam.manner for seam in seams]
    said = [f"{kinds.count(kind)} {kind}" for kind in dict.fromkeys(kinds)]
    ways = [_PRESSED[seam.press] for seam in seams if seam.press]
    pressed = f"; pressed {', '.join(dict.fromkeys(ways))}" if ways else ""
    return f"Seam{'s' * (len(seams) != 1)}: {', '.join(said)}{pressed}."
