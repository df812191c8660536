"""Fit whether a line beyond an edge is the quilt's true edge: ``python -m judging.fitting.border``.

The edges of quilts of the tuning set are drawn in by 3 to 11 % of the quilt, as if a border had been taken for ground,
and lines are looked for beyond them. Prints the weights beside those kept in `seamlore.photo.edges.beyond`, and how
likely a line beyond comes out where the edges were left where they belong.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

import numpy as np

from judging.fitting.cases import arguments, gathered, quilt
from judging.fitting.logistic import Flags, Floats, calibration_error, chances, fit, held_back, side_by_side
from seamlore.photo.cielab import lab_of
from seamlore.photo.edges import beyond
from seamlore.photo.edges.beyond import lines_beyond
from seamlore.photo.edges.framing import grown
from seamlore.photo.frame import Frame

NAMES = ("constant", "how clear", "clear in what part", "clear past the corners", "both sides alike", "border alike")
SEED = 20_251_125
RIDGE = 0.001
NEAR = 0.012


def case(number: int, long_side_px: int = 1000) -> tuple[Floats, Flags, Floats] | None:
    """Give what speaks for each line beyond edges drawn in, which are true, and the same beyond edges left alone."""
    photo, truth = quilt(number, long_side_px=long_side_px)
    assert truth.corners is not None
    fine = lab_of(photo)
    rng = np.random.default_rng([SEED, number])
    by = float(rng.uniform(0.03, 0.11))
    whole = Frame(truth.corners, (1.0, 1.0))
    frame = grown(whole, [-by] * 4)
    # In parts of the smaller quilt, as the lines are told.
    true = by / (1 - 2 * by)
    rows, right, alone = [np.empty((0, 6))], [np.empty(0, dtype=bool)], [np.empty((0, 6))]
    for side in range(4):
        outward, told = lines_beyond(frame, side, fine)
        rows.append(told)
        right.append(np.abs(outward - true) < NEAR)
        alone.append(lines_beyond(whole, side, fine)[1])
    tables = [np.nan_to_num(np.concatenate(each)[:, :5]) for each in (rows, alone)]
    return tables[0], np.concatenate(right), tables[1]


def main(words: Sequence[str] | None = None) -> int:
    """Fit and print."""
    given = arguments("judging.fitting.border", __doc__, 150, words)
    cases = gathered(case, given.count, given.workers)
    table, right = np.concatenate([each[0] for each in cases]), np.concatenate([each[1] for each in cases])
    alone = np.concatenate([each[2] for each in cases])
    of = np.repeat(np.arange(len(cases)), [len(each[0]) for each in cases])
    fitted = fit(table, right, RIDGE)
    print(f"{len(cases)} quilts, {len(table)} lines beyond, {int(right.sum())} true")
    for name, weights, said in (
        ("as kept", beyond._WEIGHTS, chances(beyond._WEIGHTS, table)),
        ("fitted, on quilts held back", fitted, held_back(table, right, of, RIDGE)),
    ):
        found, taken = (said > beyond._LIKELY) & right, (said > beyond._LIKELY) & ~right
        most = chances(weights, alone).max(initial=0.0)
        print(
            f"{name}: of true lines {found.sum() / max(right.sum(), 1):.0%} found, of others {taken.sum() / max((~right).sum(), 1):.0%} "
            f"taken, calibration error {calibration_error(said, right):.3f}; beyond edges left alone at most {most:.2f}"
        )
    print("\n" + side_by_side(NAMES, beyond._WEIGHTS, fitted))
    return 0


if __name__ == "__main__":
    sys.exit(main())
