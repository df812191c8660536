"""Judge the dating: does "9 in 10" hold what it promises?

    python -m judging.scoring.dates [--quilts 1000] [--list]

Three judges. The plain model on quilts drawn from its own prior: the probability integral transform of the true years
must be uniform, which shows that the sums are right. The usual model on quilts that are made and looked at in another
way than it thinks (`quilt_lives`), and with the shares of that simulation halved and doubled. And real quilts whose
year is known (`documented`). The trust in clues, the tails of fashions and the shares were set in three rounds with the
simulation and all of these records in view, so the records are no blind test; the two halves show how far the figures
scatter, not that they hold elsewhere.
"""

from __future__ import annotations

import argparse
import time

import numpy as np

from judging.scoring.documented import Judged, judged, one_keeper_less, summary
from judging.scoring.quilt_lives import PARTS, Habits, simulated
from seamlore.chronology.clues import clues
from seamlore.chronology.evidence import Evidence
from seamlore.chronology.gaps import gap
from seamlore.chronology.inference import infer, pose, quantile
from seamlore.chronology.order import Before
from seamlore.chronology.spans import Span
from seamlore.steps.date import date

HORIZON = (1700, 2026)
PLAIN_PARTS = ("fabric", "blocks", "setting", "backing", "quilting", "edge finish")
ORDER = (
    Before("fabric", "blocks"),
    Before("blocks", "setting"),
    Before("setting", "quilting"),
    Before("backing", "quilting"),
    Before("quilting", "edge finish"),
)


def draw_years(rng: np.random.Generator, order: tuple[Before, ...]) -> dict[str, int]:
    """Draw one year a part, uniform over all joint years that an order allows."""
    drawn: dict[str, int] = {}
    fixed: list[Evidence] = []
    # Part by part, each from its distribution given those drawn before.
    for part in PLAIN_PARTS:
        dates = infer(pose(HORIZON, fixed, order, parts=PLAIN_PARTS))
        p = dates.of(part)
        drawn[part] = int(rng.choice(dates.problem.years, p=p / p.sum()))
        fixed.append(Evidence(part, "drawn", Span(drawn[part], drawn[part]), 1.0))
    return drawn


def draw_clue(rng: np.random.Generator, part: str, year: int) -> Evidence:
    """Draw one clue on a part whose year is known."""
    first, last = HORIZON
    cuts = np.sort(rng.choice(np.arange(first + 1, last + 1), size=int(rng.integers(1, 40)), replace=False))
    trust = float(rng.choice([0.3, 0.5, 0.8, 0.9, 0.95, 1.0]))
    named = year if rng.random() < trust else int(rng.integers(first, last + 1))
    at = int(np.searchsorted(cuts, named, side="right"))
    low = first if at == 0 else int(cuts[at - 1])
    high = last if at == len(cuts) else int(cuts[at]) - 1
    return Evidence(part, "simulated", Span(low, high), trust)


def transforms(quilts: int, seed: int = 1) -> tuple[np.ndarray, np.ndarray]:
    """Give the randomized probability integral transform of one part of each simulated quilt, and 90 % coverage.

    One part a quilt, chosen at random, since the parts of one quilt are not independent of each other.
    """
    rng = np.random.default_rng(seed)
    values, held = np.empty(quilts), np.empty(quilts, dtype=bool)
    for index in range(quilts):
        order = tuple(before for before in ORDER if rng.random() < 0.8)
        years = draw_years(rng, order)
        evidence = [draw_clue(rng, part, year) for part, year in years.items() for _ in range(rng.integers(0, 3))]
        dates = infer(pose(HORIZON, evidence, order, parts=PLAIN_PARTS))
        part = PLAIN_PARTS[rng.integers(len(PLAIN_PARTS))]
        p, at = dates.of(part), years[part] - HORIZON[0]
        values[index] = p[:at].sum() + rng.random() * p[at]
        axis = dates.problem.years
        held[index] = quantile(axis, p, 0.05) <= years[part] <= quantile(axis, p, 0.95)
    return values, held


