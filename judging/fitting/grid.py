"""Fit the weights by which a block grid is chosen: ``python -m judging.fitting.grid --count 900``.

Renders quilts of the tuning set's seeds, most of designs made up by chance that the network was not trained on, lists
the grids that each may have, and fits what speaks for a grid so that the right one comes out: a conditional logit over
the candidates of a picture and "no block grid", held small by a penalty. Prints them beside those kept, and with ``--write`` writes
`src/seamlore/photo/grid/weights.json`.
The judging set, with other seeds and other block designs, takes no part.
"""

from __future__ import annotations

import argparse
import json
import pickle
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from judging.fitting.logistic import side_by_side
from judging.rendering.blocks import TUNING
from judging.rendering.chance import chance_name, is_chance
from judging.rendering.quilts import TUNING_SEEDS, make_quilt
from seamlore.photo.flatten import flatten
from seamlore.photo.frame import Frame
from seamlore.photo.grid.candidates import Candidate, candidates
from seamlore.photo.grid.confidence import none_told, weights
from seamlore.photo.grid.network import glance
from seamlore.photo.grid.repeats import field_of, repeats
from seamlore.photo.networks import SIDE_PX
from seamlore.photo.opening import Photo

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

WEIGHTS = Path(__file__).resolve().parents[2] / "src" / "seamlore" / "photo" / "grid" / "weights.json"
PENALTY = 0.0008
FOLDS = 5
# What the network says of there being no grid is taken nearly as it is: real quilts differ from rendered ones.
NONE_PENALTY = 0.01


@dataclass(frozen=True, eq=False)
class Shown:
    """One flattened picture, and what is true of it: spans in parts of width and height."""

    pixels: NDArray[np.uint8]
    size: tuple[int, int]
    setting: str
    columns: Floats
    rows: Floats
    notes: dict[str, Any]


@dataclass(frozen=True, eq=False)
class Case:
    """One picture: what speaks for each of its candidates, which are right, and what the network says of none."""

    table: Floats
    right: Flags
    none: bool
    none_told: float
    traditional: bool


@dataclass(frozen=True, eq=False)
class Fitted:
    """What is written: see `seamlore.photo.grid.confidence.Weights`."""

    usual: Floats
    spread: Floats
    weight: Floats
    none: tuple[float, float]
    other: float


def show(number: int) -> Shown:
    """Render one quilt of the tuning set; every other one with corners a little off, as hands give them."""
    cv2.setNumThreads(1)
    rng = np.random.default_rng(number)
    pool = tuple(chance_name(int(rng.integers(2 * 10**9, 3 * 10**9))) for _ in range(2))
    photo, truth = make_quilt(
        TUNING_SEEDS + number, designs=pool if rng.random() < 0.6 else tuple(TUNING), long_side_px=1200
    )
    assert truth.corners is not None
    assert truth.size is not None
    corners = np.array(truth.corners)
    if number % 2:
        width = float(np.linalg.norm(corners[1] - corners[0]))
        off = rng.normal(0, 0.003 * width, (4, 2))
        corners = np.clip(corners + off, 0, [photo.shape[1] - 1, photo.shape[0] - 1])
    flat = flatten(Photo(photo), Frame(corners.tolist(), truth.size), longest_px=1000)
    height, width_px = flat.pixels.shape[:2]
    small = cv2.resize(flat.pixels, (SIDE_PX, SIDE_PX), interpolation=cv2.INTER_AREA)
    spans = [
        np.array(each if each is not None else np.zeros((0, 2))) / side
        for each, side in ((truth.column_spans, truth.size[0]), (truth.row_spans, truth.size[1]))
    ]
    return Shown(
        np.asarray(small, dtype=np.uint8),
        (width_px, height),
        str(truth.setting),
        spans[0],
        spans[1],
        dict(truth.notes),
    )


