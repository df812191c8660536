"""Fit how sure the seams of a block are: ``python -m judging.fitting.block``.

Quilts of the tuning set whose block grid is given are read; a reading is right when its seams have an F1 of 0.93 or
more. Prints the weights beside those kept in `seamlore.photo.block.confidence`, and how well they are calibrated. The
first fit took the first 155 quilts with a grid, by the reading as it was then.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import astuple, fields

import numpy as np

from judging.fitting.cases import arguments, gathered, quilt, true_cells
from judging.fitting.logistic import calibration_error, chances, fit, held_back, side_by_side
from judging.scoring.measures import seam_f1
from seamlore.photo.block import confidence
from seamlore.photo.block.confidence import Signs
from seamlore.photo.block.laying import lay_blocks, stack_size
from seamlore.photo.flatten import flatten
from seamlore.photo.frame import Frame
from seamlore.photo.opening import Photo
from seamlore.photo.reading import SeenBlock, SeenPatch
from seamlore.photo.stack import cloth

RIGHT = 0.93
RIDGE = 0.003


def case(number: int, **rendered: int) -> tuple[tuple[float, ...], float] | None:
    """Give what speaks for the piecing of one quilt's block, and its F1; None without a block grid."""
    photo, truth = quilt(number, **rendered)
    if truth.block is None or truth.corners is None or truth.size is None or not truth.quads:
        return None
    flat = flatten(Photo(photo), Frame(truth.corners, truth.size))
    cells = true_cells(truth, flat)
    laid = lay_blocks(cloth(flat.pixels, cells, stack_size(cells)), cells, None, None)
    assert laid.signs is not None
    patches = tuple(SeenPatch(outline=ring, place="A", value="light") for ring in laid.outlines)
    return astuple(laid.signs), seam_f1(SeenBlock(divisions=laid.divisions, patches=patches), truth)[2]


def main(words: Sequence[str] | None = None) -> int:
    """Fit and print."""
    given = arguments("judging.fitting.block", __doc__, 190, words)
    cases = gathered(case, given.count, given.workers)
    table, f1 = np.array([signs for signs, _ in cases]), np.array([f1 for _, f1 in cases])
    right = f1 >= RIGHT
    print(f"{len(cases)} quilts with a grid, {int((~right).sum())} with an F1 under {RIGHT}, mean F1 {f1.mean():.3f}")
    kept = np.array([confidence._OFFSET, *confidence._WEIGHTS])
    print(f"as kept: calibration error {calibration_error(chances(kept, table), right):.3f}")
    if right.all() or not right.any():
        print("nothing to fit: all are alike")
        return 0
    of = np.arange(len(cases))
    print(f"fitted, on quilts held back: {calibration_error(held_back(table, right, of, RIDGE), right):.3f}\n")
    print(side_by_side(["constant", *(each.name for each in fields(Signs))], kept, fit(table, right, RIDGE)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
