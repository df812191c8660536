"""Documents printed: content in, PDF out; tagged for readers, true to scale, the same bytes for the same content."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, time
from pathlib import Path
from tempfile import TemporaryDirectory

import typst

from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import ImageFile
from seamlore.errors import PageError
from seamlore.printing.content import (
    Beside,
    Block,
    Contents,
    Document,
    Figure,
    Fitted,
    NewPage,
    Note,
    Paper,
    Paragraph,
    Plate,
    Section,
    Space,
    Steps,
    Table,
    Title,
    Wide,
)
from seamlore.printing.fragment import file_name, to_typst, without_color
from seamlore.printing.tables import table_source
from seamlore.printing.words import WORDS_NEED, literal, words, yes
from seamlore.wording import reworded, spoken

_HERE = Path(__file__).parent
FONTS = _HERE / "fonts"
# ISO 216 A4; ANSI Y14.1 size A (8 1/2 by 11 in).
PAPER_MM: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
_PAPER_NAME: dict[Paper, str] = {"a4": "a4", "letter": "us-letter"}
# Not the system's own, which change with its language.
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
# The measures of house.typ that pictures must know of.
_LEFT_MM, _TOP_MM, _BOTTOM_MM, _SIDE_MM, _GUTTER_MM, _FOOT_MM = 17.0, 19.0, 15.0, 50.0, 8.0, 56.0
_PLATE_HEAD_MM = 11.0
_SMALL = "set text(size: 8.8pt); "


def full_width(paper: Paper) -> float:
    """Width in mm of a picture that takes the whole page.

    Examples
    --------
    >>> full_width("a4"), round(full_width("letter"), 1)
    (176.0, 181.9)
    """
    return PAPER_MM[paper][0] - 2 * _LEFT_MM


def main_width(paper: Paper) -> float:
    """Width in mm of a picture that stands in a section.

    Examples
    --------
    >>> main_width("a4")
    118.0
    """
    return full_width(paper) - _SIDE_MM - _GUTTER_MM


def plate_room(paper: Paper) -> tuple[float, float]:
    """Width and height in mm of what fits on a plate, clear of its heading and of the test squares.

    Examples
    --------
    >>> plate_room("a4")
    (176.0, 196.0)
    """
    return full_width(paper), page_height(paper) - _PLATE_HEAD_MM - _FOOT_MM


def page_height(paper: Paper) -> float:
    """Height in mm between the margins of a page.

    Examples
    --------
    >>> page_height("a4")
    263.0
    """
    return PAPER_MM[paper][1] - _TOP_MM - _BOTTOM_MM


def to_pdf(document: Document, paper: Paper = "letter") -> bytes:
    """Print a document.

    Parameters
    ----------
    document : Document
    paper : {"letter", "a4"}

    Returns
    -------
    bytes
        A PDF that meets PDF/UA-1 (ISO 14289-1), its fonts embedded; both test squares on every plate, and on every page
        where the document says so.

    Raises
    ------
    PageError
        When a picture is larger than its place on the page, or a letter is in no script that the type has.

    Examples
    --------
    >>> from datetime import date
    >>> from seamlore.printing.content import Paragraph
    >>> page = Document("Note", (Title("Note", "A note"), Paragraph("All is well.")), date(2026, 11, 25))
    >>> to_pdf(page)[:5]
    b'%PDF-'
    >>> to_pdf(Document("Empty", (), date(2026, 11, 25)))[:5]
    b'%PDF-'
    """
    _check_places(document, paper)
    source = to_source(document, paper)
    noon = datetime.combine(document.printed, time(12), tzinfo=UTC)
    with TemporaryDirectory(prefix="seamlore-") as folder:
        # Images reach the engine as files only.
        for image in _images(document.blocks):
            (Path(folder) / file_name(image.name, image.media)).write_bytes(image.data)
        main = Path(folder) / "main.typ"
        main.write_text(source, encoding="utf-8")
        try:
            return typst.compile(
                str(main),
                root=folder,
                font_paths=[str(FONTS)],
                ignore_system_fonts=True,
                pdf_standards=["ua-1"],
                timestamp=int(noon.timestamp()),
            )
        except typst.TypstError as fault:
            raise _explained(fault) from fault


def to_source(document: Document, paper: Paper) -> str:
    """Write a document as the engine reads it; kept apart so that it can be looked at and compared."""
    before = without_color.set(document.plain)
    try:
        return _source(document, paper)
    finally:
        without_color.reset(before)


def _source(document: Document, paper: Paper) -> str:
    width, height = PAPER_MM[paper]
    day = document.printed
    keys = [
        f"title: {literal(reworded(document.title))}",
        f"date: datetime(year: {day.year}, month: {day.month}, day: {day.day})",
    ]
    keys += [f"author: {literal(document.author)}"] if document.author else []
    keys += [f"description: {literal(reworded(document.subject))}"] if document.subject else []
    head = [
        f"#let paper = {literal(_PAPER_NAME[paper])}",
        f"#let (paper-width, paper-height) = ({width:g}mm, {height:g}mm)",
        f"#let region = {literal('gb' if spoken.get() == 'british' else 'us')}",
        f"#let (everywhere, plain-ink) = ({yes(document.squares == 'every page')}, {yes(document.plain)})",
        *WORDS_NEED,
        f"#let running = {words(document.title)}",
        f"#let day = {words(f'{_MONTHS[day.month - 1]} {day.day}, {day.year}')}",
        f"#set document({', '.join(keys)})",
        (_HERE / "house.typ").read_text(encoding="utf-8"),
    ]
    blocks = document.blocks
    # Readers find their way by headings, and the first must be the document's own (PDF/UA-1).
    if blocks and isinstance(blocks[0], Plate):
        head.append(f"#{_plate(blocks[0], level=1)}")
        blocks = blocks[1:]
    elif not any(isinstance(block, Title) for block in blocks):
        blocks = (Title("", document.title), *blocks)
    return "\n".join(head + [f"#{_block(block, top=True)}" for block in blocks]) + "\n"


def _blocks(blocks: tuple[Block, ...]) -> str:
    return "{\n" + "\n".join(_block(each) for each in blocks) + "\n}"


def _block(block: Block, *, top: bool = False) -> str:
    if isinstance(block, Section):
        beside = _blocks(block.beside) if block.beside else "none"
        said = f"section({words(block.heading)}, {beside}, {_blocks(block.body)}, {block.level}, {yes(block.listed)})"
        return f"block(breakable: false, {said})" if block.whole else said
    if isinstance(block, Wide):
        return f"wide({_blocks(block.body)})"
    if isinstance(block, Fitted):
        picture = block.figure.picture
        size = f"{picture.width_mm:g}mm, {picture.height_mm:g}mm"
        return f"fitted({_block(block.section)}, {size}, {block.least:g}, {_inner(block.figure)})"
    if isinstance(block, Title):
        eyebrow = words(block.eyebrow) if block.eyebrow else "none"
        subtitle = words(block.subtitle) if block.subtitle else "none"
        return f"title-block({eyebrow}, {words(block.title)}, {subtitle})"
    if isinstance(block, NewPage):
        return "pagebreak(weak: true)"
    if isinstance(block, Plate):
        return _plate(block)
    if isinstance(block, Contents):
        return "contents"
    # What stands outside a section keeps to the sections' measure.
    return f"plain({_inner(block)})" if top else _inner(block)


def _inner(block: Block) -> str:
    if isinstance(block, Paragraph):
        said = words(block.words)
        # Set about the paragraph and not inside it, so that its leading follows.
        style = {"body": "", "lead": "set text(size: 12.5pt); ", "quiet": "set text(fill: quiet); ", "small": _SMALL}
        return f"{{ {style[block.style]}par({said}) }}"
    if isinstance(block, Steps):
        return (
            f"{'enum' if block.numbered else 'list'}(tight: false, {', '.join(words(item) for item in block.items)})"
        )
    if isinstance(block, Table):
        return table_source(block)
    if isinstance(block, Figure):
        return _figure(block.picture, words(block.caption) if block.caption else "none")
    if isinstance(block, Beside):
        shares = block.shares or (1.0,) * len(block.stacks)
        columns = ", ".join(f"{share:g}fr" for share in shares)
        stacks = ", ".join(_blocks(stack) for stack in block.stacks)
        return f"block(breakable: false, width: 100%, grid(columns: ({columns},), column-gutter: {block.gap_mm:g}mm, {stacks}))"
    if isinstance(block, Note):
        tone = "madder" if block.tone == "caution" else "hair"
        return f"note({words(block.head) if block.head else 'none'}, {_blocks(block.body)}, {tone})"
    if isinstance(block, Space):
        return f"v({block.height_mm:g}mm)"
    raise TypeError(f"{type(block).__name__} stands at the top of a document only")


def _plate(block: Plate, level: int = 2) -> str:
    said = _blocks(block.words) if block.words else "none"
    said_of = words(block.heading)
    # The head of a document that begins with a plate is no larger than those of the plates that follow.
    called = f"text(size: 13pt, {said_of})" if level == 1 else said_of
    head = f"heading(level: {level}, outlined: {yes(block.listed)}, {called})"
    figure = _figure(block.picture, "none")
    shown = f"scale(x: -100%, {figure})" if block.mirrored else figure
    return f"plate(block(height: {_PLATE_HEAD_MM}mm, above: 0pt, below: 0pt, {head}),\n{shown},\n{said})"


def _figure(picture: Picture, caption: str) -> str:
    return f"figure(alt: {literal(reworded(picture.description))}, caption: {caption}, {to_typst(picture)})"


def _walk(blocks: tuple[Block, ...]) -> Iterator[Block]:
    for block in blocks:
        yield block
        if isinstance(block, Section):
            yield from _walk(block.body + block.beside)
        elif isinstance(block, Wide | Note):
            yield from _walk(block.body)
        elif isinstance(block, Fitted):
            yield from _walk((block.section, block.figure))
        elif isinstance(block, Beside):
            for stack in block.stacks:
                yield from _walk(stack)
        elif isinstance(block, Plate):
            yield from _walk(block.words)


def _pictures(blocks: tuple[Block, ...]) -> Iterator[Picture]:
    for block in _walk(blocks):
        if isinstance(block, Figure | Plate):
            yield block.picture
        elif isinstance(block, Table):
            yield from (cell for row in block.rows for cell in row if isinstance(cell, Picture))


def _images(blocks: tuple[Block, ...]) -> list[ImageFile]:
    found = {(image.name, image.media): image for picture in _pictures(blocks) for image in picture.images}
    return list(found.values())


def _check_places(document: Document, paper: Paper) -> None:
    width, height = plate_room(paper)
    foot = _FOOT_MM if document.squares == "every page" else 0.0
    for block in document.blocks:
        if isinstance(block, Plate):
            _check_room(block.picture, width, height, paper)
        elif isinstance(block, Wide | Fitted):
            for picture in _pictures(block.body if isinstance(block, Wide) else (block.figure,)):
                _check_room(picture, width, page_height(paper) - foot, paper)
        else:
            for picture in _pictures((block,)):
                _check_room(picture, main_width(paper), page_height(paper), paper)


def _check_room(picture: Picture, width: float, height: float, paper: Paper) -> None:
    if picture.width_mm > width + 1e-6 or picture.height_mm > height + 1e-6:
        raise PageError(
            f"{picture.title}, {picture.width_mm:.0f} by {picture.height_mm:.0f} mm",
            f"its place on {paper} paper has room for {width:.0f} by {height:.0f} mm, and nothing is made smaller to fit",
            "print it in tiles, or draw it smaller",
        )


def _explained(fault: typst.TypstError) -> Exception:
    """Give the page error behind an engine's error, or the error itself when it is a fault of the program."""
    missing = re.search(r'the text `"(.+?)"` could not be displayed', str(fault))
    if missing:
        return PageError(
            f'the letters "{missing[1]}"',
            "the printing type has Latin, Greek and Cyrillic letters",
            "write it in those",
        )
    return fault
