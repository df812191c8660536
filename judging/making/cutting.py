"""How little is wasted: lists with a known plan, and cutting lists like those of real quilts, beside two plainer ways.

`python -m judging.making.cutting [FOLDER]` prints the tables. FOLDER holds lists sliced from a known rectangle, with `plans.csv`;
without it only the made-up quilt lists are run. The plainer ways: strips reckoned kind by kind as handbooks do, and the
general packing library rectpack where it is installed (it is told which lists may turn as a whole; its layouts need not be
cuttable). Seconds are processor time of one process, beside them what the clock on the wall said, which other work makes longer.
"""

from __future__ import annotations

import csv
import random
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from time import perf_counter, process_time

from seamlore.packing.pieces import Kind
from seamlore.packing.plan import lay_out

EIGHTHS = 8
WIDTH_IN = 42
SEED = 20_261_130


@dataclass(frozen=True, slots=True)
class Result:
    """Lengths that came of one list, in parts; a length of 0 is one that was not run."""

    name: str
    kinds: int
    pieces: int
    length: int
    bound: int
    known: int
    by_strips: int
    by_library: int
    seconds: float
    wall: float


def quilt_lists(many: int = 40) -> Iterator[tuple[str, list[Kind]]]:
    """Invent cutting lists: 5 to 60 kinds, 50 to 3,000 patches, the small ones more often; in eighths of an inch."""
    chance = random.Random(SEED)
    bases = (1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 6, 7, 8, 9, 10, 12)
    for number in range(many):
        kinds = round(5 * 12 ** (number / (many - 1)))
        patches = max(2 * kinds, round(50 * 60 ** chance.random()))
        may_turn = chance.random() < 0.6
        sizes: set[tuple[float, float]] = set()
        while len(sizes) < kinds:
            # Finished sizes with 1/4 in seams; some are the larger squares that triangles are cut from.
            w = chance.choice(bases) + chance.choice((0.5, 0.5, 0.5, 0.875, 1.25))
            sizes.add((w, w) if chance.random() < 0.45 else (w, chance.choice(bases) + 0.5))
        weights = {size: chance.random() ** 2 / (size[0] * size[1]) ** 0.5 for size in sorted(sizes)}
        total = sum(weights.values())
        yield (
            f"quilt {number + 1}",
            [
                Kind(int(w * EIGHTHS), int(h * EIGHTHS), max(1, round(patches * weight / total)), may_turn or w == h)
                for (w, h), weight in weights.items()
            ],
        )


def known_lists(folder: Path) -> Iterator[tuple[str, list[Kind], int, int]]:
    """Read lists with a known plan, in halves of their unit: name, kinds, width, length of the plan."""
    for plan in csv.DictReader((folder / "plans.csv").read_text(encoding="utf-8").splitlines()):
        rows = csv.DictReader((folder / f"{plan['name']}.csv").read_text(encoding="utf-8").splitlines())
        kinds = [
            Kind(int(2 * float(r["width"])), int(2 * float(r["height"])), int(r["count"]), r["may_turn"] == "yes")
            for r in rows
        ]
        yield plan["name"], kinds, 2 * int(plan["width"]), 2 * int(plan["known_plan_length"])


def by_strips(kinds: Sequence[Kind], width: int) -> int:
    """Reckon as handbooks do: each kind in strips of its own, lying the way that takes less."""
    total = 0
    for kind in kinds:
        total += min(-(-kind.count // (width // w)) * h for w, h, _ in kind.lies(width))
    return total


def by_library(kinds: Sequence[Kind], width: int) -> int:
    """Pack with rectpack: the best of its skyline, rectangle and edge-to-edge methods; 0 where it is not installed."""
    if find_spec("rectpack") is None:
        return 0
    rectpack = import_module("rectpack")
    longest = by_strips(kinds, width)
    turns = all(kind.may_turn or kind.width == kind.height for kind in kinds)
    best = 0
    for name in ("SkylineMwfl", "SkylineBl", "MaxRectsBl", "GuillotineBssfSas"):
        if name == "MaxRectsBl" and sum(kind.count for kind in kinds) > 400:
            continue  # takes minutes there
        packer = rectpack.newPacker(pack_algo=getattr(rectpack, name), sort_algo=rectpack.SORT_SSIDE, rotation=turns)
        for kind in kinds:
            for _ in range(kind.count):
                packer.add_rect(kind.width, kind.height)
        packer.add_bin(width, 2 * longest)
        packer.pack()
        placed = packer.rect_list()
        if len(placed) == sum(kind.count for kind in kinds):
            length = max(y + h for _, _, y, _, h, _ in placed)
            best = min(best or length, length)
    return best


def judge(name: str, kinds: Sequence[Kind], width: int, known: int = 0) -> Result:
    """Lay one list out in every way."""
    begun, start = perf_counter(), process_time()
    layout = lay_out(kinds, width)
    seconds, wall = process_time() - start, perf_counter() - begun
    return Result(
        name,
        len(kinds),
        sum(kind.count for kind in kinds),
        layout.length,
        layout.least_length,
        known,
        by_strips(kinds, width),
        by_library(kinds, width),
        seconds,
        wall,
    )


def mean(results: Sequence[Result], what: Callable[[Result], float]) -> float:
    """Give the mean over all lists."""
    return sum(what(each) for each in results) / len(results)


def show(results: Sequence[Result], parts: int) -> None:
    """Print a table and what it comes to."""
    print(
        "| list | kinds | pieces | length | bound | gap | strips | rectpack | s | wall |\n|---|---|---|---|---|---|---|---|---|---|"
    )
    for r in results:
        library = f"{r.by_library / parts:g}" if r.by_library else "not run"
        print(
            f"| {r.name} | {r.kinds} | {r.pieces} | {r.length / parts:g} | {r.bound / parts:g} | "
            f"{r.length / r.bound - 1:.1%} | {r.by_strips / parts:g} | {library} | {r.seconds:.1f} | {r.wall:.0f} |"
        )
    print(f"\nmean gap to the bound {mean(results, lambda r: r.length / r.bound - 1):.2%}", end="")
    print(
        f"; longest {max(r.seconds for r in results):.1f} s, mean {mean(results, lambda r: r.seconds):.1f} s", end=""
    )
    print(f" of processor time; on the wall mean {mean(results, lambda r: r.wall):.0f} s")
    if all(r.known for r in results):
        over = mean(results, lambda r: r.length / r.known - 1)
        print(f"mean over the known plan {over:.2%}; bound above it: {sum(r.bound > r.known for r in results)} times")
    total, strips = sum(r.length for r in results), sum(r.by_strips for r in results)
    print(f"all lengths {total / parts:g}; strip by strip {strips / parts:g}", end="")
    packed = sum(r.by_library for r in results)
    print(f"; rectpack {packed / parts:g}\n" if packed else "; rectpack is not installed\n")


def main(words: Sequence[str]) -> None:
    """Run and print."""
    if words:
        print("### Lists with a known plan\n")
        show([judge(name, kinds, width, known) for name, kinds, width, known in known_lists(Path(words[0]))], 2)
    print("### Lists like those of quilts, on 42 in\n")
    show([judge(name, kinds, WIDTH_IN * EIGHTHS) for name, kinds in quilt_lists()], EIGHTHS)


if __name__ == "__main__":
    main(sys.argv[1:])
