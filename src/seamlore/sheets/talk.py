"""Talk notes: a sequence for showing one quilt or a row of them, with what to point at, minutes, helpers and what to pack."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from seamlore.drawing.picture import Picture
from seamlore.printing.content import (
    Beside,
    Block,
    Column,
    Document,
    Figure,
    Paper,
    Paragraph,
    Section,
    Space,
    Span,
    Steps,
    Table,
    Title,
)
from seamlore.sheets.cautions import OLD_QUILT


@dataclass(frozen=True, slots=True)
class Point:
    """One thing to show: what is said, what is pointed at, what it is compared with, a still."""

    says: str
    where: str = ""
    compared: str = ""
    still: Picture | None = None


@dataclass(frozen=True, slots=True)
class Shown:
    """One quilt of a talk.

    Parameters
    ----------
    name, number : str
    lead : str
    minutes : int
    holders : int
        How many hold it up.
    hold : str
        How it is shown.
    points : tuple of Point
    figures : tuple of (str, str)
        To say aloud.
    close_ups : tuple of str
        Photographs to take beforehand.
    not_known : tuple of str
    """

    name: str
    number: str
    lead: str
    minutes: int
    holders: int
    hold: str
    points: tuple[Point, ...] = ()
    figures: tuple[tuple[str, str], ...] = ()
    close_ups: tuple[str, ...] = ()
    not_known: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Kit:
    """What each person in a class gets of one cloth: its name, the pieces, what the whole class takes of it."""

    fabric: str
    pieces: str
    in_all: str


@dataclass(frozen=True, slots=True)
class TalkContent:
    """What talk notes hold: the quilts in their order, what to pack, and for a class the kits and supplies."""

    title: str
    printed: date
    quilts: tuple[Shown, ...]
    packing: tuple[str, ...]
    people: int = 0
    block: str = ""
    kits: tuple[Kit, ...] = ()
    supplies: tuple[str, ...] = ()
    drawn: Picture | None = None
    left_out: tuple[str, ...] = ()


def talk(content: TalkContent, paper: Paper = "letter") -> Document:
    """Lay out talk notes."""
    minutes = sum(each.minutes for each in content.quilts)
    holders = max((each.holders for each in content.quilts), default=0)
    rows = []
    begun = 0
    for number, each in enumerate(content.quilts, start=1):
        rows.append((str(number), Span(each.name, "strong"), f"{begun} to {begun + each.minutes}", str(each.holders)))
        begun += each.minutes
    columns = (Column(""), Column("Quilt", share=1), Column("Minutes", "right"), Column("Hold it", "right"))
    blocks: list[Block] = [
        Title("Talk notes", content.title, f"{minutes} minutes, {holders} to hold the quilts up"),
        Section("In this order", (Table(columns, tuple(rows)),)),
    ]
    for number, each in enumerate(content.quilts, start=1):
        blocks.append(_quilt(each, number))
    if content.kits:
        blocks.append(_class(content))
    blocks += [
        Section("To pack", (Steps(content.packing, numbered=False),), whole=True),
        Section("Take care", (OLD_QUILT,)),
    ]
    if content.left_out:
        blocks.append(Section("Not told here", (Paragraph(f"{_capital('; '.join(content.left_out))}."),)))
    return Document(
        f"{content.title}: talk notes",
        tuple(blocks),
        content.printed,
        subject="Notes for showing quilts",
        squares="plates",
    )


def _whole(*blocks: Block) -> Beside:
    """Keep blocks on one page."""
    return Beside((blocks,))


def _quilt(quilt: Shown, number: int) -> Section:
    body: list[Block] = [Paragraph(quilt.lead, "lead"), Space(1)] if quilt.lead else []
    body += [Paragraph((Span("Show it: ", "strong"), quilt.hold)), Space(1)]
    for at, point in enumerate(quilt.points, start=1):
        said: list[Block] = [Paragraph((Span(f"{at}. ", "strong"), point.says))]
        beside = [f"Point at: {point.where}." if point.where else ""]
        beside += [f"Compared with {point.compared}." if point.compared and point.compared != "hers" else ""]
        if any(beside):
            said.append(Paragraph(" ".join(each for each in beside if each), "quiet"))
        # What is said stands on the page of what is shown.
        body += [_whole(*said, Figure(point.still)) if point.still is not None else _whole(*said), Space(1)]
    if quilt.figures:
        body += [Space(1), _whole(Table((Column("Say"), Column("", share=1)), quilt.figures))]
    if quilt.close_ups:
        head = Paragraph(Span("Close-ups to take", "strong"))
        body += [Space(1), _whole(head, Steps(quilt.close_ups, numbered=False))]
    if quilt.not_known:
        body += [Paragraph((Span("Not known: ", "strong"), ", ".join(quilt.not_known), "."))]
    side: list[Block] = [Paragraph(f"{quilt.minutes} minutes", "quiet")]
    side += [Paragraph(quilt.number, "quiet")] if quilt.number else []
    return Section(f"{number}. {quilt.name}", tuple(body), tuple(side))


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _class(content: TalkContent) -> Section:
    columns = (Column("Fabric", share=1), Column("In each kit", share=1.4), Column("For all", share=1))
    rows = tuple((Span(each.fabric, "strong"), each.pieces, each.in_all) for each in content.kits)
    body: list[Block] = [Paragraph(f"One {content.block} block for each of {content.people}.", "lead")]
    body += [Figure(content.drawn)] if content.drawn else []
    body += [
        Table(columns, rows),
        Space(1),
        _whole(Paragraph(Span("Supplies", "strong")), Steps(content.supplies, numbered=False)),
    ]
    return Section(f"A class of {content.people}", tuple(body))
