"""Pages on sewing: every kind of spot drawn whole, then one drawn step after another. Booklet and block lesson share them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from seamlore.drawing.shapes import Paint
from seamlore.lengths import Length
from seamlore.pictures.blocks import patches_picture
from seamlore.pictures.sewing import step_picture
from seamlore.printing.content import Beside, Block, Figure, Paper, Paragraph, Section, Steps
from seamlore.printing.pages import main_width
from seamlore.sheets.pattern import SewnBlock

_PIECE_MM = 34.0
_BLOCK_MM = 58.0


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
        words = Steps(step.words) if len(step.words) > 1 else Paragraph(step.words[0])
        said = measures[number] if measures else (step.size,)
        beside = tuple(Paragraph(line) for line in (step.make, *said) if line)
        yield Section(f"{first + number}  {step.title}", (Figure(drawn), words), beside, level, whole=True)