def speed() -> dict[str, float]:
    """Give the seconds of what has a limit: many tied parts, a gap, and as much evidence as is taken."""
    parts = [f"part {index}" for index in range(40)]
    evidence = [Evidence(parts[index % 40], "x", Span(1780 + index % 100, 1900), 0.8) for index in range(300)]
    order = [Before(parts[(index - 1) // 2], parts[index]) for index in range(1, 40)]
    start = time.perf_counter()
    dates = infer(pose(HORIZON, evidence, order))
    tied = time.perf_counter() - start
    start = time.perf_counter()
    gap(dates, "part 3", "part 39")
    pair = time.perf_counter() - start
    entry = '[[evidence]]\npart = "{}"\nsays = "x"\nwhen = "1800/1850"\ntrust = 0.8\n'
    start = time.perf_counter()
    date("".join(entry.format(f"part {index % 40}") for index in range(2000)), this_year=2026)
    pieces = time.perf_counter() - start
    start = time.perf_counter()
    date("".join(entry.format(f"part {index}") for index in range(500)), this_year=2026)
    return {"tied": tied, "pair": pair, "pieces": pieces, "parts": time.perf_counter() - start}


def sourced() -> tuple[int, int, int]:
    """How many figures the table of clues has, how many read in a printed or institutional source, how many named."""
    figures = [figure for clue in clues().values() for figure in clue.figures.values()]
    named = sum(figure.source.solid for figure in figures)
    return len(figures), sum(figure.solid for figure in figures), named


def line(what: str, wanted: str, reached: str) -> None:
    """Print one line of the table."""
    print(f"{what:70} {wanted:>12} {reached:>12}")


def main() -> None:
    """Print the table."""
    from scipy.stats import kstest

    words = argparse.ArgumentParser(description="Judge the dating on simulated and on documented quilts.")
    words.add_argument("--quilts", type=int, default=1000)
    words.add_argument("--plain", type=int, default=500, help="quilts for the plain model")
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--list", action="store_true", help="list every part of the documented quilts")
    given = words.parse_args()
    line("what", "wanted", "reached")
    values, held = transforms(given.plain, given.seed)
    line(
        f"plain: PIT of {given.plain} quilts, Kolmogorov-Smirnov p",
        ">= 0.01",
        f"{kstest(values, 'uniform').pvalue:.3f}",
    )
    line("plain: true year inside the range of 90 %", ">= 0.90", f"{held.mean():.3f}")
    found = simulated(given.quilts, Habits(), given.seed)
    for part in PARTS:
        line(f"{given.quilts} made-up quilts, {part}: inside 90 %", "0.87-0.96", f"{found[part]['held']:.3f}")
        line(f"   {part}: middle off, median of years", "<= 7", f"{found[part]['off']:.1f}")
        line(f"   {part}: range wide, median of years", "<= 45", f"{found[part]['wide']:.1f}")
    for name, habits in (
        ("halved", Habits(0.05, 0.15, 0.025)),
        ("doubled", Habits(0.2, 0.6, 0.1)),
    ):
        other = simulated(given.quilts // 2, habits, given.seed + 1)
        worst = min(PARTS, key=lambda part: other[part]["held"])
        line(
            f"shares of the simulation {name}: worst part ({worst}) inside 90 %",
            ">= 0.80",
            f"{other[worst]['held']:.3f}",
        )
    for more in (False, True):
        parts = list(judged(more=more))
        kind = "with all recorded features" if more else "with the clues named in the record"
        halves = (("", parts), (", even numbers", _numbered(parts, 0)), (", odd numbers", _numbered(parts, 1)))
        for name, half in halves:
            told = summary(half)
            line(f"documented, {kind}{name}: {told['parts']:.0f} parts inside", ">= 0.85", f"{told['held']:.3f}")
            line(f"   {told['short']:.0f} with a short fashion: middle off, median", "<= 12", f"{told['off']:.1f}")
            line("   range wide, median", "<= 60", f"{told['wide']:.1f}")
        least = one_keeper_less(parts)
        line(
            f"   worst with one of {least['keepers']:.0f} keepers left out: inside", ">= 0.85", f"{least['held']:.3f}"
        )
        line("   so: middle off, median", "<= 12", f"{least['off']:.1f}")
        line("   so: range wide, median", "<= 60", f"{least['wide']:.1f}")
        if given.list:
            for each in parts:
                print(
                    f"   {each.quilt} {each.part}: {each.known} -> {each.median} {each.most} {'' if each.held else 'OUT'}"
                )
    count, solid, named = sourced()
    line(
        f"clues {len(clues())}, figures {count}: read in print or an institution's page",
        ">= 0.60",
        f"{solid / count:.3f}",
    )
    line("   such a source named, read or from memory", "", f"{named / count:.3f}")
    took = speed()
    line("40 tied parts, 300 pieces of evidence, s", "< 1", f"{took['tied']:.2f}")
    line("a gap between two of them, s", "< 2", f"{took['pair']:.2f}")
    line("2,000 pieces of evidence, all answers, s", "< 2", f"{took['pieces']:.2f}")
    line("500 parts without an order, all answers, s", "< 2", f"{took['parts']:.2f}")


def _numbered(parts: list[Judged], rest: int) -> list[Judged]:
    return [each for each in parts if int(each.quilt[1:]) % 2 == rest]


if __name__ == "__main__":
    main()
