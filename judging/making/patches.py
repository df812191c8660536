"""How many patches come out of odd pieces of old cloth, beside plain rows: python -m judging.making.patches > docs/accuracy/patches.md

Pieces as an old quilt gives them, none of a real one: strips of border and sashing, parts of backing, patches and rags, each
with holes as tears and moths leave them. Patches from 1 1/2 to 7 in, of one size or of two. Two yardsticks share no rule
with what is judged beyond where a patch may lie: rows as the patch is given, and the better of these and of rows with every
patch turned.
"""

from __future__ import annotations

import argparse
from collections import defaultdict
from dataclasses import replace
from time import process_time
from typing import Any

import numpy as np
import shapely

from seamlore.packing.outlines import in_rows, most_patches
from seamlore.packing.pieces import Kind

PARTS = 16
FORMS = ("strip", "backing", "patch", "rag")


def case(form: str, seed: int) -> tuple[Any, list[Kind]]:
    """Make one piece of cloth, in parts of an inch, and what is to be cut of it."""
    chance = np.random.default_rng([FORMS.index(form), seed])
    if form == "strip":
        shape = shapely.box(0, 0, chance.uniform(20, 80), chance.uniform(2.5, 9))
    elif form == "backing":
        shape = shapely.box(0, 0, chance.uniform(18, 40), chance.uniform(18, 40))
    elif form == "patch":
        shape = shapely.box(0, 0, chance.uniform(6, 14), chance.uniform(6, 14))
        if chance.uniform() < 0.4:
            shape = shapely.Polygon(shapely.get_coordinates(shape)[:3])
    else:
        shape = _rag(chance, chance.uniform(7, 14))
    left, top, right, bottom = shape.bounds
    for _ in range(int(chance.integers(0, 6 if form in ("strip", "backing") else 3))):
        hole = _rag(chance, chance.uniform(0.4, 2.5))
        away = np.array([chance.uniform(left, right), chance.uniform(top, bottom)])
        shape = shapely.difference(shape, shapely.transform(hole, lambda at, away=away: at + away))
    sides = chance.choice(np.arange(12, 57) * 2, 4)
    kinds = [Kind(int(sides[0]), int(sides[1]), 999, may_turn=True)]
    if seed % 3 == 0:
        # A few of one size and the rest of a smaller one, as a repair takes them.
        small = np.minimum(sides[2:], 48)
        kinds = [
            replace(kinds[0], count=int(chance.integers(2, 9))),
            Kind(int(small[0]), int(small[1]), 999, may_turn=True),
        ]
    return shapely.transform(shape, lambda at: at * PARTS), kinds


def _rag(chance: np.random.Generator, radius: float) -> Any:
    turns = np.sort(chance.uniform(0, 2 * np.pi, 14))
    away = radius * chance.uniform(0.6, 1, 14)
    return shapely.buffer(shapely.Polygon(np.column_stack([np.cos(turns), np.sin(turns)]) * away[:, None]), 0)


def main() -> None:
    """Cut every case in each way and print how many patches come out."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--each", type=int, default=40, help="cases of each form")
    each = parser.parse_args().each
    found: dict[str, list[tuple[int, int, int, float]]] = defaultdict(list)
    for form in FORMS:
        for seed in range(each):
            shape, kinds = case(form, seed)
            rows = len(in_rows(shape, kinds))
            turned = len(in_rows(shape, [replace(kind, width=kind.height, height=kind.width) for kind in kinds]))
            began = process_time()
            ours = len(most_patches(shape, kinds))
            found[form].append((rows, max(rows, turned), ours, process_time() - began))
    print(
        "Patches out of odd pieces of cloth with holes (python -m judging.making.patches). More: mean over the cases of which rows give any.\n"
    )
    print(
        "| pieces | cases | plain rows | rows, better way round | as offered | fewer than rows | more than plain rows | more than better rows | seconds, middle, worst |"
    )
    print("|---|---|---|---|---|---|---|---|---|")
    for form in (*FORMS, "all"):
        told = np.array(found[form] if form in found else [one for of in found.values() for one in of], dtype=float)
        plain, better, ours, spent = told.T
        more = [100 * float(np.mean(ours[base > 0] / base[base > 0] - 1)) for base in (plain, better)]
        print(
            f"| {form} | {len(told)} | {plain.sum():.0f} | {better.sum():.0f} | {ours.sum():.0f} | {int((ours < plain).sum())} "
            f"| {more[0]:.1f} % | {more[1]:.1f} % | {np.median(spent):.2f}, {spent.max():.2f} |"
        )


if __name__ == "__main__":
    main()
