"""Fit the weights by which a block grid is chosen: ``python -m judging.tune_grid --count 750``.

Renders quilts of the tuning set, lists the grids that each may have, and fits what speaks for a grid so that the
right one comes out: a conditional logit over the candidates of a picture and "no block grid", first of plain weights,
then with a few units that weigh things together; both are held small by a penalty. Writes `src/seamlore/photo/grid_weights.json`. The judging set, with other seeds and other block designs,
takes no part.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
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
PENALTY = 0.006
UNIT_PENALTY = 0.005
# Real quilts repeat less than rendered ones: by this much less is "no block grid" taken to be worth. In five-fold
# checks it is then said of 96 % of the pictures without a grid and of 0.4 % of the others.
NONE_LESS = 1.5
UNITS = 12
# Units are fitted on the likeliest candidates of each picture and the right ones.
LIKELIEST = 60


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


@dataclass(frozen=True)
class Fitted:
    """What is written: see `seamlore.photo.confidence.Weights`."""

    usual: Floats
    spread: Floats
    weight: Floats
    none: float
    into: Floats
    bars: Floats
    out: Floats


class _Pictures:
    """All candidates in one table, and the loss that their worths make."""

    def __init__(self, cases: Sequence[Case]) -> None:
        self.table = np.vstack([case.table for case in cases])
        self.starts = np.cumsum([0, *(len(case.table) for case in cases)])[:-1]
        self.of = np.repeat(np.arange(len(cases)), [len(case.table) for case in cases])
        self.none = np.array([case.none for case in cases])
        self.right = np.concatenate([case.right for case in cases]) & ~self.none[self.of]

    def loss(self, worth: Floats, bar: float) -> tuple[float, Floats, float]:
        """Give minus the mean log probability of what is right, and its slopes by the worths and by that of none."""
        top = np.maximum(np.maximum.reduceat(worth, self.starts), bar)
        part, nothing = np.exp(worth - top[self.of]), np.exp(bar - top)
        whole = nothing + np.add.reduceat(part, self.starts)
        good = np.add.reduceat(part * self.right, self.starts)
        told = np.where(self.none, nothing, good) + 1e-300
        pull = part / whole[self.of] - np.where(self.right, part / np.maximum(good, 1e-300)[self.of], 0.0)
        count = len(self.none)
        by_bar = float((nothing / whole - self.none).sum()) / count
        return -float((np.log(told) - np.log(whole)).mean()), pull / count, by_bar


def fit_plain(pictures: _Pictures, penalty: float) -> Floats:
    """Fit plain weights and, last, the worth of none."""

    def loss(theta: Floats) -> tuple[float, Floats]:
        weight = theta[:-1]
        value, pull, by_bar = pictures.loss(pictures.table @ weight, float(theta[-1]))
        slopes = np.append(pictures.table.T @ pull + 2 * penalty * weight, by_bar)
        return value + penalty * float(weight @ weight), slopes

    start = np.zeros(pictures.table.shape[1] + 1)
    done: Any = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 300})
    return np.asarray(done.x)


def fit_units(pictures: _Pictures, plain: Floats, penalty: float, unit_penalty: float) -> tuple[Floats, ...]:
    """Fit plain weights, the worth of none, and units, from where the plain weights stand."""
    names = pictures.table.shape[1]
    ends = np.cumsum([names, 1, names * UNITS, UNITS])
    rng = np.random.default_rng(0)
    start = [plain, rng.normal(0, 0.45 / np.sqrt(names), names * UNITS), np.zeros(UNITS), rng.normal(0, 0.3, UNITS)]

    def parted(theta: Floats) -> tuple[Floats, ...]:
        weight, bar, into, bars, out = np.split(theta, ends)
        return weight, bar, into.reshape(names, UNITS), bars, out

    def loss(theta: Floats) -> tuple[float, Floats]:
        weight, bar, into, bars, out = parted(theta)
        units = np.tanh(pictures.table @ into + bars)
        value, pull, by_bar = pictures.loss(pictures.table @ weight + units @ out, float(bar[0]))
        back = pull[:, None] * out * (1 - units * units)
        slopes = [
            pictures.table.T @ pull + 2 * penalty * weight,
            np.array([by_bar]),
            (pictures.table.T @ back + 2 * unit_penalty * into).ravel(),
            back.sum(axis=0),
            units.T @ pull + 2 * unit_penalty * out,
        ]
        small = penalty * float(weight @ weight) + unit_penalty * float((into**2).sum() + out @ out)
        return value + small, np.concatenate(slopes)

    done: Any = minimize(loss, np.concatenate(start), jac=True, method="L-BFGS-B", options={"maxiter": 250})
    return parted(done.x)


def fit(cases: Sequence[Case], penalty: float = PENALTY, unit_penalty: float = UNIT_PENALTY) -> Fitted:
    """Fit everything."""
    table = np.vstack([case.table for case in cases])
    usual, spread = table.mean(axis=0), table.std(axis=0) + 1e-3

    def spread_out(case: Case) -> Case:
        return replace(case, table=np.clip((case.table - usual) / spread, -FURTHEST, FURTHEST))

    spreads = [spread_out(case) for case in cases]
    plain = fit_plain(_Pictures(spreads), penalty)
    fewer = []
    for case in spreads:
        likeliest = np.argsort(-(case.table @ plain[:-1]), kind="stable")[:LIKELIEST]
        kept = np.union1d(likeliest, np.flatnonzero(case.right))
        fewer.append(replace(case, table=case.table[kept], right=case.right[kept]))
    weight, bar, into, bars, out = fit_units(_Pictures(fewer), plain, penalty, unit_penalty)
    return Fitted(usual, spread, weight, float(bar[0]), into, bars, out)


def write(names: Sequence[str], fitted: Fitted, made: str) -> None:
    """Write the weights where the program reads them."""

    def short(values: Floats) -> list[float]:
        return [round(float(value), 5) for value in values]

    columns = (short(fitted.usual), short(fitted.spread), short(fitted.weight), fitted.into)
    rows = [
        {"name": name, "usual": usual, "spread": spread, "weight": weight, "into": short(into)}
        for name, usual, spread, weight, into in zip(names, *columns, strict=True)
    ]
    # One name on a line, so that two versions can be set against each other.
    lines = ",\n".join(json.dumps(row) for row in rows)
    head = {
        "made": made,
        "none": round(fitted.none - NONE_LESS, 5),
        "units": {"bars": short(fitted.bars), "out": short(fitted.out)},
    }
    WEIGHTS.write_text(json.dumps(head)[:-1] + ',\n"weights": [\n' + lines + "\n]}\n")


def main() -> None:
    """Render, fit and write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=750)
    count = parser.parse_args().count
    names: list[str] = []
    cases = [case for number in range(count) if (case := gather_case(number, names)) is not None]
    write(names, fit(cases), f"python -m judging.tune_grid --count {count}: {len(cases)} pictures of the tuning set")
    print(f"{len(cases)} pictures of {count}; wrote {WEIGHTS.name}")


if __name__ == "__main__":
    main()
