"""What the drafting page draws with: the stage, the cloths, and the block as its editor needs it."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any, Literal

import numpy as np

from seamlore.color.lab import srgb_to_lab
from seamlore.color.value import value_of
from seamlore.draft.block import Block, Corner, Value
from seamlore.draft.quilt import Quilt
from seamlore.draft.seams import seams
from seamlore.drawing.picture import Picture
from seamlore.errors import SeamloreError
from seamlore.lengths import Length, Unit, in_unit
from seamlore.pictures.lettering import heart
from seamlore.pictures.palette import GRAYS, quilt_cloths, written_on
from seamlore.pictures.quilts import DIMENSIONED_MM, quilt_picture
from seamlore.steps.fabrics import fabric_facts
from seamlore.steps.study.job import Job
from seamlore.steps.understand import BlockFacts
from seamlore.web.desk import OpenStudy

Colored = Literal["photo", "place", "value"]
COLORED: tuple[tuple[Colored, str], ...] = (
    ("photo", "the photograph's cloths"),
    ("place", "one cloth a place"),
    ("value", "light, medium, dark"),
)
# Small on paper, so that its lettering is large on the page.
_STAGE_MM = (128.0, 134.0)


@dataclass(frozen=True, slots=True)
class Photograph:
    """Where the flattened photograph lies on the picture of the draft, in the picture's millimeters."""

    x: float
    y: float
    width: float
    height: float
    address: str


@dataclass(frozen=True, slots=True)
class Stage:
    """The quilt as drafted, and the quilt as found to be laid over it."""

    picture: Picture
    found: Photograph | None


def colored(text: str, study: OpenStudy) -> Colored:
    """Read which colors were asked for; those of the photograph when there is one."""
    known = next((key for key, _ in COLORED if key == text), None)
    return known or ("photo" if study.photograph else "place")


def cloths(job: Job, quilt: Quilt, how: Colored) -> tuple[dict[str, Any], dict[tuple[int, int, int], str]]:
    """Give the cloths of a draft, by key and for single patches."""
    by_key, single = job.cloths
    if how == "photo":
        shown = {spot: paint for spot, paint in single.items() if quilt.block_at(*spot[:2]) is quilt.block}
        return dict(by_key), shown
    paints = quilt_cloths(quilt, by_key)
    if how == "place":
        return paints, {}
    grays = {key: GRAYS[value_of_paint(paint)] for key, paint in paints.items() if isinstance(paint, str)}
    return grays | {letter: GRAYS[place.value] for letter, place in quilt.places.items()}, {}


def value_of_paint(paint: str) -> Value:
    """Tell whether a color is light, medium or dark."""
    parts = [int(paint[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    return value_of(float(srgb_to_lab(parts)[0]))


def stage(study: OpenStudy, quilt: Quilt, how: Colored) -> Stage:
    """Draw the draft with its sizes, and find where the photograph lies on it."""
    by_key, single = cloths(study.job, quilt, how)
    drawn = quilt_picture(quilt, *_STAGE_MM, by_key, patch_cloths=single)
    return Stage(drawn, _found(study, quilt, drawn))


def _found(study: OpenStudy, quilt: Quilt, drawn: Picture) -> Photograph | None:
    if study.photograph is None:
        return None
    left, top, right, _ = DIMENSIONED_MM
    scale = (drawn.width_mm - left - right) / quilt.finished_size[0].inches_float
    gone, size = _as_found(study.job, quilt)
    return Photograph(
        left + gone[0].inches_float * scale,
        top + gone[1].inches_float * scale,
        size[0].inches_float * scale,
        size[1].inches_float * scale,
        flat_address(study),
    )


def _as_found(job: Job, quilt: Quilt) -> tuple[tuple[Length, Length], tuple[Length, Length]]:
    """What is gone at the left and the top, and the size that is left; at true scale whatever is drafted."""
    zero = in_unit(0, Unit.INCH)
    try:
        cut = {side: max(lost, zero) for side, lost in job.chosen.cut}
        whole = job.drafted.quilt.finished_size
    except SeamloreError:
        # What was measured makes no draft of its own: the photograph is laid on by its own size.
        reading = job.reading
        unit = Unit.INCH if reading.unit == "width" else Unit(reading.unit)
        by_tape = tuple(in_unit(Fraction(side).limit_denominator(1000), unit) for side in reading.size)
        size = job.size or ((by_tape[0], by_tape[1]) if reading.unit != "width" else quilt.finished_size)
        return (zero, zero), size
    left, top, right, bottom = (cut.get(side, zero) for side in ("left", "top", "right", "bottom"))
    return (left, top), (whole[0] - left - right, whole[1] - top - bottom)


def flat_address(study: OpenStudy) -> str:
    """Give the address of the flattened photograph, which changes when the picture does."""
    frame = study.job.flat.frame
    assert study.photograph is not None
    rests_on = repr((study.photograph.reference, frame.corners, frame.bows, frame.size))
    key = hashlib.sha256(rests_on.encode()).hexdigest()[:16]
    return f"/study/{study.entry.number}/picture/flat.jpg?k={key}"


def swatches(study: OpenStudy) -> dict[str, Any]:
    """Give the fabrics of the photograph to color patches with, the commonest first; none without a photograph."""
    if study.photograph is None:
        return {"fabrics": (), "key": ""}
    facts = fabric_facts(study.job.reading.fabrics or ())
    return {"fabrics": facts, "key": flat_address(study).rpartition("=")[2]}


def editor_data(
    number: int, base: int, quilt: Quilt, facts: BlockFacts, paints: Mapping[str, Any], said: str
) -> dict[str, Any]:
    """Give the block as its editor needs it: outlines, seams, corners to snap to, cloths, units."""
    block = quilt.block
    plain = {letter: str(paints[letter]) for letter in block.places}
    return {
        "study": number,
        "base": base,
        "said": said,
        "name": block.name,
        "divisions": block.divisions,
        "patches": [
            {"points": _rounded(each.points.tolist()), "place": each.place, "spot": _heart(each.outline)}
            for each in block.patches
        ],
        "places": {
            letter: {
                "value": place.value,
                "scrappy": place.scrappy,
                "paint": plain[letter],
                "ink": written_on(plain[letter])[0],
            }
            for letter, place in block.places.items()
        },
        "seams": [{"at": _rounded(seam.segment), "patches": list(seam.patches)} for seam in seams(block)],
        "corners": [{"x": float(x), "y": float(y), "exact": [str(x), str(y)]} for x, y in _corners(block)],
        "units": [{"kind": unit.kind, "patches": list(unit.patches)} for unit in facts.units],
    }


@lru_cache(maxsize=4096)
def _heart(outline: tuple[Corner, ...]) -> list[float]:
    """Where a patch's letter stands, and how much room there is round it; most patches outlast an edit."""
    points = np.array([[float(x), float(y)] for x, y in outline])
    return [round(float(part), 5) for part in heart(points)]


def _corners(block: Block) -> list[Corner]:
    return sorted({corner for each in block.patches for corner in each.outline})


def _rounded(points: Any) -> list[list[float]]:
    return [[round(float(x), 6), round(float(y), 6)] for x, y in points]
