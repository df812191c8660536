"""A card for the pocket: two minutes at a sale on its front, how to photograph a quilt on its back."""

from __future__ import annotations

from datetime import date

from seamlore.hazards import COMING_IN, WEAK
from seamlore.printing.content import Block, Document, Paragraph, Section, Steps, Title
from seamlore.sheets.cautions import caution

# Common practice, no source; care of weak cloth: hazards.
AT_A_SALE = (
    "Smell: musty, mothballs, smoke. Look in the folds and the binding for specks, skins, webbing, droppings. If alive: leave it.",
    "Hold a corner to the light: how many layers, is there batting, a blanket, an older quilt? Quilted, tied, or a top alone?",
    "Look for broken browns, blacks and silks. Touch only what is already torn: does a loose thread hold?",
    "Turn one edge: bound, turned in, worn through, cut? Count the blocks across and down; is one row narrower?",
    "Back and corners: a name, a date, a label, a stamp, ink? Ask who made it and where it comes from; write it down now.",
    "Measure across and down. Photograph front, back, a block, the worst spot, every mark, with a tape in the picture.",
)
SHOOTING = (
    "Lay it flat, on a clean sheet, in shade or under an even sky; no flash. Weak or large: in parts that overlap. Do not hang it.",
    "Stand square over the middle with both feet on the floor, or photograph it from a landing; nobody stands on a chair over it.",
    "The whole front, all four corners in the picture, a tape along one edge and a white card beside it.",
    "The whole back, turned over like a page so that the top stays at the top.",
    "One block square on, filling the picture, with a tape. Then the edge finish, a corner, the quilting or a tie.",
    "Each damaged spot from near, and once more with the light from the side, low over the cloth, to see quilting and wear.",
    "Every label, name, date, stamp and stain with an edge. At each stage of the work the same again.",
)


def pocket_card(printed: date) -> Document:
    """Lay out the card.

    Examples
    --------
    >>> from datetime import date
    >>> [type(block).__name__ for block in pocket_card(date(2026, 11, 30)).blocks]
    ['Title', 'Section', 'Section', 'Section']
    """
    blocks: tuple[Block, ...] = (
        Title("To fold and take along", "Two minutes at a sale", "Cut off the margins; fold it twice."),
        Section("At the sale", (Steps(AT_A_SALE),), (Paragraph("Common practice, no source."),)),
        Section(
            "Photographs",
            (Steps(SHOOTING),),
            (Paragraph("Front, back, details, marks: before anything is changed."),),
        ),
        Section("Take care", (caution(COMING_IN), caution(WEAK))),
    )
    return Document(
        "Pocket card",
        blocks,
        printed,
        squares="plates",
        subject="Two minutes at a sale, and how to photograph a quilt",
    )
