"""Every grid that a picture may have, and what speaks for each of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seamlore.photo.extents import Axis, AxisView, lay, view
from seamlore.photo.folding import Folded, features, follow, plain_margin
from seamlore.photo.onpoint import Slanted, lay_on_point, slant
from seamlore.photo.repeats import Likeness, Pitch, compare, mean_likeness, pitches, weigh, worth
from seamlore.photo.steps_energy import Evidence


@dataclass(frozen=True, eq=False)
class Candidate:
    """One grid that the picture may have; `told` is what speaks for it, by name."""

    on_point: bool
    chess: bool
    pitch: Pitch
    across: Axis
    down: Axis
    told: dict[str, float]


@dataclass(frozen=True, eq=False)
class Sight:
    """What all candidates are judged on."""

    evidence: Evidence
    inside: tuple[int, int, int, int]
    likeness: Likeness
    views: tuple[AxisView, AxisView]
    slanted: Slanted


def look(evidence: Evidence) -> Sight:
    """Prepare a picture for the search."""
    inside = plain_margin(evidence)
    left, top, right, bottom = inside
    across = view(evidence.across, evidence.lab, slice(top, bottom))
    turned = np.ascontiguousarray(evidence.lab.transpose(1, 0, 2))
    down = view(np.ascontiguousarray(evidence.down.T), turned, slice(left, right))
    return Sight(evidence, inside, compare(evidence, inside), (across, down), slant(evidence))


def _repeat_told(likeness: Likeness, pitch: Pitch, chess: bool, best: float) -> dict[str, float]:
    """Say how the picture repeats at a pitch, against finer and coarser ones."""
    a, d = pitch.across, pitch.down
    here = pitch.alternating if chess else pitch.likeness
    thirds = max(mean_likeness(likeness, a, d, offset) for offset in ((1 / 3, 0.0), (0.0, 1 / 3), (1 / 3, 1 / 3)))
    coarse = max(mean_likeness(likeness, a * m, d * n) for m, n in ((2, 1), (1, 2), (2, 2)))
    return {
        "like": here,
        "like best": here / best,
        "cloth": mean_likeness(likeness, a, d, chess=chess, table=likeness.cloth),
        "seams": mean_likeness(likeness, a, d, chess=chess, table=likeness.seams),
        "half across": (here - pitch.halved[0]) / best,
        "half down": (here - pitch.halved[1]) / best,
        "half both": (here - pitch.halved[2]) / best,
        "thirds": (here - thirds) / best,
        "coarser": (coarse - here) / best,
        "other kind": (pitch.likeness - here) / best,
    }


def _axes_told(across: Axis, down: Axis) -> dict[str, float]:
    """Say how well lines, blocks and ends fit."""
    both = (across, down)
    ends = [end for axis in both for end in axis.ends]
    gaps = [axis.gap > 0 for axis in both]
    told: dict[str, float] = {}
    for name in ("line", "weakest", "outer", "share", "follow", "missed", "strip"):
        values = [float(getattr(axis, name)) for axis in both]
        told[name] = sum(values) / 2
        told[name + " least"] = min(values)
    return told | {
        "balance": sum(min(1.0, abs(axis.ends[0] - axis.ends[1])) for axis in both),
        "flush": float(sum(abs(end) < 0.04 for end in ends)),
        "cut": float(sum(end < -0.04 for end in ends)),
        "cut deep": float(sum(end < -0.4 for end in ends)),
        "wide": float(sum(end > 1.0 for end in ends)),
        "ends alike": float(np.ptp([end * axis.pitch for axis in both for end in axis.ends]))
        / float(np.sqrt(across.pitch * down.pitch)),
        "sashed": float(all(gaps)),
        "gaps alike": abs(across.gap - down.gap) / float(np.sqrt(across.pitch * down.pitch)),
        "square": abs(float(np.log((across.pitch - across.gap) / (down.pitch - down.gap)))),
        "even": abs(float(np.log(across.pitch / down.pitch))),
        "number": float(np.log(across.count * down.count)),
        "few": float(min(across.count, down.count) < 2) + float(min(across.count, down.count) < 3),
    }


def candidates(sight: Sight, *, most_pitches: int = 14) -> list[Candidate]:
    """List the grids that a picture may have.

    Parameters
    ----------
    sight : Sight
        The picture.
    most_pitches : int
        How many pitches are tried.

    Returns
    -------
    list of Candidate
        In no order; empty when nothing repeats.
    """
    likeness = sight.likeness
    tried = pitches(likeness, most=most_pitches)
    if not tried:
        return []
    best = max(max(worth(pitch) for pitch in tried), 1e-3)
    shown = features(sight.evidence)
    found: list[Candidate] = []
    for pitch in tried:
        chess = pitch.alternating > 1.25 * pitch.likeness
        folded = follow(shown, pitch, sight.inside, sight.evidence.size, chess=chess)
        found += _straight(sight, pitch, chess, folded, _repeat_told(likeness, pitch, chess, best))
    for pitch in _diagonals(likeness, tried):
        chess = pitch.alternating > 1.25 * pitch.likeness
        folded = follow(shown, pitch, sight.inside, sight.evidence.size, chess=chess)
        found += _on_point(sight, pitch, chess, folded, _repeat_told(likeness, pitch, chess, best))
    return found


def _diagonals(likeness: Likeness, tried: list[Pitch]) -> list[Pitch]:
    """List the pitches that may be diagonals of blocks on point: as long across as down.

    Blocks that alternate straight may as well be blocks on point of twice the pitch across; and of two families of
    blocks on point, one may differ from the other along one axis only.
    """
    found: list[Pitch] = []
    for pitch in tried:
        chess = pitch.alternating > 1.25 * pitch.likeness
        for times in ((1, 1), (2, 2)) if chess else ((1, 1), (2, 1), (1, 2)):
            across, down = pitch.across * times[0], pitch.down * times[1]
            known = any(abs(p.across / across - 1) < 0.03 and abs(p.down / down - 1) < 0.03 for p in found)
            if abs(np.log(across / down)) < 0.2 and not known:
                found.append(pitch if times == (1, 1) else weigh(likeness, across, down))
    return found


def _explained(folded: Folded, across: Axis, down: Axis, chess: bool) -> float:
    """Take from what the mean block explains what it would explain of anything, having been made from it."""
    stacked = max(across.count * down.count / (2 if chess else 1), 1.01)
    return 1 - (1 - folded.explained) * stacked / (stacked - 1) if stacked > 1.5 else -1.0


def _symmetry_told(folded: Folded, across: Axis, down: Axis, chess: bool) -> dict[str, float]:
    """Say how symmetrical the mean block is about the middle that a grid gives it."""
    times = 2 if chess else 1
    x = (across.first + (across.pitch - across.gap) / 2) / (across.pitch * times)
    y = (down.first + (down.pitch - down.gap) / 2) / (down.pitch * times)
    mirror = folded.mirrored(x, y)
    return {
        "mirror": max(mirror),
        "mirror least": min(mirror),
        "half turn": folded.half_turned(x, y),
    }


def _straight(sight: Sight, pitch: Pitch, chess: bool, folded: Folded, told: dict[str, float]) -> list[Candidate]:
    xs = lay(sight.views[0], folded.across, pitch.across, most=3)
    ys = lay(sight.views[1], folded.down, pitch.down, most=3)
    return [
        Candidate(
            False,
            chess,
            pitch,
            x,
            y,
            told
            | _axes_told(x, y)
            | _symmetry_told(folded, x, y, chess)
            | {
                "explained": _explained(folded, x, y, chess),
                "on point": 0.0,
                "slanted": 0.0,
                "chess": float(chess),
                "raw": (x.raw + y.raw) / 2,
                "raw least": min(x.raw, y.raw),
            },
        )
        for x in xs
        for y in ys
        if (x.gap > 0) == (y.gap > 0)
    ]


def _on_point(sight: Sight, pitch: Pitch, chess: bool, folded: Folded, told: dict[str, float]) -> list[Candidate]:
    follows = (folded.across, folded.down)
    placed = lay_on_point(sight.slanted, sight.views, follows, (pitch.across, pitch.down), sight.inside)
    return [
        Candidate(
            True,
            chess,
            pitch,
            each.across,
            each.down,
            told
            | _axes_told(each.across, each.down)
            | _symmetry_told(folded, each.across, each.down, chess)
            | {
                "explained": _explained(folded, each.across, each.down, chess),
                "on point": 1.0,
                "slanted": each.seam,
                "chess": float(chess),
                "raw": each.raw,
                "raw least": each.raw,
            },
        )
        for each in placed
    ]
