"""Parts of the page on drafting that are fetched by themselves, and the draft and its block as files."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from typing import TYPE_CHECKING, Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.steps.draft.beside import beside
from seamlore.steps.draft.likely import likely, seams_path
from seamlore.steps.draft.offered import offers
from seamlore.steps.draft.stage import block_svg, cloths, colored, kind_svg, proportions_of, quilt_svg, stage
from seamlore.steps.draft.under import photograph_of
from seamlore.steps.draft.unread import cell_said, group_at, group_words, unread_groups
from seamlore.steps.edit.draft import block_text, whole_text
from seamlore.steps.edit.redraft import answer, changed
from seamlore.steps.study.job import Job
from seamlore.steps.study.shown import in_unit_of
from seamlore.web.desk import OpenStudy
from seamlore.web.pages.draft import files_given
from seamlore.web.pages.drafting.changed import stage_shown
from seamlore.web.pages.pictures import flat_address
from seamlore.web.pages.studies import desk_of, number_of
from seamlore.web.rendering import render, speaking_for
from seamlore.web.saved import plain, saved

if TYPE_CHECKING:
    from seamlore.draft.quilt import Quilt

# What a part shows of a draft, from what its address asks for; "status" besides when it is not 200.
Facts = Callable[[OpenStudy, "Quilt", Mapping[str, str]], dict[str, Any]]
# A file made of a draft, or of the block of one of its kinds: its text.
Written = Callable[[Job, str], str]
Endpoint = Callable[[Request], Awaitable[Response]]


def routes() -> list[Route]:
    """Give the routes of the parts and of the files."""
    base = "/study/{number:int}/draft"
    return [
        Route(base + "/try", _part("draft_stage", _tried)),
        Route(base + "/stage", _part("draft_stage", _stage)),
        Route(base + "/beside", _part("draft_beside", _beside)),
        Route(base + "/likely", _part("draft_likely", _likely)),
        Route(base + "/unread", _unread),
        Route(base + "/unread/offers", _offers),
        Route(base + "/proportions", _part("draft_proportions", _proportions)),
        Route(base + "/files", _part("draft_files", _files)),
        # Whole: every block is drawn in it, so that it can be read wherever it is taken.
        Route(base + "/quilt.draft.txt", _file("quilt.draft.txt", lambda job, _: whole_text(job))),
        Route(base + "/quilt.svg", _file("quilt.svg", lambda job, _: quilt_svg(job))),
        Route(base + "/block.txt", _file("block.block.txt", block_text)),
        Route(base + "/kind.svg", _kind_picture),
        Route(base + "/under/{row:int},{column:int}.jpg", _under),
        Route(base + "/block.svg", _file("block.svg", block_svg)),
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
    how = colored(asked.get("color", ""), study.job)
    flat = flat_address(study) if study.photograph else ""
    return stage_shown(stage(study.job, quilt, how)) | {"flat": flat, "answer": answer(quilt), "trying": False}


def _beside(study: OpenStudy, quilt: Quilt, asked: Mapping[str, str]) -> dict[str, Any]:
    """The same quilt with other sizes, side by side."""
    vary = asked.get("vary", "sashing")
    how = colored(asked.get("color", ""), study.job)
    by_key, _ = cloths(study.job, quilt, "value" if how == "value" else "place")
    kinds, ways = beside(quilt, vary, by_key)
    return {"vary": vary, "kinds": kinds, "ways": ways}


def _likely(study: OpenStudy, _: Quilt, asked: Mapping[str, str]) -> dict[str, Any]:
    """The likeliest drawings of one kind over the photograph."""
    kind = asked.get("kind", "")
    ways = [{"block": each.block, "turn": each.turn, "mirrored": each.mirrored, "now": each.now, "at": each.at,
             "seams": seams_path(each.block)} for each in likely(study.job, kind)]  # fmt: skip
    return {"ways": ways, "kind": kind}


# More groups than these are not listed at once: a sampler has as many as blocks.
_GROUPS = 12


async def _unread(request: Request) -> Response:
    """The blocks that were not read, those alike together."""

    def work() -> Response:
        study = desk_of(request).study(number_of(request))
        found = unread_groups(study.job)
        groups = [{"at": "{},{}".format(*group.first), "words": group_words(group)} for group in found[:_GROUPS]]
        more = sum(len(group.cells) for group in found[_GROUPS:])
        return render(request, "part/draft_unread.html", study=study, groups=groups, more=more)

    return await run_in_threadpool(work)


async def _offers(request: Request) -> Response:
    """The likeliest drawings of blocks that were not read."""

    def work() -> Response:
        study = desk_of(request).study(number_of(request))
        at = cell_said(request.query_params.get("at", ""))
        group = group_at(study.job, at)
        shown = [
            {
                "key": each.key,
                "name": "Seams as seen" if each.key == "seen" else each.block.name,
                "why": each.why,
                "seams": seams_path(each.block),
            }
            for each in offers(study.job, group)
        ]
        first = "{},{}".format(*group.first)
        base, count = study.revisions["choice"], len(group.cells)
        return render(
            request, "part/draft_unread_offers.html", study=study, base=base, at=first, count=count, offers=shown
        )

    return await run_in_threadpool(work)


def _proportions(study: OpenStudy, quilt: Quilt, _: Mapping[str, str]) -> dict[str, Any]:
    """The draft's proportions beside the customs of the trade."""
    return {"found": proportions_of(study.job, quilt), "quilt": quilt}


def _files(study: OpenStudy, _: Quilt, asked: Mapping[str, str]) -> dict[str, Any]:
    """The draft and the block as text."""
    return {"files": files_given(study, kind=asked.get("kind", ""))}


def _file(name: str, written: Written) -> Endpoint:
    async def route(request: Request) -> Response:
        def work() -> Response:
            study = desk_of(request).study(number_of(request))
            with speaking_for(request, study.job):
                text = written(study.job, request.query_params.get("kind", ""))
            return saved(text, f"{plain(study.entry.name)}-{name}")

        return await run_in_threadpool(work)

    return route


async def _under(request: Request) -> Response:
    """One block out of the photograph, to be drawn over."""

    def work() -> Response:
        study = desk_of(request).study(number_of(request))
        data = photograph_of(study.job, request.path_params["row"], request.path_params["column"])
        return Response(data, media_type="image/jpeg", headers={"cache-control": "no-cache"})

    return await run_in_threadpool(work)


async def _kind_picture(request: Request) -> Response:
    """The small picture of one kind of block; its address changes when the draft does."""

    def work() -> Response:
        study = desk_of(request).study(number_of(request))
        drawn = kind_svg(study.job, request.query_params.get("kind", ""))
        headers = {"cache-control": "private, max-age=86400"}
        return Response(drawn, media_type="image/svg+xml", headers=headers)

    return await run_in_threadpool(work)
