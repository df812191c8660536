"""Parts of the page on drafting that are fetched by themselves, and the draft and its block as files."""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable, Mapping
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.draft.proportion import proportions
from seamlore.draft.quilt import Quilt
from seamlore.draft.text.notation import write_block
from seamlore.draft.text.quilt_file import write_quilt
from seamlore.drawing.svg import to_svg
from seamlore.pictures.blocks import block_picture
from seamlore.pictures.palette import quilt_cloths
from seamlore.pictures.quilts import quilt_picture
from seamlore.steps.edit.redraft import answer, changed, in_unit_of
from seamlore.web.desk import OpenStudy
from seamlore.web.pages.draft import files_given
from seamlore.web.pages.draft_beside import beside
from seamlore.web.pages.draft_data import cloths, colored, stage, value_of_paint
from seamlore.web.pages.studies import desk_of, number_of
from seamlore.web.rendering import render

# What a part shows of a draft, from what its address asks for; "status" besides when it is not 200.
Facts = Callable[[OpenStudy, Quilt, Mapping[str, str]], dict[str, Any]]
# A file made of a draft: its text.
Written = Callable[[OpenStudy, Quilt], str]
Endpoint = Callable[[Request], Awaitable[Response]]


def routes() -> list[Route]:
    """Give the routes of the parts and of the files."""
    base = "/study/{number:int}/draft"
    return [
        Route(base + "/try", _part("draft_stage", _tried)),
        Route(base + "/stage", _part("draft_stage", _stage)),
        Route(base + "/beside", _part("draft_beside", _beside)),
        Route(base + "/proportions", _part("draft_proportions", _proportions)),
        Route(base + "/files", _part("draft_files", _files)),
        # Whole: every block is drawn in it, so that it can be read wherever it is taken.
        Route(base + "/quilt.draft.txt", _file("quilt.draft.txt", lambda _, quilt: write_quilt(quilt))),
        Route(base + "/quilt.svg", _file("quilt.svg", _quilt_svg)),
        Route(base + "/block.txt", _file("block.block.txt", lambda _, quilt: write_block(quilt.block))),
        Route(base + "/block.svg", _file("block.svg", _block_svg)),
    ]


def _part(template: str, facts: Facts) -> Endpoint:
    async def route(request: Request) -> Response:
        def work() -> Response:
            study = desk_of(request).study(number_of(request))
            given = facts(study, in_unit_of(study.job.quilt, study.job.unit), request.query_params)
            return render(request, f"part/{template}.html", study=study, base=study.revisions["choice"], **given)

        return await run_in_threadpool(work)

    return route


def _tried(study: OpenStudy, quilt: Quilt, asked: Mapping[str, str]) -> dict[str, Any]:
    """The stage with fields changed and nothing kept, as when a slider is dragged."""
    new, slips = changed(quilt, dict(asked))
    return _stage(study, new, asked) | {"trying": True, "status": 422 if slips else 200}


def _stage(study: OpenStudy, quilt: Quilt, asked: Mapping[str, str]) -> dict[str, Any]:
    """The stage in the colors asked for."""
    how = colored(asked.get("color", ""), study)
    return {"stage": stage(study, quilt, how), "answer": answer(quilt), "trying": False}


def _beside(study: OpenStudy, quilt: Quilt, asked: Mapping[str, str]) -> dict[str, Any]:
    """The same quilt with other sizes, side by side."""
    vary = asked.get("vary", "sashing")
    how = colored(asked.get("color", ""), study)
    by_key, _ = cloths(study.job, quilt, "value" if how == "value" else "place")
    kinds, ways = beside(quilt, vary, by_key)
    return {"vary": vary, "kinds": kinds, "ways": ways}


def _proportions(study: OpenStudy, quilt: Quilt, _: Mapping[str, str]) -> dict[str, Any]:
    """The draft's proportions beside the customs of the trade."""
    by_key, _single = cloths(study.job, quilt, "place")
    values = {
        key: value_of_paint(paint)
        for key, paint in quilt_cloths(quilt, by_key).items()
        if key not in quilt.places and isinstance(paint, str)
    }
    return {"found": proportions(quilt, values), "quilt": quilt}


def _files(study: OpenStudy, _: Quilt, __: Mapping[str, str]) -> dict[str, Any]:
    """The draft and the block as text."""
    return {"files": files_given(study)}


def _file(name: str, written: Written) -> Endpoint:
    async def route(request: Request) -> Response:
        def work() -> Response:
            study = desk_of(request).study(number_of(request))
            plain = re.sub(r"[^A-Za-z0-9]+", "-", study.entry.name).strip("-").lower() or "quilt"
            media = "image/svg+xml" if name.endswith(".svg") else "text/plain; charset=utf-8"
            headers = {"content-disposition": f'attachment; filename="{plain}-{name}"'}
            return Response(written(study, study.job.quilt), media_type=media, headers=headers)

        return await run_in_threadpool(work)

    return route


def _quilt_svg(study: OpenStudy, quilt: Quilt) -> str:
    by_key, single = cloths(study.job, quilt, colored("", study))
    return to_svg(quilt_picture(quilt, 400, 400, by_key, patch_cloths=single))


def _block_svg(study: OpenStudy, quilt: Quilt) -> str:
    by_key, _ = cloths(study.job, quilt, colored("", study))
    return to_svg(block_picture(quilt.block, 120, quilt_cloths(quilt, by_key)))
