"""The map of a quilt's condition: the photograph laid flat, notes over it, blocks by what they are worth; and its sound cloth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from seamlore.condition.ground import Ground
from seamlore.condition.kinds import kind_named
from seamlore.condition.survey import Laid, Survey
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Group, Image, ImageFile, Line, Ring, Shape, Text, box
from seamlore.pictures.palette import CLOTHS, FAINT, INK, PAPER

Places = Sequence[tuple[str, Sequence[tuple[float, float, float, float]]]]
# How notes are drawn, by what they do; told apart by line as well as by color.
_COLORS = {"cloth": "#8a3b35", "look": "#c29a58", "alive": "#4c6350", "made": "#33456a", "word": "#33456a"}
_DASHES: Mapping[str, tuple[float, ...]] = {"look": (1.0, 0.6), "alive": (0.3, 0.6)}


def condition_map(
    ground: Ground,
    notes: Sequence[Laid],
    found: Survey,
    photo: ImageFile | None,
    width_mm: float,
    height_mm: float,
) -> Picture:
    """Draw the map of a quilt's condition.

    Parameters
    ----------
    ground : Ground
    notes : sequence of Laid
        In the quilt's unit; those of the back are drawn where they lie as seen from the front, in dashes.
    found : Survey
        Of these notes.
    photo : ImageFile, optional
        The photograph flattened to the quilt's outline.
    width_mm, height_mm : float
        The room there is; the picture takes all of one of them.
    """
    scale = min(width_mm / ground.size[0], height_mm / ground.size[1])
    w, h = ground.size[0] * scale, ground.size[1] * scale
    shapes: list[Shape] = []
    if photo is not None:
        shapes += [Image(photo, 0, 0, w, h), Group((Area((box(0, 0, w, h),), PAPER),), opacity=0.35)]
    shapes += _blocks(ground, found, scale)
    for each in notes:
        if len(each.outline) > 2 and kind_named(each.kind).does not in ("held", "tried"):
            shapes += _note(each, scale)
    shapes.append(Area((box(0, 0, w, h),), None, FAINT, 0.2))
    counts = ", ".join(f"{found.count(verdict)} {verdict}" for verdict in ("sound", "doubtful", "lost"))
    says = f"The quilt laid flat with {len(notes)} notes drawn on it." + (
        f" Blocks: {counts}." if found.blocks else ""
    )
    return picture(w, h, [Group(tuple(shapes), clip=(0, 0, w, h))], title="Map of its condition", description=says)


def _blocks(ground: Ground, found: Survey, scale: float) -> list[Shape]:
    """A cross through what is lost, a stroke through what is doubtful: read without color."""
    number = {at: index for index, at in enumerate(ground.block_at)}
    lost: list[Ring] = []
    doubtful: list[Ring] = []
    for each in found.blocks:
        a, b, c, d = (tuple(point) for point in (ground.blocks[number[each.at]] * scale).tolist())
        if each.verdict == "lost":
            lost += [(a, c), (b, d)]
        elif each.verdict == "doubtful":
            doubtful.append((b, d))
    made: list[Shape] = []
    for runs in (lost, doubtful):
        if runs:
            made += [Line(tuple(runs), PAPER, 0.9), Line(tuple(runs), INK, 0.35)]
    return made


def _note(note: Laid, scale: float) -> list[Shape]:
    does = kind_named(note.kind).does
    color = _COLORS.get(does, INK)
    ring = _ring(note.outline * scale)
    dash = (1.6, 0.8) if note.behind else tuple(_DASHES.get(does, ()))
    fill = Group((Area((ring,), color),), opacity=0.12 + 0.12 * note.severity)
    made: list[Shape] = [fill, Area((ring,), None, PAPER, 0.7), Area((ring,), None, color, 0.35, dash)]
    if note.severity:
        x, y = note.outline.mean(axis=0) * scale
        made.append(Text(float(x), float(y), str(note.severity), 5.5, "middle", middle=True, fill=INK, halo=PAPER))
    return made


def _ring(points: NDArray[np.float64]) -> Ring:
    return tuple((float(x), float(y)) for x, y in points)


def old_cloth(
    size: tuple[float, float],
    cloths: Sequence[tuple[str, Sequence[Any]]],
    patches: Places,
    photo: ImageFile | None,
    width_mm: float,
    height_mm: float,
) -> Picture:
    """Draw sound cloth as outlines with holes, and patches laid into them.

    Parameters
    ----------
    size : (width, height)
        Of the quilt, in its unit.
    cloths : sequence of (name, pieces)
        Outlines as shapely polygons, in the quilt's unit.
    patches : sequence of (name, places)
        Left, top, width and height of each patch, of one size and cloth together.
    photo : ImageFile, optional
        The photograph flattened to the quilt's outline.
    width_mm, height_mm : float
        The room there is; the picture takes all of one of them.
    """
    scale = min(width_mm / size[0], height_mm / size[1])
    w, h = size[0] * scale, size[1] * scale
    shapes: list[Shape] = []
    if photo is not None:
        shapes += [Image(photo, 0, 0, w, h), Group((Area((box(0, 0, w, h),), PAPER),), opacity=0.55)]
    for number, (_, pieces) in enumerate(cloths):
        color = list(CLOTHS.values())[number % len(CLOTHS)]
        rings = [
            tuple(_ring(np.asarray(ring.coords)[:-1, :2] * scale) for ring in (piece.exterior, *piece.interiors))
            for piece in pieces
        ]
        shapes += [Group((Area(each, color),), opacity=0.4) for each in rings]
        shapes += [Area(each, None, INK, 0.2) for each in rings]
    for _, places in patches:
        for x, y, wide, high in places:
            shapes.append(Area((box(x * scale, y * scale, wide * scale, high * scale),), PAPER, INK, 0.25))
        if places:
            x, y, wide, high = places[0]
            if min(wide, high) * scale > 4:
                shapes.append(
                    Text(
                        (x + wide / 2) * scale,
                        (y + high / 2) * scale,
                        str(len(places)),
                        5.5,
                        "middle",
                        middle=True,
                        fill=INK,
                    )
                )
    shapes.append(Area((box(0, 0, w, h),), None, FAINT, 0.2))
    says = (
        "; ".join(f"{name}: {len(pieces)} piece{'s' * (len(pieces) != 1)}" for name, pieces in cloths)
        or "no sound cloth"
    )
    return picture(
        w,
        h,
        [Group(tuple(shapes), clip=(0, 0, w, h))],
        title="Sound cloth of the old quilt",
        description=f"Sound cloth. {says}.",
    )
