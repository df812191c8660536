"""How well a drawing of a block's seams agrees with what is seen of them in a block."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.block.seams import ANY, SIDE
from seamlore.photo.block.straight import inward
from seamlore.photo.reading import Ring

Floats = NDArray[np.float32]
Ints = NDArray[np.intp]
Drawing = tuple[Ring, ...]
By = tuple[int, int]

_PATCH = 0.006  # of agreement, that a patch more must bring
_MANY, _LESS = 12, 0.5  # patches, from which one more costs less: they are sewn in sets
INWARD = 0.02  # of agreement, that a corner pointing into its patch costs: few patches are sewn so
_ASIDE = 3  # pixels, by which a block's seams may lie aside from those of its kind
_NEARLY_ALL = 0.8  # of two drawings that are the same but for a little, that lies beside the other
_REPEATS = 0.85  # of a drawing, that lies on itself further on
_FAR = 0.01  # of what is seen under the drawing, that a pixel aside must bring
_FURTHER = _FAR * np.abs(np.mgrid[-_ASIDE : _ASIDE + 1, -_ASIDE : _ASIDE + 1]).sum(axis=0)


@dataclass(frozen=True, eq=False)
class Seen:
    """What is seen of one block when drawings are held against it."""

    near: Floats
    weight: Floats

    @classmethod
    def of(cls, maps: Floats) -> Seen:
        """Prepare the maps of one block."""
        share = (1 / (1 + np.exp(-np.clip(maps[ANY], -8, 8)))).astype(np.float32)
        weight = np.clip(share - 0.35, 0, 1)
        weight[:4], weight[-4:], weight[:, :4], weight[:, -4:] = 0, 0, 0, 0
        near = np.asarray(cv2.dilate(share, np.ones((3, 3), np.uint8)), np.float32)
        return cls(near, weight)

    @cached_property
    def total(self) -> float:
        """All that is seen."""
        return float(self.weight.sum())

    @cached_property
    def wide(self) -> Floats:
        """What is seen, with room for a drawing that lies aside."""
        return np.pad(self.weight, _ASIDE)

    @property
    def seams(self) -> float:
        """About how long the seams are that are seen, in sides of the block."""
        return self.total / SIDE / 1.5


@dataclass(frozen=True, eq=False)
class Drawn:
    """A drawing as pixels of the map."""

    spots: Ints
    beside: NDArray[np.bool_]

    @cached_property
    def thin(self) -> Floats:
        """Its seams one pixel wide."""
        thin = np.zeros((SIDE, SIDE), np.float32)
        thin[self.spots[:, 1], self.spots[:, 0]] = 1
        return thin

    @classmethod
    def of(cls, drawing: Drawing) -> Drawn:
        """Prepare a drawing."""
        whole, _ = spots(drawing)
        mask = np.zeros((SIDE, SIDE), np.uint8)
        mask[whole[:, 1], whole[:, 0]] = 1
        within = ((whole >= 3) & (whole < SIDE - 3)).all(axis=1)
        return cls(whole[within], cv2.dilate(mask, np.ones((5, 5), np.uint8)) > 0)


def spots(drawing: Drawing) -> tuple[Ints, NDArray[np.float64]]:
    """The seams of a drawing as pixels of the map, close to each other, and which way each runs; shapes (spots, 2).

    Those on the block's own sides are left out.

    Examples
    --------
    >>> halves = (((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0)), ((0.5, 0.0), (1.0, 0.0), (1.0, 1.0), (0.5, 1.0)))
    >>> np.unique(spots(halves)[0][:, 0]).tolist()
    [32]
    """
    starts = np.concatenate([np.asarray(ring) for ring in drawing])
    runs = np.concatenate([np.asarray([*ring[1:], ring[0]]) for ring in drawing]) - starts
    flat = np.abs(runs) < 1e-3
    on_side = (flat & ((np.abs(starts) < 1e-3) | (np.abs(starts - 1) < 1e-3))).any(axis=1)
    starts, runs = starts[~on_side], runs[~on_side]
    length = np.hypot(runs[:, 0], runs[:, 1])
    # Every 0.02 from 0.01 on, one spot at least on each side.
    count = np.maximum(np.ceil((np.maximum(length, 0.02) - 0.01) / 0.02 - 1e-9), 1).astype(np.intp)
    which = np.repeat(np.arange(len(count)), count)
    far = 0.01 + 0.02 * (np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count))
    pixels = (starts[which] + (far / np.maximum(length[which], 1e-6))[:, None] * runs[which]) * SIDE
    return np.clip(pixels.astype(np.intp), 0, SIDE - 1), runs[which]


def agreement(seen: Seen, drawn: Drawn, by: By = (0, 0)) -> tuple[float, float, float]:
    """How well a drawing agrees with what is seen: in all, of what is drawn, of what is seen; each 0..1.

    Parameters
    ----------
    seen : Seen
    drawn : Drawn
    by : pair of int, optional
        By how many pixels the drawing is laid aside, across and down.
    """
    if not len(drawn.spots):
        return 0.0, 0.0, 0.0
    x, y = np.clip(drawn.spots + by, 0, SIDE - 1).T
    shown = float(seen.near[y, x].mean())
    total = seen.total
    beside = np.roll(drawn.beside, by, (1, 0)) if any(by) else drawn.beside
    told = float(seen.weight[beside].sum()) / total if total > 3 else 0.5
    return 2 * shown * told / max(shown + told, 1e-9), shown, told


def aside(seen: Seen, drawn: Drawn) -> By:
    """By how many pixels, across and down, a drawing lies on a block's seams: no two blocks are sewn alike.

    Examples
    --------
    >>> halves = (((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0)), ((0.5, 0.0), (1.0, 0.0), (1.0, 1.0), (0.5, 1.0)))
    >>> maps = np.full((6, 64, 64), -4, np.float32)
    >>> maps[:, :, 34] = 4
    >>> aside(Seen.of(maps), Drawn.of(halves))
    (2, 0)
    """
    if not len(drawn.spots):
        return 0, 0
    like = cv2.matchTemplate(seen.wide, drawn.thin, cv2.TM_CCORR) / len(drawn.spots)
    like -= _FURTHER
    down, across = np.unravel_index(int(like.argmax()), like.shape)
    return int(across) - _ASIDE, int(down) - _ASIDE


def alike(one: Drawing, other: Drawing) -> bool:
    """Whether two drawings are the same but for a little: nearly all of each lies beside the other.

    Examples
    --------
    >>> corner = (((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), ((1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))
    >>> aslant = (((0.0, 0.0), (1.0, 0.0), (0.0, 0.96)), ((1.0, 0.0), (1.0, 1.0), (0.0, 1.0), (0.0, 0.96)))
    >>> halves = (((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0)), ((0.5, 0.0), (1.0, 0.0), (1.0, 1.0), (0.5, 1.0)))
    >>> alike(corner, aslant), alike(corner, halves)
    (True, False)
    """
    first, second = Drawn.of(one), Drawn.of(other)
    return all(
        len(lines.spots) > 0 and beside[lines.spots[:, 1], lines.spots[:, 0]].mean() > _NEARLY_ALL
        for lines, beside in ((first, second.beside), (second, first.beside))
    )


def repeats_itself(drawing: Drawing) -> tuple[By, ...]:
    """How many pixels of the map further on, across and down, a drawing is the same again: several blocks, it may be.

    A half of it or a third is tried.

    Examples
    --------
    >>> halves = (((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0)), ((0.5, 0.0), (1.0, 0.0), (1.0, 1.0), (0.5, 1.0)))
    >>> corner = (((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), ((1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))
    >>> repeats_itself(halves), repeats_itself(corner)
    (((32, 0), (0, 32), (0, 21)), ())
    """
    drawn = Drawn.of(drawing)
    # The sides are seams too, and lie on each other.
    beside = drawn.beside.copy()
    beside[:3], beside[-3:], beside[:, :3], beside[:, -3:] = True, True, True, True
    found = []
    for by in ((far * across, far * down) for far in (SIDE // 2, SIDE // 3) for across, down in ((1, 0), (0, 1))):
        x, y = ((drawn.spots + by) % SIDE).T
        if len(drawn.spots) and beside[y, x].mean() > _REPEATS:
            found.append(by)
    return tuple(found)


def price(drawing: Drawing) -> float:
    """Of agreement, what a drawing must bring for its patches and for the corners that point into them.

    Examples
    --------
    >>> round(price((((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)),)), 3)
    0.006
    """
    return cost(len(drawing)) + INWARD * inward(drawing)


def cost(count: int) -> float:
    """Of agreement, what a drawing must bring for so many patches."""
    return _PATCH * (min(count, _MANY) + _LESS * max(count - _MANY, 0))


def lay(drawing: Drawing, move: int) -> Drawing:
    """A drawing moved: mirrored left to right first if so, then turned clockwise.

    Examples
    --------
    >>> lay((((0.0, 0.0), (1.0, 0.0), (0.0, 0.5)),), 1)
    (((1.0, 0.0), (1.0, 1.0), (0.5, 0.0)),)
    """
    moved_rings = []
    for ring in drawing:
        points = [(1 - x, y) for x, y in ring] if move >= 4 else list(ring)
        for _ in range(move % 4):
            points = [(1 - y, x) for x, y in points]
        moved_rings.append(tuple(points[::-1]) if move >= 4 else tuple(points))
    return tuple(moved_rings)
