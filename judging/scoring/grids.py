"""Judge rows, columns and setting of the real photographs: ``python -m judging.scoring.grids``.

Needs the photographs beside the checkout (shared/photos); says so and ends where there are none. Reads each photograph
that has a grid with its corners given, those whose outer corners can be seen once more with the corners found, and those
without a grid. A grid is right when its setting, rows and columns are those of the label; where a quilt is labeled cell
by cell, that label counts. Of a quilt on point the whole rows are counted.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import Any

import cv2

from judging.scoring.labeled import labels
from judging.scoring.look import REAL
from seamlore.photo.opening import open_photo
from seamlore.photo.read import look

# The back of a quilt, stars of triangles at 60 degrees, a medallion; then one whose columns are of unlike widths.
_NONE = ("ed_back", "bh_2022", "ubc_medallion")
_UNEVEN = ("jh_strips",)
# Every other row on point lies between the whole ones.
_WHOLE_ROWS = {"hb_museum_bw": (8, 7)}

Case = tuple[str, str, tuple[str, int, int], list[list[float]] | None]


def cases() -> list[Case]:
    """Give what is looked at: name, what is given, the true grid, and the corners to give (None: found)."""
    if not (REAL / "truth.json").exists():
        print("No photographs lie beside this checkout: nothing was looked at.")
        return []
    whole: list[dict[str, Any]] = json.loads((REAL / "truth.json").read_text(encoding="utf-8"))
    by_cell = {each["file"]: each for each in labels()}
    found: list[Case] = []
    for each in whole:
        name = each["file"].removesuffix(".jpg")
        outer, field = each["outer_corners_px"], each["block_field_corners_px"]
        if name in _UNEVEN:
            continue
        if name in _NONE:
            found.append((name, "none", ("none", 0, 0), outer))
            continue
        label = by_cell.get(each["file"], each)
        rows, columns = _WHOLE_ROWS.get(name, (label["rows"], label["columns"]))
        true = (label["setting"], rows, columns)
        found.append((name, "corners given", true, label.get("field", field or outer)))
        if outer is not None:
            found.append((name, "corners found", true, None))
    return found


def judge(case: Case) -> tuple[bool, str]:
    """Whether a grid is right, and a line that says what was read."""
    cv2.setNumThreads(1)
    name, how, true, corners = case
    bows = None if corners is None else ((), (), (), ())
    reading = look(open_photo(REAL / f"{name}.jpg"), corners=corners, bows=bows).reading
    said = (reading.setting, reading.rows, reading.columns)
    right = said[0] == "none" if how == "none" else said == true
    words = f"{said[0]} {said[1]} x {said[2]}, confidence {reading.confidence.grid:.2f}"
    wanted = "" if right else f"; is {true[0]} {true[1]} x {true[2]}"
    return right, f"{name:18s} {how:14s} {'ok ' if right else 'NO '} {words}{wanted}"


def main(words: Sequence[str] | None = None) -> int:
    """Judge and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args(words)
    every = cases()
    if not every:
        return 0
    with ProcessPoolExecutor(asked.workers) as pool:
        judged = list(pool.map(judge, every))
    for _, line in judged:
        print(line)
    print()
    for how, least in (("corners given", 24), ("corners found", 13), ("none", 3)):
        right = [ok for (ok, _), case in zip(judged, every, strict=True) if case[1] == how]
        print(f"{how:14s} {sum(right)} of {len(right)} right   >= {least}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
