"""The layout of a quilt: which block stands where and how it lies, and in which rows the blocks are joined."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from seamlore.draft.groups import as_sewn, groups, ways
from seamlore.draft.kinds import AS_DRAWN, Turned
from seamlore.draft.layout import spot_outlines, up_of
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.arranged import arrange, on_point
from seamlore.draft.setting.parts import Spot
from seamlore.draft.setting.setting import Strips
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Group, Paint, Shape, Text, circle, moved, ring
from seamlore.pictures.lettering import arrow
from seamlore.pictures.palette import INK, PAPER
from seamlore.pictures.quilts import quilt_shapes
from seamlore.plane.outline import Points
from seamlore.sewing.row_names import lines

_PALE = 0.45
_MARGIN_MM = 7.0
_LEAST_PT, _MOST_PT = 4.0, 9.0


def layout_picture(
    quilt: Quilt, width_mm: float, height_mm: float, cloths: Mapping[str, Paint] | None = None, *, title: str
) -> Picture:
    """Draw how the blocks of a quilt are laid out before they are joined.

    Parameters
    ----------
    quilt : Quilt
    width_mm, height_mm : float
        The room there is.
    cloths : mapping of str to paint, optional
        As `palette.quilt_cloths` takes them.
    title : str

    Returns
    -------
    Picture
        The quilt pale, every block outlined; the name of its kind where there are several; an arrow to its top as the
        block is drawn where copies of it lie otherwise, with "r" on what is reversed; which of the ways it is where the edge
        has cut blocks in several; rows, or columns, numbered.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> layout_picture(repeated("q", find("pinwheel"), inches(8), inches(8), 2, 3), 90, 90, title="Layout").description
    'Layout of 2 rows, numbered from the top.'
    """
    full_w, full_h = (side.inches_float for side in quilt.finished_size)
    scale = min((width_mm - 2 * _MARGIN_MM) / full_w, (height_mm - 2 * _MARGIN_MM) / full_h)
    arranged = arrange(quilt)
    spots = [spot for spot in arranged.spots if spot.where.part == "block"]
    shapes: list[Shape] = [Group(tuple(quilt_shapes(quilt, scale, cloths)), opacity=_PALE)]
    lies = as_sewn(quilt)
    turned = {quilt.cells[row][column].kind for (row, column), way in lies.items() if way != AS_DRAWN}
    shapes.append(
        Area(tuple(ring(outline * scale) for spot in spots for outline in spot_outlines(spot)), None, INK, 0.35)
    )
    found = groups(quilt)
    number_of = {
        spot.where: f" ({number})"
        for group, (number, count) in zip(found, ways(found), strict=True)
        for spot in group.spots
        if count > 1
    }
    for spot in spots:
        way = lies.get((spot.where.row, spot.where.column))
        which = number_of.get(spot.where, "")
        shapes += _marked(quilt, spot, scale, way if spot.kind and spot.kind.name in turned else None, which)
    rows = lines(quilt, spots)
    # A single row is not looked for.
    for number, row in enumerate(rows if len(rows) > 1 else (), start=1):
        x, y = _head(row, scale, columns=isinstance(quilt.setting, Strips))
        shapes.append(Area((circle(x, y, 2.6),), PAPER, INK, 0.2))
        shapes.append(Text(x, y, str(number), 7, "middle", True, "semibold", fill=INK))
    what, where = (
        ("columns", "from the left")
        if isinstance(quilt.setting, Strips)
        else ("diagonal rows", "from the top right corner")
        if on_point(quilt)
        else ("rows", "from the top")
    )
    count = f"{len(rows)} {what if len(rows) != 1 else what[:-1]}"
    return picture(
        full_w * scale + 2 * _MARGIN_MM,
        full_h * scale + 2 * _MARGIN_MM,
        [moved(shapes, _MARGIN_MM, _MARGIN_MM)],
        title=title,
        description=f"{title} of {count}, numbered {where}.",
    )


def _marked(quilt: Quilt, spot: Spot, scale: float, way: Turned | None, which: str) -> list[Shape]:
    outline = np.concatenate(spot_outlines(spot)) * scale
    low, high = outline.min(axis=0), outline.max(axis=0)
    # Of a half or a quarter the middle of its corners lies inside; that of its box may not.
    x, y = (float(each) for each in (outline.mean(axis=0) if spot.keep else (low + high) / 2))
    room = float(min(high - low)) * (0.5 if spot.frame.tilted or spot.keep else 0.8)
    named = len(quilt.kinds) > 1 and spot.kind is not None
    words = (
        (spot.kind.name if named and spot.kind else "") + (" r" if way is not None and way.mirrored else "") + which
    )
    size = min(_MOST_PT, room * 1.1)
    found: list[Shape] = []
    if way is not None and room >= 3:
        # Up in the block as it is drawn where it is sewn.
        up, reach = up_of(replace(spot, turned=Turned(way.turn))), min(room * 0.5, 7.0)
        # Words stand at the foot of the arrow.
        foot = (x - up[0] * reach * 0.4, y - up[1] * reach * 0.4)
        found += _haloed(foot, (x + up[0] * reach, y + up[1] * reach))
        x, y = x - up[0] * reach * 0.85, y - up[1] * reach * 0.85
    if words.strip() and size >= _LEAST_PT:
        found.append(Text(x, y, words.strip(), size, "middle", True, "semibold", fill=INK, halo=PAPER))
    return found


def _haloed(start: tuple[float, float], end: tuple[float, float]) -> list[Shape]:
    return [*arrow(*start, *end, PAPER, stroke_mm=1.0), *arrow(*start, *end, INK, stroke_mm=0.4)]


def _head(row: Sequence[Spot], scale: float, *, columns: bool) -> tuple[float, float]:
    """Where the number of a row stands: outside its first block."""
    outline: Points = np.concatenate(spot_outlines(row[0])) * scale
    low, high = outline.min(axis=0), outline.max(axis=0)
    middle = (low + high) / 2
    if columns:
        return float(middle[0]), float(low[1]) - 3.4
    if row[0].frame.tilted:
        # The corner or side at which a diagonal row begins, at its upper left.
        reach = float(high[0] - low[0]) / 4
        return float(middle[0]) - reach - 1.8, float(middle[1]) - reach - 1.8
    return float(low[0]) - 3.4, float(middle[1])
