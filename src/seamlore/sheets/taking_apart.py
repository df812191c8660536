"""Taking apart on paper: the stages with their stops, the samples to keep, the labels of the bags."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from seamlore.hazards import CUTTING, DUST, REUSE
from seamlore.printing.content import Block, Column, Document, Paragraph, Section, Space, Span, Steps, Table, Title
from seamlore.sheets.cautions import caution
from seamlore.sheets.content import NAMELESS


@dataclass(frozen=True, slots=True)
class TakingApartContent:
    """What the sheet shows.

    Parameters
    ----------
    name : str
    printed : date
    stages : tuple of (name, do, look, may change, what was found)
    samples : tuple of str
    missing : tuple of str
        Photographs that are missing before anything is cut.
    stops : tuple of (what, why)
    bags : tuple of (label, contents)
    opening : tuple of str
        What is to be opened, and how long that takes.
    """

    name: str
    printed: date
    stages: tuple[tuple[str, str, str, str, str], ...]
    samples: tuple[str, ...]
    missing: tuple[str, ...]
    stops: tuple[tuple[str, str], ...]
    bags: tuple[tuple[str, str], ...]
    opening: tuple[str, ...] = ()


def taking_apart(content: TakingApartContent) -> Document:
    """Lay the sheet out.

    Examples
    --------
    >>> from datetime import date
    >>> made = taking_apart(TakingApartContent("q", date(2026, 11, 30), (), (), (), (), ()))
    >>> [type(block).__name__ for block in made.blocks]
    ['Title', 'Section']
    """
    name = content.name.strip() or NAMELESS
    blocks: list[Block] = [Title("Taking apart", name, "Stage by stage; at each stop it is decided again.")]
    if content.missing or content.stops:
        lines = [f"Photograph first: {each}." for each in content.missing]
        lines += [f"{what[:1].upper()}{what[1:]}: {why}." for what, why in content.stops]
        blocks.append(Section("Before any cut", (Steps(tuple(lines), numbered=False),)))
    if content.opening:
        blocks.append(
            Section(
                "To be opened",
                (Steps(tuple(f"{each[:1].upper()}{each[1:]}." for each in content.opening), numbered=False),),
            )
        )
    for number, (stage, do, look, change, seen) in enumerate(content.stages, start=1):
        body: list[Block] = [Paragraph(do), Space(1), _line("Look at", look), _line("May change your mind", change)]
        body.append(_line("Found", seen or "______________________________  photographed: ____  decided again: ____"))
        blocks.append(Section(f"{number}. {stage}", tuple(body)))
    if content.samples:
        blocks.append(
            Section("Kept as found", (Steps(tuple(f"{each}." for each in content.samples), numbered=False),))
        )
    blocks.append(Section("Take care", (caution(CUTTING), caution(DUST), caution(REUSE))))
    if content.bags:
        table = Table(
            (Column("Bag"), Column("In it", share=1)),
            tuple((Span(label, "strong"), what) for label, what in content.bags),
        )
        blocks.append(
            Section(
                "Labels of the bags", (table,), (Paragraph("Cut apart; one in each bag, acid-free paper, pencil."),)
            )
        )
    return Document(
        f"{name}: taking apart",
        tuple(blocks),
        content.printed,
        squares="plates",
        subject="Stages, samples and labels",
    )


def _line(head: str, words: str) -> Paragraph:
    return Paragraph((Span(f"{head}: ", "strong"), words), "small")
