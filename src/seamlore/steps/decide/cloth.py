"""The old quilt's cloth: fabric by fabric, patches cut of it, its backing, and the nearest fabric at hand for each repair."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from seamlore.condition.ground import Ground
from seamlore.condition.kinds import kind_named
from seamlore.condition.survey import Laid
from seamlore.errors import MeasureError
from seamlore.lengths import Length, Unit, length, pair
from seamlore.limits import whole_number
from seamlore.saving.at_hand import AtHand, Near, nearest
from seamlore.saving.backing import Backs, backs, cut_from
from seamlore.saving.cloth import BACKING, Cloth, cloths
from seamlore.saving.giving import Given
from seamlore.saving.projects import Project
from seamlore.steps.assess.around import written
from seamlore.steps.assess.assess import Assessed, fabric_names
from seamlore.steps.study.job import Job

MOST_PATCHES = 999
# Pieces of one fabric looked at, the largest first; what is left out is said.
_PIECES = 60
Wanted = tuple[Length, Length, int]


@dataclass(frozen=True, slots=True)
class Patches:
    """How many patches of one size come out of one cloth, and where: (left, top, width, height) in the quilt's unit."""

    of: str
    width: Length
    height: Length
    count: int
    places: tuple[tuple[float, float, float, float], ...]


@dataclass(frozen=True, slots=True)
class Nearest:
    """The fabrics at hand beside a cloth that is damaged: its name, its color as photographed, its print, the spots."""

    fabric: str
    id: str
    color: str
    print: str
    spots: tuple[int, ...]
    near: tuple[Near, ...]


def read_patches(text: str, unit: Unit) -> tuple[Wanted, ...]:
    """Read sizes of patches, one a line: "3 1/2 x 3 1/2, 24"; without a number as many as there are.

    Raises
    ------
    MeasureError
        When a line is no size.

    Examples
    --------
    >>> [(str(wide), str(high), count) for wide, high, count in read_patches("3 1/2 x 3 1/2, 24\\n2 x 4", Unit.INCH)]
    [('3 1/2 in', '3 1/2 in', 24), ('2 in', '4 in', 999)]
    >>> read_patches("3 x 3, none", Unit.INCH)
    Traceback (most recent call last):
        ...
    seamlore.errors.MeasureError: "none" patches: a number from 1 to 999; write it as 3 1/2 x 3 1/2, 24
    """
    found = []
    for line in text.splitlines():
        size, comma, many = line.rpartition(",")
        if not comma:
            size, many = line, str(MOST_PATCHES)
        if not size.strip():
            continue
        count = whole_number(many.strip())
        if count is None or not 1 <= count <= MOST_PATCHES:
            raise MeasureError(
                f'"{many.strip()[:20]}" patches',
                f"a number from 1 to {MOST_PATCHES}",
                "write it as 3 1/2 x 3 1/2, 24",
            )
        wide, high = pair(size, unit=unit)
        if min(wide.inches, high.inches) < _SMALLEST:
            raise MeasureError(
                f"a patch of {wide} x {high}", "old cloth is cut no smaller than half an inch", "take larger ones"
            )
        found.append((wide, high, count))
    return tuple(found)


_SMALLEST = length("1/2 in").inches


def cloth_of(
    job: Job, found: Assessed, gives: Given | None, allowance: Length, weak: dict[str, str]
) -> tuple[Cloth, ...]:
    """List the sound cloth of a quilt; nothing where no size is known."""
    if found.unit == "width":
        return ()
    key = (
        "cloths",
        job.look_key,
        repr(job.inputs.notes),
        repr(job.inputs.condition),
        repr(job.inputs.photographs),
        gives,
        allowance,
    )
    return job.memo.get(
        key,
        lambda: cloths(
            found.ground,
            found.laid,
            set(gives.whole) if gives is not None else set(),
            allowance=float(allowance.measured_in(Unit(found.unit))),
            suspect={each.fabric: each.why for each in found.suspects},
            weak_parts=weak,
            # Of a back that nobody has seen nothing is promised.
            without=found.without if backing_seen(found) else found.without | {BACKING},
            straight=job.reading.setting == "straight",
            sashed=any(gap > 0 for gap in job.reading.sashing or ()),
            written=written(found),
        ),
    )


def patches_of(job: Job, sound: Sequence[Cloth], unit: Unit) -> tuple[Patches, ...]:
    """Say how many of the wanted patches come out of each cloth by itself, and where each lies.

    Raises
    ------
    MeasureError
        When a size cannot be read.
    """
    wanted = read_patches(job.inputs.decision.patches, job.unit)
    if not wanted:
        return ()
    key = ("patches", wanted, *(tuple(piece.wkb for piece in each.pieces[:_PIECES]) for each in sound))
    return job.memo.get(key, lambda: tuple(_patches(sound, wanted, unit)))


