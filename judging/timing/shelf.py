"""How fast a large shelf answers: studies that never were, searched, filtered, shown, and what memory that takes.

`python -m judging.timing.shelf` makes 10,000 studies in a folder of its own and prints the table: for each search and
filter the median and the slowest of some runs, the first page of the table as a browser gets it, and the most memory that the
process held. The targets are 50 ms, 300 ms and 300 MB.
"""

from __future__ import annotations

import argparse
import json
import random
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter, process_time
from typing import Any, Literal

import msgspec
import numpy as np
from starlette.testclient import TestClient

from judging.fitting.cloths import patch_at_scale
from judging.rendering.lengths_of_cloth import Seen, piece, some_prints
from seamlore.photo.cloth.cutting import Cloth, halved
from seamlore.photo.cloth.kept import to_file
from seamlore.photo.cloth.matching import Figures as Prints
from seamlore.photo.cloth.same import known_by
from seamlore.shelf import cloths as kept
from seamlore.shelf import history
from seamlore.shelf.collection import Collection
from seamlore.shelf.shelf import Shelf
from seamlore.steps.shelf.cards import VERSION, describe
from seamlore.steps.shelf.cloths import VERSION as CLOTHS
from seamlore.steps.shelf.elsewhere import elsewhere
from seamlore.steps.shelf.figures import Figures, Years, rests_on
from seamlore.steps.shelf.find import ORDERS, Wanted, filters, find, twice
from seamlore.steps.study.kept import changes_for
from seamlore.steps.study.sections import About, Choice, Evidence, Keeping, LabelWords
from seamlore.steps.study.tape import Tape
from seamlore.web.app import make_app

ADDRESS = "http://127.0.0.1:4000"
_BLOCKS = ("Shoo Fly", "Nine Patch", "Sawtooth Star", "Birds in the Air", "Ohio Star", "Churn Dash", "Bow Tie")
_FABRICS = (
    "indigo with white dots",
    "madder stripe",
    "double pink",
    "shirting",
    "cheddar",
    "chrome orange",
    "brown plaid",
)
_WORDS = [
    "chest",
    "attic",
    "trunk",
    "cousin",
    "wool",
    "farm",
    "river",
    "winter",
    "window",
    "barn",
    "wagon",
    "porch",
    "summer",
    "ribbon",
    "button",
    "school",
]
_SETTINGS: tuple[Literal["straight", "on point", "strips", "offset"], ...] = (
    "straight",
    "on point",
    "strips",
    "offset",
)
_RUNS = 7
_CLOTHS, _PICTURED = 30, 200  # cloths of a study, and studies whose cloths have pictures too
SEEN = Seen.by_chance(np.random.default_rng(3))


def fill(shelf: Shelf, count: int, seed: int = 7) -> None:
    """Put so many studies on a shelf, each with a history of one step and its figures worked out."""
    draw = random.Random(seed)
    made = {}
    # At once: each by itself would wait for the disk ten thousand times.
    with shelf.database.writing() as database:
        for number in range(count):
            sections, figures = _study(draw, number)
            cursor = database.execute(
                "INSERT INTO studies (name, made, changed, identity) VALUES (?, ?, ?, ?)",
                (sections[0].name, history.now(), history.now(), f"{number:032x}"),
            )
            study = int(cursor.lastrowid or 0)
            history.add_step(database, study, changes_for([(each, 0, "entered") for each in sections], None))
            made[study] = figures

    def worked(standing, before, moves):  # type: ignore[no-untyped-def]
        figures = made[standing.entry.number]
        fresh = msgspec.structs.replace(figures, rests_on=rests_on(standing.sections))
        return describe(standing, before, moves, fresh)

    Collection(shelf).renew(worked, version=VERSION)


def _study(draw: random.Random, number: int) -> tuple[tuple[Any, ...], Figures]:
    name = f"{draw.choice(_WORDS)} {draw.choice(_WORDS)} {number}"
    width, height, block = draw.randint(50, 96), draw.randint(60, 108), draw.randint(5, 14)
    sections = (
        About(name=name, story=" ".join(draw.choices(_WORDS, k=60))),
        Tape(width=f"{width} in", height=f"{height} in", block=f"{block} in", rows=9, columns=7),
        Choice(block=draw.choice(_BLOCKS), fabrics=dict(zip("AB", draw.sample(_FABRICS, 2), strict=True))),
        Evidence(text='[[evidence]]\npart = "backing"\nclue = "printed sack"\n'),
        LabelWords(place=draw.choice(_WORDS)),
        Keeping(accession=f"{1990 + number % 35}.{number}", tags=(draw.choice(_WORDS),)),
    )
    first = draw.randint(1830, 1950)
    years = Years(part="blocks", median=first + 10, first=first, last=first + 30, edtf="", sentence="", known=True)
    figures = Figures(
        rests_on="",
        blocks=(draw.choice(_BLOCKS),),
        counted=(63,),
        setting=draw.choice(_SETTINGS),
        rows=9,
        columns=7,
        measured=(float(width), float(height)),
        block=(float(block), float(block)),
        sashing=(float(draw.randint(0, 3)),) * 2,
        years=(years,),
        draft="x" * 900,
    )
    return sections, figures


