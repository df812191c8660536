"""What is laid or stitched on one block of the training set: rings, petals, wheels, words, wreaths, stars, blobs.

Outlines are in the unit square, x to the right and y down.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from judging.rendering.piecing import Points, rect

Shape = tuple[Points, int]  # an outline, and the number of its cloth

_ROUND = np.linspace(0, 2 * np.pi, 17)[:-1]


def round_at(x: float, y: float, reach: float) -> Points:
    return np.stack([x + reach * np.cos(_ROUND), y + reach * np.sin(_ROUND)], axis=1)


def shard(rng: np.random.Generator) -> Points:
    a, b = rng.uniform(0, 1, (2, 2))
    d = np.array([a[1] - b[1], b[0] - a[0]])
    return np.asarray(np.clip(np.array([a, b, b + 3 * d, a + 3 * d]), 0, 1))


def motif(rng: np.random.Generator, many: Sequence[int]) -> list[Shape]:
    """Make up one appliqué or embroidery, the same in every block of a quilt."""
    kinds = (_petals, _blobs, _wheel, _outline, _words, _wreath, _star)
    weights = [0.24, 0.17, 0.2, 0.12, 0.06, 0.11, 0.1]
    cloths = [int(c) for c in rng.choice(many, 3)]
    shapes = kinds[int(rng.choice(len(kinds), p=weights))](rng, cloths)
    return [*shapes, *_in_corners(rng, cloths)] if rng.random() < 0.25 else shapes


def _in_corners(rng: np.random.Generator, cloths: list[int]) -> list[Shape]:
    """A small ornament, or words set slantwise, in each of a block's corners."""
    small = float(rng.uniform(0.15, 0.3))
    one = _words(rng, cloths[1:]) if rng.random() < 0.6 else _star(rng, cloths[1:] * 2)
    turned = rng.random() < 0.7
    shapes: list[Shape] = []
    for quarter in range(4):
        a = np.pi / 4 + quarter * np.pi / 2
        out = np.array([np.cos(a), np.sin(a)])
        # Words run across the diagonal.
        along = np.array([[-out[1], out[0]], [-out[0], -out[1]]]) if turned else np.eye(2)
        middle = 0.5 + (0.5 - 0.35 * small) * np.sign(out) * 0.85
        shapes += [(np.clip(middle + (ring - 0.5) * small @ along, 0.01, 0.99), cloth) for ring, cloth in one]
    return shapes


def _petals(rng: np.random.Generator, cloths: list[int]) -> list[Shape]:
    petals = int(rng.choice([4, 5, 6, 8, 12, 16]))
    length, wide = rng.uniform(0.2, 0.46), rng.uniform(0.02, 0.1)
    along, across = (1 + np.cos(_ROUND)) / 2 * length, np.sin(_ROUND) * wide
    shapes: list[Shape] = []
    for k in range(petals):
        a = 2 * np.pi * k / petals
        ring = np.stack(
            [0.5 + along * np.cos(a) - across * np.sin(a), 0.5 + along * np.sin(a) + across * np.cos(a)], 1
        )
        shapes.append((ring, cloths[k % 2]))
    return [*shapes, (round_at(0.5, 0.5, float(rng.uniform(0.04, 0.12))), cloths[2])]


def _blobs(rng: np.random.Generator, cloths: list[int]) -> list[Shape]:
    return [(blob(rng), int(rng.choice(cloths))) for _ in range(int(rng.integers(2, 7)))]


def _wheel(rng: np.random.Generator, cloths: list[int]) -> list[Shape]:
    """Lines of stitches that run out from the middle, a star or a spot there, and sometimes a ring about it."""
    spokes, fine = int(rng.choice([8, 12, 16, 24, 32])), float(rng.uniform(0.006, 0.016))
    inner, outer = rng.uniform(0.05, 0.18), rng.uniform(0.28, 0.48)
    start, bend = rng.uniform(0, np.pi), rng.normal(0, 0.15) * (rng.random() < 0.4)
    reach = np.linspace(inner, outer, 6)
    shapes: list[Shape] = []
    for k in range(spokes):
        a = start + 2 * np.pi * k / spokes + bend * (reach - inner) / outer
        shapes += _stroke(0.5 + reach[:, None] * np.stack([np.cos(a), np.sin(a)], axis=1), fine, cloths[0])
    rim = rng.random()
    if rim < 0.3:
        shapes += _stroke(_closed(round_at(0.5, 0.5, float(outer))), fine, cloths[1])
    elif rim < 0.65:
        # Petals drawn in stitches, one about each spoke.
        a = start + np.linspace(0, 2 * np.pi, 8 * spokes + 1)
        far = outer * (0.86 + 0.14 * np.abs(np.cos((a - start) * spokes / 2)))
        shapes += _stroke(0.5 + far[:, None] * np.stack([np.cos(a), np.sin(a)], axis=1), fine, cloths[0])
    middle = _pointed(5 if rng.random() < 0.5 else 8, float(inner) * 0.8) if rng.random() < 0.6 else None
    return [*shapes, (middle if middle is not None else round_at(0.5, 0.5, float(inner) * 0.5), cloths[2])]


