"""Quilts whose cause of trouble is known, measured with a tape that errs within its tolerance."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from seamlore.lengths import Length, inches, on_mark
from seamlore.study.adjustment import Adjustment, adjust
from seamlore.study.causes import Kind
from seamlore.study.measured import Measurement, What, taken
from seamlore.study.measurements import Measurements, measurements
from seamlore.study.next_measure import next_measure

SIXTEENTH = inches(Fraction(1, 16))
UNEVEN_IN = 1 / 16


def tape(true_in: float, tolerance: Length, rng: np.random.Generator) -> Length:
    """What the tape shows: off by half the tolerance, one standard deviation, read to a sixteenth."""
    read = true_in + rng.normal(0, tolerance.inches_float / 2)
    return on_mark(inches(Fraction(read)), "nearest", SIXTEENTH)


@dataclass(frozen=True)
class Truth:
    """A quilt as it lies there, and the measurements that its owner took."""

    kind: Kind | None
    block_in: float
    sashing_in: float
    size_in: dict[str, float]
    cut_in: float
    measured: Measurements

    def answer(self, asked: Measurement, rng: np.random.Generator) -> Measurement:
        """Measure what is asked for."""
        match asked.what:
            case What.SPAN:
                true = asked.blocks * self.block_in + asked.sashings * self.sashing_in
                true += rng.normal(0, UNEVEN_IN * asked.blocks**0.5)
            case What.OUTER:
                true = self.block_in - self.cut_in + (self.sashing_in if self.kind is Kind.OUTER_SASHING else 0)
                true += rng.normal(0, UNEVEN_IN) + (3.25 if self.kind is Kind.BORDER else 0)
            case What.BORDER:
                true = 3.25 if self.kind is Kind.BORDER else 0.0
            case What.OVERALL:
                true = self.size_in[asked.along]
            case _:
                raise AssertionError(f"nobody asks for {asked}")
        read = tape(true, asked.tolerance, rng) if true else inches(0)
        return replace(asked, value=read)


def quilt(kind: Kind | None, rng: np.random.Generator) -> Truth:
    """Measure a quilt of known cause both ways; None is a quilt whose sums come out."""
    counts = {"across": int(rng.integers(4, 10)), "down": int(rng.integers(4, 10))}
    block = float(rng.choice([6, 7, 7.5, 8, 9, 10, 10.5, 12])) + rng.normal(0, 0.03)
    sashing = float(rng.choice([1.5, 2, 2.5, 3])) + rng.normal(0, 0.03)
    if kind not in (Kind.SASHING_UNFINISHED, Kind.OUTER_SASHING) and rng.uniform() < 0.3:
        sashing = 0.0
    said_block, said_sashing, said = block, sashing, dict(counts)
    cut, seam, draw = 0.0, 0.0, 0.0
    ends = 1 if kind is Kind.OUTER_SASHING else -1
    if kind is Kind.CUT:
        cut = rng.uniform(0.75, block / 3)
    if kind is Kind.UNFINISHED:
        said_block += 0.5
    if kind is Kind.SASHING_UNFINISHED:
        said_sashing += 0.5
    if kind is Kind.MISCOUNT:
        said["across"] += int(rng.choice([-1, 1]))
    if kind is Kind.SHRUNK:
        draw = rng.uniform(0.03, 0.05)
    if kind is Kind.WIDE_SEAMS:
        seam = rng.uniform(1 / 16, 1 / 8)
    block, sashing = (max(each - 2 * seam, 0.0) * (1 - draw) for each in (block, sashing))
    sizes = {
        axis: n * block + (n + ends) * sashing - 2 * cut + (6.5 if kind is Kind.BORDER else 0)
        for axis, n in counts.items()
    }
    sizes = {axis: size + rng.normal(0, UNEVEN_IN * counts[axis] ** 0.5) for axis, size in sizes.items()}
    slip = float(rng.choice([-5, -4, -3, 3, 4, 5])) if kind is Kind.FIGURE else 0.0
    quarter, eighth = inches(Fraction(1, 4)), inches(Fraction(1, 8))
    found = measurements(
        [
            taken(What.OVERALL, tape(sizes["across"] + slip, quarter, rng), "across"),
            taken(What.OVERALL, tape(sizes["down"], quarter, rng), "down"),
            taken(What.BLOCK, tape(said_block, eighth, rng)),
            *([taken(What.SASHING, tape(said_sashing, eighth, rng))] if said_sashing else []),
        ],
        columns=said["across"],
        rows=said["down"],
    )
    return Truth(kind, block, sashing, sizes, cut, found)


def rank(found: Adjustment, kind: Kind | None) -> int:
    """At which place the true cause stands, counting from 0; accounts of the same causes count once."""
    order = list(dict.fromkeys(frozenset(cause.kind for cause in each.causes) for each in found.explanations))
    want = frozenset() if kind is None else frozenset([kind])
    return order.index(want) if want in order else len(order)


def follow(truth: Truth, times: int, rng: np.random.Generator) -> Adjustment:
    """Measure what is asked for, a few times over."""
    measured = truth.measured
    found = adjust(measured)
    for _ in range(times):
        asked = next_measure(found)
        if asked is None:
            break
        measured = replace(measured, lengths=(*measured.lengths, truth.answer(asked.measure, rng)))
        found = adjust(measured)
    return found
