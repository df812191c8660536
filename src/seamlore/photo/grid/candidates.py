"""Every grid that a picture may have, and what speaks for each of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import overload

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.grid.combs import Comb, combs
from seamlore.photo.grid.network import Glance
from seamlore.photo.grid.repeats import Repeats

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


@dataclass(frozen=True, eq=False)
class Candidates(Sequence[Candidate]):
    """All grids that the picture may have: every comb across with every comb down, set in every way.

    Attributes
    ----------
    across, down
        The combs.
    on_point
        The ways: set straight is False.
    told
        What speaks for each grid, by name, shape (grids,): those of the first comb across come first, and among them
        those of the first comb down.
    """

    across: tuple[Comb, ...]
    down: tuple[Comb, ...]
    on_point: tuple[bool, ...]
    told: dict[str, Floats]

    def __len__(self) -> int:
        return len(self.across) * len(self.down) * len(self.on_point)

    @overload
    def __getitem__(self, index: int) -> Candidate: ...
    @overload
    def __getitem__(self, index: slice) -> list[Candidate]: ...
    def __getitem__(self, index: int | slice) -> Candidate | list[Candidate]:
        if isinstance(index, slice):
            return [self[k] for k in range(*index.indices(len(self)))]
        k = range(len(self))[index]
        rest, way = divmod(k, len(self.on_point))
        x, y = divmod(rest, len(self.down))
        told = {name: float(values[k]) for name, values in self.told.items()}
        return Candidate(self.on_point[way], self.across[x], self.down[y], told)

    @property
    def counts(self) -> NDArray[np.intp]:
        """Whether each is on point (1) or straight (0), its rows and its columns, shape (grids, 3)."""
        columns, rows, ways = np.meshgrid(
            [comb.count for comb in self.across],
            [comb.count for comb in self.down],
            np.array(self.on_point, dtype=np.intp),
            indexing="ij",
        )
        return np.stack([ways.ravel(), rows.ravel(), columns.ravel()], axis=1).astype(np.intp)


def candidates(
    seen: Glance,
    size: tuple[int, int],
    alike: Repeats,
    *,
    rows: int | None = None,
    columns: int | None = None,
    on_point: bool | None = None,
) -> Candidates:
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
    Candidates
        In no order.

    Examples
    --------
    >>> from seamlore.photo.grid.network import Strips
    >>> from seamlore.photo.grid.repeats import repeats
    >>> begins = np.zeros(256)
    >>> begins[[0, 128]] = 0.9
    >>> halves = Strips(begins, np.roll(begins, -1), np.ones(256))
    >>> found = candidates(Glance(halves, halves, 0.9, 0.1, 0.0), (400, 400), repeats(np.zeros((9, 9, 3), np.uint8)))
    >>> any((each.across.count, each.down.count, each.on_point) == (2, 2, False) for each in found)
    True
    """
    xs, ys = tuple(combs(seen.across, count=columns)), tuple(combs(seen.down, count=rows))
    ways = (False, True) if on_point is None else (on_point,)
    if not xs or not ys:
        return Candidates(xs, ys, ways, {})
    # Across along the first axis, down along the second, the ways along the third.
    x, y, point = _table(xs)[:, :, None, None], _table(ys)[:, None, :, None], np.array(ways)
    told = _told(seen, size, _Row(*x), _Row(*y), point) | _repeated(alike, _Row(*x), _Row(*y), point)
    shape = len(xs), len(ys), len(ways)
    return Candidates(xs, ys, ways, {name: np.broadcast_to(each, shape).ravel() for name, each in told.items()})


def _table(found: Sequence[Comb]) -> Floats:
    names = _Row.__dataclass_fields__
    return np.array([[getattr(comb, name) for comb in found] for name in names], dtype=np.float64)


@dataclass(frozen=True, slots=True)
class _Row:
    """What all combs of one axis say, each an array; see `Comb`."""

    first: Floats
    last: Floats
    pitch: Floats
    gap: Floats
    count: Floats
    hit: Floats
    missed: Floats
    least: Floats
    field: Floats
    uneven: Floats


