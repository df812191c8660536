"""The part of the study sheet on condition: the map, and the condition record under its headings."""

from __future__ import annotations

from dataclasses import dataclass

from seamlore.condition.ground import Ground
from seamlore.condition.survey import Laid, Survey
from seamlore.drawing.shapes import ImageFile
from seamlore.pictures.condition import condition_map
from seamlore.printing.content import Block, Figure, Paper, Paragraph, Section, Space, Span, Steps
from seamlore.printing.pages import main_width

_MOST_HIGH_MM = 120.0


@dataclass(frozen=True, slots=True, eq=False)
class ConditionContent:
    """What the sheet says of the condition.

    Parameters
    ----------
    ground : Ground
    notes : tuple of Laid
        Damage and repairs that lie on the quilt.
    found : Survey
    record : tuple of (heading, lines)
    """

    ground: Ground
    notes: tuple[Laid, ...]
    found: Survey
    record: tuple[tuple[str, tuple[str, ...]], ...]


def condition_part(given: ConditionContent | None, photo: ImageFile | None, paper: Paper) -> list[Block]:
    """Lay out the condition record; nothing where nothing was noted.

    Examples
    --------
    >>> condition_part(None, None, "a4")
    []
    """
    if given is None:
        return []
    drawn = condition_map(given.ground, given.notes, given.found, photo, main_width(paper), _MOST_HIGH_MM)
    said = "Outlined as drawn on the photographs; the figure is how bad it is, 1 slight to 4 gone."
    if given.found.blocks:
        said += " A stroke through a block: doubtful; a cross: lost."
    body: list[Block] = [Figure(drawn, said)] if given.notes or given.found.blocks else []
    for name, lines in given.record:
        body += [Space(1.5), Paragraph(Span(name, "strong"))]
        body.append(Steps(tuple(f"{line}." for line in lines), numbered=False))
    beside = (
        Paragraph(
            "What was seen and noted, not an appraisal. Areas are those of the outlines on the quilt laid flat."
        ),
        Paragraph("Headings after what EN 16095 asks of a condition record, from memory."),
    )
    return [Section("Condition", tuple(body), beside)]