def fill_cloths(shelf: Shelf, count: int, seed: int = 7) -> None:
    """Describe cloths of every study: those of the tuning set, a little changed, and pictures of a few."""
    draw = np.random.default_rng(seed)
    drawn = [
        patch_at_scale(*piece(draw, each, SEEN, 3.0, triangle=False), SEEN.px_per_inch) for each in some_prints(24, 1)
    ]
    known = np.stack([known_by(Prints((halved(cut),)), 12.0).row for cut, _ in drawn])
    spread = known.std(axis=0) * 0.35
    pictures = to_file([Cloth((drawn[at % 24][0],), 12.0) for at in range(_CLOTHS)], "made up")
    made = []
    for _ in range(count):
        rows = known[np.arange(_CLOTHS) % 24] + draw.normal(size=(_CLOTHS, known.shape[1])) * spread
        rows[:, -3:-1] = 60.0, 12.0
        rows[:, -1] = np.arange(_CLOTHS)
        made.append(rows.astype("<f2").tobytes())
    for study in range(1, min(_PICTURED, count) + 1):
        kept.put(shelf, study, kept.Cloths(CLOTHS, "made up", made[study - 1]), pictures)
    # At once, as the studies were.
    with shelf.database.writing() as database:
        database.executemany(
            "INSERT OR IGNORE INTO cloths (study, version, rests_on, described, looks) VALUES (?, ?, ?, ?, x'')",
            [(study, CLOTHS, "made up", rows) for study, rows in enumerate(made, start=1)],
        )


def timed(what: Callable[[], object]) -> tuple[float, float, float]:
    """Milliseconds: the median and the slowest of some runs, and the most processor time that one took."""
    found, worked = [], []
    for _ in range(_RUNS):
        begun, busy = perf_counter(), process_time()
        what()
        worked.append(1000 * (process_time() - busy))
        found.append(1000 * (perf_counter() - begun))
    return median(found), max(found), max(worked)


def most_memory_mb() -> float:
    """The most memory that this process ever held."""
    import resource  # not there on Windows

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


SEARCHES = {
    "everything, last changed first": Wanted(),
    "one letter": Wanted("w"),
    "a word": Wanted("attic"),
    "three words": Wanted("attic rib indi"),
    "a word that is nowhere": Wanted("zebra"),
    "a block": Wanted(marks={"block": "Shoo Fly"}),
    "a setting": Wanted(marks={"setting": "on point"}),
    "a fabric": Wanted(marks={"fabric": "double pink"}),
    "a tag": Wanted(marks={"tag": "barn"}),
    "years": Wanted(years="1880 to 1890"),
    "all of these at once": Wanted("wi", {"block": "Nine Patch", "fabric": "cheddar"}, "1900s", "size"),
    **{f"ordered {says}": Wanted(order=order) for order, says in ORDERS.items()},
}


def main() -> None:
    """Fill a shelf and print the table."""
    given = argparse.ArgumentParser(description="How fast a large shelf answers.")
    given.add_argument("--studies", type=int, default=10_000)
    given.add_argument("--json", action="store_true", help="Print one JSON object and nothing else.")
    asked = given.parse_args()
    rows: list[tuple[str, float, float, float]] = []
    with tempfile.TemporaryDirectory(prefix="seamlore-") as folder:
        with Shelf(Path(folder)) as shelf:
            fill(shelf, asked.studies)
            fill_cloths(shelf, asked.studies)
        opened = timed(lambda: Shelf(Path(folder)).close())
        with Shelf(Path(folder)) as shelf:
            rows += [(name, *timed(lambda wanted=wanted: find(shelf, wanted))) for name, wanted in SEARCHES.items()]  # type: ignore[misc]
            rows.append(("what filters there are, counted", *timed(lambda: filters(shelf))))
            rows.append(("what stands there twice", *timed(lambda: twice(shelf))))
            app = make_app(shelf)
            cookies = dict([app.doors.cookie(4000).split(";")[0].split("=", 1)])
            client = TestClient(app, base_url=ADDRESS, headers={"origin": ADDRESS}, cookies=cookies)
            rows.append(("the first page, as a browser gets it", *timed(lambda: client.get("/").raise_for_status())))
            part = {"hx-request": "true"}
            rows.append(
                ("a letter typed", *timed(lambda: client.get("/quilts?q=at", headers=part).raise_for_status()))
            )
            rows.append(("opened and closed again", *opened))
            memory = most_memory_mb()
            rows.append((f"one cloth among {_CLOTHS * asked.studies:,}", *timed(lambda: elsewhere(shelf, 1, 3))))
    if asked.json:
        table = {
            name: {"median_ms": round(middle, 1), "slowest_ms": round(worst, 1), "processor_ms": round(busy, 1)}
            for name, middle, worst, busy in rows
        }
        print(json.dumps({"studies": asked.studies, "memory_mb": round(memory), "ms": table}))
        return
    print(f"{asked.studies:,} studies".ljust(44) + "median ms   slowest   of these at most by the processor")
    for name, middle, worst, busy in rows:
        print(f"{name:44} {middle:8.1f} {worst:9.1f} {busy:9.1f}")
    print(f"{'most memory held, MB; with cloths looked for':44} {memory:8.0f} {most_memory_mb():9.0f}")


if __name__ == "__main__":
    main()
