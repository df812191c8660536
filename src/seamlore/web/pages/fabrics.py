"""The page on fabrics: each fabric of the old quilt, where it lies, and what the draft's fabrics are called."""

from __future__ import annotations

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import PhotoError, SeamloreError
from seamlore.limits import whole_number
from seamlore.pictures.palette import quilt_cloths
from seamlore.shelf.change import StaleChangeError
from seamlore.steps.edit.fabric_names import (
    color_fabrics,
    colored_parts,
    name_fabrics,
    name_given,
    named_parts,
    side_parts,
)
from seamlore.steps.edit.found_fabrics import change_fabrics
from seamlore.steps.fabrics.facts import FabricFacts, answer, called, fabric_facts, fewest
from seamlore.steps.fabrics.swatches import fabric_map, swatches
from seamlore.steps.order import step_named
from seamlore.web.desk import OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.pictures import flat_address, flat_key
from seamlore.web.pages.studies import desk_of, go, number_of, once_read
from seamlore.web.rendering import fingerprint, render

HERE = step_named("fabrics")
_VALUES = ("light", "medium", "dark")
# So many of each value are shown at first; the rest comes once or twice and stands behind "more".
_SHOWN_FIRST = 16


def routes() -> list[Route]:
    """Give the routes of the page on fabrics."""
    base = "/study/{number:int}"
    return [
        Route(base + "/fabrics", page),
        Route(base + "/fabrics/names", set_names, methods=["POST"]),
        Route(base + "/fabrics/found", set_found, methods=["POST"]),
        Route(base + "/picture/swatch/{fabric:int}.png", swatch_picture),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    number = whole_number(request.query_params.get("fabric", ""))
    chosen = -1 if number is None else number - 1
    return await once_read(request, "fabrics.html", HERE, lambda *given: _shown(*given, chosen=chosen))


def _shown(
    request: Request,
    study: OpenStudy,
    *,
    status: int = 200,
    slip: str = "",
    slips: dict[str, str] | None = None,
    typed: dict[str, str] | None = None,
    found_slip: str = "",
    chosen: int = -1,
) -> Response:
    part = bool(request.headers.get("hx-request"))
    given: dict[str, Any] = {"study": study, "here": HERE, "slip": slip, "slips": slips or {}, "typed": typed or {}}
    given |= {"base": study.revisions["choice"], "names": _names(study), "sides": _sides(study)}
    if part:
        return render(request, "part/fabric_names.html", status=status, **given)
    reading, fault = None, ""
    try:
        reading = study.job.reading
    except SeamloreError as refused:
        # Told on the page, with what to do.
        fault = str(refused)
    if reading is None or not reading.fabrics or reading.block is None:
        says = answer(reading) if reading else "Nothing is known of its fabrics yet."
        given["lost"] = study.job.her_fabrics.lost if reading else ()
        return render(request, "fabrics.html", status=status, state="empty", answer=says, fault=fault, **given)
    facts = fabric_facts(reading.fabrics)
    order = {id(each.fabric): index for index, each in enumerate(facts)}
    groups = [
        (value, [(order[id(each.fabric)], each) for each in facts if each.fabric.value == value]) for value in _VALUES
    ]
    return render(
        request,
        "fabrics.html",
        status=status,
        state="read",
        answer=answer(reading),
        groups=[group for group in groups if group[1]],
        shown_first=_SHOWN_FIRST,
        told_apart=len(facts),
        fewest=fewest(reading.fabrics),
        reading=reading,
        key=flat_key(study),
        data=_data(study, facts),
        called=called([each.fabric for each in facts]),
        found=_found(study, facts),
        found_slip=found_slip,
        chosen=chosen if 0 <= chosen < len(facts) else -1,
        lost=study.job.her_fabrics.lost,
        **given,
    )


def _found(study: OpenStudy, facts: tuple[FabricFacts, ...]) -> dict[str, Any]:
    """What the form on one fabric of the photograph needs: which reading it is of, and of which fabrics something was said."""
    hers = study.job.her_fabrics
    said = {id(fabric) for fabric, made in zip(hers.fabrics, hers.made_of, strict=True) if made.said is not None}
    return {
        "base": study.revisions["fabrics"],
        "of": _read_as(study),
        "said": [id(each.fabric) in said for each in facts],
    }


def _read_as(study: OpenStudy) -> str:
    """Tell one reading from another, so that a fabric is called by its number only in that which was shown."""
    return fingerprint([(each.id, each.everywhere) for each in study.job.reading.fabrics or ()])


def _data(study: OpenStudy, facts: tuple[FabricFacts, ...]) -> dict[str, Any]:
    """Give what lights fabrics up on the flattened photograph."""
    lights = fabric_map(study.job, facts)
    return {**lights, "flat": {**lights["flat"], "url": flat_address(study)}}


async def swatch_picture(request: Request) -> Response:
    """Give the picture of one fabric, cut from the photograph along the seams of a patch."""
    index = int(request.path_params["fabric"])

    def work() -> bytes:
        pictures = swatches(desk_of(request).study(number_of(request)).job)
        if not 0 <= index < len(pictures):
            raise PhotoError(f"fabric {index + 1}", f"there are {len(pictures)}", "choose one of these")
        return pictures[index]

    data = await run_in_threadpool(work)
    return Response(data, media_type="image/png", headers={"cache-control": "private, max-age=86400"})


async def set_found(request: Request) -> Response:
    """Name a fabric of the photograph, or say that it is one with another, or two."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        chosen, status = 0, 422
        try:
            asked = {name: fields.text(name) for name in ("fabric", "name", "other")}
            chosen = whole_number(asked["fabric"]) or 0
            if fields.text("of") != _read_as(study):
                raise SeamloreError("That fabric", "the photograph was read anew since", "choose it again")
            done = change_fabrics(study.job, fields.text("do"), asked, fields.all("patch"))
            if done.fabrics != study.job.inputs.fabrics:
                desk.change(number, done.fabrics, fields.base(), done.says)
            return go(request, f"/study/{number}/fabrics?fabric={chosen + 1}#found")
        except StaleChangeError as fault:
            status, slip = 409, str(fault)
        except SeamloreError as fault:
            slip = str(fault)
        return _shown(request, desk.study(number), status=status, found_slip=slip, chosen=chosen)

    return await run_in_threadpool(work)


# Names for the fabrics of the draft


def _names(study: OpenStudy) -> list[dict[str, Any]]:
    """Every fabric of the draft that can be called by a name of its own; empty without a draft."""
    try:
        quilt = study.job.quilt
        cloths = quilt_cloths(quilt, study.job.cloths[0])
    except SeamloreError:
        return []
    named, told = dict(named_parts(quilt)), study.job.inputs.choice.cloths
    return [
        {
            "key": key,
            "label": label,
            # What single blocks have of their own is named where the blocks are marked.
            "name": name_given(quilt, key) if key in named else None,
            "paint": str(cloths[key]),
            "chosen": key in told or (key in quilt.places and key.rpartition(" ")[2] in told),
        }
        for key, label in colored_parts(quilt)
    ]


def _sides(study: OpenStudy) -> tuple[tuple[str, str], ...]:
    """The sides of borders that can be given a fabric of their own; none without a draft."""
    try:
        return side_parts(study.job.quilt)
    except SeamloreError:
        return ()


async def set_names(request: Request) -> Response:
    """Call the draft's fabrics by name, or give them colors."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        status, slip, slips = 200, "", {}
        try:
            words = fields.words()
            names, colors = (
                {name.removeprefix(of): text for name, text in words.items() if name.startswith(of)}
                for of in ("fabric-", "color-")
            )
            # One thing is changed at a time; colors are sent with every name.
            done = color_fabrics(study.job, colors, fields.text("as-found"))
            slips = {f"color-{key}": why for key, why in done.slips.items()}
            if done.choice == study.job.inputs.choice:
                done = name_fabrics(study.job, names)
                slips |= {f"fabric-{key}": why for key, why in done.slips.items()}
            if done.choice != study.job.inputs.choice:
                desk.change(number, done.choice, fields.base(), done.says, where="fabrics")
                study = desk.study(number)
        except StaleChangeError as fault:
            status, slip, study = 409, str(fault), desk.study(number)
        except SeamloreError as fault:
            status, slip = 422, str(fault)
        typed = dict(fields.typed()) if slips else None
        return _shown(request, study, status=422 if slips else status, slip=slip, slips=slips, typed=typed)

    return await run_in_threadpool(work)
