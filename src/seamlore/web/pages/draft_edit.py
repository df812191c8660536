"""Changes to the draft: its sizes and setting, its block seam by seam, and both as text."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import replace

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.draft.block import VALUES, Block
from seamlore.draft.catalogue import find
from seamlore.draft.edit import take_out_seam, with_divisions, with_place, with_value
from seamlore.draft.quilt import Quilt
from seamlore.draft.text.notation import read_block
from seamlore.draft.text.quilt_file import read_quilt, write_quilt
from seamlore.errors import SeamloreError, ShapeError
from seamlore.lengths import length
from seamlore.shelf.change import StaleChangeError
from seamlore.steps.edit.keep import as_kept, kept, laid_as_seen, renamed
from seamlore.steps.edit.redraft import changed, in_unit_of, with_block
from seamlore.steps.edit.reseam import read_point, sewn
from seamlore.steps.edit.swatches import colored_with
from seamlore.steps.fabrics import fabric_facts
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Choice
from seamlore.study.seen_block import exact_block
from seamlore.web.desk import OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.draft import files_given, shown
from seamlore.web.pages.draft_beside import resized
from seamlore.web.pages.studies import desk_of, number_of
from seamlore.web.rendering import render

# What an edit makes of a study: the choice to keep, and what was done in the user's words.
Made = tuple[Choice, str]
Edit = Callable[[OpenStudy, Fields], Made]


def routes() -> list[Route]:
    """Give the routes that change the draft."""
    base = "/study/{number:int}/draft"
    edits: dict[str, Edit] = {
        "/setting": _setting,
        "/size": _size,
        "/back": _back,
        "/begin": _begin,
        "/block/seam": _seam,
        "/block/take-out": _take_out,
        "/block/place": _place,
        "/block/swatch": _swatch,
        "/block/value": _value,
        "/block/divisions": _divisions,
        "/block/name": _name,
    }
    texts = [
        Route(base + "/text", _text_route("draft", _draft_text), methods=["POST"]),
        Route(base + "/block/text", _text_route("block", _block_text), methods=["POST"]),
    ]
    return [*(Route(base + path, _edit_route(edit), methods=["POST"]) for path, edit in edits.items()), *texts]


def _edit_route(edit: Edit) -> Callable[[Request], Awaitable[Response]]:
    async def route(request: Request) -> Response:
        form = await request.form()

        def work() -> Response:
            fields = Fields(form)
            desk, number = desk_of(request), number_of(request)
            study = desk.study(number)
            status, slip, says = 200, "", ""
            try:
                choice, says = edit(study, fields)
                if choice != study.section(Choice):
                    desk.change(number, choice, fields.base(), says)
                    study = desk.study(number)
            except StaleChangeError as fault:
                status, slip, study = 409, str(fault), desk.study(number)
            except SeamloreError as fault:
                status, slip = 422, str(fault)
            if fields.slips:
                status, slip = 422, slip or fields.slips.pop("whole", "")
            return shown(
                request,
                study,
                status=status,
                slip=slip,
                slips=fields.slips,
                typed=dict(fields.typed()) if fields.slips else None,
                said=slip or next(iter(fields.slips.values()), says[:1].upper() + says[1:]),
                color=fields.text("color"),
            )

        return await run_in_threadpool(work)

    return route


def _quilt(study: OpenStudy) -> Quilt:
    return in_unit_of(study.job.quilt, study.job.unit)


def _setting(study: OpenStudy, fields: Fields) -> Made:
    """Change sizes, counts and setting; what can be read is kept and the rest said beside its field."""
    quilt = _quilt(study)
    new, slips = changed(quilt, fields.typed())
    fields.slips.update(slips)
    return (kept(study.job, new) if new != quilt else study.section(Choice)), "changed the setting"


def _size(study: OpenStudy, fields: Fields) -> Made:
    """Take one size: an alternative of what was measured, or one of those drawn side by side."""
    what, size = fields.text("what"), length(fields.text("value"), unit=study.job.unit)
    return kept(study.job, resized(_quilt(study), what, size)), f"set the {what} to {size}"


def _back(study: OpenStudy, fields: Fields) -> Made:
    """Go back to what was found: the block alone, or all."""
    now = study.section(Choice)
    bare = msgspec.structs.replace(now, block=None, draft=None, cloths={})
    if fields.text("what") != "block":
        return msgspec.structs.replace(bare, sizes={}), "went back to the draft that was found"
    if now.draft is None:
        return bare, "went back to the block that was found"
    found = Job(replace(study.job.inputs, choice=bare), memo=study.job.memo).quilt.block
    back = kept(study.job, with_block(study.job.quilt, found))
    return msgspec.structs.replace(back, cloths={}), "went back to the block that was found"


def _begin(study: OpenStudy, fields: Fields) -> Made:
    """Begin a draft by hand, from a block of the catalogue and its size."""
    now = study.section(Choice)
    block = _named(study, fields.text("name"))
    rows, columns = fields.count("rows", most=60), fields.count("columns", most=60)
    if not fields.text("size") and rows is None and columns is None and not fields.slips:
        # The block alone: counts and sizes come from what was measured.
        return msgspec.structs.replace(now, block=as_kept(block)), f"chose the block {block.name}"
    size = fields.checked("size", lambda text: length(text, unit=study.job.unit))
    for name, missing in (("size", not size), ("rows", rows is None), ("columns", columns is None)):
        if missing and name not in fields.slips:
            fields.slips[name] = "nothing was given: a draft needs it; write it in"
    if fields.slips or rows is None or columns is None:
        return now, ""
    side = length(size, unit=study.job.unit)
    quilt = Quilt(study.job.inputs.about.name, block, side, side, rows, columns)
    return msgspec.structs.replace(now, draft=write_quilt(quilt, find_block=find)), "began a draft by hand"


def _named(study: OpenStudy, name: str) -> Block:
    """Find a block of the catalogue, and lay it as the same block lies on the photograph."""
    block = find(name)
    reading = study.job.reading if study.photograph else None
    if reading is None or reading.block is None:
        return block
    try:
        return laid_as_seen(block, exact_block(reading.block))
    except ShapeError:
        # The block on the photograph could not be drawn, so there is nothing to lay it on.
        return block


def _name(study: OpenStudy, fields: Fields) -> Made:
    """Put another block of the catalogue into the draft."""
    block = _named(study, fields.text("name"))
    return kept(study.job, with_block(study.job.quilt, block)), f"put {block.name} into the draft"


def _changed_block(study: OpenStudy, block: Block, says: str) -> Made:
    called = renamed(block, study.job.names_of(block))
    return kept(study.job, with_block(study.job.quilt, called)), says


def _seam(study: OpenStudy, fields: Fields) -> Made:
    """Draw a seam between two points of the grid or corners of patches, or with a free hand."""
    start, end = read_point(fields.text("start")), read_point(fields.text("end"))
    made = sewn(study.job.quilt.block, start, end, free=bool(fields.text("free")))
    return _changed_block(study, made, f"drew a seam: {_patches(made)}")


def _take_out(study: OpenStudy, fields: Fields) -> Made:
    """Take out the seam between two patches."""
    made = take_out_seam(study.job.quilt.block, _index(fields, "first"), _index(fields, "second"))
    return _changed_block(study, made, f"took out a seam: {_patches(made)}")


def _place(study: OpenStudy, fields: Fields) -> Made:
    """Give a patch another place."""
    index, place = _index(fields, "patch"), fields.text("place")
    made = with_place(study.job.quilt.block, index, place)
    return _changed_block(study, made, f"gave patch {index + 1} to place {place}")


def _swatch(study: OpenStudy, fields: Fields) -> Made:
    """Cut a patch from a fabric that the photograph shows."""
    index, fabric = _index(fields, "patch"), _index(fields, "fabric")
    seen = study.job.reading.fabrics or () if study.photograph else ()
    facts = fabric_facts(seen)
    if fabric >= len(facts):
        raise ShapeError(f"fabric {fabric + 1}", f"the photograph shows {len(facts)}", "choose one of these")
    made, cloths = colored_with(study.job.quilt.block, study.section(Choice).cloths, index, facts[fabric].fabric)
    choice, says = _changed_block(study, made, f"cut patch {index + 1} from fabric {fabric + 1}")
    return msgspec.structs.replace(choice, cloths=cloths), says


def _value(study: OpenStudy, fields: Fields) -> Made:
    """Make a place light, medium or dark, scrappy or of one fabric."""
    place, value = fields.text("place"), fields.text("value")
    known = next((each for each in VALUES if each == value), None)
    if known is None:
        raise ShapeError(f'a value of "{value}"', "a place is light, medium or dark", "choose one of these")
    scrappy = bool(fields.text("scrappy"))
    made = with_value(study.job.quilt.block, place, known, scrappy=scrappy)
    return _changed_block(study, made, f"made place {place} {known}{', scrappy' if scrappy else ''}")


def _divisions(study: OpenStudy, fields: Fields) -> Made:
    """Divide the block's side otherwise."""
    count = fields.count("divisions", most=16)
    if count is None:
        fields.slips.setdefault("divisions", "nothing was given: a block has 1 to 16 divisions; write a number")
        return study.section(Choice), ""
    made = with_divisions(study.job.quilt.block, count)
    return kept(study.job, with_block(study.job.quilt, made)), f"divided the block into {count} by {count}"


