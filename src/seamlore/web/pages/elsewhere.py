"""The page on one cloth: the other quilts of the shelf in which it may stand, and what their dates say here."""

from __future__ import annotations

import datetime

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import SeamloreError
from seamlore.shelf.change import StaleChangeError
from seamlore.steps.fabrics.facts import called, fabric_facts
from seamlore.steps.order import step_named
from seamlore.steps.shelf.cloths import NO_SCALE, cloth_picture, hold
from seamlore.steps.shelf.elsewhere import Elsewhere, elsewhere, with_lent
from seamlore.steps.study.sections import Evidence
from seamlore.web.desk import OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.studies import desk_of, number_of, once_read
from seamlore.web.rendering import render

HERE = step_named("fabrics")


def routes() -> list[Route]:
    """Give the routes of the page on one cloth."""
    base = "/study/{number:int}"
    return [
        Route(base + "/fabrics/{fabric:int}", page),
        Route(base + "/fabrics/{fabric:int}/date", take_date, methods=["POST"]),
        Route(base + "/picture/cloth/{row:int}.webp", cloth),
    ]


def _fabric(request: Request) -> int:
    """The fabric in the address, 0 the first; there people count from 1."""
    return int(request.path_params["fabric"]) - 1


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    return await once_read(request, "elsewhere.html", HERE, _shown)


def _found(request: Request, study: OpenStudy) -> Elsewhere | None:
    desk, number = desk_of(request), study.entry.number
    hold(desk.shelf, number, study.job)
    return elsewhere(desk.shelf, number, _fabric(request))


def _shown(request: Request, study: OpenStudy, *, slip: str = "", status: int = 200, said: str = "") -> Response:
    fabric = _fabric(request)
    if study.photograph is None:
        raise SeamloreError("the cloths of this quilt", "it has no photograph", "add one on the page Look")
    facts = fabric_facts(study.job.reading.fabrics or ())
    if not 0 <= fabric < len(facts):
        raise SeamloreError(
            f"fabric {fabric + 1}", f"{len(facts)} were told apart in this quilt", "choose one on the page Fabrics"
        )
    found = _found(request, study)
    return render(
        request,
        "elsewhere.html",
        status=status,
        study=study,
        here=HERE,
        state="read",
        answer=found.says if found else "Its prints have no scale yet",
        found=found,
        no_scale=NO_SCALE,
        fabric=fabric,
        facts=facts[fabric],
        called=called([each.fabric for each in facts])[fabric],
        base=study.revisions["evidence"],
        slip=slip,
        said=said,
    )


async def take_date(request: Request) -> Response:
    """Put what another quilt's date says into the evidence of this one, as she asked."""
    form = await request.form()

    def work() -> Response:
        fields, desk, number = Fields(form), desk_of(request), number_of(request)
        study = desk.study(number)
        try:
            wanted, found = fields.revision("quilt"), _found(request, study)
            stand = next((each for each in found.stands if each.quilt.number == wanted), None) if found else None
            if stand is None:
                raise SeamloreError("that quilt", "this cloth is not found in it any more", "load the page again")
            text = with_lent(desk.shelf, study.section(Evidence).text, stand, this_year=datetime.date.today().year)
            desk.change(number, Evidence(text=text), fields.base(), "took the date of another quilt as evidence")
        except StaleChangeError as fault:
            return _shown(request, desk.study(number), slip=str(fault), status=409)
        except SeamloreError as fault:
            return _shown(request, study, slip=str(fault), status=422)
        said = f'What "{stand.quilt.name}" says stands in the evidence now; the page Date shows what came of it.'
        return _shown(request, desk.study(number), said=said)

    return await run_in_threadpool(work)


async def cloth(request: Request) -> Response:
    """Give the picture of a cloth as the shelf keeps it."""
    row = int(request.path_params["row"])
    data = await run_in_threadpool(lambda: cloth_picture(desk_of(request).shelf, number_of(request), row))
    if data is None:
        raise SeamloreError("this cloth", "no picture of it is kept", "open that quilt once, and it is made")
    # Made anew when the reading changes, under the same address.
    return Response(data, media_type="image/webp", headers={"cache-control": "no-cache"})
