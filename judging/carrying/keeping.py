"""How a carried quilt is stored and mended, reckoned again."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date
from fractions import Fraction
from math import ceil
from typing import Any

import numpy as np
import shapely
from skimage.color import deltaE_ciede2000, rgb2lab

from judging.carrying import sums
from judging.carrying.lay import CLOTH
from judging.carrying.sums import hours, part_of, price, read, said, size, yards

_QUARTER = Fraction(1, 4)
_METHODS = {"open seam": "re-sewn seam", "tendered cloth": "net overlay", "abrasion": "net overlay", "tear": "underlay", "hole": "patch over", "loss": "patch over"}  # fmt: skip


def check(decided: Any) -> None:
    """Look for all of it on the page."""
    _stored(decided)
    _mended(decided)


def _stored(decided: Any) -> None:
    quilt = decided.of.quilt
    spots = [each.shape for each in decided.of.spots if each.kind in CLOTH and len(each.outline) > 2]
    weak = shapely.union_all(
        spots + [patch for _, fabric, patch in quilt.patches if fabric in decided.of.weak_fabrics]
    )
    box = [float(read(each)) for each in decided.typed["box"].split(" x ")]
    found = []
    for turned in (0, 1):
        both = []
        for axis, old in enumerate(("folds_across", "folds_down")):
            side, across = quilt.size[axis], quilt.size[1 - axis]
            cost = []
            for mark in side * np.arange(1, 96) / 96:
                ends = [(mark, 0), (mark, across)] if axis == 0 else [(0, mark), (across, mark)]
                again = any(abs(mark - float(each)) <= 2 for each in decided.typed[old].split("; "))
                cost.append(shapely.LineString(ends).intersection(weak).length + 2 * across * again)
            both.append(sums.folds(side, box[axis ^ turned], cost))
        count = sum(len(next(iter(ways))) for _, ways in both)
        found.append((count, sum(spent for spent, _ in both), both))
    count, _, both = min(found, key=lambda each: (each[0], round(each[1], 6)))
    decided.say(f"{count} fold{'s' * (count != 1)}, padded")
    for (spent, ways), side in zip(both, ("left", "top"), strict=True):
        if ways == {()}:
            decided.say(f"No fold counted from the {side}")
            continue
        lines = {
            f"Fold at {_listed([said(each, _QUARTER) for each in way])} from the {side}: {'crossing no weak cloth' if spent < 1e-9 else 'the best there is'}"
            for way in ways
        }
        shown = [each for each in lines if each in decided.text]
        decided.pages.holds(f"one of {len(lines)} best ways to fold, {sorted(lines)[0]}", bool(shown))
        for each in shown:
            decided.say(each)
    day = date.fromisoformat(decided.typed["decided_on"])
    half = day.replace(year=day.year + 1, month=day.month - 6)
    decided.say(f"Folded on {day}, it is folded anew by {half}, or by {day.replace(year=day.year + 1)} at the latest")


def _mended(decided: Any) -> None:
    counts: Counter[str] = Counter()
    stitched, pieces = 0.0, 0.0
    for number, spot in enumerate(decided.of.spots, 1):
        if spot.kind not in _METHODS:
            continue
        record = decided.carried.condition["notes"][number - 1]
        edge = "binding" in record["of"]
        method = "new binding over the old" if edge else _METHODS[spot.kind]
        counts[method] += 1
        at = f"{number} | {record['of'] or spot.kind}"
        decided.say(str(number), at=at)
        sides = np.ptp(spot.outline, axis=0)
        if method in ("re-sewn seam", "new binding over the old"):
            stitched += float(sides.max())
        else:
            cut = [Fraction(ceil((float(side) + 2) * 4 - 1e-9), 4) for side in sides]
            decided.say(size(cut), at=at)
            stitched += float(2 * sum(cut))
            pieces += float(cut[0] * cut[1])
        if not spot.behind:
            _nearest(decided, number, spot, at)
    for method, count in counts.items():
        decided.say(f"{count} x {method}")
    decided.say(f"about {yards(stitched * 3)} of it")
    long = pieces * 1.2 / 42
    decided.say(f"{yards(long)} of cloth or net in all, {price(long, decided.typed['price'])} at your price")
    decided.say(f"{hours(('by hand', stitched))} of sewing by hand")
    decided.say(f"new cloth or net on {part_of(pieces / decided.of.whole)} of the front")


def _nearest(decided: Any, number: int, spot: Any, at: str) -> None:
    for fabric, each in enumerate(decided.of.reading["fabrics"] or []):
        on = any(
            of == fabric and patch.intersection(spot.shape).area > 0.02 * spot.shape.area
            for _, of, patch in decided.of.quilt.patches
        )
        if not on:
            continue
        far = deltaE_ciede2000(_lab(each["srgb"]), _lab("#7a5034")).item()  # type: ignore[no-untyped-call]
        called = decided.of.called[fabric]
        decided.say(f"{called}: brown sprig (CIEDE2000 {far:.1f}", at=at)
        decided.say(f"brown sprig (CIEDE2000 {far:.1f}")
        row = next(
            (line for line in decided.pages.lines["decide"] if re.match(rf"{called} \| [\d, ]+ \|$", line)), ""
        )
        decided.pages.holds(
            f"note {number} beside {called}: {row}",
            bool(row) and str(number) in row.removesuffix(" |").split(" | ")[1].split(", "),
        )
        decided.pages.covered(row, (0, len(row)))


def _listed(words: list[str]) -> str:
    return f"{', '.join(words[:-1])} and {words[-1]}" if len(words) > 1 else words[0]


def _lab(color: str) -> Any:
    return rgb2lab(np.array([int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]).reshape(1, 1, 3))
