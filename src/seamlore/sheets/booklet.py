"""The pattern booklet: what to buy, what to cut, how to sew, and the templates at true scale."""

from __future__ import annotations

from dataclasses import replace

from seamlore.draft.border import widths_said
from seamlore.draft.cells import counts_said, rows_said
from seamlore.draft.groups import cut_said
from seamlore.draft.layout import lay
from seamlore.draft.quilt import Quilt
from seamlore.drawing.picture import picture
from seamlore.drawing.shapes import Area, box
from seamlore.drawing.tiling import MOST_TILES
from seamlore.lengths import Length, show, show_seam, show_size
from seamlore.pictures.cutting import strips_picture
from seamlore.pictures.laid import laid_picture, laid_scale
from seamlore.pictures.layout import layout_picture
from seamlore.pictures.palette import CLOTHS, PAPER, SEAM, kind_cloths, quilt_cloths
from seamlore.pictures.plain import plain_cloths
from seamlore.pictures.quilts import quilt_picture
from seamlore.printing.content import (
    Block,
    Cell,
    Column,
    Contents,
    Document,
    Figure,
    Fitted,
    NewPage,
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
from seamlore.printing.pages import full_width, main_width, page_height
from seamlore.sheets.cautions import BABY, CUTTING, OLD_QUILT
from seamlore.sheets.content import NAMELESS
from seamlore.sheets.foundation_pages import NOT_PRINTED, foundation_plates, goes_on
from seamlore.sheets.pattern import BlockFoundation, BookletContent, CutFabric, SewingStep, ToBuy
from seamlore.sheets.sewing_pages import block_pages, drawings_read, top_pages
from seamlore.sheets.template_pages import template_plates

_COVER_HIGH_MM = 150.0
# Of more kinds of blocks than these, foundations that take several pages each would fill a book of their own.
_TILED = 3
_ELSEWHERE = "Its sections are larger than a page; they are printed with the lesson of this block."


def booklet(content: BookletContent, paper: Paper = "letter", *, plain: bool = False) -> Document:
    """Lay out a pattern booklet.

    Parameters
    ----------
    content : BookletContent
    paper : {"letter", "a4"}
    plain : bool
        Without color: cloths as grays and hatchings that a copier keeps apart.

    Returns
    -------
    Document
        For `printing.pages.to_pdf`.

    Raises
    ------
    PageError
        When a template is too large even in tiles.
    """
    cloths = quilt_cloths(content.quilt, content.cloths)
    given = (
        replace(content, cloths=plain_cloths(cloths), patch_cloths={}) if plain else replace(content, cloths=cloths)
    )
    plates = template_plates(given.templates, given.allowance, paper, given.piecing)
    blocks: list[Block] = [
        *_cover(given, paper),
        NewPage(),
        Section("Contents", (Contents(),), listed=False),
        *_beginning(given),
        *_buying(given),
        *_cutting(given, paper),
        *_blocks(given, paper),
        *_layout(given, paper),
        *_sewing(given, paper),
        # What is cut without a template is read on; the page to color is copied.
        *(each for each in plates if isinstance(each, Section)),
        *_coloring(given, paper),
        *(each for each in plates if not isinstance(each, Section)),
        *foundation_plates(_printed(given, paper), given.allowance, paper),
    ]
    subject = f"A quilt pattern, {show_size(*given.quilt.finished_size)} finished"
    return Document(
        f"{_name(given)}: pattern", tuple(blocks), given.printed, subject=subject, squares="plates", plain=plain
    )


def _cover(content: BookletContent, paper: Paper) -> list[Block]:
    quilt = content.quilt
    drawn = quilt_picture(
        quilt,
        full_width(paper),
        _COVER_HIGH_MM,
        content.cloths,
        dimensions=False,
        patch_cloths=content.patch_cloths,
    )
    rows = [
        ("Finished quilt", show_size(*quilt.finished_size)),
        ("Finished block", _square(content)),
        (
            "Blocks",
            f"{counts_said(quilt)}, in {rows_said(quilt)}{f': {cut}' if (cut := cut_said(quilt)) else ''}",
        ),
    ]
    if content.unread:
        rows.append(("Not read", content.unread))
    if content.doubtful:
        rows.append(("Doubtful", content.doubtful))
    if quilt.sashing and any(quilt.gaps):
        rows.append(("Sashing", _sashing(quilt)))
    for number, border in enumerate(quilt.borders, start=1):
        name = "Border" if len(quilt.borders) == 1 else f"Border {number}"
        fabrics = ", ".join(dict.fromkeys(side.fabric for side in border.sides if not side.pieced and side.width))
        units = ", ".join(
            dict.fromkeys(quilt.kind(side.pieced.kind).block.name for side in border.sides if side.pieced)
        )
        said = ", ".join(part for part in (f"pieced of {units}" if units else "", fabrics) if part)
        rows.append((name, f"{widths_said(border)} finished, {said}"))
    if content.difficulty:
        rows.append(("For whom", content.difficulty))
    if content.hours:
        rows.append(("Sewing", content.hours))
    cells: tuple[tuple[Cell, ...], ...] = tuple((Span(what, "quiet"), said) for what, said in rows)
    table = Table((Column(""), Column("", share=1)), cells)
    return [Title("Pattern", _name(content), content.lead), Wide((Figure(drawn),)), table]


def _beginning(content: BookletContent) -> list[Block]:
    """What is read before anything is cut: how the drawings are meant, what is needed, what can hurt."""
    steps = [*(step.step for each in content.blocks for step in each.steps), *(step.step for step in content.top)]
    told = (
        f"Every size in the cutting lists includes the seam allowance of {show_seam(content.allowance)}; "
        '"finished" is the size in the quilt, with no allowance.',
        _letters(content),
        *drawings_read(steps),
    )
    cautions: list[Block] = [CUTTING]
    if content.old_cloth:
        cautions += [Space(1.5), OLD_QUILT]
    cautions += [Space(1.5), BABY]
    tools = (Section("What you need", (Steps(content.tools, numbered=False),)),) if content.tools else ()
    return [
        Section("How to read it", (Steps((*told, *content.before), numbered=False),)),
        *tools,
        Section("Take care", tuple(cautions)),
    ]


def _letters(content: BookletContent) -> str:
    """What the names of pieces mean; with several kinds of blocks they begin with the sign of the kind."""
    labels = [label for block in content.blocks for label in block.labels]
    reversed_ = " A piece marked r is cut reversed." * any(label.endswith("r") for label in labels)
    signed = next((label for label in labels if " " in label), "")
    if not signed:
        return f"Letters with a number are pieces: A1 and A2 are cut from Fabric A, to two shapes.{reversed_}"
    bare = signed.split(" ", maxsplit=1)[1]
    block = next(each.name for each in content.blocks if signed in each.labels)
    return (
        f"Letters with a number are pieces. The first letters are the sign of a kind of block: {signed} is {bare} of {block}, and "
        f"its drawings say {bare} alone.{reversed_}"
    )


def _name(content: BookletContent) -> str:
    return content.name.strip() or NAMELESS


def _square(content: BookletContent) -> str:
    width, height = content.quilt.block_width, content.quilt.block_height
    return show(width) if width == height else show_size(width, height)


def _sashing(quilt: Quilt) -> str:
    """How wide the sashing is, and where it runs when not everywhere alike."""
    across, down = quilt.gaps
    if across == down:
        said = f"{show(across)} finished"
    else:
        ways = [(across, "between columns"), (down, "between rows")]
        said = " and ".join(f"{show(gap)} {where}" for gap, where in ways if gap) + ", finished"
    sashing = quilt.sashing
    outer = ", round the outside too" * bool(sashing and sashing.outer)
    return said + outer + ", with cornerstones" * bool(sashing and sashing.cornerstones)


def _buying(content: BookletContent) -> list[Block]:
    rows = [_buy_row(content, each) for each in (*content.buy, *content.finishing)]
    if not rows:
        return []
    columns = (
        Column(""),
        Column("Fabric", share=1),
        Column("For", share=1.5),
        Column("Takes", "right"),
        Column("With a spare", "right"),
    )
    # How each length was reckoned stands with the plan; here stands what a shop or a helper must know.
    notes = tuple(Paragraph(f"{each.name}: {each.note}", "small") for each in content.finishing if each.note)
    beside = (
        Paragraph(f"Reckoned for fabric {show(content.fabric_width)} wide without its selvages."),
        Paragraph("Wash and press first if the quilt will be washed."),
    )
    body: tuple[Block, ...] = (Table(columns, tuple(rows)), Space(1), *notes)
    return [Section("Fabric to buy", body, beside)]


def _buy_row(content: BookletContent, each: ToBuy) -> tuple[Cell, ...]:
    return (_chip(content, each.key), Span(each.name, "strong"), each.purpose, each.buy, each.with_spare)


def _chip(content: BookletContent, key: str) -> Cell:
    """Give a chip of the cloth of a key; nothing for a key without one."""
    paint = quilt_cloths(content.quilt, content.cloths).get(key)
    if paint is None:
        return ""
    square = Area((box(0.1, 0.1, 3.4, 3.4),), paint, SEAM, 0.12)
    return picture(3.6, 3.6, [square], title=key, description=f"Cloth of {key}")


def _cutting(content: BookletContent, paper: Paper) -> list[Block]:
    if not content.cutting:
        return []
    said = (
        f"All sizes include the seam allowance of {show_seam(content.allowance)}. Cut the longest pieces first. "
        "Strips run across the fabric from selvage to selvage."
    )
    words = [Paragraph(said)]
    words += [Paragraph(content.difference)] if content.difference else []
    if any(each.laid for each in content.cutting):
        words.append(
            Paragraph("Numbers in the diagrams are the cuts, in their order; like parts may be cut in layers.")
        )
    found: list[Block] = [Section("Cutting", tuple(words))]
    found += [_fabric(content, each, paper) for each in content.cutting]
    if content.together:
        made: list[Block] = [
            Paragraph("Where a step below joins patches of these, take the unit that was made here.")
        ]
        for name, how in content.together:
            made += [Space(1), Paragraph(Span(name, "strong")), Paragraph(how)]
        found.append(Section("Made several at a time", tuple(made)))
    return found


def _fabric(content: BookletContent, cut: CutFabric, paper: Paper) -> Section:
    columns = (
        Column("Piece"),
        Column("Finished", share=0.8),
        Column("Cut", "right"),
        Column("How many", "right"),
        Column("Then", share=1),
    )
    rows: list[tuple[Cell, ...]] = []
    for each in cut.lines:
        then = "; ".join(part for part in (each.strips, each.then) if part)
        rows.append((Span(each.label, "strong"), each.finished, each.cut, str(each.count), then))
    body: list[Block] = [Table(columns, tuple(rows)), *(Paragraph(line, "small") for line in cut.plans)]
    paint = quilt_cloths(content.quilt, content.cloths).get(cut.key, CLOTHS["muslin"])
    title, wide = f"Cutting {cut.fabric}", main_width(paper)
    # One figure for each kind of strip, so that they may stand on two pages; all have one scale.
    for strip in cut.strips:
        body.append(Figure(strips_picture((strip,), content.fabric_width, wide, paint, title=title)))
    scale = laid_scale(cut.laid, wide)
    body += [Figure(laid_picture(each, scale, wide, paint, title=title)) for each in cut.laid]
    # What is cut further is set in.
    body += [Paragraph(line.replace("  ", "\u2003"), "small") for line in cut.steps]
    return Section(f"Cut from {cut.fabric}", tuple(body), (), 3)


def _blocks(content: BookletContent, paper: Paper) -> list[Block]:
    """Every kind of spot: drawn, counted, and sewn step by step."""
    cloths = quilt_cloths(content.quilt, content.cloths)
    found: list[Block] = []
    if content.batches:
        found.append(Section("In one go", (Steps(content.batches, numbered=False),)))
    number = 1
    for each in content.blocks:
        paints = kind_cloths(content.quilt, content.quilt.kind(each.kind), cloths)
        found += block_pages(each, paints, _still_round(content), paper, first=number)
        number += len(each.steps)
    return found


def _still_round(content: BookletContent) -> Length:
    return content.allowance if content.still_round is None else content.still_round


def _layout(content: BookletContent, paper: Paper) -> list[Block]:
    """The quilt laid out on one page before its rows are joined."""
    title = "Layout"
    drawn = layout_picture(
        content.quilt, full_width(paper), page_height(paper) * 0.62, content.cloths, title=f"{title} of the quilt"
    )
    told: tuple[Block, ...] = tuple(Paragraph(each) for each in content.layout)
    return [Fitted(Section(title, told), Figure(drawn), 0.7)]


def _words(step: SewingStep) -> Block:
    return Steps(step.steps) if len(step.steps) > 1 else Paragraph(step.steps[0] if step.steps else "")


def _sewing(content: BookletContent, paper: Paper) -> list[Block]:
    cloths = quilt_cloths(content.quilt, content.cloths)
    first = 1 + sum(len(each.steps) for each in content.blocks)
    found: list[Block] = [Section(step.title, (_words(step),), whole=True) for step in content.sewing]
    found += top_pages(
        content.quilt, content.top, content.top_pieces, cloths, _still_round(content), paper, first=first
    )
    printed = _printed(content, paper)
    for each in content.foundations:
        in_lesson = each.has_lesson and goes_on(each, content.allowance, paper)
        elsewhere = () if each in printed else (_ELSEWHERE if in_lesson else NOT_PRINTED,)
        words = tuple(Paragraph(line) for line in (*each.said, *elsewhere))
        found.append(Section(f"{each.name} on foundations", words))
    if content.finishing_steps:
        found.append(Section("Finish", (Steps(content.finishing_steps),), whole=True))
    return found


def _printed(content: BookletContent, paper: Paper) -> tuple[BlockFoundation, ...]:
    """The foundations that are printed here: of many kinds those alone that go on a page in one piece."""
    pages = MOST_TILES if len(content.foundations) <= _TILED else 1
    return tuple(each for each in content.foundations if goes_on(each, content.allowance, paper, pages=pages))


def _coloring(content: BookletContent, paper: Paper) -> list[Block]:
    """The quilt in outline, for trying other colors."""
    quilt = content.quilt
    drawn = quilt_picture(
        quilt,
        full_width(paper),
        page_height(paper) * 0.8,
        dimensions=False,
        coloring=[PAPER] * len(lay(quilt)),
        title=f"{quilt.name} to color",
    )
    said = Paragraph("Copy this page, and try other fabrics with colored pencils before you buy.")
    return [Fitted(Section("Coloring page", (said,)), Figure(drawn), 0.55)]
