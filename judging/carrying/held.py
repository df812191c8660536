"""What holds a carried quilt, reckoned again: the widest bare circle, looked for on a grid and then ever finer, and missing ties."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import numpy as np
import shapely

from judging.carrying.lay import called_at
from judging.carrying.sums import hours, said

# Inches that a filling may be held apart, as the page tells with its source.
APART = {"needle-punched cotton": 8.0, "old cotton batting": 2.0}


def check(assessing: Any) -> None:
    """Look for it on the pages."""
    ties, missing = (np.array(assessing.carried.laid[each]).reshape(-1, 2) for each in ("ties", "missing"))
    lines = (
        [each.exterior for each in assessing.quilt.blocks.values()] if assessing.typed["lines"] == "blocks" else []
    )
    wide, high = assessing.quilt.size
    apart = APART[assessing.typed["filling"]]
    allowed = apart if lines else apart * np.sqrt(2)
    edge = [shapely.box(0, 0, wide, high).exterior]
    widest, _ = _widest(assessing, [*map(shapely.Point, ties), *lines, *edge])
    shown = re.search(r"circle ([\d /]+) in across", " ".join(assessing.pages.lines["assess"]))
    inches = float(sum(Fraction(each) for each in shown[1].split())) if shown else 0.0
    # Looked for on a grid and then ever finer, it may be missed by little and never be too large.
    assessing.pages.holds(
        f"widest bare circle {widest:.3f} in found, {inches} said", widest - 1e-6 <= inches <= widest + 0.2
    )
    if shown:
        assessing.pages.says("assess", f"circle {shown[1]} in across")
    for called in [called_at(where) for where, block in assessing.quilt.blocks.items()]:
        if any(f"its middle in {called}" in line for line in assessing.pages.lines["assess"]):
            assessing.pages.says("assess", f"its middle in {called}")
    assessing.pages.says("assess", f"may be held {said(apart)} apart")
    assessing.pages.says("assess", f"leaves circles of {said(allowed, Fraction(1, 8), 'down')}")
    if assessing.typed["ties"] == "grid":
        every = float(Fraction(assessing.typed["tie_every"]))
        assessing.pages.holds("ties every so far", len(ties) == int(wide / every) * int(high / every))
    if len(missing) and len(missing) < 2000:
        left, _ = _widest(assessing, [*map(shapely.Point, np.vstack([ties, missing])), *lines, *edge])
        assessing.pages.holds(
            f"with {len(missing)} ties more the widest circle is {left:.2f} in", left <= allowed * 7 / 6 + 1e-6
        )
        assessing.pages.says("assess", f"{len(missing)} more tie{'s' * (len(missing) > 1)} put in")
        bare = _bare(assessing, [*map(shapely.Point, ties), *lines, *edge], allowed / 2)
        fewest = next(
            (
                int(each)
                for each in re.findall(r"no way takes fewer than (\d+)", " ".join(assessing.pages.lines["assess"]))
            ),
            0,
        )
        # Each tie holds a circle of half the width; counted on points, which tell an area to about a hundredth.
        assessing.pages.holds(
            f"no way takes fewer than {bare / (np.pi * allowed**2 / 4):.2f} ties, {fewest} said",
            fewest - 1 <= bare / (np.pi * allowed**2 / 4) * 1.02
            and fewest + 0.1 >= bare / (np.pi * allowed**2 / 4) * 0.9,
        )
        assessing.pages.says("assess", f"no way takes fewer than {fewest}")
        assessing.pages.says("decide", f"{len(missing)} more tie{'s' * (len(missing) > 1)}, where")
        assessing.pages.says("decide", f"{hours(('tie', len(missing)))} of tying")
    elif len(missing):
        assessing.pages.says("assess", "More than 2,000 more ties")
        assessing.pages.says("decide", "more than 2,000 ties")


def _points(assessing: Any, step: float) -> Any:
    across, down = (np.arange(step / 2, side, step) for side in assessing.quilt.size)
    return np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 2)


def _widest(assessing: Any, holds: list[Any]) -> tuple[float, Any]:
    what = shapely.union_all(holds)
    shapely.prepare(what)
    points, step = _points(assessing, 0.5), 0.5
    for _ in range(14):
        far = shapely.distance(shapely.points(points), what)
        best = points[np.argsort(-far)[:12]]
        step /= 2
        points = (best[:, None] + step * np.array([(x, y) for x in (-1, 0, 1) for y in (-1, 0, 1)])).reshape(-1, 2)
        points = np.clip(points, 0, assessing.quilt.size)
    far = shapely.distance(shapely.points(points), what)
    return 2 * float(far.max()), points[far.argmax()]


def _bare(assessing: Any, holds: list[Any], reach: float) -> float:
    what = shapely.union_all(holds)
    shapely.prepare(what)
    return float(assessing.whole) * float(
        (shapely.distance(shapely.points(_points(assessing, 0.25)), what) > reach).mean()
    )