def _outline(rng: np.random.Generator, cloths: list[int]) -> list[Shape]:
    """Figures drawn in outline stitch."""
    fine = float(rng.uniform(0.006, 0.014))
    shapes: list[Shape] = []
    for _ in range(int(rng.integers(3, 9))):
        ring = 0.5 + (blob(rng) - 0.5) * rng.uniform(0.7, 1.4)
        shapes += _stroke(_closed(np.clip(ring, 0.04, 0.96)), fine, cloths[0])
    return shapes


def _words(rng: np.random.Generator, cloths: list[int]) -> list[Shape]:
    """A name or a verse in stitches: short strokes in lines."""
    shapes: list[Shape] = []
    lines = int(rng.integers(1, 6))
    tall = float(rng.uniform(0.03, 0.07))
    for k in range(lines):
        y = 0.5 + (k - (lines - 1) / 2) * tall * 2.2
        x, end = 0.5 - rng.uniform(0.15, 0.4), 0.5 + rng.uniform(0.15, 0.4)
        while x < end:
            step = float(rng.uniform(0.012, 0.03))
            top = tall * rng.uniform(0.4, 1)
            shapes.append((rect(x, y - top / 2, x + step * 0.5, y + top / 2), cloths[0]))
            x += step * (1 if rng.random() < 0.85 else 2.5)
    return shapes


def _wreath(rng: np.random.Generator, cloths: list[int]) -> list[Shape]:
    """Leaves or berries in a ring."""
    count, reach, size = int(rng.choice([8, 12, 16, 20])), rng.uniform(0.22, 0.38), rng.uniform(0.025, 0.07)
    shapes: list[Shape] = []
    for k in range(count):
        a = 2 * np.pi * k / count
        shapes.append((round_at(0.5 + reach * np.cos(a), 0.5 + reach * np.sin(a), float(size)), cloths[k % 2]))
    return shapes


def _star(rng: np.random.Generator, cloths: list[int]) -> list[Shape]:
    """A star on the block's ground, one color or two."""
    points, reach = int(rng.choice([4, 5, 6, 8, 12])), float(rng.uniform(0.3, 0.48))
    return [(_pointed(points, reach), cloths[0]), (_pointed(points, reach * float(rng.uniform(0.3, 0.7))), cloths[1])]


def _pointed(points: int, reach: float) -> Points:
    a = np.pi * np.arange(2 * points) / points
    far = np.where(np.arange(2 * points) % 2, reach * 0.42, reach)
    return np.stack([0.5 + far * np.sin(a), 0.5 - far * np.cos(a)], axis=1)


def _closed(ring: Points) -> Points:
    return np.concatenate([ring, ring[:1]])


def _stroke(path: Points, wide: float, cloth: int) -> list[Shape]:
    """Give a line of stitches along a path as thin pieces."""
    step = np.diff(path, axis=0)
    normal = np.stack([-step[:, 1], step[:, 0]], axis=1) / (np.linalg.norm(step, axis=1, keepdims=True) + 1e-9)
    half = normal * wide / 2
    return [
        (np.array([a + n, b + n, b - n, a - n]), cloth) for a, b, n in zip(path[:-1], path[1:], half, strict=True)
    ]


def blob(rng: np.random.Generator) -> Points:
    t = np.linspace(0, 2 * np.pi, 13)[:-1]
    reach = rng.uniform(0.05, 0.25) * (1 + 0.4 * rng.normal(0, 1, 12))
    middle = rng.uniform(0.2, 0.8, 2)
    if rng.random() < 0.3:
        # A word or a label: a bar.
        w, h = rng.uniform(0.1, 0.35), rng.uniform(0.02, 0.08)
        return np.clip(rect(middle[0] - w, middle[1] - h, middle[0] + w, middle[1] + h), 0.03, 0.97)
    return np.asarray(np.clip(middle + reach[:, None] * np.stack([np.cos(t), np.sin(t)], 1), 0.03, 0.97))
