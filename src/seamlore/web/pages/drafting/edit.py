"""Changes to the draft: its sizes and setting, its block seam by seam, and both as text."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.shelf.change import StaleChangeError
from seamlore.steps.edit import draft as edit
from seamlore.steps.edit.borders import set_borders
from seamlore.steps.edit.cells import change_cells, show_unread
from seamlore.steps.edit.draft import Edited
from seamlore.steps.study.job import Job
from seamlore.web.forms import Fields
from seamlore.web.pages.draft import files_given, shown
from seamlore.web.pages.studies import desk_of, go, number_of
from seamlore.web.rendering import render

Edit = Callable[[Job, Fields], Edited]

CELL_WORDS = ("of", "put", "name", "letter", "fabric")
EDITS: dict[str, Edit] = {
    "/setting": lambda job, fields: edit.set_fields(job, fields.typed()),
    "/borders": lambda job, fields: set_borders(job, fields.typed()),
    "/size": lambda job, fields: edit.set_size(job, fields.text("what"), fields.text("value")),
    "/back": lambda job, fields: edit.go_back(
        job, block_only=fields.text("what") == "block", kind=fields.text("kind")
    ),
    "/begin": lambda job, fields: edit.begin(
        job, fields.text("name"), **{name: fields.text(name) for name in ("size", "rows", "columns")}
    ),
    "/cells": lambda job, fields: change_cells(
        job, fields.all("cell"), fields.text("do"), {name: fields.text(name) for name in CELL_WORDS}
    ),
    "/block/seam": lambda job, fields: edit.draw_seam(
        job, fields.text("start"), fields.text("end"), free=bool(fields.text("free")), kind=fields.text("kind")
    ),
    "/block/take-out": lambda job, fields: edit.take_out(
        job, fields.index("first"), fields.index("second"), kind=fields.text("kind")
    ),
    "/block/place": lambda job, fields: edit.give_place(
        job, fields.index("patch"), fields.text("place"), kind=fields.text("kind")
    ),
    "/block/swatch": lambda job, fields: edit.cut_from(
        job, fields.index("patch"), fields.index("fabric"), kind=fields.text("kind")
    ),
    "/block/value": lambda job, fields: edit.set_value(
        job,
        fields.text("place"),
        fields.text("value"),
        scrappy=bool(fields.text("scrappy")),
        kind=fields.text("kind"),
    ),
    "/block/divisions": lambda job, fields: edit.divide(job, fields.text("divisions"), kind=fields.text("kind")),
    "/unread": lambda job, fields: show_unread(
        job, fields.text("at"), fields.text("drawing"), alone=bool(fields.text("alone"))
    ),
    "/block/likely": lambda job, fields: edit.settle(job, fields.text("drawing"), kind=fields.text("kind")),
    "/block/name": lambda job, fields: edit.put_block(job, fields.text("name"), kind=fields.text("kind")),
}


def routes() -> list[Route]:
    """Give the routes that change the draft."""
    base = "/study/{number:int}/draft"
    texts = [
        Route(
            base + "/text", _text_route("draft", lambda job, text, _: edit.write_draft(job, text)), methods=["POST"]
        ),
        Route(
            base + "/block/text",
            _text_route("block", lambda job, text, kind: edit.write_block_text(job, text, kind=kind)),
            methods=["POST"],
        ),
    ]
    return [*(Route(base + path, _edit_route(each), methods=["POST"]) for path, each in EDITS.items()), *texts]


def _edit_route(made_by: Edit) -> Callable[[Request], Awaitable[Response]]:
    async def route(request: Request) -> Response:
        form = await request.form()

        def work() -> Response:
            fields = Fields(form)
            desk, number = desk_of(request), number_of(request)
            study = desk.study(number)
            status, slip, done = 200, "", Edited(study.job.inputs.choice)
            try:
                done = made_by(study.job, fields)
                if done.choice != study.job.inputs.choice:
                    desk.change(number, done.choice, fields.base(), done.says)
                    study = desk.study(number)
            except StaleChangeError as fault:
                status, slip, study = 409, str(fault), desk.study(number)
            except SeamloreError as fault:
                status, slip = 422, str(fault)
            slips = dict(done.slips)
            if slips:
                status, slip = 422, slip or slips.pop("whole", "")
            if status == 200 and request.url.path.endswith(("/begin", "/unread")):
                # A page of its own, that can be loaded again.
                return go(
                    request, f"/study/{number}/draft" + "?unread=1#unread" * request.url.path.endswith("/unread")
                )
            return shown(
                request,
                study,
                status=status,
                slip=slip,
                slips=slips,
                typed=dict(fields.typed()) if slips else None,
                said=slip or next(iter(slips.values()), done.says[:1].upper() + done.says[1:]),
                color=fields.text("color"),
                kind=fields.text("kind"),
            )

        return await run_in_threadpool(work)

    return route


def _text_route(what: str, written: Callable[[Job, str, str], Edited]) -> Callable[[Request], Awaitable[Response]]:
    """Keep the draft or the block as text; with a slip the text stays as typed, the line named beside it."""

    async def route(request: Request) -> Response:
        form = await request.form()

        def work() -> Response:
            fields = Fields(form)
            desk, number = desk_of(request), number_of(request)
            study = desk.study(number)
            text, kind = fields.lines("text"), fields.text("kind")
            status, slip = 200, ""
            try:
                done = written(study.job, text, kind)
                if done.choice != study.job.inputs.choice:
                    desk.change(number, done.choice, fields.base(), done.says)
                return shown(request, desk.study(number), said=done.says, color=fields.text("color"), kind=kind)
            except StaleChangeError as fault:
                status, slip, study = 409, str(fault), desk.study(number)
            except SeamloreError as fault:
                status, slip = 422, str(fault)
            given = files_given(study, wrong=what, slip=slip, text=text, kind=kind)
            if not request.headers.get("hx-request"):
                return shown(request, study, status=status, files=given, kind=kind)
            base = study.revisions["choice"]
            response = render(request, "part/draft_files.html", status=status, study=study, base=base, files=given)
            response.headers.update({"hx-retarget": "#draft-files", "hx-reswap": "outerHTML"})
            return response

        return await run_in_threadpool(work)

    return route
