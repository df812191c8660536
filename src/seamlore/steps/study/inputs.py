"""Everything that a user put in for one quilt."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from seamlore.lengths import Unit
from seamlore.steps.study.condition import Condition, Decision, Notes
from seamlore.steps.study.said_fabrics import FoundFabrics
from seamlore.steps.study.sections import (
    About,
    Choice,
    Corrections,
    Evidence,
    Keeping,
    LabelWords,
    Making,
    Noticed,
    Photographs,
    Sewing,
)
from seamlore.steps.study.tape import Tape

if TYPE_CHECKING:
    # These open pictures and are slow to import; a job without a photograph does without them.
    pass


@dataclass(frozen=True, slots=True)
class Inputs:
    """Everything that a user put in for one quilt.

    Parameters
    ----------
    photo : bytes, optional
        The photograph's file.
    photo_name : str
        What to call it in messages.
    photographs : Photographs
        Every photograph, that which is read too.
    about, corrections, fabrics, tape, choice, evidence, condition, notes, decision, making, sewing, label, keeping,
    noticed
        The sections.
    shown : Unit, optional
        Say everything in this unit, whatever unit it was written in; each length in its own when not given.
    """

    photo: bytes | None = None
    photo_name: str = ""
    about: About = field(default_factory=About)
    corrections: Corrections = field(default_factory=Corrections)
    fabrics: FoundFabrics = field(default_factory=FoundFabrics)
    tape: Tape = field(default_factory=Tape)
    choice: Choice = field(default_factory=Choice)
    evidence: Evidence = field(default_factory=Evidence)
    photographs: Photographs = field(default_factory=Photographs)
    condition: Condition = field(default_factory=Condition)
    notes: Notes = field(default_factory=Notes)
    decision: Decision = field(default_factory=Decision)
    making: Making = field(default_factory=Making)
    sewing: Sewing = field(default_factory=Sewing)
    label: LabelWords = field(default_factory=LabelWords)
    keeping: Keeping = field(default_factory=Keeping)
    noticed: Noticed = field(default_factory=Noticed)
    shown: Unit | None = None
