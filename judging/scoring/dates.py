"""Judge the dating: simulate quilts whose years are known, and see whether the probabilities mean what they say.

    python -m judging.scoring.dates [--quilts 2000]

A year is drawn for each part from the prior (uniform over all joint years that the order allows). Each clue is
drawn from the mixture that the inference assumes: the horizon is cut into spans at random; with probability
`trust` the clue names the span that holds the part's year, otherwise the span of a year drawn from the whole
horizon. The randomized probability integral transform of the true years must then be uniform.
"""

from __future__ import annotations

import argparse
import time

import numpy as np

from seamlore.chronology.evidence import Evidence
from seamlore.chronology.gaps import gap
from seamlore.chronology.inference import infer, pose, quantile
from seamlore.chronology.order import Before
from seamlore.chronology.spans import Span

HORIZON = (1700, 2026)
PARTS = ("fabric", "blocks", "setting", "backing", "quilting", "edge finish")
ORDER = (
    Before("fabric", "blocks"),
    Before("blocks", "setting"),
    Before("setting", "quilting"),
    Before("backing", "quilting"),
    Before("quilting", "edge finish"),
)


def draw_years(rng: np.random.Generator, order: tuple[Before, ...]) -> dict[str, int]:
    """Draw one year a part, uniform over all joint years that an order allows."""
    problem = pose(HORIZON, [], order, parts=PARTS)
    weights, drawn = problem.weights.copy(), {}
    # Part by part, each from its distribution given those drawn before.
    for row, part in enumerate(PARTS):
        p = infer(type(problem)(problem.parts, problem.years, weights, problem.order)).p[row]
        year = int(rng.choice(problem.years, p=p / p.sum()))
        weights[row] = problem.years == year
        drawn[part] = year
    return drawn


def draw_clue(rng: np.random.Generator, part: str, year: int) -> Evidence:
    """Draw one clue on a part whose year is known."""
    first, last = HORIZON
    cuts = np.sort(rng.choice(np.arange(first + 1, last + 1), size=int(rng.integers(1, 40)), replace=False))
    trust = float(rng.choice([0.3, 0.5, 0.8, 0.9, 0.95, 1.0]))
    named = year if rng.random() < trust else int(rng.integers(first, last + 1))
    at = int(np.searchsorted(cuts, named, side="right"))
    low = first if at == 0 else int(cuts[at - 1])
    high = last if at == len(cuts) else int(cuts[at]) - 1
    return Evidence(part, "simulated", Span(low, high), trust)


def transforms(quilts: int, seed: int = 1) -> tuple[np.ndarray, np.ndarray]:
    """Give the randomized probability integral transform of one part of each simulated quilt, and 90 % coverage.

    One part a quilt, chosen at random, since the parts of one quilt are not independent of each other.
    """
    rng = np.random.default_rng(seed)
    values, held = np.empty(quilts), np.empty(quilts, dtype=bool)
    for index in range(quilts):
        order = tuple(before for before in ORDER if rng.random() < 0.8)
        years = draw_years(rng, order)
        evidence = [draw_clue(rng, part, year) for part, year in years.items() for _ in range(rng.integers(0, 3))]
        dates = infer(pose(HORIZON, evidence, order, parts=PARTS))
        part = PARTS[rng.integers(len(PARTS))]
        p, at = dates.of(part), years[part] - HORIZON[0]
        values[index] = p[:at].sum() + rng.random() * p[at]
        axis = dates.problem.years
        held[index] = quantile(axis, p, 0.05) <= years[part] <= quantile(axis, p, 0.95)
    return values, held


def speed() -> tuple[float, float]:
    """Give the seconds for the marginals of twelve parts tied to one, and for one gap between two of them."""
    parts = [f"part {index}" for index in range(12)]
    evidence = [Evidence(part, "x", Span(1780 + 10 * index, 1900), 0.8) for index, part in enumerate(parts)]
    problem = pose(HORIZON, evidence, [Before(parts[0], part) for part in parts[1:]])
    start = time.perf_counter()
    dates = infer(problem)
    middle = time.perf_counter()
    gap(dates, "part 3", "part 7")
    return middle - start, time.perf_counter() - middle


def main() -> None:
    from scipy.stats import kstest

    words = argparse.ArgumentParser(description="Judge the dating on simulated quilts.")
    words.add_argument("--quilts", type=int, default=2000)
    words.add_argument("--seed", type=int, default=1)
    given = words.parse_args()
    values, held = transforms(given.quilts, given.seed)
    test = kstest(values, "uniform")
    once, pair = speed()
    print(f"{'what':52} {'wanted':>12} {'reached':>10}")
    print(f"{'PIT of ' + str(given.quilts) + ' quilts, Kolmogorov-Smirnov p':52} {'>= 0.01':>12} {test.pvalue:10.3f}")
    print(f"{'true year inside the range of 90 %':52} {'>= 0.90':>12} {held.mean():10.3f}")
    print(f"{'marginals of 12 parts, s':52} {'< 0.2':>12} {once:10.3f}")
    print(f"{'gap of two of 12 parts, s':52} {'< 2':>12} {pair:10.3f}")


if __name__ == "__main__":
    main()
