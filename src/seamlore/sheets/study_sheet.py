"""The study sheet: the quilt as found and as drafted, the sums, what to measure next, what is not known."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from seamlore.drawing.picture import picture
from seamlore.drawing.shapes import Image
from seamlore.lengths import show_size
from seamlore.pictures.charts.bands import bands_picture
from seamlore.pictures.found import alignment_picture, found_picture
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
from seamlore.sheets.blocks_part import blocks_part
from seamlore.sheets.cautions import OLD_QUILT
from seamlore.sheets.condition_part import condition_part
from seamlore.sheets.content import NAMELESS, StudyContent

_GAP_MM = 10.0
_MOST_HIGH_MM = 112.0
_LONGEST_LEAD = 150
_IN_A_ROW, _FURTHER_GAP_MM, _FURTHER_HIGH_MM = 3, 5.0, 52.0
# So many letters of remarks are no higher than the picture that they stand beside.
_LETTERS_BESIDE = 480


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
    # Nothing on it is drawn at true scale.
    subject = "What is known of one old quilt"
    return Document(f"{name}: study sheet", tuple(blocks), content.printed, subject=subject, squares="plates")


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


def _noticed(content: StudyContent, paper: Paper) -> list[Block]:
    if not content.noticed:
        return []
    body: list[Block] = []
    for each in content.noticed:
        says = Paragraph(_sentence(each.says))
        body.append(Beside(((says,), (Figure(each.picture),))) if each.picture is not None else says)
        body.append(Space(2))
    return [Section("Worth noticing", tuple(body[:-1]))]


def remark_room(paper: Paper) -> tuple[float, float]:
    """Width and height in mm that the picture of a remark may take.

    Examples
    --------
    >>> remark_room("a4")
    (55.0, 46.0)
    """
    return (main_width(paper) - 8.0) / 2, 46.0


def _further(content: StudyContent, paper: Paper) -> list[Block]:
    """The other photographs, three in a row."""
    if not content.further:
        return []
    wide = (main_width(paper) - 2 * _FURTHER_GAP_MM) / _IN_A_ROW
    rows: list[Block] = []
    for start in range(0, len(content.further), _IN_A_ROW):
        stacks: list[tuple[Block, ...]] = []
        for each in content.further[start : start + _IN_A_ROW]:
            scale = min(wide / each.size_px[0], _FURTHER_HIGH_MM / each.size_px[1])
            size = (each.size_px[0] * scale, each.size_px[1] * scale)
            drawn = picture(*size, [Image(each.file, 0, 0, *size)], title=each.shows, description=f"{each.shows}.")
            stacks.append((Figure(drawn, f"{_capital(each.shows)}."),))
        stacks += [()] * (_IN_A_ROW - len(stacks))
        rows.append(Beside(tuple(stacks), gap_mm=_FURTHER_GAP_MM))
    return [Section("Further photographs", tuple(rows))]


def _unknown(content: StudyContent, _: Paper) -> list[Block]:
    if not content.unknown:
        return []
    body: list[Block] = [Steps(tuple(_sentence(each) for each in content.unknown), numbered=False)]
    if content.left_out:
        body += [Space(1), Paragraph(f"Not told here: {'; '.join(content.left_out)}.", "small")]
    return [Section("Not known", tuple(body))]


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
        found += blocks_part(content, content.drafted, width)
    if content.reading is not None and content.reading.blocks:
        lie = alignment_picture(content.reading, width * 0.62, 66)
        beside_it, below = _parted_remarks(content.remarks)
        said = f"Arrows are drawn {lie.times} times as long as true; the largest shift is {lie.longest}."
        if lie.times == 1:
            said = f"Arrows are drawn as long as true, to the picture's scale; the largest shift is {lie.longest}."
        remarks: list[Block] = [Paragraph(said, "small")]
        remarks += [Paragraph(_sentence(each), "small") for each in beside_it]
        stacks = ((Figure(lie.picture),), tuple(remarks))
        rest = tuple(Paragraph(_sentence(each), "small") for each in below)
        beside = (Paragraph("Measured on the photograph: how far each block lies from an even grid."),)
        found.append(Section("How it lies", (Beside(stacks, (1.7, 1.0)), *rest), beside))
    elif content.remarks:
        found.append(Section("Remarks", (Steps(tuple(_sentence(each) for each in content.remarks), numbered=False),)))
    return found


def _parted_remarks(remarks: Sequence[str]) -> tuple[list[str], list[str]]:
    """Those that have room beside the picture, which stands on one page with them, and the rest."""
    beside: list[str] = []
    for each in remarks:
        if sum(map(len, beside)) + len(each) > _LETTERS_BESIDE:
            break
        beside.append(each)
    return beside, list(remarks[len(beside) :])


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
    # Before what is long and may run on, so that no page holds it alone.
    "care": _care,
    "further": _further,
    "told": _told,
    "facts": _facts,
    "block": _block_and_lie,
}


def _sentence(words: str) -> str:
    """Begin with a capital and end with a full stop."""
    trimmed = words.strip()
    if not trimmed:
        return ""
    return _capital(trimmed) + ("" if trimmed[-1] in ".?!" else ".")


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