def _patches(sound: Sequence[Cloth], wanted: Sequence[Wanted], unit: Unit) -> Iterable[Patches]:
    for each in sound:
        left = [count for *_, count in wanted]
        places: list[list[tuple[float, float, float, float]]] = [[] for _ in wanted]
        # The smallest pieces first, so that the large ones stay whole.
        for piece in each.pieces[:_PIECES][::-1]:
            open_ = [number for number, many in enumerate(left) if many]
            for x, y, w, h, kind in cut_from(piece, [(*wanted[number][:2], left[number]) for number in open_], unit):
                places[open_[kind]].append((x, y, w, h))
            left = [count - len(there) for (*_, count), there in zip(wanted, places, strict=True)]
        for (wide, high, _), there in zip(wanted, places, strict=True):
            yield Patches(each.of, wide, high, len(there), tuple(there))


def backing_of(
    job: Job, sound: Sequence[Cloth], things: Sequence[Project], found: Assessed
) -> tuple[Backs, ...] | None:
    """Say for which things the old backing serves; None where there is none, it is weak, or it was never photographed."""
    cloth = next((each for each in sound if each.of == BACKING), None)
    if cloth is None or cloth.suspect:
        return None
    ruled_out = bool(job.inputs.decision.ruled_out.strip())
    key = ("backing", tuple(piece.wkb for piece in cloth.pieces), tuple(things), ruled_out)
    return job.memo.get(key, lambda: backs(cloth, things, Unit(found.unit), ruled_out=ruled_out))


def backing_seen(found: Assessed) -> bool:
    """Whether a photograph of the whole back lies on the quilt."""
    return any(each.photograph.shows == "back" for each in found.placed.values())


def near_at_hand(job: Job, found: Assessed) -> tuple[Nearest, ...]:
    """Set the fabrics at hand beside each fabric of the quilt on which damage to be mended lies."""
    reading = job.reading
    names = fabric_names(reading)
    decision = job.inputs.decision
    at_hand = [AtHand(each.name, each.color, each.print) for each in decision.at_hand]
    spots: dict[int, list[int]] = {}
    for number, fabric in _damaged(found.ground, found.laid):
        spots.setdefault(fabric, []).append(number)
    made = []
    for fabric, numbers in sorted(spots.items(), key=lambda each: (-len(each[1]), each[0])):
        seen = (reading.fabrics or ())[fabric]
        print_ = decision.prints.get(seen.id, "")
        made.append(
            Nearest(names[fabric], seen.id, seen.srgb, print_, tuple(numbers), nearest(seen.srgb, print_, at_hand))
        )
    return tuple(made)


def _damaged(ground: Ground, laid: Sequence[Laid]) -> Iterable[tuple[int, int]]:
    """Give the number of each note of torn or lost cloth on the front with every fabric that it lies on."""
    import shapely  # slow to import: only where cloth is compared

    torn = [
        each for each in laid if not each.behind and kind_named(each.kind).does == "cloth" and len(each.outline) > 2
    ]
    if not torn or not len(ground.where):
        return
    shapes: Any = shapely.buffer([shapely.Polygon(each.outline) for each in torn], 0)
    note, patch = shapely.STRtree(ground.patch_shapes).query(shapes, predicate="intersects")
    area = shapely.area(shapely.intersection(shapes[note], ground.patch_shapes[patch]))
    # What is drawn a little over a seam is not on the neighbor.
    on = area > 0.02 * shapely.area(shapes)[note]
    pairs = {
        (torn[index].number, int(ground.fabric[at]))
        for index, at in zip(note[on].tolist(), patch[on].tolist(), strict=True)
    }
    yield from sorted(each for each in pairs if each[1] >= 0)


def stash_lines(sound: Sequence[Cloth], unit: Unit, name: str) -> str:
    """Write the sound cloth as lines of a stash (docs/cutting.md), so that a plan cuts from it first.

    Outlines are drawn a little inside, on marks of a sixteenth of an inch or half a millimeter; pieces narrower than an inch
    and a half are left out, and no more are listed than a stash takes.
    """
    import shapely  # as above

    mark = 1 / 16 if unit is Unit.INCH else 0.05
    least = float(length("1 1/2 in").measured_in(unit))
    lines = [f"# Sound cloth of {name}, taken apart; outlines as (across, along)"]
    for each in sound:
        for piece in each.pieces:
            if len(lines) > _STASH_LINES:
                break
            inside = shapely.simplify(shapely.buffer(piece, -1.5 * mark, join_style="mitre"), mark / 2)
            for part in shapely.get_parts(inside):
                left, top, right, bottom = shapely.bounds(part)
                if part.is_empty or min(right - left, bottom - top) < least or len(part.exterior.coords) > _CORNERS:
                    continue
                rings = [part.exterior, *(ring for ring in part.interiors if len(ring.coords) <= _CORNERS)]
                if len(rings) <= len(part.interiors):
                    continue
                written = [
                    " ".join(
                        f"({x:g},{y:g})"
                        for x, y in np.round((np.asarray(ring.coords)[:-1] - [left, top]) / mark) * mark
                    )
                    for ring in rings
                ]
                lines.append(f"Old {each.of}: scrap {' spoilt '.join(f'{ring} {unit.value}' for ring in written)}")
    return "\n".join(lines) + "\n"


_STASH_LINES, _CORNERS = 300, 58
