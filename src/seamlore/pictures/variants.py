"""The same quilt with other sizes, side by side at one scale."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from seamlore.draft.sizes.variants import Variant
from seamlore.drawing.picture import Picture
from seamlore.drawing.shapes import Area, Paint, Shape, box
from seamlore.errors import ShapeError
from seamlore.lengths import show_size
from seamlore.pictures.palette import FAINT
from seamlore.pictures.quilts import quilt_shapes
from seamlore.pictures.tiles import Tile, tiles

_GAP_MM = 7.0


def variants_picture(
    tried: Sequence[Variant],
    width_mm: float,
    cloths: Mapping[str, Paint] | None = None,
    *,
    notes: Sequence[Sequence[str]] = (),
) -> Picture:
    """Draw variants of a quilt side by side at one scale, so that eye and ruler can compare them.

    Parameters
    ----------
    tried : sequence of Variant
        At least one that can be sewn.
    width_mm : float
        Width on paper.
    cloths : mapping of str to paint, optional
        As `palette.quilt_cloths` takes them.
    notes : sequence of sequence of str
        Lines under each, below what is other and the finished size.

    Raises
    ------
    ShapeError
        When none can be sewn.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.sizes.variants import variants
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> quilt = repeated("Porch", find("shoo fly"), inches(9), inches(9), 2, 2)
    >>> variants_picture(variants(quilt, {"sashing": [inches(1), inches(2)]}), 120).description
    'Porch, 2 ways: sashing 1 in, 19 x 19 in; sashing 2 in, 20 x 20 in.'
    """
    quilts = [each.quilt for each in tried if each.quilt]
    if not quilts:
        raise ShapeError(
            "variants none of which can be sewn", tried[0].why_not if tried else "there are none", "try others"
        )
    widest = max(quilt.finished_size[0].inches_float for quilt in quilts)
    across = min(len(tried), 4)
    room = (width_mm - 0.8 + _GAP_MM) / across - _GAP_MM
    scale = room / widest
    drawn, said = [], []
    for number, each in enumerate(tried):
        more = tuple(notes[number]) if notes else ()
        if each.quilt is None:
            drawn.append(Tile(_missing(room), room, room, (each.label, f"cannot be sewn: {each.why_not}")))
            said.append(f"{each.label}, cannot be sewn")
            continue
        width, height = (side.inches_float * scale for side in each.quilt.finished_size)
        size = show_size(*each.quilt.finished_size)
        shapes = tuple(quilt_shapes(each.quilt, scale, cloths))
        drawn.append(Tile(shapes, width, height, (each.label, f"{size} finished", *more)))
        said.append(f"{each.label}, {size}")
    name = quilts[0].name
    ways = f"{len(tried)} way{'s' * (len(tried) != 1)}"
    return tiles(drawn, width_mm, title=f"{name}, {ways}", description=f"{name}, {ways}: {'; '.join(said)}.")


def _missing(side: float) -> tuple[Shape, ...]:
    return (Area((box(0, 0, side, side),), None, FAINT, 0.2, (2.0, 1.4)),)
