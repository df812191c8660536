"""Where sound cloth lies on the old quilt, and the patches that come out of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Group, Image, ImageFile, Ring, Shape, Text, box
from seamlore.pictures.palette import CLOTHS, FAINT, INK, PAPER

Places = Sequence[tuple[str, Sequence[tuple[float, float, float, float]]]]


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
        rings = [tuple(_ring(ring, scale) for ring in (piece.exterior, *piece.interiors)) for piece in pieces]
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


def _ring(ring: Any, scale: float) -> Ring:
    return tuple((float(x), float(y)) for x, y in (np.asarray(ring.coords)[:-1, :2] * scale).tolist())