def is_right(candidate: Candidate, shown: Shown) -> bool:
    """Tell whether setting and counts are right and the blocks begin and end where they should."""
    if candidate.on_point != (shown.setting == "on point"):
        return False
    for comb, spans in ((candidate.across, shown.columns), (candidate.down, shown.rows)):
        if comb.count != len(spans):
            return False
        if max(abs(comb.first - spans[0, 0]), abs(comb.last - spans[-1, 1])) > 0.2 * comb.pitch:
            return False
    return True


def case_of(shown: Shown, names: list[str]) -> Case | None:
    """List the candidates of one picture; None when there are none at all."""
    height = SIDE_PX
    # The network sees a square; only the proportion of the picture tells it what is square.
    seen = glance(_stretched(shown, height))
    found = candidates(seen, shown.size, repeats(shown.pixels, field_of(seen)))
    none = shown.setting == "none"
    right = np.array([not none and is_right(each, shown) for each in found], dtype=bool)
    if not found:
        return None
    names[:] = sorted(found.told)
    table = np.stack([found.told[name] for name in names], axis=1)
    return Case(table, right, none, none_told(seen.none), not is_chance(str(shown.notes["design"])))


def _stretched(shown: Shown, height: int) -> NDArray[np.uint8]:
    width = round(height * shown.size[0] / shown.size[1])
    return np.asarray(cv2.resize(shown.pixels, (width, height), interpolation=cv2.INTER_LINEAR), dtype=np.uint8)


def fit(cases: Sequence[Case], penalty: float = PENALTY) -> Fitted:
    """Fit the weights; the right grid may be none of those listed, which has a worth of its own."""
    table = np.vstack([case.table for case in cases])
    usual, spread = table.mean(axis=0), table.std(axis=0) + 1e-3
    tables = (table - usual) / spread
    starts = np.cumsum([0, *(len(case.table) for case in cases)])[:-1]
    of = np.repeat(np.arange(len(cases)), [len(case.table) for case in cases])
    none = np.array([case.none for case in cases])
    told = np.array([case.none_told for case in cases])
    right = np.concatenate([case.right for case in cases])
    count = len(cases)

    lost = ~none & ~np.logical_or.reduceat(right, starts)

    def loss(theta: Floats) -> tuple[float, Floats]:
        weight, bar, by, other = theta[:-3], theta[-3], theta[-2], theta[-1]
        worth, nothing = tables @ weight, bar + by * told
        top = np.maximum(np.maximum(np.maximum.reduceat(worth, starts), nothing), other)
        part, void, beside = np.exp(worth - top[of]), np.exp(nothing - top), np.exp(other - top)
        whole = void + beside + np.add.reduceat(part, starts)
        good = np.where(none, void, np.where(lost, beside, np.add.reduceat(part * right, starts))) + 1e-300
        pull = part / whole[of] - np.where(right, part / good[of], 0.0)
        by_none, by_other = void / whole - none, beside / whole - lost
        slopes = np.append(
            tables.T @ pull / count + 2 * penalty * weight,
            [by_none.mean(), (by_none * told).mean() + 2 * NONE_PENALTY * (by - 1), by_other.mean()],
        )
        value = -float((np.log(good) - np.log(whole)).mean())
        return value + penalty * float(weight @ weight) + NONE_PENALTY * float((by - 1) ** 2), slopes

    start = np.zeros(table.shape[1] + 3)
    done: Any = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 500})
    return Fitted(usual, spread, done.x[:-3], (float(done.x[-3]), float(done.x[-2])), float(done.x[-1]))


def with_usual_losses(fitted: Fitted, cases: Sequence[Case]) -> Fitted:
    """Fit anew how often the right grid is not found, on traditional designs alone: those made up by chance are harder."""
    known = [case for case in cases if case.traditional and not case.none]

    def told(other: float) -> float:
        total = 0.0
        for case in known:
            worth = (case.table - fitted.usual) / fitted.spread @ fitted.weight
            rest = [fitted.none[0] + fitted.none[1] * case.none_told, other]
            all_of = np.append(worth, rest)
            good = worth[case.right] if case.right.any() else np.array([other])
            total += float(np.logaddexp.reduce(good) - np.logaddexp.reduce(all_of))
        return total

    tries = fitted.other + np.arange(-6.0, 2.5, 0.5)
    return replace(fitted, other=float(max(tries, key=told)))


