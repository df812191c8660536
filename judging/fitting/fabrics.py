"""Fit how much two cuts of one fabric differ, and from where on two swatches are of two: ``python -m judging.fitting.fabrics``.

Quilts of the tuning set with even numbers, corners, block grid and piecing given, light evened out. Prints, beside what
is kept in `seamlore.photo.fabric.fabrics`: how much color and print of two swatches of one fabric differ (median over
quilts); how well pairs of patches are told for print weights and bounds about those kept.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from unittest.mock import patch

import numpy as np
from numpy.typing import NDArray

from judging.fitting.cases import arguments, gathered, quilt, true_cells
from judging.fitting.logistic import Floats, side_by_side
from judging.scoring.pairs import agreement, true_fabrics
from seamlore.photo.block.laying import lay_blocks, stack_size
from seamlore.photo.block.patches import read_blocks
from seamlore.photo.fabric import fabrics
from seamlore.photo.fabric.fabrics import Swatches, gather_fabrics, spots, take_swatches
from seamlore.photo.fabric.light import even_light
from seamlore.photo.flatten import flatten
from seamlore.photo.frame import Frame
from seamlore.photo.opening import Photo
from seamlore.photo.stack import cloth

NAMES = ("L*", "a*", "b*", "fine print", "print in L*", "print in a*", "print in b*")
SEED = 20_251_127


@dataclass(frozen=True, eq=False)
class Case:
    """The swatches of one quilt, how far each is from even light, and the true fabric of each ("" where not known)."""

    swatches: Swatches
    light: Floats
    fabric: NDArray[np.str_]


def case(number: int, **rendered: int) -> Case | None:
    """Measure the swatches of one quilt; None without a block grid, and for one with an odd number."""
    if number % 2:
        return None
    photo, truth = quilt(number, **rendered)
    if truth.block is None or truth.corners is None or truth.size is None or not truth.quads:
        return None
    flat = flatten(Photo(photo), Frame(truth.corners, truth.size))
    cells, given = true_cells(truth, flat), [each.outline for each in truth.block.patches]
    read = read_blocks(flat.pixels, cells, px_per_unit=flat.px_per_unit, patches=given)
    laid = lay_blocks(cloth(flat.pixels, cells, stack_size(cells)), cells, None, given)
    swatches = take_swatches(laid.stack.lab, laid.stack.shown, laid.picture)
    light = even_light(swatches, spots(swatches.where, laid.picture, laid.stack.corners))
    at = [(*laid.stack.places[block].tolist(), int(patch)) for block, patch in swatches.where]
    assert read.block is not None
    named = true_fabrics(read.block, read.blocks, at, truth)
    return Case(swatches, light, np.array([named.get(spot, "") for spot in at]))


def spread(each: Case) -> Floats:
    """Give how much two cuts of one fabric differ in one quilt, for each of the seven measures: the median of many twos."""
    points = np.concatenate([each.swatches.lab - each.light, np.log(fabrics._FAINT + each.swatches.print_)], axis=1)
    order = np.random.default_rng(SEED).permutation(len(points))
    order = order[np.argsort(each.fabric[order], kind="stable")]
    alike = (each.fabric[order][1:] == each.fabric[order][:-1]) & (each.fabric[order][1:] != "")
    if not alike.any():
        return np.full(7, np.nan)
    return np.asarray(np.median(np.abs(np.diff(points[order], axis=0))[alike], axis=0))


def told(each: Case, apart: float) -> float:
    """Give the F1 of pairs of patches said to be of one fabric; nan where none can be held against another."""
    label = gather_fabrics(each.swatches, each.light, apart=apart)
    found = agreement([(str(a), str(b)) for a, b in zip(label, each.fabric, strict=True) if b])
    return float("nan") if found is None or not sum(found[:2]) else 2 * found[0] * found[1] / sum(found[:2])


def main(words: Sequence[str] | None = None) -> int:
    """Fit and print."""
    given = arguments("judging.fitting.fabrics", __doc__, 200, words)
    cases = gathered(case, given.count, given.workers)
    print(f"{len(cases)} quilts with a grid and an even number")
    usual = np.nanmedian([spread(each) for each in cases], axis=0)
    print(side_by_side(NAMES, [*fabrics._SPREAD, *fabrics._PRINT_SPREAD], usual))
    print("\nMean F1 of pairs of patches said to be of one fabric: print weight, then bound")
    bounds = (1.6, 1.8, fabrics._APART, 2.2, 2.4)
    print(f"{'':6}" + "".join(f"{bound:8.2f}" for bound in bounds))
    for weight in (0.4, 0.5, fabrics._PRINT_WEIGHT, 0.75, 0.9):
        with patch.object(fabrics, "_PRINT_WEIGHT", weight):
            row = [float(np.nanmean([told(each, bound) for each in cases])) for bound in bounds]
        print(f"{weight:6.2f}" + "".join(f"{each:8.3f}" for each in row))
    return 0


if __name__ == "__main__":
    sys.exit(main())
