"""The steps of the job, in their order: the one table that page order, command line, what a study keeps and its sheet follow.

A step is added here. Its page is the module of its name in `web.pages`, with a template of that name; its command, when
it has one, the module of its name in `cli`; each of its sections a type in `steps.study.sections`; each of its parts of
the study sheet a part in `sheets.study_sheet`. Tests hold all of these to the table.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple


class Step(NamedTuple):
    """One step of the job.

    Parameters
    ----------
    name : str
        As in the address of its page and on the command line.
    title : str
        What its page is called.
    question : str
        The one question that it answers.
    command : str
        What its command does; empty when it has none.
    sections : mapping of str to str
        What a study keeps for it, by name, and what each is called on pages.
    sheet : tuple of str
        Its parts of the study sheet.
    """

    name: str
    title: str
    question: str
    command: str = ""
    sections: Mapping[str, str] = MappingProxyType({})
    sheet: tuple[str, ...] = ()


STEPS = (
    Step(
        "look",
        "Look",
        "What is it?",
        "Measure a quilt on its photograph: blocks, setting, piecing, fabrics.",
        {
            "photographs": "the photographs",
            "corrections": "the reading of the photograph",
            "tape": "the tape measurements",
        },
        ("pictures", "sums", "measure"),
    ),
    Step(
        "draft",
        "Draft",
        "How was it pieced?",
        "Draw a block or a whole quilt exactly, and say what it is called.",
        {"choice": "the draft"},
    ),
    Step("fabrics", "Fabrics", "What is it made of?", sections={"fabrics": "the fabrics of the photograph"}),
    Step(
        "date",
        "Date",
        "When was it made?",
        "Date each part from evidence, with reasons.",
        {"evidence": "the evidence"},
        ("dated",),
    ),
    Step(
        "assess",
        "Assess",
        "What state is it in?",
        "Map damage from notes: what is sound, fabric by fabric, and what holds it.",
        {"condition": "the condition", "notes": "the notes on the photographs"},
        ("condition",),
    ),
    Step(
        "decide",
        "Decide",
        "What becomes of it?",
        "Count what a quilt gives, and what could be made of it.",
        {"decision": "the decision"},
        ("decision",),
    ),
    Step(
        "make",
        "Make",
        "What does it take?",
        "Work out cutting, fabric, backing, batting and binding.",
        {"making": "how it is made"},
    ),
    Step(
        "sew",
        "Sew",
        "How is it sewn?",
        "Say how it is sewn, step by step; print its booklet, or a block lesson.",
        {"sewing": "how it is sewn"},
    ),
    Step(
        "tell",
        "Tell",
        "What do we hand on?",
        sections={
            "about": "the story or the unit",
            "label": "the words of the label",
            "noticed": "what is worth noticing",
        },
        sheet=("noticed", "unknown", "care", "further", "told", "facts", "block"),
    ),
    Step(
        "keep",
        "Keep",
        "Where does it come from, and where does it belong?",
        sections={"keeping": "where it comes from and is kept"},
    ),
)

# What each section is called on pages, in the order of the job.
CALLED: Mapping[str, str] = {name: called for step in STEPS for name, called in step.sections.items()}


def step_of(section: str) -> str:
    """Name the step that keeps a section; empty when none of this version does.

    Examples
    --------
    >>> step_of("tape"), step_of("of a room to come")
    ('look', '')
    """
    return next((step.name for step in STEPS if section in step.sections), "")


def step_named(name: str) -> Step:
    """Give a step by its name.

    Examples
    --------
    >>> step_named("date").question
    'When was it made?'
    """
    return next(step for step in STEPS if step.name == name)
