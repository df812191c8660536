"""Blocks on a grid, of units that follow a symmetry or none."""

from __future__ import annotations

from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from judging.training.patchwork.outlines import BOX, NEAR, Patch, Rng, box_between, is_box, turned
from judging.training.patchwork.units import draw_unit

# Top left and bottom right corner, and the number of its place.
Box = tuple[NDArray[np.float64], NDArray[np.float64], int]


def grid_block(rng: Rng) -> list[Patch]:
    """Draw a block of one to six rows of units, of two to four fabrics.

    Examples
    --------
    >>> import cv2
    >>> block = grid_block(np.random.default_rng(3))
    >>> round(sum(cv2.contourArea(ring.astype(np.float32)) for ring, _ in block), 3)
    1.0
    """
    n = int(rng.choice([1, 2, 3, 4, 5, 6], p=[0.16, 0.24, 0.24, 0.2, 0.1, 0.06]))
    count = int(rng.integers(2, 5))

    def place() -> int:
        return int(rng.integers(count))

    symmetry = str(rng.choice(["none", "turn", "mirror", "half"], p=[0.25, 0.4, 0.25, 0.1]))
    lines = np.linspace(0, 1, n + 1)
    if n in (3, 5) and rng.random() < 0.35:
        wide = rng.choice([0.4, 0.5, 1.5, 2.0, 3.0])
        steps = np.ones(n)
        steps[n // 2 if n == 3 or rng.random() < 0.5 else slice(1, None, 2)] = wide
        lines = np.concatenate([[0], np.cumsum(steps) / steps.sum()])
    made: dict[tuple[int, int], list[Patch]] = {}
    for i in range(n):
        for j in range(n):
            if (i, j) in made:
                continue
            middle = 2 * i == n - 1 and 2 * j == n - 1
            unit = [(BOX.copy(), place())] if middle and symmetry != "none" else draw_unit(rng, place)
            k, flip = int(rng.integers(4)), bool(rng.integers(2))
            unit = [(turned(ring, k, flip), at) for ring, at in unit]
            made[i, j] = unit
            for cell, turn, mirror in _images(symmetry, n, i, j):
                made.setdefault(cell, [(turned(ring, turn, mirror), at) for ring, at in unit])
    patches = []
    for (i, j), unit in made.items():
        low = np.array([lines[j], lines[i]])
        size = np.array([lines[j + 1] - lines[j], lines[i + 1] - lines[i]])
        patches += [(low + ring * size, at) for ring, at in unit]
    if rng.random() < 0.25:  # plain neighbors of one fabric cut as one
        patches = _joined(patches)
    return patches


def _images(symmetry: str, n: int, i: int, j: int) -> list[tuple[tuple[int, int], int, bool]]:
    """Where a unit of an n by n block comes again, by how many quarter turns, and whether mirrored first."""
    right, below = n - 1 - j, n - 1 - i
    if symmetry == "turn":
        return [((j, below), 1, False), ((below, right), 2, False), ((right, i), 3, False)]
    if symmetry == "half":
        return [((below, right), 2, False)]
    if symmetry == "mirror":
        return [((i, right), 0, True), ((below, j), 2, True), ((below, right), 2, False)]
    return []


def _joined(patches: list[Patch]) -> list[Patch]:
    """Join plain rectangles beside each other that are of one place into longer ones."""
    boxes = [(ring.min(axis=0), ring.max(axis=0), at) for ring, at in patches if is_box(ring)]
    rest = [(ring, at) for ring, at in patches if not is_box(ring)]
    while pair := next((pair for pair in permutations(range(len(boxes)), 2) if _in_line(boxes, *pair)), None):
        first, second = pair
        boxes[first] = (boxes[first][0], boxes[second][1], boxes[first][2])
        del boxes[second]
    return rest + [(box_between(low, high), at) for low, high, at in boxes]


def _in_line(boxes: list[Box], first: int, second: int) -> bool:
    """Tell whether two boxes of one place share a whole side, the second to the right of the first or below it."""
    (low, high, at), (low2, high2, its) = boxes[first], boxes[second]
    return at == its and any(
        abs(high[axis] - low2[axis]) < NEAR
        and abs(low[1 - axis] - low2[1 - axis]) < NEAR
        and abs(high[1 - axis] - high2[1 - axis]) < NEAR
        for axis in (0, 1)
    )
