"""Sew a block or a quilt on the command line: the steps as plain data, the booklet, the block lesson."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from seamlore.draft.block import Block
from seamlore.draft.quilt import Quilt
from seamlore.draft.repeated import repeated
from seamlore.errors import PageError, PlanError
from seamlore.files import Written
from seamlore.lengths import SEAM_ALLOWANCE, Length, checked_seam
from seamlore.making.plan import plan
from seamlore.printing.content import Paper
from seamlore.sewing.measuring import now_measures
from seamlore.sewing.steps import Method
from seamlore.sewing.top import sewn_top
from seamlore.sheets.pattern import DrawnStep
from seamlore.steps.booklet import booklet_content
from seamlore.steps.sewing.blocks import sewn_blocks
from seamlore.steps.sewing.lesson import Size, lesson_content, lesson_page, lesson_pdf
from seamlore.steps.sewing.step_words import still_round, top_steps_drawn

PAPERS: tuple[Paper, ...] = ("letter", "a4")


def checked_paper(name: str) -> Paper:
    """Give a size of paper by its name.

    Raises
    ------
    PageError
        When nothing is printed on it.

    Examples
    --------
    >>> checked_paper("A4")
    'a4'
    >>> checked_paper("legal")
    Traceback (most recent call last):
        ...
    seamlore.errors.PageError: paper "legal": pages are laid out for letter or a4; choose one of these
    """
    for paper in PAPERS:
        if name.strip().casefold() == paper:
            return paper
    raise PageError(f'paper "{name}"', "pages are laid out for letter or a4", "choose one of these")


def as_quilt(given: Block | Quilt, sizes: tuple[Size, ...]) -> Quilt:
    """Give a quilt as it is, and a block as a quilt of one, in the first of its sizes.

    Raises
    ------
    PlanError
        When a block has no size, or a quilt is given one.
    """
    if isinstance(given, Quilt):
        if sizes:
            raise PlanError(f"--size beside {given.name}", "a draft file says its sizes itself", "leave it out")
        return given
    if not sizes:
        raise PlanError(f"the block {given.name} alone", "sewing needs its finished size", "add --size, such as 9in")
    return repeated(given.name, given, *sizes[0], 1, 1)


def sewing_record(
    quilt: Quilt, method: Method, allowance: Length | None = None, *, in_the_ditch: bool = False
) -> dict[str, Any]:
    """Give the steps of a quilt as plain data; lengths are numbers in its `unit`.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> record = sewing_record(repeated("q", find("four patch"), inches(8), inches(8), 2, 2), "machine")
    >>> [(step["name"], step["measures"], step["count"]) for step in record["blocks"][0]["steps"]]
    [('row 1', [8.5, 4.5], 2), ('the block', [8.5, 8.5], 1)]
    """
    seam = SEAM_ALLOWANCE[quilt.unit] if allowance is None else checked_seam(allowance).shown_in(quilt.unit)
    top = sewn_top(quilt, method, in_the_ditch)
    left = still_round(seam, method)
    return {
        "name": quilt.name,
        "unit": quilt.unit.value,
        "method": method,
        "quilted": "in the ditch" if in_the_ditch else "off the seams",
        "seam_allowance": float(seam.number),
        "blocks": [
            {
                "name": block.name,
                "told": list(block.said),
                "count": made.count,
                "pressing": {"value": list(made.pressed.value), "bound": list(made.pressed.bound)}
                if made.pressed
                else None,
                "steps": [_step(step, left) for step in block.steps],
            }
            for block, made in zip(sewn_blocks(top, quilt, seam, method), top.blocks, strict=True)
        ],
        "top": [_step(step, left) for step in top_steps_drawn(top, seam, method)],
        "top_pressing": {"value": len(top.lying.clashes) + len(top.clashes), "bound": top.lying.bound + top.bound}
        if top.lying
        else None,
    }


def _step(told: DrawnStep, allowance: Length) -> dict[str, Any]:
    step = told.step
    allowance = allowance if told.still_round is None else told.still_round
    return {
        "name": step.name,
        "title": told.title,
        "count": step.count,
        "joins": [list(each) for each in step.joins],
        "seams": [{"manner": seam.manner, "press": seam.press} for seam in step.seams],
        "measures": [float(side.number) for side in now_measures(step.outline, allowance, allowance.unit)],
        "words": list(told.words),
    }


def booklet_file(
    given: Block | Quilt,
    path: Path,
    *,
    method: Method,
    paper: str,
    plain: bool,
    printed: datetime.date,
    allowance: Length | None = None,
    in_the_ditch: bool = False,
) -> Written:
    """Print the pattern booklet of a draft.

    Raises
    ------
    SeamloreError
        When it is of a block alone, its file is not called .pdf, or it cannot be printed.
    """
    if isinstance(given, Block):
        raise PlanError(
            f"a booklet of {given.name} alone", "a booklet is of a whole quilt", "use --lesson for a block"
        )
    if path.suffix.lower() != ".pdf":
        raise PageError(f"the booklet {path.name}", "it is a PDF", "end its name with .pdf")
    on = checked_paper(paper)
    from seamlore.printing.pages import to_pdf  # the document engine: slow to import
    from seamlore.sheets.booklet import booklet
    from seamlore.steps.cutting.of_plan import cut_plan

    made = plan(given, seam_allowance=allowance)
    content = booklet_content(made, printed=printed, method=method, cuts=cut_plan(made), in_the_ditch=in_the_ditch)
    return Written(path, to_pdf(booklet(content, on, plain=plain), on), "the booklet")


def lesson_file(
    given: Block | Quilt,
    path: Path,
    sizes: tuple[Size, ...],
    *,
    method: Method,
    paper: str,
    plain: bool,
    printed: datetime.date,
    allowance: Length | None = None,
    in_the_ditch: bool = False,
) -> Written:
    """Write the lesson of a block, as PDF or as a page for a site, as the file is called.

    Raises
    ------
    SeamloreError
        When it is of a whole quilt, has no size, or its file is called neither .pdf nor .html.
    """
    if isinstance(given, Quilt):
        raise PlanError(f"a lesson of {given.name}", "a lesson is of one block", "use --booklet for a quilt")
    ending = path.suffix.lower()
    if ending not in (".pdf", ".html"):
        raise PageError(f"the lesson {path.name}", "it is a PDF or a page", "end its name with .pdf or .html")
    on = checked_paper(paper)
    content = lesson_content(
        given, sizes, printed=printed, allowance=allowance, method=method, in_the_ditch=in_the_ditch
    )
    return Written(
        path, lesson_pdf(content, on, plain=plain) if ending == ".pdf" else lesson_page(content), "the lesson"
    )
