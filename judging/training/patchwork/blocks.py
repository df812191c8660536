"""Kinds of pieced blocks made up by chance."""

from __future__ import annotations

import cv2
import numpy as np

from judging.training.patchwork.grids import grid_block
from judging.training.patchwork.outlines import BOX, Patch, Rng, box_between, strip_of, turned


def _log_cabin(rng: Rng) -> list[Patch]:
    rounds = int(rng.integers(2, 6))
    wide = rng.uniform(0.6, 1.6, 4) if rng.random() < 0.3 else np.ones(4)
    middle = float(rng.uniform(0.7, 2.2))
    courthouse, quarter = rng.random() < 0.25, rng.random() < 0.15
    low, high = np.zeros(2), np.full(2, middle)
    patches: list[Patch] = [(box_between(low, high), 0)]
    start = int(rng.integers(4))
    sides = [start % 4, (start + 1) % 4, (start + 2) % 4, (start + 3) % 4]
    if courthouse:
        sides = [0, 2, 1, 3]
    for turn in range(rounds):
        for side in sides[: 2 if quarter else 4]:
            w = wide[side]
            old_low, old_high = low.copy(), high.copy()
            place = 1 + side // 2 + (2 * (turn % 2) if rng.random() < 0.1 else 0)
            if side == 0:
                low = low - np.array([0, w])
                box = (np.array([old_low[0], low[1]]), np.array([old_high[0], old_low[1]]))
            elif side == 1:
                high = high + np.array([w, 0])
                box = (np.array([old_high[0], old_low[1]]), np.array([high[0], old_high[1]]))
            elif side == 2:
                high = high + np.array([0, w])
                box = (np.array([old_low[0], old_high[1]]), np.array([old_high[0], high[1]]))
            else:
                low = low - np.array([w, 0])
                box = (np.array([low[0], old_low[1]]), np.array([old_low[0], old_high[1]]))
            patches.append((box_between(*box), place))
    return [((ring - low) / (high - low), at) for ring, at in patches]


def _strips(rng: Rng, slant: bool) -> list[Patch]:
    """Strips across a square, along its sides or from corner to corner."""
    cuts = np.sort(np.concatenate([[0.0], np.cumsum(rng.uniform(0.5, 1.5, int(rng.integers(2, 8))))]))
    cuts = cuts / cuts[-1]
    out: list[Patch] = []
    for k in range(len(cuts) - 1):
        if slant:
            ring = strip_of(BOX, np.array([1.0, 1.0]), 2 * cuts[k], 2 * cuts[k + 1])
        else:
            ring = box_between(np.array([0, cuts[k]]), np.array([1, cuts[k + 1]]))
        if len(ring) >= 3:
            out.append((ring, k % 5))
    return out


def _strings(rng: Rng) -> list[Patch]:
    """Strings across the whole block, or in each of its quarters by itself."""
    slant = rng.random() < 0.6
    if rng.random() < 0.4:
        out = []
        one = _strips(rng, slant)
        for k, corner in enumerate(BOX):
            for ring, at in one if rng.random() < 0.8 else _strips(rng, slant):
                out.append((turned(ring, k, False) / 2 + corner / 2, at))
        return out
    turn = int(rng.integers(4))
    return [(turned(ring, turn, False), at) for ring, at in _strips(rng, slant)]


