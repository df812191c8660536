"""Judge figures of the reader that were set by trying: ``python -m judging.fitting.tuned [NAME ...]``.

Each is tried at what is kept, below and above it, on quilts of the tuning set, corners found; printed is how well they
are read with each. Without names all that are listed here are tried, one after the other.

    python -m judging.fitting.tuned block.squaring._SHIFT --count 60
"""

from __future__ import annotations

import argparse
import importlib
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat
from typing import Any
from unittest.mock import patch

import cv2
import numpy as np

from judging.rendering.quilts import TUNING_SEEDS, make_quilt
from judging.scoring.look import read_pixels
from judging.scoring.measures import Score, score
from seamlore.photo.block.drape import Slide

# What is tried for each: its module below `seamlore.photo`, and how many times what is kept.
TRIED: dict[str, tuple[float, ...]] = {
    "edges.tracing._EDGE_WORTH": (0.5, 1.0, 2.0),
    "edges.tracing._AS_SEEN_SPOTS": (0.5, 1.0, 2.0),
    "edges.tracing._STIFFNESS": (0.5, 1.0, 2.0),
    "edges.tracing._EDGE_OVER_GROUND": (0.5, 1.0, 2.0),
    "edges.tracing._STIFFNESS_BY_GROUND": (0.5, 1.0, 2.0),
    "edges.sides.EDGE_WORTH": (0.5, 1.0, 2.0),
    "edges.corners._SURE": (0.9, 1.0, 1.1),
    "block.squaring._SHIFT": (0.5, 1.0, 2.0),
    "block.squaring._STRETCH": (0.5, 1.0, 2.0),
    "block.drape.WIDE": (0.7, 1.0, 1.4),
    "block.drape.NARROW": (0.7, 1.0, 1.4),
    "grid.doubling._ALIKE": (0.7, 1.0, 1.4),
    "grid.doubling._MORE": (0.7, 1.0, 1.4),
    "grid.grid._ENOUGH": (0.9, 1.0, 1.05),
}


def times(kept: Any, factor: float) -> Any:
    """Give a figure so many times as large; of a slide, how far it reaches.

    Examples
    --------
    >>> times(0.5, 2.0), times(Slide(0.1, (1.0, 2.0)), 2.0).reach
    (1.0, 0.2)
    """
    return kept._replace(reach=kept.reach * factor) if isinstance(kept, Slide) else kept * factor


def judged(number: int, name: str, factor: float, side_px: int) -> Score:
    """Read one quilt with one figure changed, wherever it is looked up."""
    cv2.setNumThreads(1)
    module, figure = name.rsplit(".", 1)
    kept = getattr(importlib.import_module(f"seamlore.photo.{module}"), figure)
    photo, truth = make_quilt(TUNING_SEEDS + number, long_side_px=side_px)
    importlib.import_module("seamlore.photo.read")
    holders = [
        each for key, each in sys.modules.items() if key.startswith("seamlore.photo") and getattr(each, figure, None) is kept
    ]  # fmt: skip
    patches = [patch.object(each, figure, times(kept, factor)) for each in holders]
    for each in patches:
        each.start()
    try:
        seen, seconds = read_pixels(photo, truth, "found")
    finally:
        for each in patches:
            each.stop()
    return score(str(number), seen.reading, truth, seconds)


def summary(scores: Sequence[Score]) -> str:
    """Write how well some quilts were read: corners, grids, pitch, seams."""
    corners = [each.corner_error for each in scores if each.corner_error is not None]
    grids = [each.lattice for each in scores if each.lattice is not None]
    pitch = [error for each in scores for error in each.pitch_error]
    seams = [each.seams[2] for each in scores if each.seams is not None]
    near = np.mean(np.array(corners) <= 0.01) if corners else np.nan
    means = [float(np.mean(each)) if each else float("nan") for each in (grids, pitch, seams)]
    return f"{near:10.3f} {means[0]:10.3f} {means[1]:10.4f} {means[2]:10.4f}"


def main(words: Sequence[str] | None = None) -> int:
    """Try and print."""
    parser = argparse.ArgumentParser(
        prog="python -m judging.fitting.tuned",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(TRIED))
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--side", type=int, default=1600, help="longer side of the photographs in pixels")
    parser.add_argument("--workers", type=int, default=2)
    given = parser.parse_args(words)
    unknown = [name for name in given.names if name not in TRIED]
    if unknown:
        parser.error(f"{unknown[0]} is not among {', '.join(TRIED)}")
    print(f"{'figure':36} {'times':>6} {'corners':>10} {'grid':>10} {'pitch off':>10} {'seams F1':>10}")
    with ProcessPoolExecutor(given.workers) as pool:
        for name in given.names or TRIED:
            for factor in TRIED[name]:
                scores = list(
                    pool.map(
                        judged, range(given.count), repeat(name), repeat(factor), repeat(given.side), chunksize=2
                    )
                )
                print(f"{name:36} {factor:6.2f} {summary(scores)}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
