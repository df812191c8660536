"""What stands between and about the blocks of the training set: pieced sashing, pieced and appliquéd borders."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from judging.rendering.piecing import Bag, Made, Points, rect


def piece_sashing(
    made: Made,
    bag: Bag,
    starts: tuple[Points, Points],
    sides: tuple[Points, Points],
    gap: float,
    outer: bool,
    rng: np.random.Generator,
) -> None:
    """Piece the sashing of small squares, squares on point or long strips, each strip of its own two fabrics.

    Parameters
    ----------
    starts, sides : pair of ndarray
        Where columns and rows of blocks begin, and their widths and heights, in inches.
    gap : float
        Width of the sashing.
    outer : bool
        Whether it runs round the outside too.
    """
    many = [bag.cut() for _ in range(int(rng.integers(2, 12)))]
    kind = str(rng.choice(["checks", "point", "strips"], p=[0.35, 0.4, 0.25]))
    across = int(rng.integers(1 if kind == "point" else 2, 4))
    one_for_all = int(many[0]) if rng.random() < 0.3 else None
    # Strips may end in points, which leave a square on point where they meet.
    pointed = rng.random() < 0.25

    def strip(x0: float, y0: float, wide: float, long: float, upright: bool) -> None:
        one, two = (int(many[int(rng.integers(len(many)))]) for _ in range(2))
        one = one if one_for_all is None else one_for_all

        def lay(outline: Points, cloth: int) -> None:
            at = outline[:, ::-1] if upright else outline
            made.lay(np.array([x0, y0]) + at, cloth)

        cell = wide / across
        count = max(1, round(long / cell))
        step = long / count
        tip = wide / 2 if pointed and long > 0.6 * wide else 0.0
        if tip and long != wide:
            lay(np.array([[0, 0], [long, 0], [long + tip, tip], [long, wide], [0, wide], [-tip, tip]]), one)
        else:
            lay(rect(0, 0, long, wide), one)
        if kind == "strips":
            for k in range(0, across, 2):
                lay(rect(0, k * cell, long, (k + 1) * cell), two)
            return
        for k in range(count):
            for m in range(across):
                if kind == "checks" and (k + m) % 2:
                    lay(rect(k * step, m * cell, (k + 1) * step, (m + 1) * cell), two)
                elif kind == "point":
                    x, y = (k + 0.5) * step, (m + 0.5) * cell
                    lay(np.array([[x - step / 2, y], [x, y - cell / 2], [x + step / 2, y], [x, y + cell / 2]]), two)

    (xs, ys), (widths, heights) = starts, sides
    lefts = [*(xs[:-1] + widths[:-1]), *([xs[0] - gap, xs[-1] + widths[-1]] if outer else [])]
    tops = [*(ys[:-1] + heights[:-1]), *([ys[0] - gap, ys[-1] + heights[-1]] if outer else [])]
    for y, h in zip(ys, heights, strict=True):
        for x in lefts:
            strip(float(x), float(y), gap, float(h), True)
    for x, w in zip(xs, widths, strict=True):
        for y in tops:
            strip(float(x), float(y), gap, float(w), False)
    if rng.random() < 0.5:
        # The same piecing goes on where strips meet.
        for x in lefts:
            for y in tops:
                strip(float(x), float(y), gap, gap, False)


_BORDERS = ("squares", "bars", "teeth", "geese", "points", "scallops", "vine", "blocks")


def piece_borders(made: Made, bag: Bag, widths: Sequence[float], rng: np.random.Generator) -> None:
    """Piece or appliqué some of a quilt's borders, over the plain ones that lie there already.

    Parameters
    ----------
    widths : sequence of float
        Of the borders in inches, from the innermost out.
    """
    at = 0.0
    for band in widths[::-1]:
        if rng.random() < 0.55:
            kind = str(rng.choice(_BORDERS))
            cloths = [bag.cut() for _ in range(int(rng.integers(2, 9)))]
            _piece_one(made, at, band, kind, cloths, rng)
        at += band


def _piece_one(made: Made, at: float, band: float, kind: str, cloths: list[int], rng: np.random.Generator) -> None:
    width, height = made.size
    x0, y0, x1, y1 = at, at, width - at, height - at
    proportion = float({"bars": rng.uniform(0.2, 0.7), "vine": 2.0}.get(kind, 1.0))
    # Each side from its own start, its corners left to the sides that lie across.
    sides = (
        (np.array([x0, y0]), np.array([1.0, 0.0]), np.array([0.0, 1.0]), x1 - x0),
        (np.array([x0, y1]), np.array([1.0, 0.0]), np.array([0.0, -1.0]), x1 - x0),
        (np.array([x0, y0 + band]), np.array([0.0, 1.0]), np.array([1.0, 0.0]), y1 - y0 - 2 * band),
        (np.array([x1, y0 + band]), np.array([0.0, 1.0]), np.array([-1.0, 0.0]), y1 - y0 - 2 * band),
    )
    for start, along, inward, long in sides:
        count = max(1, round(long / (band * proportion)))
        step = long / count
        for k in range(count):
            for outline, number in _pieces(kind, k, rng):
                here = start + (outline[:, :1] + k) * step * along + outline[:, 1:] * band * inward
                made.lay(here, cloths[number % len(cloths)])


_CURVE = np.linspace(0, np.pi, 9)


def _pieces(kind: str, k: int, rng: np.random.Generator) -> list[tuple[Points, int]]:
    """Give the pieces of one stretch of a border: x along it, y inward, 0..1 each."""
    whole = rect(0, 0, 1, 1)
    if kind in ("squares", "bars"):
        return [(whole, int(rng.integers(9)) if kind == "bars" else k)]
    if kind == "teeth":
        return [(whole[[0, 1, 3]], 0), (whole[[1, 2, 3]], 1)]
    if kind == "geese":
        return [(whole, 0), (np.array([[0, 0], [0, 1], [1, 0.5]]), 1 + k % 2)]
    if kind == "points":
        return [(whole, 0), (np.array([[0, 1], [1, 1], [0.5, 0.1]]), 1 + int(rng.integers(8)))]
    if kind == "scallops":
        arc = np.stack([0.5 - 0.5 * np.cos(_CURVE), 1 - 0.8 * np.sin(_CURVE)], axis=1)
        return [(whole, 0), (arc, 1)]
    if kind == "vine":
        wave = 0.5 + 0.25 * np.sin(2 * np.pi * np.linspace(0, 1, 13))
        x = np.linspace(0, 1, 13)
        stem = np.concatenate([np.stack([x, wave - 0.03], 1), np.stack([x, wave + 0.03], 1)[::-1]])
        leaves = []
        for middle, side in ((0.25, -1), (0.75, 1)):
            t = np.linspace(0, 2 * np.pi, 9)[:-1]
            y = 0.5 + 0.25 * np.sin(2 * np.pi * middle) + 0.18 * side
            leaves.append((np.stack([middle + 0.08 * np.cos(t), y + 0.14 * np.sin(t)], axis=1), 2 + (middle > 0.5)))
        return [(whole, 0), (stem, 1), *leaves]
    # Little blocks of four.
    return [(whole, 0), (rect(0, 0, 0.5, 0.5), 1 + k % 3), (rect(0.5, 0.5, 1, 1), 1 + k % 3)]
