"""Fit the weights by which a block grid is chosen: ``python -m judging.tune_grid --count 650``.

Renders quilts of the tuning set, lists the grids that each may have, and fits what speaks for a grid so that the
right one comes out: a conditional logit over the candidates of a picture and "no block grid", held small by a
penalty. Writes `src/seamlore/photo/grid_weights.json`. The judging set, with other seeds and other block designs,
takes no part.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize  # type: ignore[import-untyped]

from judging.quilts import TUNING_SEEDS, make_quilt
from judging.truth import Truth
from seamlore.photo.candidates import Candidate, candidates, look
from seamlore.photo.confidence import FURTHEST, rivals, worked_up
from seamlore.photo.flatten import flatten
from seamlore.photo.frame import Frame
from seamlore.photo.opening import Photo
from seamlore.photo.steps_energy import gather

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

WEIGHTS = Path(__file__).resolve().parent.parent / "src" / "seamlore" / "photo" / "grid_weights.json"
PENALTY = 0.003


@dataclass(frozen=True)
class Case:
    """One picture: what speaks for each of its candidates, which are right, and whether it has no grid at all."""

    table: Floats
    right: Flags
    none: bool


def is_right(candidate: Candidate, truth: Truth, px_per_in: float) -> bool:
    """Tell whether setting and counts are right and the blocks begin and end where they should."""
    if candidate.on_point != (truth.setting == "on point"):
        return False
    if (candidate.down.count, candidate.across.count) != (truth.rows, truth.columns):
        return False
    for axis, spans in ((candidate.across, truth.column_spans), (candidate.down, truth.row_spans)):
        assert spans is not None
        ends = (axis.first - spans[0][0] * px_per_in, axis.last - spans[-1][1] * px_per_in)
        if max(map(abs, ends)) > 0.2 * axis.pitch:
            return False
    return True


def gather_case(number: int, names: list[str]) -> Case | None:
    """Render one quilt of the tuning set; every other one with corners a little off, as hands give them."""
    photo, truth = make_quilt(TUNING_SEEDS + number, long_side_px=1300)
    assert truth.corners is not None
    assert truth.size is not None
    corners = np.array(truth.corners)
    if number % 2:
        width = float(np.linalg.norm(corners[1] - corners[0]))
        off = np.random.default_rng(number).normal(0, 0.004 * width, (4, 2))
        corners = np.clip(corners + off, 0, [photo.shape[1] - 1, photo.shape[0] - 1])
    flat = flatten(Photo(photo), Frame(corners.tolist(), truth.size), longest_px=1000)
    evidence = gather(flat.pixels)
    found = candidates(look(evidence))
    if not found:
        return None
    rows = [worked_up(c.told, rival) for c, rival in zip(found, rivals(found), strict=True)]
    names[:] = sorted(rows[0])
    table = np.array([[row[name] for name in names] for row in rows])
    px_per_in = flat.px_per_unit * evidence.scale[0]
    none = truth.setting == "none"
    right = np.array([not none and is_right(candidate, truth, px_per_in) for candidate in found])
    return Case(table, right, none) if none or right.any() else None


def fit(cases: Sequence[Case], penalty: float = PENALTY) -> tuple[Floats, Floats, Floats, float]:
    """Fit the weights: usual value, spread and weight of everything that speaks for a grid, and the worth of none."""
    table = np.vstack([case.table for case in cases])
    usual, spread = table.mean(axis=0), table.std(axis=0) + 1e-3
    table = np.clip((table - usual) / spread, -FURTHEST, FURTHEST)
    starts = np.cumsum([0, *(len(case.table) for case in cases)])[:-1]
    of = np.repeat(np.arange(len(cases)), [len(case.table) for case in cases])
    none = np.array([case.none for case in cases])
    right = np.concatenate([case.right for case in cases])

    def loss(theta: Floats) -> tuple[float, Floats]:
        weight, bar = theta[:-1], theta[-1]
        worth = table @ weight
        top = np.maximum(np.maximum.reduceat(worth, starts), bar)
        part, nothing = np.exp(worth - top[of]), np.exp(bar - top)
        whole = nothing + np.add.reduceat(part, starts)
        good = np.add.reduceat(part * right, starts)
        told = np.where(none, nothing, good) + 1e-300
        pull = part / whole[of] - np.where(right & ~none[of], part / np.maximum(good, 1e-300)[of], 0.0)
        slope = np.append(table.T @ pull, (nothing / whole - none).sum()) / len(cases)
        slope[:-1] += 2 * penalty * weight
        return float(-(np.log(told) - np.log(whole)).mean() + penalty * weight @ weight), slope

    done: Any = minimize(loss, np.zeros(table.shape[1] + 1), jac=True, method="L-BFGS-B", options={"maxiter": 400})
    return usual, spread, done.x[:-1], float(done.x[-1])


def write(names: Sequence[str], fitted: tuple[Floats, Floats, Floats, float], made: str) -> None:
    """Write the weights where the program reads them."""
    usual, spread, weight, none = fitted
    rows = [
        {"name": name, "usual": round(float(u), 5), "spread": round(float(s), 5), "weight": round(float(w), 5)}
        for name, u, s, w in zip(names, usual, spread, weight, strict=True)
    ]
    WEIGHTS.write_text(json.dumps({"made": made, "none": round(none, 5), "weights": rows}, indent=1) + "\n")


def main() -> None:
    """Render, fit and write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=650)
    count = parser.parse_args().count
    names: list[str] = []
    cases = [case for number in range(count) if (case := gather_case(number, names)) is not None]
    write(names, fit(cases), f"python -m judging.tune_grid --count {count}: {len(cases)} pictures of the tuning set")
    print(f"{len(cases)} pictures of {count}; wrote {WEIGHTS.name}")


if __name__ == "__main__":
    main()
