"""Fit how sure a block's drawing is, on real quilts and painted ones: ``python -m judging.fitting.kinds``.

Needs the labeled photographs beside the checkout; says so and ends where there are none. The painted ones
(`judging.rendering.ways`) are of blocks that are not judged by. Prints, for floors of
confidence, how many cells are drawn right and wrong with each photograph left out of the fit, then the same of the
blocks that are not believed and taken for plain, and the constants of `seamlore.photo.block.confidence` fitted on all;
last, how each real photograph is read by the constants that were fitted without it, counted as `judging.scoring.labeled`
does.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from io import BytesIO
from itertools import zip_longest
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from judging.rendering.blocks import TUNING
from judging.rendering.ways import WAYS, painted
from judging.scoring.labeled import Judged, as_it_lies, compare, judge, labeled_seams, seam_lines
from judging.scoring.labeled import table as labeled_table
from judging.scoring.look import REAL
from seamlore.photo.block import confidence
from seamlore.photo.block.confidence import HARDLY, KindSigns, plain_signs
from seamlore.photo.block.groups import gathered_blocks, plain_there
from seamlore.photo.block.laying import lay_blocks, stack_size
from seamlore.photo.block.patches import every_row, in_every_row
from seamlore.photo.block.seams import see_seams
from seamlore.photo.opening import open_photo
from seamlore.photo.read import Look, look
from seamlore.photo.stack import cloth, undo

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Fit = tuple[float, Floats]
SEEDS = 70_000  # of the painted photographs, far from those that are judged by
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
    """What is said of each cell of one photograph labeled by hand; none with a wrong grid."""
    cv2.setNumThreads(1)
    # The quilt's edges lie elsewhere than the field's, so there is no bow to be looked for.
    seen = look(open_photo(REAL / quilt["file"]), corners=quilt["field"], bows=((), (), (), ()))
    wanted = (quilt["setting"], quilt["rows"], quilt["columns"])
    true = {
        (False, row, column): labeled_seams(quilt, row, column)
        for row, cells in enumerate(quilt["cells"])
        for column, label in enumerate(cells)
        if label.get("visible", True)
    }
    return _told(seen, wanted, true)


def told_of_painted(case: tuple[int, str, bool]) -> list[Told]:
    """The same of one painted photograph, of blocks that are not judged by."""
    cv2.setNumThreads(1)
    seed, way, on_point = case
    photo, truth = painted(SEEDS + seed, way, on_point=on_point, designs=tuple(TUNING))
    file = BytesIO()
    Image.fromarray(photo).save(file, "PNG")
    seen = look(open_photo(file.getvalue()), corners=truth.corners, bows=((), (), (), ()))
    squares = {(False, *at): square for at, square in truth.whole.items()}
    squares |= {(True, *at): square for at, square in truth.between.items()}
    true = {at: seam_lines(square.outlines) for at, square in squares.items()}
    return _told(seen, (truth.setting, truth.rows, truth.columns), true)


def _told(seen: Look, wanted: tuple[str, int, int], true: dict[tuple[bool, int, int], Any]) -> list[Told]:
    reading = seen.reading
    if (reading.setting, reading.rows, reading.columns) != wanted:
        return []
    pixels, cells = seen.flat.pixels, seen.grid.cells - 0.5
    every = every_row(cells, seen.grid.between - 0.5)
    step = 1 + (len(every) > len(cells))
    source = cloth(pixels, every, stack_size(cells))
    common = in_every_row(lay_blocks(source, cells, None, None), step)
    told = []
    for group in gathered_blocks(see_seams(pixels, every), source, common):
        for place, move, sure, signs in zip_longest(
            group.laid.stack.places, group.laid.moves, group.sure, group.signs
        ):
            row, column = (int(each) for each in place)
            seams = true.get((step == 2 and row % 2 == 1, row // step, column))
            if seams is None:
                continue
            lies = undo(int(move))
            f1, longer = compare(seam_lines(as_it_lies(group.laid.outlines, 90 * (lies % 4), lies >= 4)), seams)
            right = f1 >= 0.8 and 0.5 <= longer <= 1.5
            told.append(Told(signs, float(sure), (row, column), right, bool(seams.length < 1e-6)))
    return told


def left_out(rows: Floats, right: Floats, weight: Floats, of: Ints) -> tuple[Floats, dict[int, Fit]]:
    """How sure each is, by weights fitted on all photographs but its own; and these, by photograph."""
    sure, fits = np.zeros(len(of)), {}
    for k in np.unique(of):
        rest = of != k
        offset, weights = fits[int(k)] = fitted(rows[rest], right[rest], weight[rest])
        sure[~rest] = 1 / (1 + np.exp(-(offset + rows[~rest] @ weights)))
    return sure, fits


def judged_without(quilt: dict[str, Any], kind: Fit, plain: Fit) -> Judged:
    """Read one photograph by weights that were fitted without it, and judge it."""
    (confidence._KIND_OFFSET, confidence._KIND_WEIGHTS), (confidence._PLAIN_OFFSET, confidence._PLAIN_WEIGHTS) = (
        (offset, tuple(weights.tolist())) for offset, weights in (kind, plain)
    )
    return judge(quilt)


def table(sure: Floats, right: Floats, share: Floats, quilts: float) -> None:
    """Print, for floors of confidence, what is drawn right and wrong; `share` is of the cells of its photograph."""
    print("floor   drawn right   drawn wrong   right of those drawn")
    for floor in (0.0, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9):
        drawn = sure >= floor
        good, bad = (100 * float((share * drawn * each).sum()) / quilts for each in (right, 1 - right))
        print(f"{floor:4.1f} {good:11.1f} % {bad:11.1f} % {100 * good / max(good + bad, 1e-9):11.1f} %")


def fitted(rows: Floats, right: Floats, weight: Floats) -> Fit:
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
    parser.add_argument("--each", type=int, default=4, help="painted photographs of each way and setting")
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args(words)
    labels = REAL / "piecing.json"
    if not labels.exists():
        print("No labeled photographs lie beside this checkout: nothing was fitted.")
        return 0
    quilts = json.loads(labels.read_text(encoding="utf-8"))
    with ProcessPoolExecutor(asked.workers) as pool:
        cells = list(pool.map(told_of, quilts))
        cases = [(seed, way, on_point) for seed in range(asked.each) for way in WAYS for on_point in (False, True)]
        cells += list(pool.map(told_of_painted, cases))
    kind, plain, kind_of_all, plain_of_all = fit_all(cells, len(quilts))
    numbers = range(len(quilts))
    with ProcessPoolExecutor(asked.workers) as pool:
        judged = list(
            pool.map(
                judged_without,
                quilts,
                [kind.get(k, kind_of_all) for k in numbers],
                [plain.get(k, plain_of_all) for k in numbers],
            )
        )
    print("\nReal photographs, each read by weights fitted without it:")
    for one in judged:
        print(f"{one.name:18s} right {100 * one.share('right'):5.1f}  wrong {100 * one.share('wrong'):5.1f}")
    print(labeled_table(judged))
    return 0


def fit_all(cells: Sequence[Sequence[Told]], real: int) -> tuple[dict[int, Fit], dict[int, Fit], Fit, Fit]:
    """Fit and print; the first photographs are the real ones.

    Gives the weights of drawings and of plain blocks, of each photograph fitted without it, and of both fitted on all.
    """
    of_all = np.array([k for k, quilt in enumerate(cells) for _ in quilt])
    every = [each for quilt in cells for each in quilt]
    # Every photograph weighs alike, and those painted together as much as the real ones.
    ratio = sum(map(bool, cells[:real])) / max(sum(map(bool, cells[real:])), 1)
    share = np.array([(1 if k < real else ratio) / len(cells[k]) for k in of_all])
    print(f"{len(every)} cells of {sum(map(bool, cells))} photographs with a right grid, of {len(cells)}")
    print("Means over all real, and over all painted photographs, each left out of the fit in turn.")

    def fit(title: str, name: str, which: Ints, rows: Floats, right: Floats) -> tuple[Floats, dict[int, Fit], Fit]:
        sure, fits = left_out(rows, right, share[which], of_all[which])
        for kind, mine in (("real", of_all[which] < real), ("painted", of_all[which] >= real)):
            print(f"\n{title}, {kind} ({mine.sum()}):")
            count = real if kind == "real" else (len(cells) - real) * ratio
            table(sure[mine], right[mine], share[which][mine], count)
        offset, weights = of_every = fitted(rows, right, share[which])
        print(f"\n_{name}_OFFSET = {offset:.3f}\n_{name}_WEIGHTS = ({', '.join(f'{each:.3f}' for each in weights)})")
        return sure, fits, of_every

    drawn = np.array([k for k, each in enumerate(every) if each.signs is not None], dtype=np.intp)
    signs = np.array([each.signs.row for each in every if each.signs is not None])
    right = np.array([each.right for each in every], float)
    sure = np.array([each.sure for each in every])
    sure[drawn], kind, kind_of_all = fit("Blocks drawn as their kind", "KIND", drawn, signs, right[drawn])
    one = np.array([each.signs is not None and each.signs.patches == 1 for each in every])
    doubted, rows = [], []
    for k in np.unique(of_all):
        mine = np.flatnonzero(of_all == k)
        plain = {every[at].place for at in mine if one[at] and sure[at] >= HARDLY}
        places = np.array([every[at].place for at in mine])
        for at in mine:
            if plain and sure[at] < HARDLY and not one[at]:
                doubted.append(at)
                signs_at = every[at].signs
                length = 0.0 if signs_at is None else signs_at.seams
                rows.append(plain_signs(plain_there(plain, places, *every[at].place), float(sure[at]), length))
    which = np.array(doubted, dtype=np.intp)
    plain_true = np.array([every[at].plain for at in doubted], float)
    _, plain_fits, plain_of_all = fit(
        "Blocks not believed, taken for plain", "PLAIN", which, np.array(rows), plain_true
    )
    return kind, plain_fits, kind_of_all, plain_of_all


if __name__ == "__main__":
    sys.exit(main())
