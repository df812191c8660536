"""What a printed document is made of. A document says what it holds; how that looks is the house's."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from seamlore.drawing.picture import Picture

Paper = Literal["letter", "a4"]


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of words set apart."""

    text: str
    style: Literal["strong", "italic", "quiet", "small"]


Words = str | Span | tuple[str | Span, ...]


@dataclass(frozen=True, slots=True)
class Title:
    """The head of a document: its kind, its name, and one line more."""

    eyebrow: str
    title: str
    subtitle: Words = ""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Words that run on."""

    words: Words
    style: Literal["body", "lead", "quiet", "small"] = "body"


@dataclass(frozen=True, slots=True)
class Steps:
    """A list; numbered when its order matters."""

    items: tuple[Words, ...]
    numbered: bool = True


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table.

    Parameters
    ----------
    head : str
        Its heading; may be empty.
    align : {"left", "right", "tape"}
        Tape: figures such as 3 1/2, whole numbers under whole numbers.
    share : float
        Its part of the width that is left over; 0 for as wide as it needs.
    """

    head: str
    align: Literal["left", "right", "tape"] = "left"
    share: float = 0.0


Cell = Words | Picture


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells. A small picture in a cell is an ornament: what it says must stand in words beside it."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    last_strong: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture at its own size, and what is said under it."""

    picture: Picture
    caption: Words = ""


@dataclass(frozen=True, slots=True)
class Beside:
    """Stacks of blocks side by side, kept on one page."""

    stacks: tuple[tuple[Block, ...], ...]
    shares: tuple[float, ...] = ()
    gap_mm: float = 8.0


@dataclass(frozen=True, slots=True)
class Note:
    """What must not be overlooked; `caution` for what can hurt."""

    head: str
    body: tuple[Block, ...]
    tone: Literal["note", "caution"] = "note"


@dataclass(frozen=True, slots=True)
class Section:
    """A heading in the side column, and beside it what belongs to it.

    One of level 3 belongs to the section of level 2 before it, and the list of contents leaves it out, as it does one that
    is not `listed`. One that is `whole` is not parted between two pages.
    """

    heading: str
    body: tuple[Block, ...]
    beside: tuple[Block, ...] = ()
    level: Literal[2, 3] = 2
    whole: bool = False
    listed: bool = True


@dataclass(frozen=True, slots=True)
class Wide:
    """Blocks over the whole width, kept on one page, clear of the test squares."""

    body: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Fitted:
    """A picture that need not be true to scale, under its section: as large as the page has room for.

    Parameters
    ----------
    section : Section
    figure : Figure
        At the size that it has when it stands alone on its page.
    least : float
        The smallest part of that size at which it is still read; where less room is left, it begins the next page.
    """

    section: Section
    figure: Figure
    least: float = 0.6


@dataclass(frozen=True, slots=True)
class Plate:
    """A page of its own for a picture at true scale, with words beside the test squares.

    Of plates that go on from one page to the next the first alone is listed in the contents. A mirrored one is printed
    as it is seen in a mirror, for transfer paper.
    """

    heading: str
    picture: Picture
    words: tuple[Block, ...] = ()
    listed: bool = True
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class NewPage:
    """What follows begins on a new page."""


@dataclass(frozen=True, slots=True)
class Contents:
    """Every section and plate of the document with its page: a list to find one's way by."""


@dataclass(frozen=True, slots=True)
class Space:
    """Room left empty, in millimeters."""

    height_mm: float


Block = (
    Title
    | Paragraph
    | Steps
    | Table
    | Figure
    | Beside
    | Note
    | Section
    | Wide
    | Fitted
    | Plate
    | NewPage
    | Contents
    | Space
)


@dataclass(frozen=True, slots=True)
class Document:
    """A document to print.

    Parameters
    ----------
    title : str
        What it is called in a list of files, and at the head of its pages.
    blocks : tuple of Block
        What it holds.
    printed : date
        Passed in, never looked up: the same document on the same date is the same file.
    author : str
        Who made it; empty when not told.
    subject : str
        One line on what it is about.
    squares : {"every page", "plates"}
        Which pages carry the test squares: all, or those alone on which something is drawn at true scale.
    plain : bool
        Whether it is printed without color.
    """

    title: str
    blocks: tuple[Block, ...]
    printed: date
    author: str = ""
    subject: str = ""
    squares: Literal["every page", "plates"] = "every page"
    plain: bool = False
