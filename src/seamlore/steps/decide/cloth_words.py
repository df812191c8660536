"""The old quilt's cloth in words: what is sound of each fabric, patches, the backing, the nearest fabric at hand, hours of opening."""

from __future__ import annotations

from typing import Any

import numpy as np

from seamlore.condition.kinds import OBJECTS
from seamlore.errors import SeamloreError
from seamlore.hours import Hours, hours
from seamlore.lengths import Length, Unit, in_unit, inches, on_mark, show, show_size
from seamlore.saving.at_hand import PRINTS, Near
from seamlore.saving.cloth import BACKING, Cloth
from seamlore.steps.assess.assess import area_in, holding
from seamlore.steps.assess.words import percent
from seamlore.steps.decide.cloth import MOST_PATCHES
from seamlore.steps.decide.decide import Basis
from seamlore.steps.study.job import Job

_MOST_NEAR = 3


def cloth_shown(job: Job, basis: Basis) -> dict[str, Any]:
    """Give what the page shows of the cloth."""
    return {
        "cloths": [_cloth(job, basis, each) for each in basis.cloths],
        "backing_words": backing_words(job, basis),
        "backs": [
            {
                "name": each.project.name,
                "size": show_size(each.width, each.height),
                "count": each.count,
                "touches": each.project.touches,
            }
            for each in basis.backs or ()
        ],
        "nearest": [
            {
                "fabric": each.fabric,
                "id": each.id,
                "color": each.color,
                "print": each.print,
                "spots": [number + 1 for number in each.spots],
                "near": [near_words(near) for near in each.near[:_MOST_NEAR]],
            }
            for each in basis.nearest
        ],
        "prints": PRINTS,
        "stash_names": _stash_names(job),
    }


def _cloth(job: Job, basis: Basis, cloth: Cloth) -> dict[str, Any]:
    unit = Unit(basis.assessed.unit)
    square = "" if cloth.suspect or not cloth.pieces else _square(job, cloth, unit)
    return {
        "name": cloth.of,
        "pieces": len(cloth.pieces),
        "holes": cloth.holes,
        "sound": area_in(basis.assessed, cloth.sound, job.unit),
        "square": square,
        "suspect": cloth.suspect,
        "patches": [
            f"{each.count} of {show_size(each.width, each.height)}" for each in basis.patches if each.of == cloth.of
        ],
    }


def _square(job: Job, cloth: Cloth, unit: Unit) -> str:
    """The largest square of a cloth, on a mark that it reaches."""
    side = job.memo.get(("largest square", tuple(piece.wkb for piece in cloth.pieces)), cloth.largest_square)
    mark = inches("1/4") if job.unit is Unit.INCH else in_unit("0.5", Unit.CM)
    return show(on_mark(in_unit(side, unit).shown_in(job.unit), "down", mark))


def backing_words(job: Job, basis: Basis) -> str:
    """Say whether the old backing still serves."""
    found = basis.assessed
    if BACKING in found.without:
        what = job.inputs.condition.object
        return f"There is no backing{f': it is {OBJECTS[what]}' if what else ''}"
    if found.unit == "width":
        return "No size of the quilt is known, so nothing can be said of its backing"
    cloth = next((each for each in basis.cloths if each.of == BACKING), None)
    if cloth is None:
        return "Not known: photograph the whole back and lay it on the quilt on the page Assess"
    if cloth.suspect:
        return f"The backing is {cloth.suspect}: it serves for nothing that carries a load; keep it as a record"
    if not cloth.pieces:
        return "Nothing of the backing is sound"
    area = area_in(found, cloth.sound, job.unit)
    holes = f", {cloth.holes} hole{'s' * (cloth.holes != 1)} within" if cloth.holes else ""
    part = percent(cloth.sound / cloth.whole) if cloth.whole else "none"
    square = _square(job, cloth, Unit(found.unit))
    serves = sum(each.count > 0 for each in basis.backs or ())
    return (
        f"{part} of it is sound as noted ({area}{holes}); the largest square is {square}. Cut with 2 in beyond all round, 4 in for large "
        f"things, it serves for {serves} of {len(basis.backs or ())} things"
    )


def near_words(near: Near) -> str:
    """Say how near a fabric at hand comes."""
    prints = {True: "same print", False: f"but {near.fabric.print}", None: "print not compared"}
    return f"{near.fabric.name} (CIEDE2000 {near.difference:.1f}, {prints[near.same_print]})"


def _stash_names(job: Job) -> list[str]:
    """Names of the stash on the page Make, so that nothing is called by two."""
    names = (line.partition(":")[0].strip() for line in job.inputs.making.stash.splitlines() if ":" in line)
    return list(dict.fromkeys(name for name in names if name and not name.startswith("#")))


def patches_words(basis: Basis) -> tuple[str, ...]:
    """Say how many patches come out of all cloths together, size by size."""
    made = []
    for size in dict.fromkeys((each.width, each.height) for each in basis.patches):
        each_of = [each for each in basis.patches if (each.width, each.height) == size]
        total = sum(each.count for each in each_of)
        more = " or more" if any(each.count == MOST_PATCHES for each in each_of) else ""
        made.append(f"{show_size(*size)}: {total}{more} from all cloths together")
    return tuple(made)


def opening(job: Job, basis: Basis, seams: Length | None = None) -> tuple[str, ...]:
    """Say what is to be opened, and how long that takes: seams (all of them when not given), the edge, ties or quilting."""
    found: list[str] = []
    spent = Hours()
    seams = basis.seams if seams is None else seams
    if seams is not None:
        found.append(f"about {show(on_mark(seams, 'nearest', _whole(job)))} of seams to open")
        spent += hours("inch of seam opened", seams.inches_float)
    edge = _edge(job, basis)
    if edge is not None:
        found.append(f"{show(edge)} of edge")
        spent += hours("inch of seam opened", edge.inches_float)
    held = _held(job)
    if held is not None:
        ties, lines = held
        if ties:
            found.append(f"{ties} tie{'s' * (ties != 1)} to take out")
            spent += hours("tie taken out", ties)
        if lines:
            found.append(f"about {show(on_mark(lines, 'nearest', _whole(job)))} of quilting to take out")
            spent += hours("inch of quilting taken out", lines.inches_float)
    elif not {"ties", "quilting"} <= basis.assessed.without:
        found.append("ties or quilting: not entered on the page Assess, so not counted")
    if spent.most:
        found.append(f"{spent} of opening ({'; '.join(spent.known)})")
    return tuple(found)


def _edge(job: Job, basis: Basis) -> Length | None:
    if "edge finish" in basis.assessed.without or job.size is None:
        return None
    return (job.size[0] + job.size[1]) * 2


def _held(job: Job) -> tuple[int, Length] | None:
    try:
        held = holding(job)
    except SeamloreError:
        return None
    if held is None:
        return None
    run = sum(float(np.hypot(*np.diff(each, axis=0).T).sum()) for each in held.lines)
    return len(held.points), in_unit(run, Unit(job.reading.unit)).shown_in(job.unit)


def _whole(job: Job) -> Length:
    return inches(1) if job.unit is Unit.INCH else in_unit(1, Unit.CM)
