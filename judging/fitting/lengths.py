"""Measure how far lengths read from a photograph scatter: ``python -m judging.fitting.lengths``.

Quilts of the tuning set, corners given. Prints, beside what is kept in `seamlore.photo.written`: the scatter of the
distance from block to block where edges are taken as straight and where they were followed, in parts of it (median error
over 0.6745, so that a wrong grid does not count); and how far off, in pixels of the flattened picture, the side of a
block between sashing lies, root mean square of those that are off by less than 4 (a seam taken for another is no scatter).
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

import numpy as np

from judging.fitting.cases import arguments, gathered, quilt
from judging.fitting.logistic import side_by_side
from judging.scoring.measures import score
from seamlore.lengths import inches, on_mark
from seamlore.photo import written
from seamlore.photo.frame import STRAIGHT
from seamlore.photo.opening import Photo
from seamlore.photo.read import look

STRAY_PX = 4.0
NORMAL = 0.6745  # the median of what is normally distributed, in its standard deviation


def case(number: int, **rendered: int) -> tuple[list[float], list[float], list[float]] | None:
    """Give the pitch errors with straight and with followed edges, and how far off sashed sides are in pixels."""
    photo, truth = quilt(number, **rendered)
    if truth.corners is None or truth.size is None or truth.block_size is None or truth.sashing is None:
        return None
    width, height = (on_mark(inches(side), "nearest") for side in truth.size)
    plain, followed = (
        look(Photo(photo), size=(width, height), corners=truth.corners, bows=bows) for bows in (STRAIGHT, None)
    )
    scores = [score(str(number), each.reading, truth, 0.0) for each in (plain, followed)]
    sides: list[float] = []
    read = followed.reading
    if scores[1].lattice and read.block_size is not None and truth.setting == "straight":
        for axis in (0, 1):
            if truth.sashing[axis] > 0:
                sides.append((read.block_size[axis] - truth.block_size[axis]) * followed.flat.scale[axis])
    return list(scores[0].pitch_error), list(scores[1].pitch_error), sides


def main(words: Sequence[str] | None = None) -> int:
    """Measure and print."""
    given = arguments("judging.fitting.lengths", __doc__, 200, words)
    cases = gathered(case, given.count, given.workers)
    plain, followed, sides = (np.array([value for each in cases for value in each[k]]) for k in range(3))
    print(
        f"{len(cases)} quilts, {len(plain)} directions with a pitch, {len(sides)} with sashing, "
        f"{int((np.abs(sides) >= STRAY_PX).sum())} of those off by {STRAY_PX:g} px or more"
    )
    told = [
        float(np.median(plain)) / NORMAL if len(plain) else np.nan,
        float(np.median(followed)) / NORMAL if len(followed) else np.nan,
        float(np.sqrt(np.mean(sides[np.abs(sides) < STRAY_PX] ** 2))) if len(sides) else np.nan,
    ]
    kept = [written._STRAIGHT_SIGMA, written._FOLLOWED_SIGMA, written._SASHED_SIDES_PX]
    print(side_by_side(["pitch, straight edges", "pitch, edges followed", "sides between sashing, px"], kept, told))
    return 0


if __name__ == "__main__":
    sys.exit(main())