def _framed(rng: Rng) -> list[Patch]:
    frames = int(rng.integers(1, 4))
    low, high = np.zeros(2), np.ones(2)
    patches: list[Patch] = []
    for k in range(frames):
        inner_low = low + rng.uniform(0.05, 0.22) * (1 if rng.random() < 0.6 else rng.uniform(0.6, 1.4, 2))
        inner_high = high - rng.uniform(0.05, 0.22) * (1 if rng.random() < 0.6 else rng.uniform(0.6, 1.4, 2))
        if rng.random() < 0.5:
            inner_high = 1 - inner_low if k == 0 else high - (inner_low - low)
        if (inner_high - inner_low < 0.15).any():
            break
        outer, inner = box_between(low, high), box_between(inner_low, inner_high)
        if rng.random() < 0.3:  # mitered
            for side in range(4):
                after = (side + 1) % 4
                patches.append((np.array([outer[side], outer[after], inner[after], inner[side]]), 1 + k))
        else:
            patches += [
                (box_between(outer[0], np.array([high[0], inner_low[1]])), 1 + k),
                (box_between(np.array([low[0], inner_high[1]]), outer[2]), 1 + k),
                (box_between(np.array([low[0], inner_low[1]]), inner[3]), 1 + k),
                (box_between(inner[1], np.array([high[0], inner_high[1]])), 1 + k),
            ]
        low, high = inner_low, inner_high
    patches.append((box_between(low, high), 0))
    return patches


def _chance_cuts(rng: Rng) -> list[Patch]:
    """A square cut again and again, mostly along its sides."""
    rings = [BOX.copy()]
    for _ in range(int(rng.integers(2, 14))):
        at = int(np.argmax([cv2.contourArea(ring.astype(np.float32)) * rng.uniform(0.2, 1) for ring in rings]))
        ring = rings.pop(at)
        angle = rng.choice(
            [0, np.pi / 2, np.pi / 4, -np.pi / 4, rng.uniform(0, np.pi)], p=[0.35, 0.35, 0.08, 0.08, 0.14]
        )
        normal = np.array([np.cos(angle), np.sin(angle)])
        along = ring @ normal
        where = along.min() + np.ptp(along) * rng.choice([0.5, 1 / 3, 2 / 3, rng.uniform(0.25, 0.75)])
        parts = [strip_of(ring, normal, -9, where), strip_of(ring, normal, where, 9)]
        parts = [part for part in parts if len(part) >= 3 and cv2.contourArea(part.astype(np.float32)) > 4e-3]
        rings += parts if len(parts) == 2 else [ring]
    return [(ring, int(rng.integers(5))) for ring in rings]


def _wheel(rng: Rng) -> list[Patch]:
    """Wedges about the middle, straight to the sides; or a star of kites."""
    if rng.random() < 0.5:
        s = float(rng.choice([1 - np.sqrt(0.5), 0.25, 1 / 3, 0.35]))
        steps = [0, s, 1 - s]
    else:
        steps = [0, 0.5]
    top = np.array([[step, 0.0] for step in steps])
    if rng.random() < 0.4 and len(steps) == 3:  # an eight-pointed star of kites
        s = 1 - np.sqrt(0.5)
        out: list[Patch] = []
        for k in range(4):
            for flip in (False, True):
                kite = np.array([[0.5, 0.5], [0.5, 0.5 - 0.5 * np.sqrt(0.5)], [1 - s, 0], [0.75, 0.25]])
                out.append((turned(turned(kite, 0, flip), k, False), int(flip)))
            out.append((turned(np.array([[0.0, 0], [s, 0], [0.25, 0.25], [0, s]]), k, False), 2))
            out.append((turned(np.array([[s, 0.0], [1 - s, 0], [0.5, 0.5 - 0.5 * np.sqrt(0.5)]]), k, False), 2))
        return out
    points, middle = np.concatenate([turned(top, k, False) for k in range(4)]), np.array([0.5, 0.5])
    return [(np.array([points[k], points[(k + 1) % len(points)], middle]), k % 2) for k in range(len(points))]


def make_block(rng: Rng) -> list[Patch]:
    """Draw one kind of pieced block by chance: outlines in 0..1 with the number of their fabric's place.

    Examples
    --------
    >>> block = make_block(np.random.default_rng(1))
    >>> round(sum(cv2.contourArea(ring.astype(np.float32)) for ring, _ in block), 3)
    1.0
    """
    kind = rng.choice(6, p=[0.52, 0.12, 0.11, 0.1, 0.09, 0.06])
    return (grid_block, _log_cabin, _strings, _framed, _chance_cuts, _wheel)[kind](rng)
