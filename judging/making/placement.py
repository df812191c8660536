"""Ten quilts of about a thousand scrappy patches, with hardly a patch of fabric to spare: how well they are placed.

`python -m judging.making.placement` prints for each what was found, what is proved, and how long it took. Amounts are drawn
from a fixed seed; all together they are just enough for the quilt, and some fabrics are plentiful and others scarce.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from time import perf_counter, process_time

import numpy as np

from seamlore.draft.block import VALUES, Block, Value
from seamlore.draft.border import Pieced, border
from seamlore.draft.catalogue import find
from seamlore.draft.cells import with_counts
from seamlore.draft.kinds import Kind
from seamlore.draft.layout import lay
from seamlore.draft.quilt import Quilt, Sashing
from seamlore.draft.repeated import repeated
from seamlore.draft.setting.setting import Offset, OnPoint
from seamlore.draft.text.notation import read_block
from seamlore.lengths import inches
from seamlore.placing.placement import Placement, alike_and_touching, place_fabrics, shares
from seamlore.placing.slots import Cloth


@dataclass(frozen=True)
class Case:
    """One quilt, and how its fabrics are shared out: how many of each value, how unequal, how many to spare."""

    name: str
    quilt: Quilt
    fabrics: dict[Value, int]
    unequal: float
    spare: int = 0
    each: str = "patch"


def scrappy(block: Block) -> Block:
    """The same block with every place scrappy."""
    return replace(block, places={letter: replace(place, scrappy=True) for letter, place in block.places.items()})


def cases() -> list[Case]:
    """The ten cases."""
    nine, star = scrappy(find("Nine Patch")), scrappy(find("Sawtooth Star"))
    ten = read_block(
        "block Ten\ncolumns 1 1 1 1 1\nrows 2.5 2.5\nA dark scrappy\nB light scrappy\n\nA B A B A\nB A B A B"
    )
    three = read_block(
        "block Three Values\nA dark scrappy\nB light scrappy\nC medium scrappy\n\nA/C B C\\A\nB C B\nC\\A B A/C"
    )
    side = inches(9)
    straight = repeated("nine patches", nine, side, side, 10, 11)
    point = repeated("on point", nine, side, side, 8, 8, setting=OnPoint())
    tenfold = repeated("rectangles", ten, inches(10), inches(10), 10, 10)
    rail = Kind("RF", scrappy(find("Rail Fence")))
    round_it = border(inches(3), corners="squares", pieced=Pieced("RF", inches(3)))
    return [
        Case("nine patches, 20 + 20 fabrics", straight, {"light": 20, "dark": 20}, 0.3),
        Case("nine patches, very unequal amounts", straight, {"light": 20, "dark": 20}, 0.9),
        Case("nine patches, 9 darks for 5 places", straight, {"light": 31, "dark": 9}, 0.15),
        Case("nine patches, 6 lights and 8 darks", straight, {"light": 6, "dark": 8}, 0.1),
        Case("rectangles, 1,000 patches", tenfold, {"light": 20, "dark": 20}, 0.7),
        Case("nine patches on point", point, {"light": 20, "dark": 20}, 0.8),
        Case("rows offset by half", with_counts(tenfold, 10, 10, Offset()), {"light": 20, "dark": 20}, 0.5),
        Case(
            "three values", repeated("three", three, side, side, 9, 9), {"light": 14, "medium": 13, "dark": 13}, 0.6
        ),
        Case(
            "stars in sashing, a fabric for each place",
            repeated("stars", star, side, side, 15, 16, Sashing(inches(2), inches(2))),
            {"light": 18, "medium": 6, "dark": 20},
            0.8,
            each="place",
        ),
        Case(
            "nine patches with a pieced border",
            repeated("border", nine, side, side, 10, 9, borders=(round_it,), kinds=[rail]),
            {"light": 18, "medium": 4, "dark": 18},
            0.6,
        ),
    ]


def amounts(case: Case, seed: int) -> list[Cloth]:
    """Share the patches of each value out among its fabrics, unequally, with hardly any to spare."""
    random = np.random.default_rng(seed)
    places = case.quilt.places
    laid = [piece for piece in lay(case.quilt) if piece.key in places and places[piece.key].scrappy]
    found = []
    for value in VALUES:
        mine = [piece for piece in laid if places[piece.key].value == value]
        count = case.fabrics.get(value, 0)
        if not mine or not count:
            continue
        # A place that is cut from one fabric takes as many patches at once as it has.
        once = {(piece.row, piece.column, piece.key) for piece in mine} if case.each == "place" else mine
        times = len(mine) // len(once)
        weight = np.exp(random.normal(size=count) * case.unequal)
        # No fabric gives more than once to each block, so that all that there is can be used.
        blocks = {(piece.row, piece.column, index if piece.row < 0 else -1) for index, piece in enumerate(mine)}
        given = _shared_out(weight, len(once) + case.spare, len(blocks))
        found += [Cloth(f"{value} {number + 1}", value, int(each) * times) for number, each in enumerate(given)]
    return found


def _shared_out(weight: np.ndarray, total: int, most: int) -> np.ndarray:
    """Whole numbers in proportion to the weights, none above `most`, that sum to the total."""
    given = np.minimum(np.floor(weight / weight.sum() * total), most)
    while given.sum() < total:
        open_ones = np.flatnonzero(given < most)
        lack = weight[open_ones] / given[open_ones].clip(1)
        given[open_ones[np.argmax(lack)]] += 1
    return np.asarray(given)


def run(case: Case, seed: int = 7) -> tuple[Placement, tuple[float, float], int]:
    """Place one case: the placement, the seconds it took (by the clock, of work), and how many patches were placed."""
    cloths = amounts(case, seed)
    start, worked = perf_counter(), process_time()
    placed = place_fabrics(case.quilt, cloths, each=case.each)  # type: ignore[arg-type]
    took = perf_counter() - start, process_time() - worked
    given = {cloth.name: cloth.patches or 0 for cloth in cloths}
    if any(count > given[name] for name, count in placed.used.items()):
        raise AssertionError(f"{case.name}: a fabric ran out")
    alike = placed.touching + placed.together
    if (shares(placed, case.quilt), alike_and_touching(placed, case.quilt)) != (placed.shared, alike):
        raise AssertionError(f"{case.name}: the counts do not hold")
    return placed, took, sum(placed.used.values())


def table(write: Callable[[str], None] = print) -> None:
    """Print a line for each case: the last column is how far above the bound the placement is, at most."""
    write(
        f"{'case':44} {'patches':>7} {'alike':>5} {'pairs':>5} {'shared':>6} {'proved':>6} {'gap':>6} {'s':>5} {'cpu s':>5}"
    )
    for case in cases():
        placed, took, patches = run(case)
        gap = (placed.shared - placed.bound) / placed.shared if placed.shared else 0.0
        write(
            f"{case.name:44} {patches:7} {placed.touching:5} {placed.pairs:5} {placed.shared:6} {placed.bound:6} "
            f"{gap:6.1%} {took[0]:5.1f} {took[1]:5.1f}  at most {', '.join(f'{most} {value}' for value, most in placed.most.items())}"
            + f", {placed.excess} over"
            * bool(placed.excess)
        )


if __name__ == "__main__":
    table()
