"""The page on fabrics: each fabric of the old quilt, where it lies, and what the draft's fabrics are called."""

from __future__ import annotations

from typing import Any

import numpy as np
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamlore.errors import PhotoError, SeamloreError
from seamlore.photo.encoding import to_png
from seamlore.photo.fabric.fabrics import swatch
from seamlore.photo.reading import BlockAt, Ring, SeenFabric
from seamlore.pictures.palette import quilt_cloths
from seamlore.shelf.change import StaleChangeError
from seamlore.steps.edit.fabric_names import name_fabrics, named_parts
from seamlore.steps.fabrics import FabricFacts, alike, answer, fabric_facts, fewest
from seamlore.steps.study.job import Job
from seamlore.web.desk import Desk, OpenStudy
from seamlore.web.forms import Fields
from seamlore.web.pages.draft_data import flat_address
from seamlore.web.pages.studies import desk_of, number_of, once_read
from seamlore.web.rendering import STEPS, render

HERE = next(step for step in STEPS if step[0] == "fabrics")
_VALUES = ("light", "medium", "dark")
# So many of each value are shown at first; the rest comes once or twice and stands behind "more".
_SHOWN_FIRST = 16
# A swatch is cut a little inside its seams, which a photograph shows as a shadow.
_INSET = 0.86


def routes() -> list[Route]:
    """Give the routes of the page on fabrics."""
    base = "/study/{number:int}"
    return [
        Route(base + "/fabrics", page),
        Route(base + "/fabrics/names", set_names, methods=["POST"]),
        Route(base + "/picture/swatch/{fabric:int}.png", swatch_picture),
    ]


async def page(request: Request) -> Response:
    """Show the page; while the photograph is still being read, how far that is."""
    return await once_read(request, "fabrics.html", HERE, _shown)


def _shown(
    request: Request,
    study: OpenStudy,
    *,
    status: int = 200,
    slip: str = "",
    slips: dict[str, str] | None = None,
    typed: dict[str, str] | None = None,
) -> Response:
    part = bool(request.headers.get("hx-request"))
    given: dict[str, Any] = {"study": study, "here": HERE, "slip": slip, "slips": slips or {}, "typed": typed or {}}
    given |= {"base": study.revisions["choice"], "names": _names(study)}
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
        key=_key(study),
        data=_data(study, facts),
        **given,
    )


def _key(study: OpenStudy) -> str:
    return flat_address(study).rpartition("=")[2]


def _data(study: OpenStudy, facts: tuple[FabricFacts, ...]) -> dict[str, Any]:
    """Give what lights fabrics up: outlines of blocks and patches in pixels of the flattened picture."""
    job = study.job
    flat, reading, quads = job.flat, job.reading, job.look.cells_quilt
    assert reading.block is not None
    rings = [np.array(each.outline) for each in reading.block.patches]
    lies = {(each.row, each.column): each for each in reading.blocks or ()}
    blocks: dict[str, list[list[float]]] = {}
    patches: dict[str, list[list[float]]] = {}
    for row, column, patch in sorted({spot for each in facts for spot in each.fabric.patches}):
        if row >= quads.shape[0] or column >= quads.shape[1] or not np.isfinite(quads[row, column]).all():
            continue
        quad = quads[row, column]
        blocks.setdefault(f"{row},{column}", np.round(flat.to_flat(quad), 1).tolist())
        at = _as_it_lies(rings[patch], lies.get((row, column)))
        x, y = at[:, :1], at[:, 1:]
        spots = (1 - x) * (1 - y) * quad[0] + x * (1 - y) * quad[1] + x * y * quad[2] + (1 - x) * y * quad[3]
        patches[f"{row},{column},{patch}"] = np.round(flat.to_flat(spots), 1).tolist()
    near = alike([each.fabric for each in facts])
    tall, wide = flat.pixels.shape[:2]
    return {
        "flat": {"url": flat_address(study), "width": wide, "height": tall},
        "blocks": blocks,
        "patches": patches,
        "fabrics": [
            {
                "says": each.words,
                "value": each.fabric.value,
                "patches": [",".join(map(str, spot)) for spot in each.fabric.patches],
                "alike": near[index],
            }
            for index, each in enumerate(facts)
        ],
    }


