"""Every grid that a picture may have, and what speaks for each of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.combs import Comb, combs
from seamlore.photo.eye import Glance

Floats = NDArray[np.float64]

_LEAST = 1e-4


@dataclass(frozen=True, eq=False)
class Candidate:
    """One grid that the picture may have; `told` is what speaks for it, by name."""

    on_point: bool
    across: Comb
    down: Comb
    told: dict[str, float]


def candidates(
    seen: Glance,
    size: tuple[int, int],
    *,
    rows: int | None = None,
    columns: int | None = None,
    on_point: bool | None = None,
) -> list[Candidate]:
    """List the grids that a picture may have.

    Parameters
    ----------
    seen : Glance
        What the network says of it.
    size : tuple of int
        Width and height of the flattened picture in pixels.
    rows, columns, on_point : optional
        What is known already: only such grids are given, and always one.

    Returns
    -------
    list of Candidate
        In no order.

    Examples
    --------
    >>> from seamlore.photo.eye import Strips
    >>> begins = np.zeros(256)
    >>> begins[[0, 128]] = 0.9
    >>> halves = Strips(begins, np.roll(begins, -1), np.ones(256))
    >>> found = candidates(Glance(halves, halves, 0.9, 0.1, 0.0), (400, 400))
    >>> any((each.across.count, each.down.count, each.on_point) == (2, 2, False) for each in found)
    True
    """
    xs, ys = combs(seen.across, count=columns), combs(seen.down, count=rows)
    return [
        Candidate(point, x, y, _told(seen, size, x, y, point))
        for x in xs
        for y in ys
        for point in ((False, True) if on_point is None else (on_point,))
    ]


def _told(seen: Glance, size: tuple[int, int], x: Comb, y: Comb, point: bool) -> dict[str, float]:
    width, height = size
    pitch = x.pitch * width, y.pitch * height
    gap = x.gap * width, y.gap * height
    usual = float(np.sqrt(pitch[0] * pitch[1]))
    body = pitch[0] - gap[0], pitch[1] - gap[1]
    lines = 2 * x.count, 2 * y.count
    ends = [x.first * width, (1 - x.last) * width, y.first * height, (1 - y.last) * height]
    told = {
        "hit": x.hit + y.hit,
        "hit, mean": x.hit / lines[0] + y.hit / lines[1],
        "hit, worse": min(x.hit / lines[0], y.hit / lines[1]),
        "missed": x.missed + y.missed,
        "missed, mean": x.missed / lines[0] + y.missed / lines[1],
        "least": min(x.least, y.least),
        "field": x.field + y.field,
        "setting": float(np.log(max(seen.on_point if point else seen.straight, _LEAST))),
        "square": min(abs(float(np.log(body[0] / body[1]))), 0.7),
        "gaps alike": min(abs(gap[0] - gap[1]) / usual, 0.4),
        "one gap": float((gap[0] > 0) != (gap[1] > 0)),
        "ends alike": min(float(np.ptp(ends)) / usual, 2.0),
        "cut": float(sum(-0.9 * usual < end < -0.04 * usual for end in ends)),
        "number": float(np.log(x.count * y.count)),
        "uneven": min(x.uneven + y.uneven, 0.15),
        "few": float(min(x.count, y.count) < 2),
    }
    return told | {f"{name}, on point": told[name] * point for name in ("square", "ends alike", "one gap", "cut")}
