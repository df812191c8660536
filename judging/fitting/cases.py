"""What the fits have in common: quilts of the tuning set, rendered and looked at in two processes."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import Any, TypeVar

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.rendering.quilts import TUNING_SEEDS, make_quilt
from judging.truth import Photo, Truth
from seamlore.photo.flatten import Flat

T = TypeVar("T")


def quilt(number: int, **fields: Any) -> tuple[Photo, Truth]:
    """Render one quilt of the tuning set, with one thread."""
    cv2.setNumThreads(1)
    return make_quilt(TUNING_SEEDS + number, **fields)


def gathered(one: Callable[[int], T | None], count: int, workers: int) -> list[T]:
    """Look at quilts 0 to `count`, in order; those that say nothing are left out."""
    if workers < 2:
        return [each for each in map(one, range(count)) if each is not None]
    with ProcessPoolExecutor(workers) as pool:
        return [each for each in pool.map(one, range(count), chunksize=4) if each is not None]


def true_cells(truth: Truth, flat: Flat) -> NDArray[np.float64]:
    """Give the corners of the blocks as they are, in pixels of the flattened quilt, shape (rows, columns, 4, 2)."""
    assert truth.rows is not None
    assert truth.columns is not None
    cells = np.full((truth.rows, truth.columns, 4, 2), np.nan)
    for each in truth.quads:
        cells[each.row, each.column] = flat.to_flat(flat.frame.to_quilt(each.corners_px))
    return cells


def arguments(
    command: str, says: str | None, count: int, words: Sequence[str] | None, *flags: str
) -> argparse.Namespace:
    """Read what every fit is given: how many quilts, and how many processes; and flags of its own."""
    parser = argparse.ArgumentParser(
        prog=f"python -m {command}", description=says, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--count", type=int, default=count, help=f"quilts of the tuning set (the fit: {count})")
    parser.add_argument("--workers", type=int, default=2)
    for flag in flags:
        parser.add_argument(flag, action="store_true")
    return parser.parse_args(words)
