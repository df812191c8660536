"""What the parts of a step are called, written on them as far as there is room."""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np

from seamlore.drawing.shapes import Paint, Shape, Text
from seamlore.pictures.lettering import heart, words_width
from seamlore.pictures.palette import INK, PAPER, written_on
from seamlore.plane.outline import Points

_LEAST_PT, _MOST_PT = 4.6, 9.0
# From line to line, for each point of the type.
_LEADING_MM = 0.42


def name_on(outline: Points, name: str) -> list[Shape]:
    """What an earlier step made, by its name, in one line or in as few as find room; none where it finds none."""
    x, y, clear = heart(outline)
    wide, high = 2 * _level_room(outline, x, y), float(np.ptp(outline[:, 1]))
    count = len(name.split())
    for lines in range(1, count + 1):
        said = _even_lines(name, lines)
        widest = max(words_width(each, 1.0) for each in said)
        size = min(7.0, clear * 3 / lines**0.5, wide * 0.92 / widest, high * 0.92 / (lines * _LEADING_MM))
        if size >= _LEAST_PT:
            top = y - (lines - 1) / 2 * size * _LEADING_MM
            return [
                Text(x, top + at * size * _LEADING_MM, each, size, "middle", True, "semibold", fill=INK, halo=PAPER)
                for at, each in enumerate(said)
            ]
    return []


def _level_room(outline: Points, x: float, y: float) -> float:
    """How far it is from a point inside an outline to its nearer side, to the left or to the right."""
    ends = np.roll(outline, -1, axis=0)
    crossed = (outline[:, 1] > y) != (ends[:, 1] > y)
    start, end = outline[crossed], ends[crossed]
    at = start[:, 0] + (end[:, 0] - start[:, 0]) * (y - start[:, 1]) / (end[:, 1] - start[:, 1])
    return float(np.abs(at - x).min()) if len(at) else 0.0


def _even_lines(name: str, lines: int) -> list[str]:
    """Words in so many lines, the longest of them as short as can be."""
    words = name.split()
    ways = (
        [" ".join(words[a:b]) for a, b in pairwise((0, *cuts, len(words)))]
        for cuts in combinations(range(1, len(words)), lines - 1)
    )
    return min(ways, key=lambda way: max(map(len, way)))


def lettered(outline: Points, label: str, paint: Paint) -> list[Shape]:
    x, y, clear = heart(outline)
    size = min(_MOST_PT, clear * 2.4, _MOST_PT * 1.8 * clear / max(0.1, words_width(label, _MOST_PT)))
    if size < _LEAST_PT:
        return []
    ink, halo = written_on(paint)
    return [Text(x, y, label, size, "middle", True, "semibold", fill=ink, halo=halo)]
