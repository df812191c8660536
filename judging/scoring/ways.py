"""Judge what is read of quilts pieced in seven ways: ``python -m judging.scoring.ways``.

The photographs are painted by `judging.rendering.ways`, which shares no cloth, no block and no line of drawing with what
the networks were trained on. Corners are given. A cell counts as in `judging.scoring.labeled`; with a wrong grid every
cell that is drawn is drawn wrong. On point the blocks between the whole rows count too.

    python -m judging.scoring.ways                # eight of each way, straight and on point
    python -m judging.scoring.ways --each 2
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from io import BytesIO
from itertools import product

import cv2
import numpy as np
from PIL import Image

from judging.rendering.ways import WAYS, painted
from judging.scoring.labeled import compare, read_seams, seam_lines
from seamlore.photo.opening import open_photo
from seamlore.photo.read import look

SEEDS = 40_000  # far from those of any other set


def judge(case: tuple[int, str, bool]) -> tuple[str, bool, bool, float, float]:
    """Paint and read one: the way, whether on point, whether its grid is right, shares of cells right and drawn wrong."""
    seed, way, on_point = case
    cv2.setNumThreads(1)
    photo, truth = painted(SEEDS + seed, way, on_point=on_point)
    file = BytesIO()
    Image.fromarray(photo).save(file, "PNG")
    reading = look(open_photo(file.getvalue()), corners=truth.corners, bows=((), (), (), ())).reading
    grid = (reading.setting, reading.rows, reading.columns) == (truth.setting, truth.rows, truth.columns)
    found = reading.everywhere
    drawn = [each for each in found.values() if each.kind is not None]
    if not grid:
        return way, on_point, False, 0.0, len(drawn) / max(len(found), 1)
    right, wrong = [], []
    for between, squares in ((False, truth.whole), (True, truth.between)):
        for (row, column), square in squares.items():
            at = found.get((between, row, column))
            said = read_seams(reading, at) if at is not None else None
            good = False
            if said is not None:
                f1, longer = compare(said[0], seam_lines(square.outlines))
                good = f1 >= 0.8 and 0.5 <= longer <= 1.5
            right.append(good)
            wrong.append(said is not None and not good)
    return way, on_point, True, float(np.mean(right)), float(np.mean(wrong))


def main(words: Sequence[str] | None = None) -> int:
    """Judge and print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--each", type=int, default=8, help="photographs of each way and setting")
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args(words)
    cases = [(seed, way, on_point) for way, on_point in product(WAYS, (False, True)) for seed in range(asked.each)]
    with ProcessPoolExecutor(asked.workers) as pool:
        told = list(pool.map(judge, cases))

    def row(name: str, which: Sequence[tuple[str, bool, bool, float, float]]) -> str:
        grid, right, wrong = (100 * float(np.mean([each[k] for each in which])) for k in (2, 3, 4))
        return f"{name:32} {len(which):4}   {grid:5.1f} %   {right:5.1f} %   {wrong:5.1f} %"

    print(f"{'pieced':32} {'n':>4}   {'grid':>7}   {'right':>7}   {'wrong':>7}")
    for way in WAYS:
        for on_point in (False, True):
            which = [each for each in told if each[:2] == (way, on_point)]
            print(row(f"{way}, {'on point' if on_point else 'straight'}", which))
    print(row("all", told))
    print("must reach                               97 %      93 %       2 %")
    return 0


if __name__ == "__main__":
    sys.exit(main())
