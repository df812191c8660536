"""A block lesson: one block, in one or several sizes, drawn step by step, for a class or a site; here as a printed document."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from seamlore.draft.block import Block as Drawing
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Paint, box
from seamlore.lengths import Length, show_seam
from seamlore.making.methods import Piecing
from seamlore.pictures.blocks import patches_picture
from seamlore.pictures.palette import SEAM, place_cloths
from seamlore.pictures.plain import plain_cloths
from seamlore.printing.content import (
    Beside,
    Block,
    Cell,
    Column,
    Document,
    Figure,
    Note,
    Paper,
    Paragraph,
    Section,
    Space,
    Span,
    Steps,
    Table,
    Title,
)
from seamlore.printing.pages import main_width
from seamlore.sheets.cautions import CUTTING
from seamlore.sheets.foundation_pages import NOT_PRINTED, foundation_plates, goes_on
from seamlore.sheets.pattern import BlockFoundation, PatchTemplate, SewnBlock
from seamlore.sheets.sewing_pages import drawings_read, step_pages
from seamlore.sheets.template_pages import template_plates

_BLOCK_MM = 62.0


@dataclass(frozen=True, slots=True)
class LessonCut:
    """One line of what is cut for one block.

    Parameters
    ----------
    letter, fabric : str
        The letter of the place, and what its fabric is called.
    label : str
        Which pieces it serves.
    count : int
        How many are cut.
    what : str
        What is cut: "square", "rectangle", "by template from a rectangle".
    then : str
        What follows: "cut once corner to corner".
    sizes : tuple of str
        How large, for each size of the block.
    """

    letter: str
    fabric: str
    label: str
    count: int
    what: str
    then: str
    sizes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LessonContent:
    """What a block lesson shows.

    Parameters
    ----------
    block : Block
    printed : date
        Passed in.
    sizes : tuple of str
        Finished sizes, as a tape shows them.
    allowance : Length
        Seam allowance.
    sewn : tuple of SewnBlock
        For each size, all with the same steps.
    cutting : tuple of LessonCut
        For one block.
    lead, design : str
        What the block is; whose design it may be.
    difficulty : str
    tools : tuple of str
    cloths : mapping
        By letter; chosen by value when empty.
    templates : tuple of PatchTemplate
        For all sizes.
    foundations : tuple of BlockFoundation
        Of each size; none where the block is sewn sooner without.
    piecing : {"machine", "hand", "papers"}
    before : tuple of str
        What is done with every piece before and while it is sewn.
    still_round : Length or None
        The allowance that is still round what is sewn; the seam allowance when None.
    """

    block: Drawing
    printed: date
    sizes: tuple[str, ...]
    allowance: Length
    sewn: tuple[SewnBlock, ...]
    cutting: tuple[LessonCut, ...]
    lead: str
    design: str
    difficulty: str
    tools: tuple[str, ...]
    cloths: Mapping[str, Paint]
    templates: tuple[PatchTemplate, ...]
    foundations: tuple[BlockFoundation, ...] = ()
    piecing: Piecing = "machine"
    before: tuple[str, ...] = ()
    still_round: Length | None = None

    @property
    def left(self) -> Length:
        """The allowance that is still round what is sewn."""
        return self.allowance if self.still_round is None else self.still_round

    @property
    def read(self) -> tuple[str, ...]:
        """How its drawings are read, and how every seam is sewn."""
        return (*drawings_read(step.step for step in self.sewn[0].steps), *self.before)

    @property
    def paints(self) -> dict[str, Paint]:
        """The cloth of each letter."""
        return {**place_cloths(self.block.places), **self.cloths}

    def measures(self, number: int) -> tuple[str, ...]:
        """What a step's result should now measure, for each size of the block."""
        said = [sewn.steps[number].size for sewn in self.sewn]
        if len(said) == 1:
            return (said[0],)
        return tuple(
            f"{size} block: {each[0].lower()}{each[1:]}" for size, each in zip(self.sizes, said, strict=True)
        )


def lesson(content: LessonContent, paper: Paper = "letter", *, plain: bool = False) -> Document:
    """Lay out a block lesson.

    Parameters
    ----------
    content : LessonContent
    paper : {"letter", "a4"}
    plain : bool
        Without color.

    Returns
    -------
    Document
        For `printing.pages.to_pdf`.

    Raises
    ------
    PageError
        When a template is too large even in tiles.
    """
    block = content.block
    paints = plain_cloths(content.paints) if plain else content.paints
    drawn = whole_picture(content, paints)
    printed = tuple(each for each in content.foundations if goes_on(each, content.allowance, paper))
    facts: tuple[Block, ...] = (
        Paragraph(content.lead),
        Paragraph((Span("Finished ", "quiet"), ", ".join(content.sizes))),
        Paragraph((Span("For whom ", "quiet"), content.difficulty)),
    )
    blocks: list[Block] = [
        Title("Block lesson", block.name),
        Section("The block", (Beside(((Figure(drawn),), facts), (_BLOCK_MM, main_width(paper) - _BLOCK_MM - 8)),)),
        Section("Whose design", (Note("", (Paragraph(content.design, "small"),)),)),
        Section("What you need", (Steps(content.tools, numbered=False), Space(1.5), CUTTING)),
        _cutting(content, paints),
        *([Section("How to read it", (Steps(content.read, numbered=False),))] if content.sewn[0].steps else []),
        *step_pages(
            content.sewn[0],
            paints,
            content.left,
            paper,
            measures=[content.measures(number) for number in range(len(content.sewn[0].steps))],
            lettered=len(content.sizes) == 1,
            level=2,
        ),
        *(
            Section(
                f"{each.name} on foundations",
                tuple(Paragraph(line) for line in (*each.said, *([] if each in printed else [NOT_PRINTED]))),
            )
            for each in content.foundations
        ),
        *template_plates(content.templates, content.allowance, paper, content.piecing),
        *foundation_plates(printed, content.allowance, paper),
    ]
    subject = f"How to sew {block.name}, {', '.join(content.sizes)} finished"
    return Document(
        f"{block.name}: block lesson", tuple(blocks), content.printed, subject=subject, squares="plates", plain=plain
    )


def whole_picture(content: LessonContent, paints: Mapping[str, Paint]) -> Picture:
    """Draw the block whole, its pieces lettered as in the cutting list."""
    sewn = content.sewn[0]
    return patches_picture(
        sewn.patches, _BLOCK_MM, paints, letters=True, labels=sewn.lettered, title=content.block.name
    )


def _cutting(content: LessonContent, paints: Mapping[str, Paint]) -> Section:
    several = len(content.sizes) > 1
    columns = (
        Column(""),
        Column("Piece"),
        Column("Cut", share=1),
        *(Column(f"{size} block" if several else "Size", "right") for size in content.sizes),
    )
    rows = []
    for each in content.cutting:
        cut = f"{each.count} {each.what}{f', {each.then}' if each.then else ''}, {each.fabric}"
        chip: Cell = ""
        paint = paints.get(each.letter)
        if paint is not None:
            square = Area((box(0.1, 0.1, 3.4, 3.4),), paint, SEAM, 0.12)
            chip = picture(3.6, 3.6, [square], title=each.letter, description=f"Cloth of {each.letter}")
        rows.append((chip, Span(each.label, "strong"), cut, *each.sizes))
    said = f"For one block. All sizes include the seam allowance of {show_seam(content.allowance)}."
    return Section("Cutting", (Paragraph(said), Table(columns, tuple(rows))))
