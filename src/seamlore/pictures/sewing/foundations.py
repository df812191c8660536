"""Foundations at true scale: mirrored, every place numbered in the order of sewing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from seamlore.drawing.picture import Picture, picture
from seamlore.drawing.shapes import MM_PER_INCH, Area, Line, Shape, Text, moved, ring
from seamlore.lengths import Length, show_seam
from seamlore.pictures.lettering import depth, heart, words_width
from seamlore.pictures.palette import INK, PAPER, QUIET
from seamlore.plane.outline import Points, as_outline
from seamlore.sewing.foundation import Section

_MARGIN_MM = 0.5
_NUMBER_PT, _LEAST_PT, _WRITTEN_PT = 11.0, 5.0, 7.0


def foundation_picture(
    section: Section, labels: Sequence[str], allowance: Length, title: str, written: str = ""
) -> Picture:
    """Draw one section of a foundation at true scale, as it is printed: mirrored.

    Parameters
    ----------
    section : Section
    labels : sequence of str
        What each piece is called.
    allowance : Length
        As it was worked out with.
    title : str
        What the section is called.
    written : str
        What stands in its seam allowance: of which block it is, and how often it is copied.

    Returns
    -------
    Picture
        The cutting line whole; the sewing line round it dashed; between the pieces the lines to sew on; in each place its
        number and its piece.

    Examples
    --------
    >>> from seamlore.draft.catalogue import find
    >>> from seamlore.lengths import inches
    >>> from seamlore.sewing.foundation import foundations
    >>> half = [tuple((x * 3, y * 3) for x, y in each.outline) for each in find("half-square triangle").patches]
    >>> (section,) = foundations(half, inches("1/4")).sections
    >>> drawn = foundation_picture(section, ["A1", "B1"], inches("1/4"), "The block")
    >>> round(drawn.width_mm - 1, 6)  # 3 1/2 in
    88.9
    """
    cutting = as_outline(section.cutting) * MM_PER_INCH
    sewing = np.array([(float(x), float(y)) for x, y in section.outline]) * MM_PER_INCH
    shapes: list[Shape] = [
        Area((ring(cutting),), None, INK, 0.3),
        Area((ring(sewing),), None, QUIET, 0.2, (1.6, 1.0)),
    ]
    for each in section.patches:
        if each.line:
            run = tuple((float(x) * MM_PER_INCH, float(y) * MM_PER_INCH) for x, y in each.line)
            shapes.append(Line((run,), INK, 0.3))
        x, y, clear = heart(np.array([(float(x), float(y)) for x, y in each.outline]) * MM_PER_INCH)
        size = min(_NUMBER_PT, max(_LEAST_PT, clear * 1.6))
        shapes.append(Text(x, y, str(each.number), size, "middle", True, "semibold", fill=INK, halo=PAPER))
        if clear > size * 0.75:
            shapes.append(
                Text(x, y + size * 0.62, labels[each.piece], size * 0.6, "middle", True, fill=QUIET, halo=PAPER)
            )
    low, extent = cutting.min(axis=0), np.ptp(cutting, axis=0).tolist()
    if written:
        shapes.append(_along_an_edge(cutting, written, float(allowance.inches) * MM_PER_INCH))
    count = len(section.patches)
    return picture(
        extent[0] + 2 * _MARGIN_MM,
        extent[1] + 2 * _MARGIN_MM,
        [moved(shapes, _MARGIN_MM - float(low[0]), _MARGIN_MM - float(low[1]))],
        title=f"Foundation of {title}",
        description=(
            f"Foundation of {title} at true scale, mirrored, with {show_seam(allowance)} seam allowance; {count} places "
            f"in the order of sewing: {', '.join(labels[each.piece] for each in section.patches)}."
        ),
    )


def _along_an_edge(cutting: Points, written: str, allowance_mm: float) -> Text:
    """Words in the allowance along the longest side, of those the lowest, as large as it has room for."""
    start, end = max(
        zip(cutting, np.roll(cutting, -1, axis=0), strict=True),
        key=lambda side: (round(float(np.hypot(*(side[1] - side[0]))), 6), float(side[0][1] + side[1][1])),
    )
    along = end - start
    long = float(np.hypot(*along))
    size = min(_WRITTEN_PT, _WRITTEN_PT * 0.8 * long / max(1.0, words_width(written, _WRITTEN_PT)))
    # The side of it on which the cloth lies.
    inward = np.array([-along[1], along[0]]) / long * allowance_mm / 2
    middle = (start + end) / 2
    if depth(cutting, np.array([middle + inward]))[0] < 0:
        inward = -inward
    x, y = (middle + inward).tolist()
    turn = float(np.degrees(np.arctan2(along[1], along[0])))
    # Read from the foot or from the right: never head down.
    turn = (turn + 90) % 180 - 90
    return Text(x, y, written, size, "middle", True, fill=QUIET, turn_deg=turn)
