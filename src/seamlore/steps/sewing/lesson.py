"""A block lesson: what one block takes in each of its sizes, and how it is sewn; as PDF and as a page for a site."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from seamlore.draft.block import Block
from seamlore.draft.catalogue import find_all, source_of
from seamlore.draft.pieces import pieces
from seamlore.draft.quilt import Quilt
from seamlore.draft.repeated import repeated
from seamlore.drawing.shapes import Paint
from seamlore.errors import SeamloreError
from seamlore.lengths import SEAM_ALLOWANCE, Length, Unit, checked_seam, pair, show, show_size
from seamlore.limits import SIZES
from seamlore.making.cutting import Cut, cutting_list
from seamlore.pictures.palette import kind_cloths, quilt_cloths
from seamlore.printing.content import Paper
from seamlore.sewing.steps import Method
from seamlore.sewing.top import Top, sewn_top
from seamlore.sheets.lesson import LessonContent, LessonCut
from seamlore.sheets.pattern import BlockFoundation, PatchTemplate
from seamlore.steps.draft.open_kind import open_kind
from seamlore.steps.sewing.blocks import sewn_blocks
from seamlore.steps.sewing.difficulty import difficulty
from seamlore.steps.sewing.foundations import block_foundation
from seamlore.steps.sewing.step_words import before, still_round
from seamlore.steps.sewing.templates import templates
from seamlore.steps.sewing.tools import tools_for
from seamlore.steps.study.job import Job

Size = tuple[Length, Length]
_WHAT = {
    "square": ("square", ""),
    "rectangle": ("rectangle", ""),
    "half-square triangle": ("square", "cut once corner to corner"),
    "quarter-square triangle": ("square", "cut twice corner to corner"),
    "half-rectangle triangle": ("rectangle", "cut once corner to corner"),
    "template": ("piece", "cut by template"),
}


def lesson_content(
    block: Block,
    sizes: Sequence[Size],
    *,
    printed: datetime.date,
    allowance: Length | None = None,
    fabrics: Mapping[str, str] | None = None,
    cloths: Mapping[str, Paint] | None = None,
    method: Method = "machine",
    in_the_ditch: bool = False,
) -> LessonContent:
    """Gather what a block lesson shows.

    Parameters
    ----------
    block : Block
    sizes : sequence of (Length, Length)
        Finished width and height, at least one, all in one unit; the first is drawn.
    printed : date
    allowance : Length, optional
        Seam allowance: 1/4 in or 0.75 cm when not given.
    fabrics, cloths : mapping, optional
        What the fabric of a letter is called, and its cloth.
    method : {"machine", "hand", "papers"}
        How it is sewn.
    in_the_ditch : bool
        Whether its seams are quilted in the ditch.

    Raises
    ------
    SeamloreError
        When there is no size, more than `limits.SIZES`, or sizes of two units; or the block cannot be made so.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> two = [(inches(9), inches(9)), (inches(12), inches(12))]
    >>> shown = lesson_content(find("shoo fly"), two, printed=datetime.date(2026, 11, 30))
    >>> [(each.label, each.count, each.sizes) for each in shown.cutting][:2]
    [('A1', 2, ('3 7/8 in', '4 7/8 in')), ('A2', 4, ('3 1/2 in', '4 1/2 in'))]
    >>> shown.measures(0)[1]
    '12 in block: it should now measure 4 1/2 in square, raw edge to raw edge.'
    """
    wanted = list(dict.fromkeys(sizes))
    _check(wanted)
    unit = wanted[0][0].unit
    seam = SEAM_ALLOWANCE[unit] if allowance is None else checked_seam(allowance).shown_in(unit)
    quilts = [
        repeated(block.name, block, width, height, 1, 1, fabrics=dict(fabrics or {})) for width, height in wanted
    ]
    tops = [sewn_top(quilt, method, in_the_ditch) for quilt in quilts]
    cuts = [cutting_list(pieces(quilt), seam) for quilt in quilts]
    said = tuple(_said(size) for size in wanted)
    return LessonContent(
        block=block,
        printed=printed,
        sizes=said,
        allowance=seam,
        sewn=tuple(sewn_blocks(top, quilt, seam, method)[0] for top, quilt in zip(tops, quilts, strict=True)),
        cutting=tuple(_lines(quilts[0], cuts)),
        lead=_lead(block),
        design=whose_design(block),
        difficulty=difficulty(quilts[0], tops[0]),
        tools=tuple(tools_for(cuts[0], unit, method)),
        cloths=dict(cloths or {}),
        templates=tuple(_templates(quilts, tops, said, seam, counted=method == "papers")),
        foundations=tuple(_foundations(tops, said, seam)),
        piecing=method,
        before=before(method, in_the_ditch),
        still_round=still_round(seam, method),
    )


def lesson_of(job: Job, kind: str, sizes: str, *, printed: datetime.date) -> LessonContent:
    """Gather the lesson of one kind of block of a study.

    Parameters
    ----------
    job : Job
    kind : str
        The name of the kind; the commonest when there is none of that name.
    sizes : str
        Finished sizes, with commas or "and" between; the block's own when empty. A bare number is in the study's unit.
    printed : date
    """
    quilt = job.quilt
    chosen = open_kind(quilt, kind)
    wanted = read_sizes(sizes, job.unit) or [(quilt.block_width, quilt.block_height)]
    paints = kind_cloths(quilt, chosen, quilt_cloths(quilt, job.cloths[0]))
    return lesson_content(
        chosen.block,
        wanted,
        printed=printed,
        allowance=job.seam_allowance,
        fabrics=chosen.fabrics,
        cloths=paints,
        method=job.inputs.sewing.method,
        in_the_ditch=job.inputs.sewing.quilted == "in the ditch",
    )


def read_sizes(text: str, unit: Unit) -> list[Size]:
    """Read finished sizes, with commas or "and" between.

    Examples
    --------
    >>> [_said(each) for each in read_sizes("9 in, 12 and 8x10in", Unit.INCH)]
    ['9 in', '12 in', '8 x 10 in']
    >>> read_sizes(" ", Unit.INCH)
    []
    """
    parts = [part.strip() for part in re.split(r",|;|\band\b", text) if part.strip()]
    return [pair(part, unit=unit) for part in parts]


def lesson_pdf(content: LessonContent, paper: Paper, *, plain: bool = False) -> bytes:
    """Print a block lesson as PDF."""
    from seamlore.printing.pages import to_pdf  # the document engine: slow to import
    from seamlore.sheets.lesson import lesson

    return to_pdf(lesson(content, paper, plain=plain), paper)


def lesson_page(content: LessonContent) -> str:
    """Write a block lesson as one page for a site, its pictures in it."""
    from seamlore.sheets.lesson_page import page

    return page(content)


def whose_design(block: Block) -> str:
    """Say whose design a block may be, and when to ask.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> whose_design(find("shoo fly"))[:85]
    'A block that quilters have long shared; known here from common use, drawn from memory'
    """
    known = next((each for each in find_all(block.name) if each.patches == block.patches), None)
    if known is None:
        return (
            "This drawing is not in Seamlore's catalogue of shared blocks. If it was designed by somebody, or comes from a "
            "book, a magazine or a pattern, it may be theirs: ask before you teach it, publish it or sell it, and name them."
        )
    source = source_of(known.name)
    # Of a longer note what is in brackets: where it is described.
    where = source.partition(" (")[2].removesuffix(")")
    known_from = f"drawn here as it is described there: {where}" if where else f"known here from {source}"
    return (
        f"A block that quilters have long shared; {known_from}. The block is free to teach, as far as is known; somebody's "
        "own words, drawings or variant of it are not: ask before you teach or sell these, and name whose they are."
    )


def _check(sizes: Sequence[Size]) -> None:
    if not sizes:
        raise SeamloreError(
            "a lesson without a size", "a block is sewn in one size at least", "give its finished size"
        )
    if len(sizes) > SIZES:
        raise SeamloreError(f"{len(sizes)} sizes", f"a lesson shows {SIZES} at most", "leave some out")
    units = {side.unit for size in sizes for side in size}
    if len(units) > 1:
        raise SeamloreError(
            "sizes in inches and in centimeters", "a lesson is in one of them", "give all in one, or make two lessons"
        )


def _said(size: Size) -> str:
    return show(size[0]) if size[0] == size[1] else show_size(*size)


def _lead(block: Block) -> str:
    count = len(block.patches)
    also = f" It is also called {' and '.join(block.also)}." if block.also else ""
    grid = f", on a grid of {block.divisions} by {block.divisions}" if block.on_grid and block.divisions > 1 else ""
    return f"{block.name}: {count} piece{'s' * (count != 1)}{grid}.{also}"


def _lines(quilt: Quilt, cuts: Sequence[Sequence[Cut]]) -> list[LessonCut]:
    by_labels = [{cut.labels: cut for cut in each} for each in cuts]
    found = []
    for cut in cuts[0]:
        what, then = _WHAT[cut.shape]
        if cut.shape == "half-rectangle triangle":
            then += f" {'/' if cut.shaped.diagonal == '/' else chr(92)}, long side across, right side up"
        letter = cut.labels[0][:1]
        sizes = [_cut_size(each[cut.labels]) for each in by_labels]
        noun = f"{what}s" if cut.count != 1 else what
        found.append(
            LessonCut(letter, quilt.fabric_of(letter), ", ".join(cut.labels), cut.count, noun, then, tuple(sizes))
        )
    return found


def _cut_size(cut: Cut) -> str:
    one, two = cut.size
    return show(one) if one == two else show_size(one, two)


def _foundations(tops: Sequence[Top], said: Sequence[str], seam: Length) -> Iterator[BlockFoundation]:
    for top, size in zip(tops, said, strict=True):
        found = block_foundation(top.blocks[0], f"{size} block" if len(tops) > 1 else "The block", seam)
        if found:
            yield found


def _templates(
    quilts: Sequence[Quilt], tops: Sequence[Top], said: Sequence[str], seam: Length, *, counted: bool
) -> list[PatchTemplate]:
    found = []
    for quilt, top, size in zip(quilts, tops, said, strict=True):
        for each in templates(quilt, top, seam, counted=counted):
            lines = (*each.lines, f"{size} block") if len(quilts) > 1 else each.lines
            found.append(replace(each, lines=lines))
    return found