@dataclass(frozen=True, slots=True)
class _Along:
    """How alike a picture is to itself, moved along one axis by each comb's pitch, by two, by a half or a third of one; how
    that compares with the best of all combs, and how much more it is than by less than one."""

    once: Floats
    twice: Floats
    less: Floats
    part: Floats
    gain: Floats


def _moved(alike: Repeats, pitch: Floats, axis: int) -> _Along:
    """Move the picture along axis 0, across, or 1, down, by the pitch of every comb there."""

    def moved(by: Floats) -> Floats:
        return alike.at(0.0, by) if axis else alike.at(by, 0.0)

    once, less = moved(pitch), np.maximum(moved(pitch / 2), moved(pitch / 3))
    best = max(_ALIKE_AT_ALL, float(once.max()))
    return _Along(once, moved(2 * pitch), less, np.maximum(once, 0.0) / best, np.maximum(once - less, 0.0) / best)


def _repeated(alike: Repeats, x: _Row, y: _Row, point: NDArray[np.bool_]) -> dict[str, Floats]:
    on_x, on_y = _moved(alike, x.pitch, 0), _moved(alike, y.pitch, 1)
    part = np.where(point, 0.5, 1.0)
    slanting = (alike.at(part * x.pitch, part * y.pitch) + alike.at(part * x.pitch, -part * y.pitch)) / 2
    at_two = [np.maximum(0.0, on.twice - np.maximum(on.once, slanting)) for on in (on_x, on_y)]
    return {
        "repeats": on_x.once + on_y.once,
        "repeats, worse": np.minimum(on_x.once, on_y.once),
        "repeats, part": on_x.part + on_y.part,
        "repeats, gain": on_x.gain + on_y.gain,
        "repeats sooner": on_x.less + on_y.less,
        "repeats at two": at_two[0] + at_two[1],
        "repeats slantwise": slanting * ~point,
        "repeats slantwise, on point": slanting * point,
    }


def _told(seen: Glance, size: tuple[int, int], x: _Row, y: _Row, point: NDArray[np.bool_]) -> dict[str, Floats]:
    width, height = size
    pitch = x.pitch * width, y.pitch * height
    gap = x.gap * width, y.gap * height
    usual = np.sqrt(pitch[0] * pitch[1])
    body = pitch[0] - gap[0], pitch[1] - gap[1]
    lines = 2 * x.count, 2 * y.count
    ends = np.stack(
        np.broadcast_arrays(x.first * width, (1 - x.last) * width, y.first * height, (1 - y.last) * height)
    )
    told = {
        "hit": x.hit + y.hit,
        "hit, mean": x.hit / lines[0] + y.hit / lines[1],
        "hit, worse": np.minimum(x.hit / lines[0], y.hit / lines[1]),
        "missed": x.missed + y.missed,
        "missed, mean": x.missed / lines[0] + y.missed / lines[1],
        # What is seen between the lines of a coarse grid is seen between all of them, for one reason: so it counts less
        # the more there is of it.
        "missed, root": -np.sqrt(-(x.missed + y.missed)),
        "missed, mean, root": -np.sqrt(-(x.missed / lines[0] + y.missed / lines[1])),
        "least": np.minimum(x.least, y.least),
        "field": x.field + y.field,
        "setting": np.log(np.maximum(np.where(point, seen.on_point, seen.straight), _LEAST)),
        "square": np.minimum(np.abs(np.log(body[0] / body[1])), 0.7),
        "gaps alike": np.minimum(np.abs(gap[0] - gap[1]) / usual, 0.4),
        "one gap": ((gap[0] > 0) != (gap[1] > 0)).astype(np.float64),
        "ends alike": np.minimum(np.ptp(ends, axis=0) / usual, 2.0),
        "cut": ((ends > -0.9 * usual) & (ends < -0.04 * usual)).sum(axis=0, dtype=np.float64),
        "number": np.log(x.count * y.count),
        "uneven": np.minimum(x.uneven + y.uneven, 0.15),
        "few": (np.minimum(x.count, y.count) < 2).astype(np.float64),
    }
    return told | {f"{name}, on point": told[name] * point for name in ("square", "ends alike", "one gap", "cut")}
