"""Fit how sure a block's drawing is, on labeled photographs of real quilts: ``python -m judging.fitting.kinds``.

Needs the labeled photographs beside the checkout; says so and ends where there are none. Prints, for floors of
confidence, how many cells are drawn right and wrong with each photograph left out of the fit, then the same of the
blocks that are not believed and taken for plain, and the constants of `seamlore.photo.block.confidence` fitted on all.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.scoring.labeled import as_it_lies, compare, labeled_seams, seam_lines
from judging.scoring.look import REAL
from seamlore.photo.block.confidence import FLOOR, KindSigns, plain_signs
from seamlore.photo.block.groups import gathered_blocks, plain_there
from seamlore.photo.block.laying import lay_blocks, stack_size
from seamlore.photo.block.seams import see_seams
from seamlore.photo.opening import open_photo
from seamlore.photo.read import look
from seamlore.photo.stack import cloth, undo

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
RIDGE = 0.02


@dataclass(frozen=True)
class Told:
    """What is said of one cell, and what is so: whether it is drawn right, and whether it is plain."""

    signs: KindSigns | None
    sure: float
    place: tuple[int, int]
    right: bool
    plain: bool


def told_of(quilt: dict[str, Any]) -> list[Told]:
    """What is said of each cell of one photograph; none with a wrong grid."""
    cv2.setNumThreads(1)
    seen = look(open_photo(REAL / quilt["file"]), corners=quilt["field"], bows=((), (), (), ()))
    reading = seen.reading
    if (reading.setting, reading.rows, reading.columns) != (quilt["setting"], quilt["rows"], quilt["columns"]):
        return []
    pixels, cells = seen.flat.pixels, seen.grid.cells - 0.5
    source = cloth(pixels, cells, stack_size(cells))
    told = []
    for group in gathered_blocks(see_seams(pixels, cells), source, lay_blocks(source, cells, None, None)):
        every = zip_longest(group.laid.stack.places, group.laid.moves, group.sure, group.signs)
        for place, move, sure, signs in every:
            row, column = (int(each) for each in place)
            if not quilt["cells"][row][column].get("visible", True):
                continue
            lies, true = undo(int(move)), labeled_seams(quilt, row, column)
            f1, longer = compare(seam_lines(as_it_lies(group.laid.outlines, 90 * (lies % 4), lies >= 4)), true)
            right = f1 >= 0.8 and 0.5 <= longer <= 1.5
            told.append(Told(signs, float(sure), (row, column), right, bool(true.length < 1e-6)))
    return told


def left_out(rows: Floats, right: Floats, weight: Floats, of: Ints) -> Floats:
    """How sure each is, by weights fitted on all photographs but its own."""
    sure = np.zeros(len(of))
    for k in np.unique(of):
        rest = of != k
        offset, weights = fitted(rows[rest], right[rest], weight[rest])
        sure[~rest] = 1 / (1 + np.exp(-(offset + rows[~rest] @ weights)))
    return sure


def table(sure: Floats, right: Floats, share: Floats, quilts: int) -> None:
    """Print, for floors of confidence, what is drawn right and wrong; `share` is of the cells of its photograph."""
    print("floor   drawn right   drawn wrong   right of those drawn")
    for floor in (0.0, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9):
        drawn = sure >= floor
        good, bad = (100 * float((share * drawn * each).sum()) / quilts for each in (right, 1 - right))
        print(f"{floor:4.1f} {good:11.1f} % {bad:11.1f} % {100 * good / max(good + bad, 1e-9):11.1f} %")


def fitted(rows: Floats, right: Floats, weight: Floats) -> tuple[float, Floats]:
    """Logistic regression held back by a ridge on standardized columns: offset and weights."""
    middle, spread = np.average(rows, axis=0, weights=weight), rows.std(axis=0) + 1e-9
    x = np.column_stack([np.ones(len(rows)), (rows - middle) / spread])
    b, hold = np.zeros(x.shape[1]), RIDGE * np.diag([0.0] + [1.0] * rows.shape[1])
    for _ in range(60):
        p = 1 / (1 + np.exp(-x @ b))
        slope = x.T @ (weight * (p - right)) + hold @ b
        b -= np.linalg.solve((x.T * (weight * p * (1 - p))) @ x + hold + 1e-9 * np.eye(len(b)), slope)
    weights: Floats = b[1:] / spread
    return float(b[0] - weights @ middle), weights


def main(words: Sequence[str] | None = None) -> int:
    """Fit and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args(words)
    labels = REAL / "piecing.json"
    if not labels.exists():
        print("No labeled photographs lie beside this checkout: nothing was fitted.")
        return 0
    quilts = json.loads(labels.read_text(encoding="utf-8"))
    with ProcessPoolExecutor(asked.workers) as pool:
        cells = list(pool.map(told_of, quilts))
    count = {k: len(each) for k, each in enumerate(cells)}
    every = [(k, each) for k, quilt in enumerate(cells) for each in quilt]
    drawn = [(k, each, each.signs.row) for k, each in every if each.signs is not None]
    doubted = []
    for k, quilt in enumerate(cells):
        plain = {each.place for each in quilt if each.signs and each.signs.patches == 1 and each.sure >= FLOOR}
        places = np.array([each.place for each in quilt])
        doubted += [
            (k, each, plain_signs(plain_there(plain, places, *each.place), each.sure))
            for each in quilt
            if each.sure < FLOOR and each.signs and each.signs.patches > 1 and plain
        ]
    print(f"{len(every)} cells of {sum(map(bool, cells))} photographs with a right grid, of {len(quilts)}")
    print("Means over all photographs, each left out of the fit in turn.")
    for title, told, name in (
        ("Blocks drawn as their kind", drawn, "KIND"),
        ("Blocks not believed, taken for plain", doubted, "PLAIN"),
    ):
        rows, of = np.array([each[2] for each in told]), np.array([each[0] for each in told])
        right = np.array([each[1].right if name == "KIND" else each[1].plain for each in told], float)
        share = np.array([1 / count[k] for k in of])
        print(f"\n{title} ({len(told)}):")
        table(left_out(rows, right, share, of), right, share, len(quilts))
        offset, weights = fitted(rows, right, share)
        print(f"_{name}_OFFSET = {offset:.3f}\n_{name}_WEIGHTS = ({', '.join(f'{each:.3f}' for each in weights)})")
    return 0


if __name__ == "__main__":
    sys.exit(main())
