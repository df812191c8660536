"""Quilts with a life of their own, made up to judge the dating: how they came together is not how the dating thinks.

Nothing of the model is used here: parts follow by whole years drawn level, one quilt in ten is finished a generation
later, cloth comes new from the shop or level from a scrap bag of forty years, and what is seen is drawn from the clues
that were usual in its year, one in twenty being taken for another.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seamlore.chronology.clues import clues
from seamlore.chronology.evidence_file import read_dossier
from seamlore.chronology.inference import quantile
from seamlore.chronology.reasons import weigh

PARTS = ("blocks", "setting", "backing", "filling", "quilting", "edge finish")
FIRST, LAST = 1790, 1985
THIS_YEAR = 2026
# How many things are seen on each part, at least and at most.
SEEN = {
    "blocks": (1, 3),
    "setting": (0, 2),
    "backing": (0, 2),
    "filling": (0, 1),
    "quilting": (0, 2),
    "edge finish": (0, 2),
}


@dataclass(frozen=True, slots=True)
class Habits:
    """How the quilts of a simulation are made and looked at.

    Parameters
    ----------
    finished_late : float
        Share finished a generation after they were begun.
    scrap_bag : float
        Share of the cloth that comes from a scrap bag up to forty years deep.
    mistaken : float
        Share of what is seen that is something else.
    """

    finished_late: float = 0.1
    scrap_bag: float = 0.3
    mistaken: float = 0.05


def usual_years() -> dict[tuple[str, str], list[tuple[str, int, int]]]:
    """Give for each part the clues of its cloth and of its making, with their usual years."""
    table: dict[tuple[str, str], list[tuple[str, int, int]]] = {}
    for part in PARTS:
        for dates in ("cloth", "making"):
            for clue in clues().values():
                if part not in clue.parts or clue.dates != dates or clue.says_nothing:
                    continue
                low = clue.when.usual_from or clue.when.earliest or FIRST - 90
                high = clue.when.usual_to or clue.when.latest or THIS_YEAR
                table.setdefault((part, dates), []).append((clue.key, low, high))
    return table


def made(rng: np.random.Generator, habits: Habits) -> dict[str, int]:
    """Draw the year of each part."""
    blocks = int(rng.integers(FIRST, LAST + 1))
    setting = blocks + int(rng.integers(0, 5))
    quilting = setting + int(rng.integers(0, 4))
    edge = quilting + int(rng.integers(0, 2))
    if rng.random() < habits.finished_late:
        wait = int(rng.integers(15, 46))
        stage = int(rng.integers(3))
        setting += wait if stage == 0 else 0
        quilting += wait if stage <= 1 else 0
        edge += wait
    backing = quilting - int(rng.integers(0, 3))
    years = (blocks, setting, backing, quilting, quilting, edge)
    return {part: min(year, THIS_YEAR) for part, year in zip(PARTS, years, strict=True)}


def seen(
    rng: np.random.Generator,
    years: dict[str, int],
    habits: Habits,
    table: dict[tuple[str, str], list[tuple[str, int, int]]],
) -> list[tuple[str, str]]:
    """Draw what is seen on each part."""
    found = []
    for part in PARTS:
        least, most = SEEN[part]
        for _ in range(int(rng.integers(least, most + 1))):
            kinds = [dates for dates in ("cloth", "making") if (part, dates) in table]
            dates = kinds[int(rng.integers(len(kinds)))]
            year = years[part]
            if dates == "cloth":
                year -= int(rng.integers(0, 41)) if rng.random() < habits.scrap_bag else int(rng.integers(0, 5))
            usual = [key for key, low, high in table[part, dates] if low <= year <= high]
            if rng.random() < habits.mistaken:
                usual = [key for key, _, _ in table[part, dates]]
            if usual:
                found.append((part, usual[int(rng.integers(len(usual)))]))
    return found


def simulated(quilts: int, habits: Habits, seed: int = 1) -> dict[str, dict[str, float]]:
    """Make, look at and date quilts; give for each part coverage, median distance and median width."""
    rng = np.random.default_rng(seed)
    table = usual_years()
    held: dict[str, list[bool]] = {part: [] for part in PARTS}
    off: dict[str, list[int]] = {part: [] for part in PARTS}
    wide: dict[str, list[int]] = {part: [] for part in PARTS}
    for _ in range(quilts):
        years = made(rng, habits)
        entries = [
            f'[[evidence]]\npart = "{part}"\nclue = "{key}"\n' for part, key in seen(rng, years, habits, table)
        ]
        listed = ", ".join(f'"{part}"' for part in PARTS)
        text = f"usual_order = true\nparts = [{listed}]\n" + "".join(entries)
        dates = weigh(read_dossier(text, this_year=THIS_YEAR)).dates
        for part in PARTS:
            low, middle, high = (quantile(dates.problem.years, dates.of(part), share) for share in (0.05, 0.5, 0.95))
            held[part].append(low <= years[part] <= high)
            off[part].append(abs(middle - years[part]))
            wide[part].append(high - low)
    return {
        part: {
            "held": float(np.mean(held[part])),
            "off": float(np.median(off[part])),
            "wide": float(np.median(wide[part])),
        }
        for part in PARTS
    }