def _patches(block: Block) -> str:
    return f"{len(block.patches)} patch{'es' * (len(block.patches) != 1)} now"


def _index(fields: Fields, name: str) -> int:
    text = fields.text(name)
    if not text.isdigit():
        raise ShapeError(f'{name} "{text[:20]}"', "a patch has a number", "choose a patch of the block")
    return int(text[:6])


def _text_route(what: str, read: Callable[[OpenStudy, str], Made]) -> Callable[[Request], Awaitable[Response]]:
    """Keep the draft or the block as text; with a slip the text stays as typed, the line named beside it."""

    async def route(request: Request) -> Response:
        form = await request.form()

        def work() -> Response:
            fields = Fields(form)
            desk, number = desk_of(request), number_of(request)
            study = desk.study(number)
            text = str(form.get("text", "")).replace("\r\n", "\n")[:200_000]
            status, slip = 200, ""
            try:
                choice, says = read(study, text)
                if choice != study.section(Choice):
                    desk.change(number, choice, fields.base(), says)
                return shown(request, desk.study(number), said=says, color=fields.text("color"))
            except StaleChangeError as fault:
                status, slip, study = 409, str(fault), desk.study(number)
            except SeamloreError as fault:
                status, slip = 422, str(fault)
            given = files_given(study, wrong=what, slip=slip, text=text)
            if not request.headers.get("hx-request"):
                return shown(request, study, status=status, files=given)
            base = study.revisions["choice"]
            response = render(request, "part/draft_files.html", status=status, study=study, base=base, files=given)
            response.headers.update({"hx-retarget": "#draft-files", "hx-reswap": "outerHTML"})
            return response

        return await run_in_threadpool(work)

    return route


def _draft_text(study: OpenStudy, text: str) -> Made:
    now = study.section(Choice)
    if text.strip() == files_given(study)["draft"].strip():
        return now, "left the draft as it is"
    read_quilt(text, find_block=find)
    # Kept as it was written, with every remark in it.
    return msgspec.structs.replace(now, draft=text), "wrote the draft as text"


def _block_text(study: OpenStudy, text: str) -> Made:
    block = read_block(text)
    return kept(study.job, with_block(study.job.quilt, block)), "wrote the block as text"
