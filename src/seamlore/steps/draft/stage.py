"""What a draft is drawn with: the stage, the cloths, the quilt as found under it, the block as an editor needs it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any, Literal

import numpy as np

from seamlore.color.lab import srgb_to_lab
from seamlore.color.value import value_of
from seamlore.draft.block import Block, Corner, Value
from seamlore.draft.kinds import Kind
from seamlore.draft.quilt import Quilt
from seamlore.draft.seams import seams
from seamlore.draft.sizes.proportion import Proportions, proportions
from seamlore.draft.where import Where
from seamlore.drawing.picture import Picture
from seamlore.drawing.svg import to_svg
from seamlore.errors import SeamloreError
from seamlore.lengths import Length, Unit, in_unit
from seamlore.pictures.blocks import block_picture
from seamlore.pictures.lettering import heart
from seamlore.pictures.palette import GRAYS, kind_cloths, quilt_cloths, written_on
from seamlore.pictures.quilts import DIMENSIONED_MM, quilt_picture
from seamlore.steps.draft.open_kind import open_kind
from seamlore.steps.draft.understand import BlockFacts
from seamlore.steps.study.job import Job

Colored = Literal["photo", "place", "value"]
COLORED: tuple[tuple[Colored, str], ...] = (
    ("photo", "the photograph's cloths"),
    ("place", "one cloth a place"),
    ("value", "light, medium, dark"),
)
# Small on paper, so that its lettering is large on the page.
_STAGE_MM = (128.0, 134.0)


@dataclass(frozen=True, slots=True)
class AsFound:
    """Where the flattened photograph lies on the picture of the draft, in the picture's millimeters."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Stage:
    """The quilt as drafted, and the quilt as found to be laid over it."""

    picture: Picture
    found: AsFound | None


def colored(text: str, job: Job) -> Colored:
    """Read which colors were asked for; those of the photograph when there is one."""
    known = next((key for key, _ in COLORED if key == text), None)
    return known or ("photo" if job.inputs.photo is not None else "place")


def cloths(job: Job, quilt: Quilt, how: Colored) -> tuple[dict[str, Any], dict[Where, str]]:
    """Give the cloths of a draft, by key and for single patches."""
    by_key, single = job.cloths
    if how == "photo":
        return dict(by_key), single
    paints = quilt_cloths(quilt, by_key)
    if how == "place":
        return paints, {}
    grays = {key: GRAYS[value_of_paint(paint)] for key, paint in paints.items() if isinstance(paint, str)}
    return grays | {letter: GRAYS[place.value] for letter, place in quilt.places.items()}, {}


def value_of_paint(paint: str) -> Value:
    """Tell whether a color is light, medium or dark."""
    parts = [int(paint[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    return value_of(float(srgb_to_lab(parts)[0]))


def stage(job: Job, quilt: Quilt, how: Colored) -> Stage:
    """Draw the draft with its sizes, and find where the photograph lies on it."""
    by_key, single = cloths(job, quilt, how)
    drawn = quilt_picture(quilt, *_STAGE_MM, by_key, patch_cloths=single)
    return Stage(drawn, _found(job, quilt, drawn))


def _found(job: Job, quilt: Quilt, drawn: Picture) -> AsFound | None:
    if job.inputs.photo is None:
        return None
    left, top, right, _ = DIMENSIONED_MM
    scale = (drawn.width_mm - left - right) / quilt.finished_size[0].inches_float
    gone, size = _as_found(job, quilt)
    return AsFound(
        left + gone[0].inches_float * scale,
        top + gone[1].inches_float * scale,
        size[0].inches_float * scale,
        size[1].inches_float * scale,
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


def editor_data(kind: Kind, facts: BlockFacts, paints: Mapping[str, Any]) -> dict[str, Any]:
    """Give the block of one kind as its editor needs it: outlines, seams, corners to snap to, cloths, units.

    Parameters
    ----------
    kind : Kind
    facts : BlockFacts
        Of its block.
    paints : mapping of str to paint
        Its cloths, by letter.
    """
    block = kind.block
    plain = {letter: str(paints[letter]) for letter in block.places}
    return {
        "kind": kind.name,
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


def proportions_of(job: Job, quilt: Quilt) -> Proportions:
    """Give a draft's proportions beside the customs of the trade; what has no place of its own by its color's value."""
    by_key, _ = cloths(job, quilt, "place")
    values = {
        key: value_of_paint(paint)
        for key, paint in quilt_cloths(quilt, by_key).items()
        if key not in quilt.places and isinstance(paint, str)
    }
    return proportions(quilt, values)


def quilt_svg(job: Job) -> str:
    """Draw the draft with its sizes, to be saved."""
    by_key, single = cloths(job, job.quilt, colored("", job))
    return to_svg(quilt_picture(job.quilt, 400, 400, by_key, patch_cloths=single))


def block_svg(job: Job, kind: str = "") -> str:
    """Draw the block of one kind, to be saved."""
    by_key, _ = cloths(job, job.quilt, colored("", job))
    here = open_kind(job.quilt, kind)
    return to_svg(block_picture(here.block, 120, kind_cloths(job.quilt, here, quilt_cloths(job.quilt, by_key))))
