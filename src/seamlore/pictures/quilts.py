"""Pictures of whole quilts as drafted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import accumulate, pairwise

from seamlore.draft.layout import lay
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import OnPoint, Straight
from seamlore.draft.unread import not_read_words
from seamlore.draft.where import Where
from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import Area, Group, Paint, Shape, box, gathered, moved, ring
from seamlore.lengths import Length, show, show_size
from seamlore.pictures.lettering import across, down, words_width
from seamlore.pictures.palette import MADDER, PAPER, SEAM, paint_of, quilt_cloths
from seamlore.pictures.stamps import stamped, unread_marks

# Left, top, right, bottom of a quilt that is lettered with its sizes, and of one that is not.
DIMENSIONED_MM = (10.5, 10.5, 8.0, 8.0)
BARE_MM = (0.3, 0.3, 0.3, 0.3)
_TYPE_PT = 7.5
_LIFT_MM = 2.9


def quilt_picture(
    quilt: Quilt,
    width_mm: float,
    height_mm: float,
    cloths: Mapping[str, Paint] | None = None,
    *,
    dimensions: bool = True,
    edge_now: tuple[Length, Length, Length, Length] | None = None,
    patch_cloths: Mapping[Where, Paint] | None = None,
    coloring: Sequence[Paint] | None = None,
    title: str = "",
    by_block: bool = False,
) -> Picture:
    """Draw a quilt as drafted, as large as goes into a box.

    Parameters
    ----------
    quilt : Quilt
    width_mm, height_mm : float
        The room there is; the picture takes all of one of them.
    cloths : mapping of str to paint, optional
        As `palette.quilt_cloths` takes them.
    dimensions : bool
        Letter the sizes round it: over it and left of it from edge to edge of every block, sashing and
        border; under it and right of it the whole.
    edge_now : tuple of Length, optional
        Left, top, right, bottom: how far inside the drafted edge the old quilt's edge now runs; drawn dashed.
    patch_cloths : mapping of Where to paint, optional
        Cloths of single patches, such as those seen on a photograph; they come before the cloths of their places.
    coloring : sequence of paint, optional
        One for every piece, in the order of `draft.layout.lay`, such as `draft.recolor` gives; it comes before all
        cloths.
    title : str
        The quilt's name when not given.
    by_block : bool
        Draw each block as a group of its own, those alike with the same shapes: quick to draw again when little has
        changed. Else whatever has one color is one area, which is small and quick on paper.

    Examples
    --------
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.draft.text.notation import read_block
    >>> from seamlore.lengths import length
    >>> four = read_block("block Four Patch\\nA dark\\nB light\\n\\nA B\\nB A")
    >>> drawn = quilt_picture(repeated("Check", four, length("8in"), length("8in"), 2, 3), 100, 100)
    >>> drawn.width_mm, drawn.description
    (100.0, 'Check: 2 rows of 3 Four Patch blocks, 24 x 16 in finished.')
    """
    left, top, right, bottom = DIMENSIONED_MM if dimensions else BARE_MM
    full_w, full_h = (side.inches_float for side in quilt.finished_size)
    scale = min((width_mm - left - right) / full_w, (height_mm - top - bottom) / full_h)
    shapes: list[Shape] = [
        moved(quilt_shapes(quilt, scale, cloths, patch_cloths, coloring, by_block=by_block), left, top)
    ]
    if edge_now:
        shapes.append(moved(_edge_now(edge_now, full_w * scale, full_h * scale, scale), left, top))
    if dimensions:
        shapes.append(moved(_dimensions(quilt, scale), left, top))
    return picture(
        float(full_w * scale + left + right),
        float(full_h * scale + top + bottom),
        shapes,
        title=title or quilt.name,
        description=describe(quilt),
    )


def describe(quilt: Quilt) -> str:
    """Say what a quilt looks like, for who cannot see it."""
    size = show_size(*quilt.finished_size)
    extra = []
    if quilt.sashing and any(quilt.gaps):
        extra.append("sashing" + (" with cornerstones" if quilt.sashing.cornerstones else ""))
    if quilt.borders:
        extra.append("a border" if len(quilt.borders) == 1 else f"{len(quilt.borders)} borders")
    tail = " With " + " and ".join(extra) + "." if extra else ""
    noun = "block" if quilt.rows == quilt.columns == 1 else "blocks"
    rows = f"{quilt.rows} row{'s' if quilt.rows != 1 else ''} of {quilt.columns}"
    point = ", set on point" if isinstance(quilt.setting, OnPoint) else ""
    blocks = f"{rows} {quilt.made_of} {noun}{point}" if quilt.counts else f"{rows} blocks{point}"
    unread = f" {not_read_words(quilt)}" if quilt.not_read else ""
    return f"{quilt.name}: {blocks}, {size} finished.{tail}{unread}"


def quilt_shapes(
    quilt: Quilt,
    mm_per_inch: float,
    cloths: Mapping[str, Paint] | None = None,
    patch_cloths: Mapping[Where, Paint] | None = None,
    coloring: Sequence[Paint] | None = None,
    *,
    by_block: bool = False,
) -> list[Shape]:
    """Draw the shapes of a quilt with its top left corner at 0, 0, at `mm_per_inch` on paper for an inch of cloth."""
    paints = quilt_cloths(quilt, cloths)
    single = patch_cloths or {}
    # Seams thin out with the patches, so that a small picture of many patches does not turn gray.
    shortest = min(quilt.block_width.inches_float, quilt.block_height.inches_float) * mm_per_inch
    finest = max((kind.block.divisions for kind in quilt.kinds), default=1)
    seam_mm = max(0.03, min(0.14, 0.012 * shortest / max(1, finest) ** 0.5))
    if by_block and coloring is None:
        shapes = stamped(quilt, mm_per_inch, paints, single, seam_mm)
    else:
        laid = [(each, ring(each.outline * mm_per_inch)) for each in lay(quilt)]
        own = [single.get(each.where) or paint_of(each, paints) for each, _ in laid]
        painted = zip((outline for _, outline in laid), coloring or own, strict=True)
        sewn, unread = ([line for each, line in laid if (each.role == "not read") is gone] for gone in (False, True))
        shapes = [*gathered(painted, seam_mm=0.04), Area(tuple(sewn), None, SEAM, seam_mm), *unread_marks(unread)]
    width, height = (side.inches_float * mm_per_inch for side in quilt.finished_size)
    shapes.append(Area((box(0, 0, width, height),), None, SEAM, 0.2))
    return shapes


def _edge_now(edge: tuple[Length, Length, Length, Length], w: float, h: float, scale: float) -> list[Shape]:
    left, top, right, bottom = (side.inches_float * scale for side in edge)
    inside = box(left, top, w - left - right, h - top - bottom)
    gone = Area((box(0, 0, w, h), inside), PAPER)
    return [
        Group((gone,), opacity=0.62),
        Area((inside,), None, PAPER, 0.9),
        Area((inside,), None, MADDER, 0.35, (2.0, 1.2)),
    ]


def _dimensions(quilt: Quilt, scale: float) -> list[Shape]:
    width, height = quilt.finished_size
    w, h = width.inches_float * scale, height.inches_float * scale
    found: list[Shape] = []
    for stops, letter in ((_stops(quilt, 0), across), (_stops(quilt, 1), down)):
        said: set[Length] = set()
        lifted = False
        for start, end in pairwise(stops):
            extent = end - start
            # Each size is lettered where it comes first; the eye carries it on.
            if extent in said:
                continue
            said.add(extent)
            a, b, label = start.inches_float * scale, end.inches_float * scale, show(extent, bare=True)
            # Words wider than their line are lifted clear of their neighbors'.
            lifted = words_width(label, _TYPE_PT) > b - a and not lifted
            found += letter(a, b, -3.2, label, size_pt=_TYPE_PT, lift=_LIFT_MM * lifted)
    found += across(0, w, h + 3.2, show(width), size_pt=_TYPE_PT, above=False)
    found += down(0, h, w + 3.2, show(height), size_pt=_TYPE_PT, left=False)
    return found


def _stops(quilt: Quilt, axis: int) -> list[Length]:
    """Give the distance of every edge along one axis from the quilt's own edge, both edges included."""
    field = quilt.field_size[axis]
    inner = [field * 0]
    if isinstance(quilt.setting, Straight):
        gap, size = quilt.gaps[axis], (quilt.block_width, quilt.block_height)[axis]
        count = (quilt.columns, quilt.rows)[axis]
        outer = bool(quilt.sashing and quilt.sashing.outer)
        gone = ((quilt.cut.left, quilt.cut.top) if quilt.cut else (field * 0, field * 0))[axis]
        widths = [gap] * outer + [size] + [gap, size] * (count - 1) + [gap] * outer
        # What the edge has cut off is clipped from the chain as it is from the cloth.
        reached = accumulate(widths, initial=-gone)
        inner = [min(max(stop, field * 0), field) for stop in reached] if quilt.cut else list(reached)
    inner = _in_order({*inner, field})
    first, last = (3, 1) if axis == 0 else (0, 2)
    bands, ends = (
        list(accumulate((border.sides[side].width for border in reversed(quilt.borders)), initial=field * 0))
        for side in (first, last)
    )
    total = quilt.finished_size[axis]
    return _in_order({*bands, *(bands[-1] + stop for stop in inner), *(total - end for end in ends)})


def _in_order(stops: Iterable[Length]) -> list[Length]:
    # No two that differ come to one float: all are sums of marks on a tape.
    return sorted(stops, key=lambda stop: stop.inches_float)
