"""The pattern booklet: what a plan says, page by page."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from seamlore.draft.quilt import Quilt
from seamlore.draft.unread import left_out_words
from seamlore.draft.where import SIDES, Where
from seamlore.lengths import inches, show
from seamlore.making.plan import Plan
from seamlore.making.strips import FabricNeed
from seamlore.sewing.batches import batches
from seamlore.sewing.steps import Method
from seamlore.sewing.top import sewn_top
from seamlore.sheets.pattern import BlockFoundation, BookletContent, SewnBlock, ToBuy
from seamlore.steps.cutting.drawn import cut_as_planned
from seamlore.steps.cutting.of_plan import PlanCut
from seamlore.steps.cutting.words import difference_said, least_said
from seamlore.steps.draft.doubtful import doubtful_words
from seamlore.steps.making.cutting import cut_fabric
from seamlore.steps.making.finishing import finishing, finishing_steps
from seamlore.steps.sewing.batches import batch_words, hours_words
from seamlore.steps.sewing.blocks import block_names, sewn_blocks
from seamlore.steps.sewing.difficulty import difficulty
from seamlore.steps.sewing.foundations import block_foundation
from seamlore.steps.sewing.step_words import before, still_round, top_steps_drawn
from seamlore.steps.sewing.templates import templates
from seamlore.steps.sewing.tools import tools
from seamlore.steps.sewing.top_words import layout_words, top_steps
from seamlore.steps.study.job import Job
from seamlore.steps.study.own_words import own_words
from seamlore.steps.words import few
from seamlore.wording import speaking

# A quilt this wide and long at most goes into a crib: the US crib mattress is 28 by 52 in (trade facts A11).
_CRIB = (inches(45), inches(60))


def booklet_pdf(job: Job, made: Plan, *, printed: datetime.date) -> bytes:
    """Print the pattern booklet of a plan as PDF."""
    from seamlore.printing.pages import to_pdf  # as above
    from seamlore.sheets.booklet import booklet

    paper = job.inputs.making.paper
    sewing = job.inputs.sewing
    content = booklet_content(
        made,
        printed=printed,
        lead=booklet_lead(job),
        cloths=job.cloths[0],
        method=sewing.method,
        cuts=job.cuts,
        in_the_ditch=sewing.quilted == "in the ditch",
        doubtful=doubtful_words(job),
        patch_cloths=job.cloths[1],
    )
    with speaking(keep=own_words(job)):
        return to_pdf(booklet(content, paper, plain=sewing.ink == "black"), paper)


def booklet_lead(job: Job) -> str:
    """Say what the pattern is drafted from."""
    if job.inputs.photo is None:
        return ""
    old = f"Drafted from the old quilt {job.inputs.about.name}"
    by_hand = bool(job.inputs.choice.draft or job.inputs.choice.block)
    how = "as read from its photograph" + " and set right by hand" * by_hand
    if job.quilt.not_read:
        return f"{old}: the blocks that are known, whole, {how}; those marked ? are not."
    return f"{old}: its blocks whole, {how}."


def booklet_content(
    made: Plan,
    *,
    printed: datetime.date,
    lead: str = "",
    cloths: Mapping[str, str] | None = None,
    method: Method = "machine",
    cuts: Sequence[PlanCut] = (),
    in_the_ditch: bool = False,
    doubtful: str = "",
    patch_cloths: Mapping[Where, str] | None = None,
) -> BookletContent:
    """Gather what the pattern booklet shows.

    Parameters
    ----------
    made : Plan
    printed : date
    lead : str
    cloths : mapping of str to str, optional
        Colors by key; by value when not given.
    method : {"machine", "hand", "papers"}
        How it is sewn.
    cuts : sequence of PlanCut
        How each fabric is laid out; strips reckoned kind by kind when not given.
    in_the_ditch : bool
        Whether it is quilted along its seams.
    doubtful : str
        Which blocks were read, but not surely.
    patch_cloths : mapping of Where to str, optional
        Colors of single patches, for the cover.
    """
    quilt = made.quilt
    keys = _keys(quilt)
    width, height = made.finished
    top = sewn_top(quilt, method, in_the_ditch)
    gathered = batches(top, made.seam, made.fabric_width)
    names = block_names(top, quilt)
    pieced = [(each, name) for each, name in zip(top.blocks, names, strict=True) if each.steps]
    grounds = [block_foundation(each, name, made.seam) for each, name in pieced]
    return BookletContent(
        name=quilt.name,
        printed=printed,
        quilt=quilt,
        allowance=made.seam,
        fabric_width=made.fabric_width,
        cloths=dict(cloths or {}),
        lead=lead,
        buy=tuple(_to_buy(quilt, each, keys) for each in cuts)
        if cuts
        else tuple(
            ToBuy(
                need.fabric,
                _purpose(quilt, need),
                need.buy,
                keys.get(need.fabric, ""),
                f"{show(need.length)} used; no layout takes less than {show(need.least_length, direction='down')}",
                need.buy_with_spare,
            )
            for need in made.fabrics
        ),
        finishing=tuple(finishing(made)),
        cutting=tuple(cut_as_planned(each, keys.get(each.need.fabric, "")) for each in cuts)
        if cuts
        else tuple(cut_fabric(need, keys.get(need.fabric, "")) for need in made.fabrics),
        difference=difference_said(made.seam, made.margin),
        blocks=tuple(_with_foundations(sewn_blocks(top, quilt, made.seam, method), grounds)),
        sewing=top_steps(top, quilt),
        top=tuple(top_steps_drawn(top, made.seam, method)),
        top_pieces=top.pieces,
        finishing_steps=tuple(finishing_steps(made, in_the_ditch=in_the_ditch)),
        templates=tuple(templates(quilt, top, made.seam, counted=method == "papers")),
        unread=left_out_words(quilt, "cut, bought or sewn"),
        doubtful=doubtful,
        patch_cloths=dict(patch_cloths or {}),
        piecing=method,
        together=tuple((batch.name, batch.how) for batch in made.batches),
        for_baby=width <= _CRIB[0] and height <= _CRIB[1],
        old_cloth=made.filling is not None and made.filling.kind == "older quilt",
        difficulty=difficulty(quilt, top),
        tools=tuple(tools(made, method)),
        hours=hours_words(gathered, top, method),
        # By hand nothing is sewn in a chain.
        batches=tuple(batch_words(gathered, names)) if method == "machine" else (),
        foundations=tuple(each for each in grounds if each),
        layout=tuple(layout_words(quilt)),
        before=before(method, in_the_ditch),
        still_round=still_round(made.seam, method),
    )


def _with_foundations(blocks: Iterable[SewnBlock], grounds: Sequence[BlockFoundation | None]) -> Iterable[SewnBlock]:
    """Every kind of spot, with where its foundations are told of: who would sew on paper must know it before the first step."""
    names = {each.name for each in grounds if each}
    for block in blocks:
        more = (f"Or sew it on foundations: see “{block.name} on foundations”.",) if block.name in names else ()
        yield replace(block, said=(*block.said, *more))


def _to_buy(quilt: Quilt, each: PlanCut, keys: Mapping[str, str]) -> ToBuy:
    cut = each.cut
    note = f"{show(cut.length, direction='up')} used; {least_said(cut)}" if cut.layout else "all of it is at hand"
    price = f"; {float(cut.price):.2f} at the price given" if cut.price is not None else ""
    return ToBuy(
        cut.name,
        _purpose(quilt, each.need),
        cut.buy,
        keys.get(cut.name, ""),
        note + price,
        each.buy_with_spare,
    )


def _keys(quilt: Quilt) -> dict[str, str]:
    """Which key each fabric's cloth hangs on."""
    keys = {name: name for row in quilt.cells for cell in row for name in cell.fabrics.values()}
    keys |= {
        quilt.fabric_of(key): key for key in ("plain block", "setting triangle", "strip", "cornerstone", "sashing")
    }
    for number, border in enumerate(quilt.borders, start=1):
        keys |= {side.fabric: f"border {number} {name}" for name, side in zip(SIDES, border.sides, strict=True)}
    return keys | {quilt.fabric_of(key): key for key in quilt.places}


def _purpose(quilt: Quilt, need: FabricNeed) -> str:
    """What a fabric is for: the places that it takes."""
    keys = [key for key in quilt.places if quilt.fabric_of(key) == need.fabric]
    if not keys:
        return few([label for cut in need.cuts for label in cut.labels])
    values = list(dict.fromkeys(quilt.places[key].value for key in keys))
    many = any(quilt.places[key].scrappy for key in keys)
    return f"{'many' if many else 'one'} {' and '.join(values)} ({few(keys)})"
