"""DXF of templates for cutting machines: cutting lines, seam lines, grain, each on a layer of its own; true scale."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from seamlore.errors import ShapeError
from seamlore.plane.outline import Points, grow

# Layers and their colors by the index that every program knows (AutoCAD color index): red, blue, green, white.
CUT, SEAM, GRAIN, WORDS = "CUT", "SEAM", "GRAIN", "WORDS"
_LAYERS = {CUT: 1, SEAM: 5, GRAIN: 3, WORDS: 7}
_GAP_IN = 0.5
# Machines take sheets of about so much; what is larger stands alone in its row.
_ROW_IN = 24.0
_WORDS_IN = 0.16


@dataclass(frozen=True, slots=True)
class Template:
    """One template.

    Parameters
    ----------
    label : str
    outline_in : ndarray, shape (n, 2)
        Finished outline in inches, x right, y down.
    lines : tuple of str
        What is written on it.
    grain_deg : float
        How the straight grain runs, clockwise from x.
    """

    label: str
    outline_in: Points
    lines: tuple[str, ...] = ()
    grain_deg: float = 90.0


def to_dxf(templates: Sequence[Template], allowance_in: float, *, unit: str = "in") -> bytes:
    """Write templates as one DXF drawing (AutoCAD R2010), beside and under each other, none overlapping.

    Parameters
    ----------
    templates : sequence of Template
    allowance_in : float
        Seam allowance; the cutting line lies so far outside the seam line.
    unit : {"in", "mm"}
        The unit of the drawing, which it says itself ($INSUNITS).

    Returns
    -------
    bytes
        The same for the same templates.

    Raises
    ------
    ShapeError
        When there are none.
    """
    # Slow to import, and nothing else needs it.
    from ezdxf import units
    from ezdxf._options import options
    from ezdxf.filemanagement import new

    if not templates:
        raise ShapeError("no template", "a drawing for a cutting machine holds one at least", "draft a pieced block")
    scale = 25.4 if unit == "mm" else 1.0
    # Without a clock in it, the same templates are the same file.
    options.write_fixed_meta_data_for_testing = True
    drawing = new("R2010", units=units.MM if unit == "mm" else units.IN)
    for name, color in _LAYERS.items():
        drawing.layers.add(name, color=color)
    space = drawing.modelspace()
    left, top, deep = 0.0, 0.0, 0.0
    for each in templates:
        cut = grow(each.outline_in, allowance_in)
        low, high = cut.min(axis=0), cut.max(axis=0)
        wide, tall = high - low
        if left and left + wide > _ROW_IN:
            left, top, deep = 0.0, top + deep + _GAP_IN, 0.0

        def placed(
            points: Points, shift: tuple[float, float] = (left - low[0], top - low[1])
        ) -> list[tuple[float, float]]:
            # A drawing's y runs up, ours down.
            return [(float(x + shift[0]) * scale, -float(y + shift[1]) * scale) for x, y in points]

        space.add_lwpolyline(placed(cut), close=True, dxfattribs={"layer": CUT})
        space.add_lwpolyline(placed(each.outline_in), close=True, dxfattribs={"layer": SEAM})
        middle = each.outline_in.mean(axis=0)
        half = min(wide, tall) / 5
        along = (cos(radians(each.grain_deg)) * half, sin(radians(each.grain_deg)) * half)
        start, end = placed([middle - along, middle + along])  # type: ignore[arg-type]
        space.add_line(start, end, dxfattribs={"layer": GRAIN})
        for row, words in enumerate((each.label, *each.lines)):
            at = placed([(low[0] + allowance_in, high[1] + _WORDS_IN * (1.6 * row + 1.4))])[0]  # type: ignore[arg-type]
            space.add_text(words, height=_WORDS_IN * scale, dxfattribs={"layer": WORDS}).set_placement(at)
        under = _WORDS_IN * 1.6 * (len(each.lines) + 1)
        words_wide = max(len(words) for words in (each.label, *each.lines)) * _WORDS_IN
        left, deep = left + max(float(wide), words_wide) + _GAP_IN, max(deep, float(tall) + under)
    file = io.StringIO()
    drawing.write(file)
    return file.getvalue().encode()
