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

from judging.fitting.cases import true_cells
from judging.rendering.quilts import TUNING_SEEDS, make_quilt
from judging.rendering.recipe import SCRAPPINESS
from judging.scoring.pairs import fabric_pairs
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
        As `judging.scoring.pairs.fabric_pairs` has them; None for a quilt without a block grid.
    """
    if truth.block is None or truth.corners is None or truth.size is None or not truth.quads:
        return None
    flat = flatten(opening.Photo(photo), Frame(truth.corners, truth.size))
    patches = [each.outline for each in truth.block.patches]
    read = read_blocks(flat.pixels, true_cells(truth, flat), px_per_unit=flat.px_per_unit, patches=patches)
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
