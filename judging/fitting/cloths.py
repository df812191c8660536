"""Fit by what a cloth is known again: ``python -m judging.fitting.cloths [--write]``.

Cloths of the tuning set, sixty at a time, each photographed in four quilts. On the first half of the sets it is fitted how
much two photographs of one cloth and two cloths differ; on the second, held back from the first, the chance that two are
the same, over all pairs whose figures the search looks at. With `--write` the file that `seamlore.photo.cloth.same` reads is
written anew.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

import cv2
import msgspec
import numpy as np
from numpy.typing import NDArray

from judging.fitting.cases import arguments
from judging.fitting.logistic import calibration_error, chances, fit, shares
from judging.rendering.lengths_of_cloth import Seen, piece, some_prints
from seamlore.photo.cloth.cutting import MOST_PATCHES, cut_out, halved
from seamlore.photo.cloth.described import Cut, strength
from seamlore.photo.cloth.matching import Figures, alike
from seamlore.photo.cloth.same import FAINT_PRINT, LOOKED_AT, Known, Model, features, known_by, limited, ratios
from seamlore.photo.cloth.search import MOST, MOST_LOOKED_AT

Floats = NDArray[np.float64]
AMONG, VIEWS = 60, 4
CHANCES = (0, 0.1, 0.3, 0.5, 0.7, 0.9, 0.95, 1.01)
AXES = 28  # along further ones two photographs of one cloth differ as much as two cloths
_RIDGE = 0.02  # of the variance within, so that no figure is trusted more than so many cloths can tell


@dataclass(frozen=True, eq=False)
class Seen60:
    """Sixty cloths in four quilts: what each is known by, and its figures."""

    known: list[list[Known]]
    figures: list[list[Figures]]


def patch_at_scale(rgb: NDArray[np.uint8], mask: NDArray[np.uint8], px_per_inch: float) -> tuple[Cut, float]:
    """Cut a patch out of its picture as the program does."""
    height, width = mask.shape
    size = np.array([width, height]) / px_per_inch * 2.54
    corners = np.array([[0, 0], [width, 0], [width, height], [0, height]]) - 0.5
    ring = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]]) if mask.all() else np.array([[0, 0], [1, 0], [0, 1.0]])
    middle = ring.mean(axis=0)
    return cut_out(rgb, corners, size, (middle + 0.86 * (ring - middle)) * size)


def how_cut(rng: np.random.Generator) -> tuple[int, float, bool]:
    """Draw how many patches of a cloth stand in a quilt, of what side in inches, and whether they are triangles."""
    count = int(np.exp(rng.uniform(0, np.log(9))))
    return min(count, MOST_PATCHES), float(rng.uniform(1.4, 4.4)), bool(rng.random() < 0.3)


def sixty(seed: int) -> Seen60:
    """Draw and photograph sixty cloths."""
    cv2.setNumThreads(1)
    cloths, rng = some_prints(AMONG, seed), np.random.default_rng([seed, 98])
    known: list[list[Known]] = [[] for _ in cloths]
    figures: list[list[Figures]] = [[] for _ in cloths]
    for _ in range(VIEWS):
        seen = Seen.by_chance(rng)
        for number, cloth in enumerate(cloths):
            count, side, triangle = how_cut(rng)
            cut = [
                patch_at_scale(*piece(rng, cloth, seen, side, triangle=triangle), seen.px_per_inch)
                for _ in range(count)
            ]
            made = Figures(tuple(halved(each) for each, _ in cut))
            figures[number].append(made)
            known[number].append(known_by(made, cut[0][1]))
    return Seen60(known, figures)


def table(some: Sequence[Seen60]) -> Floats:
    """Give all descriptions, shape (cloths, views, figures)."""
    return np.array([[one.described for one in each] for group in some for each in group.known], np.float64)


def apart(rows: Floats) -> Model:
    """Fit how much two photographs of one cloth differ, and how much two cloths."""
    flat = rows.reshape(-1, rows.shape[-1])
    mean, spread = flat.mean(axis=0), flat.std(axis=0) + 1e-6
    scaled = (rows - mean) / spread
    middle = scaled.mean(axis=1)
    off = scaled - middle[:, None]
    views = rows.shape[1]
    within = np.einsum("nvi,nvj->ij", off, off) / (len(rows) * (views - 1)) + _RIDGE * np.eye(len(mean))
    between = np.cov(middle.T) - within / views
    root = np.linalg.inv(np.linalg.cholesky(within))
    size, way = np.linalg.eigh(root @ between @ root.T)
    order = np.argsort(-size)[:AXES]
    turn = way[:, order].T @ root
    return Model(
        mean=tuple(mean.round(4).tolist()),
        spread=tuple(spread.round(5).tolist()),
        turn=tuple(tuple(row) for row in turn.round(4).tolist()),
        between=tuple(np.maximum(size[order], 0).round(4).tolist()),
        weights=(0.0,) * 4,
        alone=(0.0, 0.0),
        among=AMONG,
    )


@dataclass(frozen=True, eq=False)
class Pairs:
    """Pairs that a search comes upon: what is known of those whose figures it looks at, and the ratio of all of them."""

    same: list[bool]
    rows: list[Floats]
    all_same: list[bool]
    ratios: list[float]


def pairs(told: Model, group: Seen60) -> Pairs:
    """Hold every cloth of one quilt against those of another that a search gives, those near enough by their figures too.

    Each of these is one answer that she may be given: fitted on the nearest few alone, the chance of those that come later was
    said too high.
    """
    found = Pairs([], [], [], [])
    for one, two in ((0, 1), (2, 3)):
        there = np.array([each[two].described for each in group.known])
        for number, each in enumerate(group.known):
            if not each[one].enough:
                continue
            ratio = ratios(each[one].described, there, told)
            for place, at in enumerate(np.argsort(-ratio, kind="stable")[:MOST].tolist()):
                if not group.known[at][two].enough:
                    continue
                found.all_same.append(at == number)
                found.ratios.append(limited(float(ratio[at])))
                if ratio[at] <= LOOKED_AT or place >= MOST_LOOKED_AT:
                    continue
                fitted = alike(group.figures[number][one], group.figures[at][two])
                if fitted is not None:
                    found.same.append(at == number)
                    found.rows.append(features(float(ratio[at]), fitted))
    return found


def main(words: Sequence[str] | None = None) -> int:
    """Fit, print, and write."""
    given = arguments("judging.fitting.cloths", __doc__, 24, words, "--write")
    with ProcessPoolExecutor(given.workers) as pool:
        groups = list(pool.map(sixty, range(given.count)))
        learned, held = groups[: len(groups) // 2], groups[len(groups) // 2 :]
        half = apart(table(learned))
        told = list(pool.map(pairs, [half] * len(held), held))
    right, rows = (
        np.array([same for each in told for same in each.same]),
        np.array([row for each in told for row in each.rows]),
    )
    weights = fit(rows, right)
    all_right = np.array([same for each in told for same in each.all_same])
    alone_rows = np.array([[ratio] for each in told for ratio in each.ratios])
    alone = fit(alone_rows, all_right)
    fitted = msgspec.structs.replace(
        half, weights=tuple(weights.round(4).tolist()), alone=(round(float(alone[0]), 4), round(float(alone[1]), 4))
    )
    said = chances(weights, rows)
    faint = [float(strength(one.described)) < FAINT_PRINT for group in groups for each in group.known for one in each]
    print(f"{len(groups) * AMONG} cloths in {VIEWS} quilts each; {np.mean(faint):.1%} of the views too faint to tell")
    print(
        f"{len(right)} pairs whose figures are looked at, {right.sum()} of one cloth; weights {weights.round(3).tolist()}"
    )
    print(f"calibration error {calibration_error(said, right):.3f}")
    print(shares(said, right, CHANCES))
    print(
        f"{len(all_right)} pairs that a search gives, {all_right.sum()} of one cloth; by the ratio alone {alone.round(3).tolist()}"
    )
    print(shares(chances(alone, alone_rows), all_right, CHANCES))
    if given.write:
        path = Path(str(files("seamlore.photo.cloth"))) / "same.json"
        path.write_bytes(msgspec.json.format(msgspec.json.encode(fitted), indent=1) + b"\n")
        print(f"written: {path}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
