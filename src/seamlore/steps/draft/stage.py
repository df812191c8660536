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
from seamlore.draft.setting.setting import STRAIGHT
from seamlore.draft.sizes.proportion import Proportions, proportions
from seamlore.draft.where import Where
from seamlore.drawing.picture import Picture
from seamlore.drawing.svg import to_svg
from seamlore.lengths import Length, Unit, in_unit
from seamlore.pictures.blocks import block_picture
from seamlore.pictures.lettering import heart, inmost
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
    drawn = quilt_picture(quilt, *_STAGE_MM, by_key, patch_cloths=single, by_block=True)
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
    """Where the quilt as found begins on the draft, and its size by tape: at true scale whatever is drafted.

    It lies with its first block on the first block of the draft where both have the same rows and columns, and in the
    middle otherwise.
    """
    reading, whole = job.reading, quilt.finished_size
    # Without a size the photograph has no scale of its own: it is as wide as the draft.
    unknown = reading.unit == "width"
    one = (job.inputs.tape.overall("across") or whole[0]) if unknown else in_unit(1, Unit(reading.unit))
    size = _of(reading.size[0], one), _of(reading.size[1], one)
    counts = (reading.rows, reading.columns) == (quilt.rows, quilt.columns)
    if reading.edge is None or not counts or (reading.setting, quilt.setting) != ("straight", STRAIGHT):
        return ((whole[0] - size[0]) / 2, (whole[1] - size[1]) / 2), size
    gaps = quilt.gaps if quilt.sashing and quilt.sashing.outer else (one * 0, one * 0)
    left = sum((each.left.width for each in quilt.borders), gaps[0]) - _of(reading.edge.left, one)
    top = sum((each.top.width for each in quilt.borders), gaps[1]) - _of(reading.edge.top, one)
    return (left, top), size


def _of(number: float, one: Length) -> Length:
    return one * Fraction(number).limit_denominator(10**6)


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
    return [round(float(part), 5) for part in (inmost(points) if len(points) == 3 else heart(points))]


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


def kind_svg(job: Job, kind: str = "") -> str:
    """Draw the block of one kind small, without letters, for the picture of what stands where."""
    by_key, _ = cloths(job, job.quilt, "place")
    here = open_kind(job.quilt, kind)
    return to_svg(block_picture(here.block, 12, kind_cloths(job.quilt, here, quilt_cloths(job.quilt, by_key))))


def quilt_svg(job: Job) -> str:
    """Draw the draft with its sizes, to be saved."""
    by_key, single = cloths(job, job.quilt, colored("", job))
    return to_svg(quilt_picture(job.quilt, 400, 400, by_key, patch_cloths=single))


def block_svg(job: Job, kind: str = "") -> str:
    """Draw the block of one kind, to be saved."""
    by_key, _ = cloths(job, job.quilt, colored("", job))
    here = open_kind(job.quilt, kind)
    return to_svg(block_picture(here.block, 120, kind_cloths(job.quilt, here, quilt_cloths(job.quilt, by_key))))
