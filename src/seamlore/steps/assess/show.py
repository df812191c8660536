"""What the page on assessing draws: photographs, notes over them, weak cloth, what holds and what does not."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from seamlore.condition.ground import blocks_under, shape_of
from seamlore.condition.holding import Held
from seamlore.condition.kinds import kind_named
from seamlore.condition.notes import Note, checked_outline
from seamlore.draft.where import said
from seamlore.drawing.shapes import ImageFile
from seamlore.drawing.svg import to_svg
from seamlore.errors import ShapeError
from seamlore.photo.files.encoding import Pyramid, to_jpeg
from seamlore.pictures.condition import condition_map
from seamlore.steps.assess.assess import Assessed, area_in, assess, color_around
from seamlore.steps.assess.words import note_words
from seamlore.steps.edit.condition import photograph_of
from seamlore.steps.edit.photographs import SHOWS
from seamlore.steps.photograph import flat_jpeg, opened
from seamlore.steps.study.job import Job
from seamlore.steps.study.memo import Memo
from seamlore.steps.study.sections import Photograph

# As large as a screen shows it closely; half of it for a list.
_SHOWN_PX, _LISTED_PX = 2400, 320
_MAP_MM = (170.0, 200.0)
_ROUND = np.linspace(0, 2 * np.pi, 41)[:-1]


def photograph_jpeg(data: bytes, name: str, memo: Memo, *, small: bool) -> bytes:
    """Give a photograph of a study as the page shows it, at most so large; never larger than it is.

    Raises
    ------
    PhotoError
        When it cannot be read.
    """
    longest = _LISTED_PX if small else _SHOWN_PX

    def made() -> bytes:
        pyramid = Pyramid(opened(data, name, memo).pixels)
        level = pyramid.levels - 1
        while level > 0 and max(pyramid.level(level - 1).shape[:2]) >= longest:
            level -= 1
        return to_jpeg(pyramid.level(level), quality=85)

    return memo.get(("shown", hash(data), longest), made)


def color_at(job: Job, data: bytes, sha: str, spots: Any) -> str:
    """Give the color of a place that was tapped on a photograph, "#rrggbb": the middle of all round it.

    Raises
    ------
    SeamloreError
        When the study has no such photograph, nothing was tapped, or it lies outside the picture.
    """
    photograph = photograph_of(job, sha)
    if not isinstance(spots, list) or not spots:
        raise ShapeError("a fabric without a place", "its color is taken from the photograph", "tap the cloth first")
    ((x, y),) = checked_outline(spots[-1:], photograph.size, kind_named("tie")).outline
    red, green, blue = (
        round(255 * float(part)) for part in color_around(opened(data, photograph.name, job.memo).pixels, (x, y))
    )
    return f"#{red:02x}{green:02x}{blue:02x}"


def photographs_shown(job: Job, found: Assessed | None) -> list[dict[str, Any]]:
    """List the photographs with what each shows, and whether it lies on the quilt."""
    made = []
    for number, each in enumerate(job.inputs.photographs.photographs):
        lies = found is not None and each.sha in found.placed
        made.append(
            {
                "sha": each.sha,
                "number": number,
                "says": _called(each),
                "shows": each.shows,
                "side": each.side,
                "taken": each.taken or "",
                "width": each.size[0],
                "height": each.size[1],
                "front": each is job.inputs.photographs.front,
                "lies": lies,
                "corners": each.corners,
                "edge": _edge(found, each) if found is not None and lies else [],
            }
        )
    return made


def _called(each: Photograph) -> str:
    return SHOWS[each.shows] + (f", {each.taken}" if each.taken else "")


def _edge(found: Assessed, each: Photograph) -> list[list[float]]:
    """The outline of the part of the quilt that a photograph shows, in its pixels."""
    at = found.placed[each.sha]
    return _px(
        np.concatenate(
            [run[::-1] if back else run for run, back in zip(at.frame.edges_px(), (0, 0, 1, 1), strict=True)]
        )
    )


def _px(points: Any) -> list[list[float]]:
    return np.round(np.asarray(points, dtype=np.float64), 1).tolist()  # type: ignore[no-any-return]


def notes_shown(job: Job, found: Assessed) -> list[dict[str, Any]]:
    """List the notes with their outlines in pixels, where they lie, and how large they are."""
    at = {each.number: index for index, each in enumerate(found.laid)}
    fabrics = _fabrics_under(found)
    made = []
    for number, each in enumerate(found.notes):
        index = at.get(number)
        where = _where(found, index) if index is not None else ""
        area = float(found.survey.areas[index]) if index is not None else 0.0
        made.append(
            {
                "key": each.key,
                "sha": each.photograph,
                "kind": each.kind,
                "does": each.about.does,
                "also": each.about.also,
                "severity": each.severity,
                "words": note_words(each),
                "says": each.says,
                "of": each.of,
                "result": each.result,
                "outline": _px(each.outline),
                "where": where,
                "side": _side(found, each, index),
                "fabrics": fabrics.get(number, ""),
                "area": area_in(found, area, job.unit) if area else "",
                "off": index is None,
            }
        )
    return made


def _where(found: Assessed, index: int) -> str:
    """Which blocks a note lies on, as a person counts them."""
    if found.survey.on_block[index]:
        return found.survey.on_block[index]
    blocks = blocks_under(found.ground, found.laid[index].outline)
    more = f" and {len(blocks) - 4} more" if len(blocks) > 4 else ""
    return "; ".join(said(*at) for at in blocks[:4]) + more


def _side(found: Assessed, note: Note, index: int | None) -> str:
    """Of which part a note is, so that it is found by it."""
    if index is None:
        return ""
    if found.laid[index].behind:
        return "back"
    return "front" if note.about.does == "held" or _where(found, index) else "front, setting or border"


def _fabrics_under(found: Assessed) -> dict[int, str]:
    """Which fabrics each note of the front lies on, by its number."""
    import shapely  # slow to import: only where notes are shown

    ground = found.ground
    front = [each for each in found.laid if not each.behind and each.kind not in ("tie", "quilting line")]
    if not front or not len(ground.where):
        return {}
    shapes = [shape_of(each.outline) for each in front]
    note, patch = shapely.STRtree(ground.patch_shapes).query(shapes, predicate="intersects")
    names: dict[int, dict[str, None]] = {}
    for index, at in zip(note.tolist(), patch.tolist(), strict=True):
        if (fabric := int(ground.fabric[at])) >= 0:
            names.setdefault(front[index].number, {})[ground.fabrics[fabric]] = None
    return {number: "; ".join(sorted(each)[:4]) for number, each in names.items()}


def drawn_over(job: Job, found: Assessed, held: Held | None) -> dict[str, Any]:
    """Give what is drawn over the front: patches of weak cloth, blocks by verdict, ties, the widest bare circle."""
    front = job.inputs.photographs.front
    if front is None or front.sha not in found.placed:
        return {"suspect": [], "blocks": [], "ties": [], "missing": [], "widest": []}
    to_photo, ground = found.placed[front.sha].to_photo, found.ground
    weak = np.flatnonzero(np.isin(ground.fabric, [each.fabric for each in found.suspects]))
    number = {at: index for index, at in enumerate(ground.block_at)}
    blocks = [
        {"says": f"{each.called}: {each.verdict}" + (f" ({', '.join(each.reasons)})" if each.reasons else ""),
         "verdict": each.verdict, "outline": _px(to_photo(ground.blocks[number[each.at]]))}
        for each in found.survey.blocks
    ]  # fmt: skip
    return {
        "suspect": _rings(to_photo, [ground.outlines[index] for index in weak.tolist()]),
        "blocks": blocks,
        "ties": _px(to_photo(held.points)) if held is not None and len(held.points) else [],
        "missing": _px(to_photo(held.missing))
        if held is not None and len(held.missing) and not held.too_many
        else [],
        "widest": _widest(to_photo, held),
    }


def map_svg(job: Job) -> str:
    """Draw the map of the condition: what a printed page shows."""
    found = assess(job)
    photo = ImageFile("as-found.jpg", "image/jpeg", flat_jpeg(job))
    drawn = [each for each in found.laid if found.notes[each.number].about.damage or each.kind == "earlier repair"]
    return to_svg(condition_map(found.ground, drawn, found.survey, photo, *_MAP_MM))


def _rings(to_photo: Any, outlines: Sequence[Any]) -> list[list[list[float]]]:
    if not outlines:
        return []
    ends = np.cumsum([len(each) for each in outlines])[:-1]
    return [_px(each) for each in np.split(to_photo(np.concatenate(outlines)), ends)]


def _widest(to_photo: Any, held: Held | None) -> list[list[float]]:
    if held is None or not np.isfinite(held.widest.radius):
        return []
    ring = held.widest.radius * np.column_stack([np.cos(_ROUND), np.sin(_ROUND)])
    return _px(to_photo(ring + np.array([held.widest.x, held.widest.y])))
