"""Pages on sewing: every kind of spot drawn whole, then one drawn step after another. Booklet and block lesson share them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Literal

from seamlore.draft.quilt import Quilt
from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import Paint
from seamlore.lengths import Length
from seamlore.pictures.blocks import patches_picture
from seamlore.pictures.sewing.steps import step_picture
from seamlore.pictures.sewing.tops import top_seen, top_step_picture
from seamlore.printing.content import Beside, Block, Figure, Paper, Paragraph, Section, Steps
from seamlore.printing.pages import main_width
from seamlore.sewing.setting import TopPiece
from seamlore.sewing.steps import Step
from seamlore.sheets.pattern import DrawnStep, SewnBlock

_PIECE_MM = 34.0
_BLOCK_MM = 58.0


def drawings_read(steps: Iterable[Step]) -> Iterator[str]:
    """Say how the drawings of steps are read: their seams, arrows, circles and sizes, as far as there are any.

    Examples
    --------
    >>> list(drawings_read([]))
    []
    """
    told = list(steps)
    if not told:
        return
    ways = {seam.press for step in told for seam in step.seams}
    arrows = " The arrow over it lies toward the side to which its allowances are pressed." * bool(ways - {""})
    arrows += " Two arrows away from the seam: pressed open." * ("open" in ways)
    arrows += " A ring on the seam: the allowances are fanned round." * ("fanned" in ways)
    yield f"A heavy line is the seam of that step.{arrows}"
    if any(step.clashes for step in told):
        yield "A circle round a point: seams do not nest there, whichever way they are pressed."
    yield 'What is sewn is drawn at the right with the size "as it should now measure": lay a ruler on it before you go on.'


def block_pages(
    block: SewnBlock, paints: Mapping[str, Paint], allowance: Length, paper: Paper, *, first: int = 1
) -> Iterator[Block]:
    """Lay out how one kind of spot is sewn.

    Parameters
    ----------
    block : SewnBlock
    paints : mapping of str to paint
        Cloth of each of its letters.
    allowance : Length
        Seam allowance.
    paper : {"letter", "a4"}
    first : int
        The number of its first step.
    """
    # A piece of cloth that is only cut needs no large drawing.
    side = _BLOCK_MM if block.steps else _PIECE_MM
    drawn = patches_picture(block.patches, side, paints, letters=True, labels=block.lettered, title=block.name)
    words = tuple(Paragraph(line) for line in block.said)
    beside = Beside(((Figure(drawn),), words), (side, main_width(paper) - side - 8))
    yield Section(block.name, (beside,))
    yield from step_pages(block, paints, allowance, paper, first=first)


def step_pages(
    block: SewnBlock,
    paints: Mapping[str, Paint],
    allowance: Length,
    paper: Paper,
    *,
    first: int = 1,
    measures: Sequence[Sequence[str]] = (),
    lettered: bool = True,
    level: Literal[2, 3] = 3,
) -> Iterator[Block]:
    """Lay out the steps of one kind of spot, one under the other.

    Parameters
    ----------
    block, paints, allowance, paper, first : as in `block_pages`
    measures : sequence of sequence of str
        What the result of each step should measure, in several sizes; as the step says when empty.
    lettered : bool
        Whether sizes stand in the drawings.
    level : {2, 3}
        Of the headings.
    """
    cloths = [paints[each.place] for each in block.patches]
    for number, step in enumerate(block.steps):
        title = f"{block.name}: {step.title}"
        drawn = step_picture(
            step.step,
            block.outlines,
            block.lettered,
            cloths,
            main_width(paper),
            allowance=allowance,
            title=title,
            sized=lettered,
        )
        said = measures[number] if measures else (step.size,)
        yield _section(f"{first + number}  {step.title}", step, drawn, said, level)


def _section(heading: str, step: DrawnStep, drawn: Picture, said: Sequence[str], level: Literal[2, 3]) -> Section:
    words = Steps(step.words) if len(step.words) > 1 else Paragraph(step.words[0])
    beside = tuple(Paragraph(line) for line in (step.make, *said) if line)
    return Section(heading, (Figure(drawn), words), beside, level, whole=True)


def top_pages(
    quilt: Quilt,
    steps: Sequence[DrawnStep],
    pieces: Sequence[TopPiece],
    cloths: Mapping[str, Paint],
    allowance: Length,
    paper: Paper,
    *,
    first: int,
) -> Iterator[Block]:
    """Lay out how the top is joined from its blocks, one step under the other.

    Parameters
    ----------
    quilt : Quilt
    steps : sequence of DrawnStep
    pieces : sequence of TopPiece
        What the steps number.
    cloths : mapping of str to paint
        As `pictures.palette.quilt_cloths` gives them.
    allowance : Length
    paper : {"letter", "a4"}
    first : int
        The number of the first step.
    """
    seen = top_seen(quilt, pieces, cloths)
    for number, step in enumerate(steps, start=first):
        title = f"{quilt.name}: {step.title}"
        still = allowance if step.still_round is None else step.still_round
        drawn = top_step_picture(seen, step.step, main_width(paper), allowance=still, title=title)
        yield _section(f"{number}  {step.title}", step, drawn, (step.size,), 3)
