"""Count the warnings on photographs of real quilts, and how often they are so: ``python -m judging.scoring.warned``.

Needs the labeled photographs beside the checkout (shared/photos/piecing.json); says so and ends where there are none.
Each is read twice, with the corners of its field given and with corners found. Prints every warning, and means.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

import cv2

from judging.scoring.labeled import labels
from judging.scoring.look import REAL
from seamlore.photo.opening import open_photo
from seamlore.photo.read import read_photo
from seamlore.photo.warnings import SURE


def main(words: Sequence[str] | None = None) -> int:
    """Read and print; names of files may be given."""
    quilts, wanted = labels(), list(sys.argv[1:] if words is None else words)
    if not quilts:
        return 0
    cv2.setNumThreads(1)
    counts: list[int] = []
    doubtful: list[bool] = []
    sure: list[bool] = []
    for quilt in quilts:
        name = Path(quilt["file"]).stem
        if wanted and name not in wanted:
            continue
        for corners in (quilt["field"], None):
            reading = read_photo(open_photo(REAL / quilt["file"]), corners=corners)
            seen = (reading.setting, reading.rows, reading.columns)
            right = seen == (quilt["setting"], quilt["rows"], quilt["columns"])
            (doubtful if reading.confidence.grid < SURE else sure).append(right)
            counts.append(len(reading.warnings))
            grid = f"grid {'right' if right else 'WRONG'} {reading.confidence.grid:.2f}"
            print(f"{name}, corners {'found' if corners is None else 'given'}: {grid}")
            for warning in reading.warnings:
                print(f"    {warning}")
    print()
    print(
        f"warnings: {sum(counts) / max(len(counts), 1):.2f} on each of {len(counts)} readings, {max(counts, default=0)} at most"
    )
    for called, grids in ((f"confidence below {SURE}", doubtful), (f"confidence of {SURE} or more", sure)):
        print(f"grids of a {called}: {sum(grids)} of {len(grids)} right")
    return 0


if __name__ == "__main__":
    sys.exit(main())
