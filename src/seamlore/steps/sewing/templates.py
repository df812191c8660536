"""The templates of a pattern: one for each shape that is cut, what it serves, and how it is cut with a ruler instead."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import numpy as np

from seamlore.draft.block import Corner
from seamlore.draft.groups import canonical
from seamlore.draft.pieces import pieces
from seamlore.draft.quilt import Quilt
from seamlore.lengths import Length, show, show_size
from seamlore.making.corners_off import corners_off
from seamlore.making.shapes import Shaped, shape_of
from seamlore.making.sizes import cut_size, finished_points
from seamlore.plane.outline import Points, as_outline
from seamlore.sewing.top import Top
from seamlore.sheets.pattern import PatchTemplate
from seamlore.steps.words import few


def templates(quilt: Quilt, top: Top, seam: Length, *, counted: bool = False) -> Iterable[PatchTemplate]:
    """Give the templates of everything that is cut to a shape: patches of every kind of spot, then triangles of the setting.

    Parameters
    ----------
    quilt : Quilt
    top : Top
        From `sewing.top.sewn_top`.
    seam : Length
        Seam allowance.
    counted : bool
        Say on each how many pieces it serves: so many papers are cut.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.draft.repeated import repeated
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.top import sewn_top
    >>> shoo = repeated("q", find("shoo fly"), inches(9), inches(9), 2, 2)
    >>> [(each.label, each.cut) for each in templates(shoo, sewn_top(shoo), inches("1/4"))][0]
    ('A1', 'a square of 3 7/8 in, cut once corner to corner: 2 pieces')
    """
    yield from _patches(quilt, top, seam, counted=counted)
    yield from _triangles(quilt, seam)


def _patches(quilt: Quilt, top: Top, seam: Length, *, counted: bool) -> Iterable[PatchTemplate]:
    """One template for each shape of every kind of spot; one that is cut reversed is that of its mirror image."""
    shapes: dict[tuple[Corner, ...], dict[str, str]] = {}
    outlines: dict[tuple[Corner, ...], tuple[Corner, ...]] = {}
    labels = {label for made in top.blocks for label in made.group.labels}
    counts: Counter[str] = Counter()
    for made in top.blocks:
        for label in made.group.labels:
            counts[label] += made.count
    for made in top.blocks:
        group = made.group
        for part, ring, label in zip(group.parts, group.as_cut, group.labels, strict=True):
            # Where only the mirror image comes, it is numbered itself.
            if label.endswith("r") and label[:-1] in labels:
                continue
            shape = canonical(ring)
            outlines.setdefault(shape, ring)
            shapes.setdefault(shape, {}).setdefault(label, quilt.fabric_of(quilt.key(group.kind, part.place)))
    block = max(quilt.block_width, quilt.block_height)
    for shape, served in shapes.items():
        first, *others = served
        over = [f"{label}r" for label in served if f"{label}r" in labels]
        lines = (
            served[first],
            *((f"also {few(others)}",) if others else ()),
            *((f"turned over: {few(over)}",) if over else ()),
            *((f"{sum(counts[each] for each in (*served, *over))} papers",) if counted else ()),
        )
        yield _template(first, outlines[shape], lines, seam, block)


def _triangles(quilt: Quilt, seam: Length) -> Iterable[PatchTemplate]:
    """Templates of side and corner triangles, and of the plain ends of rows."""
    block = max(quilt.block_width, quilt.block_height)
    for piece in pieces(quilt):
        if piece.role in ("side triangle", "corner triangle", "row end"):
            lines = (piece.fabric, f"{piece.count} in all")
            yield _template(piece.label, piece.outline, lines, seam, block)


def _template(
    label: str, corners: tuple[Corner, ...], lines: tuple[str, ...], seam: Length, block: Length
) -> PatchTemplate:
    shaped = shape_of(corners)
    by_template = shaped.shape == "template"
    outline = finished_points(shaped) if by_template else as_outline([(float(x), float(y)) for x, y in corners])
    return PatchTemplate(
        label,
        outline - outline.min(axis=0),
        lines,
        grain_deg=90.0 if by_template else _grain(outline, shaped),
        by_ruler=not by_template,
        cut="" if by_template else _cut_words(shaped, seam),
        corners=corners_off(shaped, seam),
        block=block,
    )


def _grain(outline: Points, shaped: Shaped) -> float:
    """The direction of the straight grain of a piece as it lies, in degrees: upright where one of its sides is."""
    sides = np.roll(outline, -1, axis=0) - outline
    lengths = np.hypot(*sides.T)
    # Quarter-square triangles have their long side on the grain, all others their legs.
    legs = sides[lengths.argmax() if shaped.shape == "quarter-square triangle" else lengths.argmin()]
    angle = round(float(np.degrees(np.arctan2(legs[1], legs[0]))) % 90, 6)
    return 90.0 if angle in (0.0, 90.0) else angle


def _cut_words(shaped: Shaped, seam: Length) -> str:
    one, two = cut_size(shaped, seam)
    box = f"a square of {show(one)}" if one == two else f"a rectangle of {show_size(one, two)}"
    then = {2: ", cut once corner to corner: 2 pieces", 4: ", cut twice corner to corner: 4 pieces"}
    return box + then.get(shaped.yields, "")
