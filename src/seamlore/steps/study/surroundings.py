"""Cloths of what lies between and around the blocks, as the photograph shows them."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from numpy.typing import NDArray

from seamlore.draft.layout import NOT_READ_KEY, lay
from seamlore.draft.quilt import Quilt
from seamlore.draft.setting.setting import OnPoint
from seamlore.photo.read import Look

Floats = NDArray[np.float64]
# How far in from its seams a piece is looked at, in parts of the way to its middle: seams and neighbors stay outside.
_IN = 0.45
# A border is looked at where what the photograph shows there is at least this part of it; else it is cut off or not there.
_THERE = 0.3
# Points along every side of a piece.
_ALONG = 4


def seen_around(look: Look, quilt: Quilt) -> dict[str, str]:
    """Give the colors of sashing, cornerstones, strips, setting triangles and borders where the photograph shows them.

    Parameters
    ----------
    look : Look
        Of the old quilt.
    quilt : Quilt
        Drafted from it. One that is set otherwise, or of other counts, has nothing in common with the photograph.

    Returns
    -------
    dict of str to str
        "#rrggbb" by key, as `draft.layout.lay` names them.
    """
    reading = look.reading
    if reading.edge is None or reading.setting not in ("straight", "on point"):
        return {}
    alike = isinstance(quilt.setting, OnPoint) == (reading.setting == "on point")
    if not alike or (reading.rows, reading.columns) != (quilt.rows, quilt.columns):
        return {}
    width, height = (each.inches_float for each in quilt.finished_size)
    top, right, bottom, left = (each.inches_float for each in quilt.bands)
    gaps = [each.inches_float for each in quilt.gaps] if quilt.sashing and quilt.sashing.outer else [0.0, 0.0]
    (wide, tall), edge = reading.size, reading.edge
    across = _Axis(width, left + gaps[0], right + gaps[0], wide, edge.left, edge.right)
    down = _Axis(height, top + gaps[1], bottom + gaps[1], tall, edge.top, edge.bottom)
    pixels = look.flat.pixels
    scale = pixels.shape[1] / wide, pixels.shape[0] / tall
    found: dict[str, list[NDArray[np.uint8]]] = defaultdict(list)
    for piece in lay(quilt):
        if piece.where.part == "block" or piece.key == NOT_READ_KEY:
            continue
        spots = _inside(piece.outline)
        x, y = across.seen(spots[:, 0]) * scale[0], down.seen(spots[:, 1]) * scale[1]
        there = (x >= 0) & (y >= 0) & (x < pixels.shape[1]) & (y < pixels.shape[0])
        found[piece.key].append(pixels[y[there].astype(int), x[there].astype(int)])
    medians = {key: np.median(np.concatenate(seen), axis=0) for key, seen in found.items() if sum(map(len, seen))}
    return {key: "#" + "".join(f"{round(float(each)):02x}" for each in rgb) for key, rgb in medians.items()}


class _Axis:
    """From the draft to the photograph along one side: what lies before the blocks, the blocks, and what lies after."""

    def __init__(self, whole: float, before: float, after: float, seen: float, ahead: float, behind: float) -> None:
        self._draft = [0.0, before, whole - after, whole]
        self._photo = [0.0, max(ahead, 0.0), seen - max(behind, 0.0), seen]
        least = _THERE * seen / whole
        self._shown = ahead >= least * before, behind >= least * after

    def seen(self, values: Floats) -> Floats:
        """Where the draft's places lie on the photograph; nan where it does not show them."""
        found = np.interp(values, self._draft, self._photo)
        hidden = (values < self._draft[1]) & (not self._shown[0]) | (values > self._draft[2]) & (not self._shown[1])
        return np.where(hidden, np.nan, found)


def _inside(outline: Floats) -> Floats:
    """Places within a piece, well in from its seams."""
    middle = outline.mean(axis=0)
    steps = np.arange(_ALONG)[:, None, None] / _ALONG
    sides = (outline + steps * (np.roll(outline, -1, axis=0) - outline)).reshape(-1, 2)
    return np.concatenate([middle + (1 - _IN) * (sides - middle), middle[None]])
