"""Count which named fabrics are found again when the corners have moved: ``python -m judging.scoring.named``.

Needs the labeled photographs beside the checkout (shared/photos/piecing.json); says so and ends where there are none.
Every fabric of three patches or more is named; then each corner is moved by about a hundredth of the quilt's width, and
the photograph read anew. Prints for each photograph how many names are kept, and for those kept how well their patches are
the same by place (F1); and how far the colors of one fabric lie apart in the two readings.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

import cv2
import numpy as np

from judging.scoring.labeled import labels
from judging.scoring.look import REAL
from seamlore.color.difference import delta_e_2000
from seamlore.photo.opening import open_photo
from seamlore.photo.read import look
from seamlore.steps.study.her_fabrics import _lab, _lies, her_fabrics, written
from seamlore.steps.study.said_fabrics import FoundFabrics, SaidFabric

_LEAST = 3
_MOVED = 0.007  # standard deviation of each coordinate, in the quilt's width: a hundredth in all
_STRAIGHT = ((), (), (), ())


def main(words: Sequence[str] | None = None) -> int:
    """Read, move, read again and print; names of files may be given."""
    quilts, wanted = labels(), list(sys.argv[1:] if words is None else words)
    if not quilts:
        return 0
    cv2.setNumThreads(1)
    chance = np.random.default_rng(5)
    shares: list[float] = []
    same: list[float] = []
    apart: list[float] = []
    for quilt in quilts:
        field = np.array(quilt["field"], dtype=float)
        steps = chance.normal(0, _MOVED * np.hypot(*(field[1] - field[0])), (4, 2))
        name = Path(quilt["file"]).stem
        if wanted and name not in wanted:
            continue
        photo = open_photo(REAL / quilt["file"])
        before = look(photo, corners=field, bows=_STRAIGHT)
        hers = her_fabrics(before, FoundFabrics())
        told = [SaidFabric(name=each.id) if len(each.everywhere) >= _LEAST else None for each in hers.fabrics]
        said = written(before, list(zip(hers.made_of, told, strict=True)), ())
        if not said.said:
            continue
        moved = np.clip(field + steps, 0, np.array(before.reading.photo_size) - 1)
        after = look(photo, corners=moved, bows=_STRAIGHT, rows=quilt["rows"], columns=quilt["columns"])
        again, lies = her_fabrics(after, said), _lies(after, said)
        number = {each.name: k for k, each in enumerate(said.said)}
        kept = [each for each in again.fabrics if each.name]
        for each in kept:
            known = [lies.owner[at][0] for at in each.everywhere if at in lies.owner]
            whole = sum(owner == number[each.name or ""] for owner, _ in lies.owner.values())
            same.append(2 * known.count(number[each.name or ""]) / (len(known) + whole))
        for each in after.reading.fabrics or ():
            votes = Counter(lies.owner[at] for at in each.everywhere if at in lies.owner)
            (owner, part), count = votes.most_common(1)[0] if votes else ((-1, 0), 0)
            if owner >= 0 and count >= _LEAST and 2 * count >= votes.total():
                old = said.said[owner].parts[part].srgb
                apart.append(float(delta_e_2000(_lab([old]), _lab([each.srgb]))[0]))
        shares.append(len(kept) / len(said.said))
        print(f"{name:18s} named {len(said.said):3d}, found again {len(kept):3d}", flush=True)
    if shares:
        print()
        print(f"names found again, mean of {len(shares)} photographs: {100 * np.mean(shares):.0f} %")
        print(f"patches of these the same by place, F1, mean of {len(same)} fabrics: {np.mean(same):.2f}")
        quantiles = ", ".join(f"{100 * q:.0f} % within {np.quantile(apart, q):.1f}" for q in (0.5, 0.9, 0.99))
        print(f"colors of one fabric in both readings, CIEDE2000: {quantiles}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
