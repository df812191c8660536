"""Cloths as the photograph shows them: for each place, for the sashing, and for every single patch."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from seamlore.draft.block import Patch
from seamlore.draft.quilt import Quilt
from seamlore.errors import SeamloreError
from seamlore.photo.read import Look
from seamlore.photo.reading import SeenPatch
from seamlore.study.seen_block import exact_block

Single = dict[tuple[int, int, int], str]


def seen_cloths(look: Look, quilt: Quilt) -> tuple[dict[str, str], Single]:
    """Give the colors of a quilt's cloths as they were seen.

    Parameters
    ----------
    look : Look
        Of the old quilt.
    quilt : Quilt
        Drafted from it.

    Returns
    -------
    by_key : dict of str to str
        "#rrggbb" for each place of the block and for the sashing; empty where the block drawn is not the one seen.
    single : dict of (row, column, patch) to str
        For each patch, numbered as in the draft's block.
    """
    reading = look.reading
    by_key: dict[str, str] = {}
    if sashing := _between(look):
        by_key["sashing"] = sashing
    if reading.block is None or not reading.fabrics:
        return by_key, {}
    try:
        seen = exact_block(reading.block)
    except SeamloreError:
        # The block could not be drawn exactly; whoever drew it by hand chose its cloths too.
        return by_key, {}
    drawn = {each.outline: index for index, each in enumerate(quilt.block.patches)}
    # `exact_block` puts patches into reading order; the reading numbers them in its own.
    order = {number: drawn.get(exact.outline, -1) for number, exact in _numbered(reading.block.patches, seen.patches)}
    if not order or -1 in order.values():
        return by_key, {}
    single: Single = {}
    sums: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
    for fabric in reading.fabrics:
        for row, column, number in fabric.patches:
            if number in order:
                single[row, column, order[number]] = fabric.srgb
                sums[quilt.block.patches[order[number]].place].append(_rgb(fabric.srgb))
    by_key |= {place: _hex(np.median(np.array(colors), axis=0)) for place, colors in sums.items()}
    return by_key, single


def _numbered(seen: Sequence[SeenPatch], exact: Sequence[Patch]) -> Iterator[tuple[int, Patch]]:
    """Pair each patch of the reading with its exact one: the one whose corners lie nearest."""
    middles = np.array([np.mean(each.points, axis=0) for each in exact])
    for number, each in enumerate(seen):
        middle = np.mean(np.array(each.outline), axis=0)
        yield number, exact[int(np.argmin(np.hypot(*(middles - middle).T)))]


def _between(look: Look) -> str:
    """The middle color of the gaps between columns, which are sashing."""
    reading, flat = look.reading, look.flat
    if not reading.sashing or reading.sashing[0] <= 0 or not reading.column_spans or reading.setting != "straight":
        return ""
    pixels = []
    for (_, end), (start, _) in zip(reading.column_spans, reading.column_spans[1:], strict=False):
        inset = (start - end) * 0.25
        low, high = (round(each * flat.px_per_unit) for each in (end + inset, start - inset))
        if 0 <= low < high:
            pixels.append(flat.pixels[:, low:high].reshape(-1, 3))
    return _hex(np.median(np.concatenate(pixels), axis=0)) if pixels else ""


def _rgb(text: str) -> tuple[int, int, int]:
    return int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16)


def _hex(color: NDArray[np.float64]) -> str:
    red, green, blue = (round(float(each)) for each in color)
    return f"#{red:02x}{green:02x}{blue:02x}"
