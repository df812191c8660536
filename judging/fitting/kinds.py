"""Fit how sure a block's drawing is, on labeled photographs of real quilts: ``python -m judging.fitting.kinds``.

Needs the labeled photographs beside the checkout; says so and ends where there are none. Prints, for floors of
confidence, how many cells are drawn right and wrong with each photograph left out of the fit, and the constants of
`seamlore.photo.block.confidence` fitted on all.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.scoring.labeled import as_it_lies, compare, labeled_seams, seam_lines
from judging.scoring.look import REAL
from seamlore.photo.block.confidence import KindSigns
from seamlore.photo.block.groups import sorted_blocks
from seamlore.photo.block.laying import lay_blocks, stack_size
from seamlore.photo.opening import open_photo
from seamlore.photo.read import look
from seamlore.photo.stack import cloth, undo

Floats = NDArray[np.float64]
RIDGE = 0.02


def signs_of(quilt: dict[str, Any]) -> list[tuple[KindSigns, bool]]:
    """What speaks for each cell of one photograph, and whether it is drawn right; none with a wrong grid."""
    cv2.setNumThreads(1)
    seen = look(open_photo(REAL / quilt["file"]), corners=quilt["field"], bows=((), (), (), ()))
    reading = seen.reading
    if (reading.setting, reading.rows, reading.columns) != (quilt["setting"], quilt["rows"], quilt["columns"]):
        return []
    pixels, cells = seen.flat.pixels, seen.grid.cells - 0.5
    source = cloth(pixels, cells, stack_size(cells))
    told = []
    for group in sorted_blocks(pixels, cells, source, lay_blocks(source, cells, None, None)):
        for signs, move, place in zip(group.signs, group.laid.moves, group.laid.stack.places, strict=False):
            row, column = (int(each) for each in place)
            if not quilt["cells"][row][column].get("visible", True):
                continue
            lies = undo(int(move))
            said = seam_lines(as_it_lies(group.laid.outlines, 90 * (lies % 4), lies >= 4))
            f1, longer = compare(said, labeled_seams(quilt, row, column))
            told.append((signs, f1 >= 0.8 and 0.5 <= longer <= 1.5))
    return told


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
        told = list(pool.map(signs_of, quilts))
    of = np.array([k for k, each in enumerate(told) for _ in each])
    rows = np.array([signs.row for each in told for signs, _ in each])
    right = np.array([ok for each in told for _, ok in each], float)
    weight = np.array([1 / len(told[k]) for k in of])
    sure = np.zeros(len(of))
    for k in np.unique(of):
        rest = of != k
        offset, weights = fitted(rows[rest], right[rest], weight[rest])
        sure[~rest] = 1 / (1 + np.exp(-(offset + rows[~rest] @ weights)))
    print(f"{len(of)} cells of {len(np.unique(of))} photographs with a right grid, of {len(quilts)}")
    print(
        "floor   drawn right   drawn wrong   right of those drawn (means over all photographs; each left out in turn)"
    )
    for floor in (0.0, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9):
        drawn = sure >= floor
        good = sum((right * drawn)[of == k].mean() for k in np.unique(of)) / len(quilts)
        bad = sum(((1 - right) * drawn)[of == k].mean() for k in np.unique(of)) / len(quilts)
        print(
            f"{floor:4.1f} {100 * good:11.1f} % {100 * bad:11.1f} % {100 * (right * drawn).sum() / max(drawn.sum(), 1):11.1f} %"
        )
    offset, weights = fitted(rows, right, weight)
    print(f"_KIND_OFFSET = {offset:.3f}\n_KIND_WEIGHTS = ({', '.join(f'{each:.3f}' for each in weights)})")
    return 0


if __name__ == "__main__":
    sys.exit(main())
