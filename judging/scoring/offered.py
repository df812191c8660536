"""Count how often the right drawing is among those offered for blocks that were not read: ``python -m judging.scoring.offered``.

Needs the labeled photographs beside the checkout (shared/photos/piecing.json); says so and ends where there are none.
Read with corners, rows and columns given. A drawing is right for a cell by the measure of `judging.scoring.labeled`.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

import cv2
import numpy as np

from judging.scoring.labeled import as_it_lies, compare, labeled_seams, labels, seam_lines
from judging.scoring.look import REAL
from seamlore.steps.draft.offered import MOST, offers
from seamlore.steps.draft.unread import unread_groups
from seamlore.steps.study.inputs import Inputs
from seamlore.steps.study.job import Job
from seamlore.steps.study.sections import Corrections
from seamlore.steps.study.tape import Tape


def main(words: Sequence[str] | None = None) -> int:
    """Read and print; names of files may be given."""
    quilts, wanted = labels(), list(sys.argv[1:] if words is None else words)
    if not quilts:
        return 0
    cv2.setNumThreads(1)
    shares: list[tuple[float, float]] = []
    total = np.zeros(3, int)
    for quilt in quilts:
        name = Path(quilt["file"]).stem
        if (wanted and name not in wanted) or quilt["setting"] != "straight":
            continue
        job = Job(
            Inputs(
                photo=(REAL / quilt["file"]).read_bytes(),
                tape=Tape(width="60 in", height="60 in"),
                corrections=Corrections(
                    corners=tuple(map(tuple, quilt["field"])),  # type: ignore[arg-type]
                    bows=((), (), (), ()),
                    rows=quilt["rows"],
                    columns=quilt["columns"],
                    setting="straight",
                ),
            )
        )
        counts = np.zeros(3, int)
        for group in unread_groups(job):
            rings = [[patch.points for patch in each.block.patches] for each in offers(job, group)]
            for (row, column), lies in group.cells.items():
                if not quilt["cells"][row][column].get("visible", True):
                    continue
                true = labeled_seams(quilt, row, column)
                right = []
                for outlines in rings:
                    said = seam_lines(as_it_lies(outlines, lies.turn, lies.mirrored))
                    f1, longer = compare(said, true)
                    right.append(f1 >= 0.8 and 0.5 <= longer <= 1.5)
                counts += [1, right[0], any(right)]
        if counts[0]:
            shares.append((counts[1] / counts[0], counts[2] / counts[0]))
            print(
                f"{name:18s} not read {counts[0]:3d}: right first {counts[1]:3d}, among the {MOST} {counts[2]:3d}",
                flush=True,
            )
            total += counts
    first, among = np.mean(shares, axis=0) if shares else (0.0, 0.0)
    print()
    print(f"of {total[0]} blocks not read: right first {total[1]}, among the {MOST} offered {total[2]}")
    print(
        f"means over {len(shares)} photographs: right first {100 * first:.0f} %, among the {MOST} {100 * among:.0f} %"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