def _as_it_lies(ring: Any, block: BlockAt | None) -> Any:
    if block is None:
        return ring
    points = ring * [-1, 1] + [1, 0] if block.mirrored else ring
    for _ in range(block.turn // 90):
        points = np.column_stack([1 - points[:, 1], points[:, 0]])
    return points


async def swatch_picture(request: Request) -> Response:
    """Give the picture of one fabric, cut from the photograph along the seams of a patch."""
    index = int(request.path_params["fabric"])

    def work() -> bytes:
        desk = desk_of(request)
        study = desk.study(number_of(request))
        pictures = _swatches(desk, study)
        if not 0 <= index < len(pictures):
            raise PhotoError(f"fabric {index + 1}", f"there are {len(pictures)}", "choose one of these")
        return pictures[index]

    data = await run_in_threadpool(work)
    return Response(data, media_type="image/png", headers={"cache-control": "private, max-age=86400"})


def _swatches(desk: Desk, study: OpenStudy) -> list[bytes]:
    """All swatches of a reading, cut at once and kept together."""
    job = study.job
    look = job.look
    return desk.memo.get(
        ("swatches", job.look_key),
        lambda: [_cut(job, each.fabric) for each in fabric_facts(look.reading.fabrics or ())],
    )


def _cut(job: Job, fabric: SeenFabric) -> bytes:
    """Cut the largest patch of a fabric that the photograph shows whole."""
    look = job.look
    reading, flat = look.reading, look.flat
    assert reading.block is not None
    rings = [_inset(each.outline) for each in reading.block.patches]
    cells = flat.to_flat(look.cells_quilt.reshape(-1, 2)).reshape(look.cells_quilt.shape)
    lies = {(each.row, each.column): each for each in reading.blocks or ()}
    best = np.zeros((1, 1, 4), dtype=np.uint8)
    # Past a few dozen patches another is no better.
    for row, column, patch in fabric.patches[:40]:
        if not np.isfinite(cells[row, column]).all():
            continue
        how = lies.get((row, column), BlockAt(row=row, column=column))
        cut = swatch(flat.pixels, cells, row, column, rings[patch], turn=how.turn, mirrored=how.mirrored)
        if cut.size and np.count_nonzero(cut[..., 3]) > np.count_nonzero(best[..., 3]):
            best = cut
    return to_png(best)


def _inset(ring: Ring) -> Ring:
    points = np.array(ring)
    middle = points.mean(axis=0)
    return tuple((float(x), float(y)) for x, y in middle + _INSET * (points - middle))


# Names for the fabrics of the draft


def _names(study: OpenStudy) -> list[dict[str, Any]]:
    """Every fabric of the draft that can be called by a name of its own; empty without a draft."""
    try:
        quilt = study.job.quilt
        cloths = quilt_cloths(quilt, study.job.cloths[0])
    except SeamloreError:
        return []
    return [
        {"key": key, "label": label, "name": quilt.fabrics.get(key, ""), "paint": str(cloths[key])}
        for key, label in named_parts(quilt)
    ]


async def set_names(request: Request) -> Response:
    """Call the draft's fabrics by name."""
    form = await request.form()

    def work() -> Response:
        fields = Fields(form)
        desk, number = desk_of(request), number_of(request)
        study = desk.study(number)
        status, slip, slips = 200, "", {}
        said = {name.removeprefix("fabric-"): text for name, text in fields.words().items()}
        try:
            done = name_fabrics(study.job, said)
            slips = {f"fabric-{key}": why for key, why in done.slips.items()}
            if done.choice != study.job.inputs.choice:
                desk.change(number, done.choice, fields.base(), done.says)
                study = desk.study(number)
        except StaleChangeError as fault:
            status, slip, study = 409, str(fault), desk.study(number)
        except SeamloreError as fault:
            status, slip = 422, str(fault)
        typed = dict(fields.typed()) if slips else None
        return _shown(request, study, status=422 if slips else status, slip=slip, slips=slips, typed=typed)

    return await run_in_threadpool(work)
