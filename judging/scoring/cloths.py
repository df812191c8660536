"""Score how well cloth is known again: ``python -m judging.scoring.cloths [--count 4] [--photos FOLDER]``.

Sixty cloths by a renderer that no fit has used (`judging.rendering.bolts`), each in two quilts and two photographs with
other light, wear, turn, scale, blur and noise; some plain, some the print of another in other colors. Each cloth of the
one is looked for among the sixty of the other, as the shelf does. With `--photos`, real photographs: two patches of one
fabric in different blocks, as labeled in `judging/data/same_cloth.csv`.
"""

from __future__ import annotations

import argparse
import csv
import json
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.fitting.cloths import how_cut, patch_at_scale
from judging.rendering.bolts import some_bolts
from judging.rendering.shots import Shot, patch
from seamlore.photo.cloth.cutting import cut_out, halved
from seamlore.photo.cloth.matching import Figures
from seamlore.photo.cloth.same import Known, known_by
from seamlore.photo.cloth.search import SAME, Candidate, search

AMONG = 60
JUDGING_SEEDS = 500
_LABELS = Path(__file__).parents[1] / "data" / "same_cloth.csv"


@dataclass
class Tally:
    """What came of looking for cloths."""

    places: list[int] = field(default_factory=list)
    enough: list[bool] = field(default_factory=list)
    said: list[float] = field(default_factory=list)
    right: list[bool] = field(default_factory=list)
    others: int = 0
    misses: list[str] = field(default_factory=list)

    def add(self, asked: str, number: int, found: Sequence[Candidate], names: Sequence[str]) -> None:
        """Count one search: `number` is the right one."""
        order = [each.number for each in found]
        place = order.index(number) + 1 if number in order else len(names) + 1
        self.places.append(place)
        self.enough.append(found[0].chance is not None if found else False)
        self.others += len(names) - 1
        for each in found:
            if each.chance is not None:
                self.said.append(each.chance)
                self.right.append(each.number == number)
        if place > 5:
            self.misses.append(f"{asked}: the right one comes {place}th")
        for each in found:
            if each.chance is not None and each.chance >= SAME and each.number != number:
                self.misses.append(f"{asked}: said to be the same as {names[each.number]}, {each.chance:.2f}")

    def join(self, other: Tally) -> None:
        """Take another's counts in."""
        for name in ("places", "enough", "said", "right", "misses"):
            getattr(self, name).extend(getattr(other, name))
        self.others += other.others

    def lines(self, what: str) -> list[str]:
        """Say what came of it."""
        places, said, right = np.array(self.places), np.array(self.said), np.array(self.right, bool)
        called = said >= SAME
        wrong = int((called & ~right).sum())
        told = np.array(self.enough, bool)
        return [
            f"{what}: {len(places)} searches",
            f"   the right one first                            {(places == 1).mean():7.1%}",
            f"   the right one among the first five             {(places <= 5).mean():7.1%}   >= 90 %",
            f"   said to be the same, wrongly: of what is said  {wrong / max(called.sum(), 1):7.1%}   <= 2 %",
            f"   said to be the same, wrongly: of all others    {wrong / max(self.others, 1):7.3%}",
            f"   said to be the same, rightly                   {(called & right).sum() / max(len(places), 1):7.1%}",
            f'   "not enough to tell"                           {1 - told.mean():7.1%}',
        ]


def one_set(seed: int) -> Tally:
    """Draw sixty cloths in two quilts, and look for each of both in the other."""
    cv2.setNumThreads(1)
    bolts, rng = some_bolts(AMONG, seed), np.random.default_rng([seed, 55])
    known: list[list[Known]] = [[], []]
    figures: list[list[Figures]] = [[], []]
    for view in (0, 1):
        shot = Shot.by_chance(rng)
        for bolt in bolts:
            count, side, triangle = how_cut(rng)
            fade = shot.age * float(rng.uniform(0, 0.34))
            cuts = [
                patch_at_scale(*patch(rng, bolt, shot, fade, side, triangle=triangle), shot.px_per_inch)
                for _ in range(count)
            ]
            made = Figures(tuple(halved(each) for each, _ in cuts))
            figures[view].append(made)
            known[view].append(known_by(made, cuts[0][1]))
    tally = Tally()
    names = [f"{bolt.kind} {number}" for number, bolt in enumerate(bolts)]
    for one, two in ((0, 1), (1, 0)):
        rows = np.stack([each.row for each in known[two]])
        for number in range(AMONG):
            found = search(known[one][number], figures[one][number], rows, lambda at, two=two: figures[two][at])  # type: ignore[misc]
            tally.add(f"set {seed}, {names[number]}", number, found, names)
    return tally


