"""Hazards as notes on a sheet."""

from __future__ import annotations

from seamlore import hazards
from seamlore.hazards import Hazard
from seamlore.printing.content import Note, Paragraph, Span


def caution(hazard: Hazard) -> Note:
    """Set a hazard as a note that must not be overlooked.

    Examples
    --------
    >>> caution(hazards.BABY).head
    "Not in a baby's bed"
    """
    return Note(
        hazard.name,
        tuple(
            Paragraph((Span(f"{what} ", "strong"), words) if what else words, "small") for what, words in hazard.says
        ),
        "caution",
    )


CUTTING, OLD_QUILT, BABY = (caution(each) for each in (hazards.CUTTING, hazards.OLD_QUILT, hazards.BABY))
