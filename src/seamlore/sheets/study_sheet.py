"""The study sheet: the quilt as found and as drafted, the sums, what to measure next, what is not known."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from seamlore.draft.cells import counts_said
from seamlore.draft.kinds import Kind
from seamlore.draft.quilt import Quilt
from seamlore.draft.unread import not_read_words
from seamlore.lengths import show, show_size
from seamlore.pictures.blocks import block_picture
from seamlore.pictures.charts.bands import bands_picture
from seamlore.pictures.found import alignment_picture, found_picture
from seamlore.pictures.palette import kind_cloths, quilt_cloths
from seamlore.pictures.quilts import quilt_picture
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
    Wide,
)
from seamlore.printing.pages import full_width, main_width
from seamlore.sheets.cautions import OLD_QUILT
from seamlore.sheets.condition_part import condition_part
from seamlore.sheets.content import NAMELESS, StudyContent

_GAP_MM = 10.0
_MOST_HIGH_MM = 112.0
_LONGEST_LEAD = 150
# Up to so many kinds of blocks are drawn large, each with a table of its places.
_LARGE_KINDS = 3


def study_sheet(content: StudyContent, paper: Paper = "letter", parts: Sequence[str] = ()) -> Document:
    """Lay out a study sheet.

    Parameters
    ----------
    content : StudyContent
    paper : {"letter", "a4"}
    parts : sequence of str
        Which of `PARTS`, in their order; all of them when none is named.

    Returns
    -------
    Document
        For `printing.pages.to_pdf`. What the study does not hold is left out.

    Examples
    --------
    >>> from datetime import date
    >>> sheet = study_sheet(StudyContent("A quilt", date(2026, 11, 25), unknown=("who made it",)))
    >>> [type(block).__name__ for block in sheet.blocks]
    ['Title', 'Section', 'Section']
    """
    lead = _parted(content.lead)[0]
    name = content.name.strip() or NAMELESS
    blocks: list[Block] = [Title("Study sheet", name, lead)]
    for part in parts or PARTS:
        blocks += PARTS[part](content, paper)
    return Document(f"{name}: study sheet", tuple(blocks), content.printed, subject="What is known of one old quilt")


def _parted(lead: str) -> tuple[str, str]:
    """Part a long lead into its first sentence, which heads the sheet, and the rest."""
    words = lead.strip()
    if len(words) <= _LONGEST_LEAD:
        return words, ""
    first, stop, rest = words.partition(". ")
    return first + stop.strip(), rest.strip()


def _pictures(content: StudyContent, paper: Paper) -> list[Block]:
    found, drafted = content.reading is not None and content.photo is not None, content.drafted is not None
    if not found and not drafted:
        return []
    share = (full_width(paper) - _GAP_MM) / 2 if found and drafted else full_width(paper)
    stacks: list[tuple[Block, ...]] = []
    if content.reading is not None and content.photo is not None:
        drawn = found_picture(content.reading, content.photo, share, _MOST_HIGH_MM)
        grid = "with its block grid" if content.reading.row_spans else "no block grid was found"
        stacks.append((Figure(drawn, (Span("As found", "strong"), f", flattened, {grid}.")),))
    if content.drafted is not None:
        drawn = quilt_picture(
            content.drafted,
            share,
            _MOST_HIGH_MM,
            content.cloths,
            edge_now=content.edge_now,
            patch_cloths=content.patch_cloths,
        )
        size = show_size(*content.drafted.finished_size)
        colors = " Colors as photographed." if content.patch_cloths else ""
        dashed = " Dashed: its edge today." if content.edge_now else ""
        stacks.append((Figure(drawn, (Span("As drafted", "strong"), f", uncropped: {size}.{dashed}{colors}")),))
    return [Wide((Beside(tuple(stacks), gap_mm=_GAP_MM),))]


def _sums(content: StudyContent, _: Paper) -> list[Block]:
    if not content.sums and not content.accounts:
        return []
    body: list[Block] = [Paragraph(_sentence(each)) for each in content.sums]
    if content.accounts:
        rows = tuple((Span(_capital(each.likely), "strong"), each.text) for each in content.accounts)
        body += [Space(1), Table((Column(""), Column("", share=1)), rows)]
    beside = (Paragraph("Computed from the figures below. How likely is judged from all of them together."),)
    return [Section("The sums", tuple(body), beside)]


def _measure(content: StudyContent, _: Paper) -> list[Block]:
    if content.to_measure is None:
        return []
    rows = tuple((Span(each.value, "strong"), _capital(each.means)) for each in content.to_measure.outcomes)
    table = Table((Column("The tape shows"), Column("Then", share=1)), rows)
    return [Section("Measure next", (Paragraph(_sentence(content.to_measure.what), "lead"), Space(1), table))]


def _dated(content: StudyContent, paper: Paper) -> list[Block]:
    if content.dated is None:
        return []
    dated = content.dated
    rows = tuple((Span(part, "strong"), middle, most) for part, middle, most, _ in dated.parts)
    table = Table((Column("Part"), Column("Middle", "right"), Column("9 times in 10", "right")), rows)
    drawn = bands_picture(dated.dates, dated.evidence, main_width(paper))
    body: list[Block] = [Paragraph(_sentence(dated.headline), "lead"), Space(1.5)] if dated.headline else []
    body += [Figure(drawn), Space(1.5), table, Space(1)]
    body += [Paragraph(_sentence(each)) for each in dated.means]
    body += [Paragraph(_sentence(each)) for each in dated.clashes]
    body += [Paragraph(sentence, "small") for *_, sentence in dated.parts]
    beside = (
        Paragraph(
            "The higher, the likelier the year; the black line below is where it lies 9 times in 10, the red mark the middle."
        ),
        Paragraph("An estimate from the evidence given, not an appraisal."),
    )
    body += [Paragraph(_sentence(each), "small") for each in dated.cautions]
    return [Section("When it was made", tuple(body), beside)]


def _condition(content: StudyContent, paper: Paper) -> list[Block]:
    return condition_part(content.condition, content.photo, paper)


def _decision(content: StudyContent, _: Paper) -> list[Block]:
    if not content.decision:
        return []
    first, *rest = content.decision
    body: list[Block] = [Paragraph(_sentence(first), "lead"), *(Paragraph(_sentence(each)) for each in rest)]
    return [Section("What was decided", tuple(body), (Paragraph("By its owner, in her words."),))]


def _noticed(content: StudyContent, _: Paper) -> list[Block]:
    if not content.noticed:
        return []
    return [Section("Worth noticing", (Steps(tuple(_sentence(each) for each in content.noticed), numbered=False),))]


def _unknown(content: StudyContent, _: Paper) -> list[Block]:
    if not content.unknown:
        return []
    return [Section("Not known", (Steps(tuple(_sentence(each) for each in content.unknown), numbered=False),))]


def _facts(content: StudyContent, _: Paper) -> list[Block]:
    if not content.facts:
        return []
    columns = (
        Column("", share=1),
        Column("Figure", "right"),
        Column("Give or take"),
        Column("How it is known", share=1.25),
    )
    rows = tuple((_capital(each.what), each.value, each.give_or_take, each.known) for each in content.facts)
    beside = (Paragraph("A photograph alone does not tell 12 from 12 1/8 in; a tape laid flat does."),)
    return [Section("Every figure", (Table(columns, rows),), beside)]


def _block_and_lie(content: StudyContent, paper: Paper) -> list[Block]:
    found: list[Block] = []
    width = main_width(paper)
    if content.drafted is not None:
        found += _kinds(content, content.drafted, width)
    if content.reading is not None and content.reading.blocks:
        lie = alignment_picture(content.reading, width * 0.62, 76)
        said = f"Arrows are drawn {lie.times} times as long as true; the largest shift is {lie.longest}."
        if lie.times == 1:
            said = f"Arrows are drawn as long as true, to the picture's scale; the largest shift is {lie.longest}."
        remarks: list[Block] = [Paragraph(said, "small")]
        remarks += [Paragraph(_sentence(each), "small") for each in content.remarks]
        stacks = ((Figure(lie.picture),), tuple(remarks))
        beside = (Paragraph("Measured on the photograph: how far each block lies from an even grid."),)
        found.append(Section("How it lies", (Beside(stacks, (1.7, 1.0)),), beside))
    elif content.remarks:
        found.append(Section("Remarks", (Steps(tuple(_sentence(each) for each in content.remarks), numbered=False),)))
    return found


def _kinds(content: StudyContent, quilt: Quilt, width: float) -> list[Block]:
    """Every kind of block: drawn, counted, its fabrics by place; smaller where there are many."""
    paints = quilt_cloths(quilt, content.cloths)
    few = len(quilt.kinds) <= _LARGE_KINDS
    side = 46.0 if few else 24.0
    rows: list[Block] = []
    for kind in quilt.kinds:
        block = kind.block
        drawn = block_picture(block, side, kind_cloths(quilt, kind, paints), letters=few)
        stack = ((Figure(drawn),), tuple(_kind_words(quilt, kind, few=few)))
        rows += [Beside(stack, (side, width - side - 8)), Space(2)]
    said = not_read_words(quilt)
    if said:
        rows.append(Paragraph(f"{said} Nothing is drawn for them.", "small"))
    if not rows:
        return []
    alone = len(quilt.kinds) == 1
    beside = (
        () if alone else (Paragraph(f"{counts_said(quilt)}. Letters are places; each kind of block has its own."),)
    )
    return [Section("The block" if alone else "The blocks", tuple(rows[:-1] if not said else rows), beside)]


def _kind_words(quilt: Quilt, kind: Kind, *, few: bool) -> Iterator[Block]:
    block, count = kind.block, quilt.counts.get(kind.name, 0)
    square = quilt.block_width == quilt.block_height
    size = show(quilt.block_width) if square else show_size(quilt.block_width, quilt.block_height)
    name = block.name if len(quilt.kinds) == 1 else f"{block.name} ({kind.name})"
    yield Paragraph(Span(name, "strong"))
    parts = [f"{count} of them" if count else "in the border"] if len(quilt.kinds) > 1 else []
    parts += [f"{size} finished"] if count else []
    parts += [f"{block.divisions} divisions"] if block.divisions > 1 else []
    yield Paragraph(", ".join(parts), "quiet")
    if block.also:
        yield Paragraph(f"Also called {', '.join(block.also)}.", "small")
    places = tuple(
        (letter, quilt.fabric_of(quilt.key(kind, letter)), place.value + (", many fabrics" if place.scrappy else ""))
        for letter, place in sorted(block.places.items())
    )
    if few:
        yield Table((Column("Place"), Column("Fabric", share=1), Column("Value")), places)
    else:
        yield Paragraph("; ".join(f"{letter} {fabric}, {value}" for letter, fabric, value in places), "small")


def _told(content: StudyContent, _: Paper) -> list[Block]:
    told = _parted(content.lead)[1]
    return [Section("As told", (Paragraph(told),))] if told else []


def _care(_: StudyContent, __: Paper) -> list[Block]:
    return [Section("Take care", (OLD_QUILT,))]


# What a study sheet can hold; `steps.order` says which step has which of them.
PARTS: dict[str, Callable[[StudyContent, Paper], list[Block]]] = {
    "pictures": _pictures,
    "sums": _sums,
    "measure": _measure,
    "dated": _dated,
    "condition": _condition,
    "decision": _decision,
    "noticed": _noticed,
    "unknown": _unknown,
    "told": _told,
    "facts": _facts,
    "block": _block_and_lie,
    "care": _care,
}


def _sentence(words: str) -> str:
    """Begin with a capital and end with a full stop."""
    trimmed = words.strip()
    if not trimmed:
        return ""
    return _capital(trimmed) + ("" if trimmed[-1] in ".?!" else ".")


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