def of_photographs(folder: Path, *, other_light: bool) -> Tally:
    """Look for each labeled patch of a real quilt among the others: two patches of each cloth, from different blocks.

    Both come from one photograph; with `other_light` the second of each is given other light, blur and noise.
    """
    rng = np.random.default_rng(17)
    shot = Shot.by_chance(rng)
    with _LABELS.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    pieced = {each["file"]: each for each in json.loads((folder / "piecing.json").read_text(encoding="utf-8"))}
    groups: dict[str, list[tuple[str, Known, Figures]]] = {"first": [], "second": [], "other": []}
    for row in rows:
        name, at, side = row["photo"], (int(row["row"]), int(row["column"])), float(row["side_in"]) * 2.54
        rgb = np.ascontiguousarray(np.asarray(cv2.imread(str(folder / name)))[..., ::-1], dtype=np.uint8)
        if other_light and row["which"] != "first":
            rgb = _relit(rng, rgb, shot)
        whole = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]]) * side
        cut, per_cm = cut_out(rgb, _cell(pieced[name], at), np.array([side, side]), 0.07 * side + 0.86 * whole)
        made = Figures((halved(cut),))
        groups[row["which"]].append((f"{name} {row['fabric']}", known_by(made, per_cm), made))
    tally = Tally()
    for one, two in (("first", "second"), ("second", "first")):
        among = groups[two] + groups["other"]
        names = [name for name, _, _ in among]
        table = np.stack([known.row for _, known, _ in among])
        for name, known, figures in groups[one]:
            found = search(known, figures, table, lambda at, among=among: among[at][2])  # type: ignore[misc]
            tally.add(name, names.index(name), found, names)
    return tally


def _cell(pieced: dict[str, Any], at: tuple[int, int]) -> NDArray[np.float64]:
    """Give the corners of a cell in pixels."""
    (top, bottom), (left, right) = pieced["row_spans"][at[0]], pieced["column_spans"][at[1]]
    field = cv2.getPerspectiveTransform(
        np.array([[0, 0], [1, 0], [1, 1], [0, 1]], np.float32), np.array(pieced["field"], np.float32)
    )
    corners = np.array([[[left, top], [right, top], [right, bottom], [left, bottom]]], np.float64)
    return np.asarray(cv2.perspectiveTransform(corners, field)[0])


def _relit(rng: np.random.Generator, rgb: NDArray[np.uint8], shot: Shot) -> NDArray[np.uint8]:
    light = np.asarray(cv2.GaussianBlur((rgb / 255.0) ** 2.2 * shot.gains, (0, 0), 0.5), np.float64)
    light = light + rng.normal(0, 1, light.shape) * 0.5 * shot.grain * np.sqrt(np.clip(light, 0.02, 1))
    return np.asarray(np.rint(255 * np.clip(light, 0, 1) ** (shot.curve / 2.2)), np.uint8)


def main(words: Sequence[str] | None = None) -> int:
    """Score and print."""
    parser = argparse.ArgumentParser(prog="python -m judging.scoring.cloths", description=__doc__)
    parser.add_argument("--count", type=int, default=4, help="sets of sixty cloths")
    parser.add_argument("--first", type=int, default=JUDGING_SEEDS, help="seed of the first set")
    parser.add_argument("--photos", type=Path, help="folder of the real photographs")
    parser.add_argument("--workers", type=int, default=2)
    given = parser.parse_args(words)
    tally = Tally()
    with ProcessPoolExecutor(given.workers) as pool:
        for each in pool.map(one_set, range(given.first, given.first + given.count)):
            tally.join(each)
    print("\n".join(tally.lines(f"{given.count} sets of {AMONG} cloths, drawn by the renderer for judging alone")))
    print("\n".join(f"   miss: {each}" for each in tally.misses))
    print(_calibration(tally))
    if given.photos:
        for other_light in (False, True):
            real = of_photographs(given.photos, other_light=other_light)
            light = "the second in made-up other light" if other_light else "in the light of their one photograph"
            print("\n".join(real.lines(f"Patches of real quilts, two of each of 25 cloths, {light}")))
            print("\n".join(f"   miss: {each}" for each in real.misses))
    return 0


def _calibration(tally: Tally) -> str:
    said, right = np.array(tally.said), np.array(tally.right, bool)
    lines = ["   chance said           n   mean said   right"]
    for low, high in ((0, 0.1), (0.1, 0.3), (0.3, 0.5), (0.5, 0.7), (0.7, 0.9), (0.9, 0.97), (0.97, 1.01)):
        some = (said >= low) & (said < high)
        if some.any():
            lines.append(
                f"   {low:4.2f} to {high:4.2f}   {some.sum():6d}      {said[some].mean():6.3f}  {right[some].mean():6.3f}"
            )
    return "\n".join(lines)


if __name__ == "__main__":
    sys.exit(main())
