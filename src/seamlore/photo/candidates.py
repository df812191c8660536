"""Every grid that a picture may have, and what speaks for each of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.combs import Comb, combs
from seamlore.photo.eye import Glance
from seamlore.photo.repeats import Repeats

Floats = NDArray[np.float64]

_LEAST = 1e-4
# A likeness below this is none, whatever the others are.
_ALIKE_AT_ALL = 0.05


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
    alike: Repeats,
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
    alike : Repeats
        How it is like itself.
    rows, columns, on_point : optional
        What is known already: only such grids are given, and always one.

    Returns
    -------
    list of Candidate
        In no order.

    Examples
    --------
    >>> from seamlore.photo.eye import Strips
    >>> from seamlore.photo.repeats import repeats
    >>> begins = np.zeros(256)
    >>> begins[[0, 128]] = 0.9
    >>> halves = Strips(begins, np.roll(begins, -1), np.ones(256))
    >>> found = candidates(Glance(halves, halves, 0.9, 0.1, 0.0), (400, 400), repeats(np.zeros((9, 9, 3), np.uint8)))
    >>> any((each.across.count, each.down.count, each.on_point) == (2, 2, False) for each in found)
    True
    """
    xs, ys = combs(seen.across, count=columns), combs(seen.down, count=rows)
    moves = _moves(alike, [x.pitch for x in xs], 0), _moves(alike, [y.pitch for y in ys], 1)
    return [
        Candidate(point, x, y, _told(seen, size, x, y, point) | _repeated(alike, x, y, point, on_x, on_y))
        for x, on_x in zip(xs, moves[0], strict=True)
        for y, on_y in zip(ys, moves[1], strict=True)
        for point in ((False, True) if on_point is None else (on_point,))
    ]


@dataclass(frozen=True, slots=True)
class _Along:
    """How alike a picture is to itself, moved along one axis by a comb's pitch, by two, by a half or a third of one; how
    that compares with the best of all combs, and how much more it is than by less than one."""

    once: float
    twice: float
    less: float
    part: float
    gain: float


def _moves(alike: Repeats, pitches: list[float], axis: int) -> list[_Along]:
    """Move the picture along axis 0, across, or 1, down, by the pitch of every comb there."""

    def moved(by: float) -> float:
        return alike.at(0, by) if axis else alike.at(by, 0)

    once = [moved(pitch) for pitch in pitches]
    less = [max(moved(pitch / 2), moved(pitch / 3)) for pitch in pitches]
    best = max([_ALIKE_AT_ALL, *once])
    return [
        _Along(here, moved(2 * pitch), sooner, max(here, 0.0) / best, max(here - sooner, 0.0) / best)
        for pitch, here, sooner in zip(pitches, once, less, strict=True)
    ]


def _repeated(alike: Repeats, x: Comb, y: Comb, point: bool, on_x: _Along, on_y: _Along) -> dict[str, float]:
    step = (x.pitch / 2, y.pitch / 2) if point else (x.pitch, y.pitch)
    slanting = (alike.at(*step) + alike.at(step[0], -step[1])) / 2
    return {
        "repeats": on_x.once + on_y.once,
        "repeats, worse": min(on_x.once, on_y.once),
        "repeats, part": on_x.part + on_y.part,
        "repeats, gain": on_x.gain + on_y.gain,
        "repeats sooner": on_x.less + on_y.less,
        "repeats at two": sum(max(0.0, on.twice - max(on.once, slanting)) for on in (on_x, on_y)),
        "repeats slantwise": slanting * (not point),
        "repeats slantwise, on point": slanting * point,
    }


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
        # What is seen between the lines of a coarse grid is seen between all of them, for one reason: so it counts less
        # the more there is of it.
        "missed, root": -float(np.sqrt(-(x.missed + y.missed))),
        "missed, mean, root": -float(np.sqrt(-(x.missed / lines[0] + y.missed / lines[1]))),
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