def write(names: Sequence[str], fitted: Fitted, made: str) -> None:
    """Write the weights where the program reads them, one name on a line, so that two versions can be compared."""
    columns = (fitted.usual.tolist(), fitted.spread.tolist(), fitted.weight.tolist())
    rows = [
        json.dumps({"name": name, "usual": round(u, 5), "spread": round(s, 5), "weight": round(w, 5)})
        for name, u, s, w in zip(names, *columns, strict=True)
    ]
    head = {"made": made, "none": [round(each, 5) for each in fitted.none], "other": round(fitted.other, 5)}
    WEIGHTS.write_text(json.dumps(head)[:-1] + ',\n"weights": [\n' + ",\n".join(rows) + "\n]}\n")


def right_share(fitted: Fitted, cases: Sequence[Case]) -> float:
    """Give the share of pictures whose likeliest answer is right: one of the right grids, or none."""

    def right(case: Case) -> bool:
        worths = (case.table - fitted.usual) / fitted.spread @ fitted.weight
        nothing = fitted.none[0] + fitted.none[1] * case.none_told
        return case.none if nothing > worths.max() else bool(case.right[worths.argmax()])

    return sum(map(right, cases)) / len(cases)


def held_back(cases: Sequence[Case]) -> float:
    """Give the same share, each picture judged by weights that were fitted without it."""
    told = 0.0
    for fold in range(FOLDS):
        mine = [case for k, case in enumerate(cases) if k % FOLDS == fold]
        told += right_share(fit([case for k, case in enumerate(cases) if k % FOLDS != fold]), mine) * len(mine)
    return told / len(cases)


def shown_set(count: int, workers: int, kept: Path | None) -> list[Shown]:
    """Render the pictures, or take them from a file where they were kept."""
    if kept is not None and kept.exists():
        return list(pickle.loads(kept.read_bytes()))
    with ProcessPoolExecutor(workers) as pool:
        pictures = list(pool.map(show, range(count), chunksize=8))
    if kept is not None:
        kept.write_bytes(pickle.dumps(pictures))
    return pictures


def main(words: Sequence[str] | None = None) -> None:
    """Render, fit, print beside what is kept, and write when asked to."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=900)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--write", action="store_true", help="write the weights where the program reads them")
    parser.add_argument(
        "--folds", action="store_true", help="fit without a fifth of the pictures, and judge by it, five times"
    )
    parser.add_argument("--keep", type=Path, help="a file that the rendered pictures are kept in between two fits")
    given = parser.parse_args(words)
    names: list[str] = []
    pictures = shown_set(given.count, given.workers, given.keep)
    cases = [case for shown in pictures if (case := case_of(shown, names)) is not None]
    fitted = with_usual_losses(fit(cases), cases)
    listed = sum(bool(case.right.any()) for case in cases)
    grids = sum(not case.none for case in cases)
    print(
        f"{len(pictures)} pictures, {len(cases)} with candidates; the right grid is among them in {listed} of {grids}"
    )
    kept = weights()
    for name, one in (
        ("as kept", Fitted(kept.usual, kept.spread, kept.weight, kept.none, kept.other)),
        ("fitted", fitted),
    ):
        print(f"{name}: right in {right_share(one, cases):.3f}")
    print("\n" + side_by_side(
        [*names, "none", "none, as the network says", "other"],
        [*kept.weight, *kept.none, kept.other],
        [*fitted.weight, *fitted.none, fitted.other],
    ))  # fmt: skip
    if given.folds and len(cases) >= 5 * FOLDS:
        print(f"fitted, on pictures held back: right in {held_back(cases):.3f}")
    if given.write:
        write(
            names,
            fitted,
            f"python -m judging.fitting.grid --count {given.count} --write: {len(cases)} of the tuning set",
        )
        print(f"wrote {WEIGHTS.name}")


if __name__ == "__main__":
    main()
