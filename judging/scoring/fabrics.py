"""Judge how well patches are gathered into fabrics, with corners, block grid and piecing given: ``python -m judging.scoring.fabrics``.

Quilts are those of the tuning set; what was fitted, was fitted on those with even numbers.

    python -m judging.scoring.fabrics --count 100
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor

import cv2
import numpy as np

from judging.rendering.quilts import TUNING_SEEDS, make_quilt
from judging.rendering.recipe import SCRAPPINESS
from judging.scoring.measures import fabric_pairs
from judging.scoring.report import as_text, fabric_rows
from judging.truth import Photo, Truth
from seamlore.photo import opening
from seamlore.photo.block.patches import read_blocks
from seamlore.photo.flatten import flatten
from seamlore.photo.frame import Frame

Pairs = tuple[float, float, int, int]


def judge_fabrics(photo: Photo, truth: Truth) -> Pairs | None:
    """Gather the fabrics of one quilt whose blocks and patches are given.

    Parameters
    ----------
    photo : ndarray of uint8, shape (height, width, 3)
    truth : Truth

    Returns
    -------
    (precision, recall, count, true count) or None
        As `judging.scoring.measures.fabric_pairs` has them; None for a quilt without a block grid.
    """
    if truth.block is None or truth.corners is None or truth.size is None or not truth.quads:
        return None
    flat = flatten(opening.Photo(photo), Frame(truth.corners, truth.size))
    assert truth.rows is not None
    assert truth.columns is not None
    cells = np.full((truth.rows, truth.columns, 4, 2), np.nan)
    for each in truth.quads:
        cells[each.row, each.column] = flat.to_flat(flat.frame.to_quilt(each.corners_px))
    read = read_blocks(
        flat.pixels, cells, px_per_unit=flat.px_per_unit, patches=[each.outline for each in truth.block.patches]
    )
    assert read.block is not None
    return fabric_pairs(read.block, read.blocks, read.fabrics, truth)


def _judged(number: int) -> tuple[int, str, Pairs | None]:
    cv2.setNumThreads(1)
    photo, truth = make_quilt(TUNING_SEEDS + number)
    return number, str(truth.notes["scrappiness"]), judge_fabrics(photo, truth)


def main(words: Sequence[str] | None = None) -> int:
    """Judge and print; give the exit status."""
    parser = argparse.ArgumentParser(prog="python -m judging.scoring.fabrics", description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--workers", type=int, choices=(1, 2), default=2)
    given = parser.parse_args(words)
    with ProcessPoolExecutor(given.workers) as pool:
        judged = [each for each in pool.map(_judged, range(given.count)) if each[2] is not None]
    for half, name in enumerate(("even", "odd")):
        rows = []
        for level in (*dict.fromkeys(SCRAPPINESS), "all"):
            some = [pairs for number, of, pairs in judged if number % 2 == half and level in (of, "all") and pairs]
            rows += fabric_rows(some, level)
        print(f"Fabrics of tuning quilts with {name} numbers\n\n{as_text(rows)}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
