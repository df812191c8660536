"""Sizes of a draft to choose from: sliders, what a size was found as, and the same quilt with other sizes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from seamlore.draft.quilt import Quilt
from seamlore.draft.sizes.variants import variants
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import moved
from seamlore.errors import SeamloreError
from seamlore.lengths import Length, Unit, in_unit, on_mark, show, show_size
from seamlore.pictures.quilts import describe, quilt_shapes
from seamlore.steps.edit.redraft import resized
from seamlore.steps.study.job import Job
from seamlore.study.snapping import Snap

_WAY_MM = 80.0
_VARIED = {
    "sashing": "other sashing",
    "block": "another size of block",
    "border": "another border",
}
# What sliders reach, by unit: their step; least and most of block, sashing and border.
_STEP = {Unit.INCH: Fraction(1, 8), Unit.CM: Fraction(1, 2)}
_REACH: dict[Unit, dict[str, tuple[float, float]]] = {
    Unit.INCH: {"block": (2, 24), "gap": (0, 8), "border": (0, 14)},
    Unit.CM: {"block": (5, 60), "gap": (0, 20), "border": (0, 35)},
}


@dataclass(frozen=True, slots=True)
class Slider:
    """A slider beside a field: its least, most, step and value, in the draft's unit."""

    least: float
    most: float
    step: float
    value: float


@dataclass(frozen=True, slots=True)
class SnapLine:
    """One size as found and as drafted, once where it is the same both ways."""

    what: str
    snap: Snap


@dataclass(frozen=True, slots=True)
class Way:
    """The same quilt with another size.

    Parameters
    ----------
    label : str
        Such as "sashing 3 in".
    value : str
        The size as it is sent back.
    finished : str
        Size of the whole quilt.
    picture : Picture or None
    why_not : str
        Why it cannot be sewn so, when there is no picture.
    now : bool
        Whether it is the draft as it stands.
    custom : str
        What the trade's custom says of it.
    """

    label: str
    value: str
    finished: str
    picture: Picture | None
    why_not: str
    now: bool
    custom: str


def sliders(quilt: Quilt) -> dict[str, Slider]:
    """Give the sliders of a draft's sizes, by field."""
    reach = _REACH[quilt.unit]
    widths = quilt.borders[0].widths if quilt.borders else (quilt.block_width * 0,)
    now = {
        "block_width": ("block", quilt.block_width),
        "sashing": ("gap", quilt.gaps[0]),
    }
    # Sides of several widths are no one width to slide.
    if len(widths) == 1:
        now["border"] = ("border", widths[0])
    found = {}
    for name, (kind, size) in now.items():
        least, most = reach[kind]
        value = float(size.measured_in(quilt.unit))
        found[name] = Slider(least, max(most, value), float(_STEP[quilt.unit]), value)
    return found


def snap_lines(job: Job) -> list[SnapLine]:
    """List every size with its reason and the alternatives; block and sashing once where both ways are alike."""
    try:
        snaps = list(job.drafted.snaps)
    except SeamloreError:
        # Nothing measured makes a draft: there is nothing that was put on a tape's mark.
        return []
    lines: list[SnapLine] = []
    pairs = {"block width": ("block height", "block"), "sashing between columns": ("sashing between rows", "sashing")}
    by_name = {each.what: each for each in snaps}
    done: set[str] = set()
    for each in snaps:
        if each.what in done:
            continue
        other, both = pairs.get(each.what, ("", ""))
        twin = by_name.get(other)
        if twin and (twin.chosen, twin.alternatives) == (each.chosen, each.alternatives):
            done.add(other)
            lines.append(SnapLine(both, each))
        else:
            lines.append(SnapLine(each.what, each))
    return lines


def beside(quilt: Quilt, vary: str, cloths: Mapping[str, Any]) -> tuple[dict[str, str], list[Way]]:
    """Draw the same quilt with a few other sizes.

    Parameters
    ----------
    quilt : Quilt
    vary : {"sashing", "block", "border"}
        What is other; sashing when it is none of these.
    cloths : mapping of str to paint

    Returns
    -------
    kinds : dict of str to str
        What can be varied, and how that is called.
    ways : list of Way
    """
    vary = vary if vary in _VARIED else "sashing"
    sizes = _sizes(quilt, vary)
    made = _variants(quilt, vary, sizes)
    whole = [one.finished_size for one, _ in made if one is not None] or [quilt.finished_size]
    widest, highest = (max(side.inches_float for side in sides) for sides in zip(*whole, strict=True))
    scale = _WAY_MM / max(widest, highest)

    def drawn(one: Quilt) -> Picture:
        # All on one canvas at one scale, so that a larger quilt is seen to be larger.
        width, height = (side.inches_float * scale for side in one.finished_size)
        shapes = moved(quilt_shapes(one, scale, cloths), (widest * scale - width) / 2, (highest * scale - height) / 2)
        size = widest * scale + 0.4, highest * scale + 0.4
        return picture(*size, [moved([shapes], 0.2, 0.2)], title=one.name, description=describe(one))

    ways = [
        Way(
            show(size) if size else "none",
            str(size),
            show_size(*one.finished_size) if one else "",
            drawn(one) if one else None,
            why_not,
            one == quilt,
            _custom(quilt, vary, size),
        )
        for size, (one, why_not) in zip(sizes, made, strict=True)
    ]
    return dict(_VARIED), ways


def _variants(quilt: Quilt, vary: str, sizes: list[Length]) -> list[tuple[Quilt | None, str]]:
    made: list[tuple[Quilt | None, str]] = []
    for size in sizes:
        if not size or (vary == "border" and not quilt.borders):
            made.append((resized(quilt, vary, size), ""))
        else:
            way = variants(quilt, {vary: [size]})[0]
            made.append((way.quilt, way.why_not))
    return made


def _sizes(quilt: Quilt, vary: str) -> list[Length]:
    """The size as it is, and others round it: for sashing and border those that custom speaks of."""
    block = quilt.block_width

    def mark(size: Length) -> Length:
        step = in_unit(Fraction(1, 4), Unit.INCH) if quilt.unit is Unit.INCH else in_unit(Fraction(1, 2), Unit.CM)
        return on_mark(size, "nearest", step)

    if vary == "block":
        step = in_unit(1 if quilt.unit is Unit.INCH else 2, quilt.unit)
        third = on_mark(block / 3, "nearest", step)
        offered = [block - max(third, step), block, block + max(third, step)]
    elif vary == "border":
        now = quilt.borders[0].left.width if quilt.borders else block * 0
        offered = [now, mark(block / 4), mark(block / 2), mark(block)]
    else:
        offered = [quilt.gaps[0], mark(block / 4), mark(block * Fraction(3, 8)), mark(block / 2)]
    return sorted({size for size in offered if size.inches >= 0 and (vary != "block" or size)})


def _custom(quilt: Quilt, vary: str, size: Length) -> str:
    if vary == "block" or not size:
        return ""
    ratio = size.inches / quilt.block_width.inches
    return f"{float(ratio):.2f} of the block"
