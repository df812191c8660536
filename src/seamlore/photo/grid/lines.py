"""Each line of a grid placed by itself: old quilts are not even."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# A line is looked for this far from its even place, as a part of the pitch; neighbors drift together, by about this.
REACH = 0.1
TOGETHER = 0.03
# Blocks that fill the quilt up to this, and lie aside as a whole by more than that, were taken for what is inside them.
FILLS, ASIDE = 0.04, 0.06
STEP_PX = 0.5
# A seam that goes right through this far, against the usual, is seen.
SEEN = 0.2


@dataclass(frozen=True)
class Axis:
    """An even grid along one axis, in working pixels.

    Attributes
    ----------
    first, pitch, gap, count
        Where the first block begins (below 0 when the edge cuts it), the distance from block to block, the sashing
        between two blocks, how many blocks.
    """

    first: float
    pitch: float
    gap: float
    count: int

    @property
    def last(self) -> float:
        """Where the last block ends."""
        return self.first + self.count * self.pitch - self.gap

    @property
    def spans(self) -> Floats:
        """Start and end of every block, shape (count, 2)."""
        starts = self.first + self.pitch * np.arange(self.count)
        return np.stack([starts, starts + self.pitch - self.gap], axis=1)


def through(energy: NDArray[Any], keep: slice) -> Floats:
    """Say how far a seam goes right through at each place along an axis, against the usual: 0 usual, 1 strong.

    Parameters
    ----------
    energy : ndarray, shape (across, along)
        Step energy with the axis in question second.
    keep : slice
        What of the first axis lies inside the borders.

    Returns
    -------
    ndarray, shape (along,)
        -1 to 2.5.
    """
    mean = energy[keep].mean(axis=0).astype(np.float64)
    usual = float(np.median(mean))
    spread = float(np.percentile(mean, 90)) - usual + 1e-6
    return np.asarray(np.clip((mean - usual) / spread, -1, 2.5))


@dataclass(frozen=True, eq=False)
class PlacedLines:
    """Lines of one axis, in working pixels.

    `spans` is the start and end of every block, shape (count, 2); `first`, `pitch` and `gap` the even grid that fits
    them best, `line_sigma` how far a line lies from it, `pitch_sigma`, `gap_sigma`, `end_sigma` how well it is known.
    """

    spans: Floats
    first: float
    pitch: float
    gap: float
    line_sigma: float
    pitch_sigma: float
    gap_sigma: float
    end_sigma: float

    @property
    def last(self) -> float:
        """Where the last block of the even grid ends."""
        return self.first + len(self.spans) * self.pitch - self.gap


def place(profile: Floats, axis: Axis, given: Sequence[float] = ()) -> PlacedLines:
    """Move each line of a grid to the seam that it stands for.

    Parameters
    ----------
    profile : ndarray, shape (along,)
        How far a seam goes right through at each place.
    axis : Axis
        The even grid.
    given : sequence of float
        Lines that she has placed herself; each stands for the nearest line of the grid and is not moved.

    Returns
    -------
    PlacedLines
    """
    length = len(profile)
    shared = axis.gap <= 0
    spans = axis.spans
    even = np.append(spans[:, 0], spans[-1, 1]) if shared else spans.ravel()
    reach = REACH * axis.pitch if shared else min(REACH * axis.pitch, 0.4 * axis.gap, 0.4 * (axis.pitch - axis.gap))
    moves = np.arange(-np.floor(reach / STEP_PX), np.floor(reach / STEP_PX) + 1) * STEP_PX
    at = even[:, None] + moves
    # Lines on the quilt's own edge or beyond it are not seen.
    seen = (at > 2.5) & (at < length - 2.5)
    score = np.where(seen, np.interp(at, np.arange(length), profile, left=0.0, right=0.0), 0.0)
    score = score - 0.5 * (moves / max(reach, 1e-6)) ** 2
    fixed = {int(np.abs(even - line).argmin()): float(line) for line in given}
    drift = ((moves[:, None] - moves[None, :]) / (TOGETHER * axis.pitch)) ** 2 * 0.1
    by = moves[_likeliest(score, drift)]
    fills = shared and max(abs(even[0]), abs(even[-1] - length)) < FILLS * axis.pitch
    inner = by[1:-1] if axis.count > 1 else by
    if fills and np.abs(np.median(inner) if axis.count > 1 else inner).max() > ASIDE * axis.pitch:
        # Blocks from edge to edge do not lie aside as a whole: that is a seam inside each, plainer than those between.
        score[[0, -1]] -= (moves / (TOGETHER * axis.pitch)) ** 2
        by = moves[_likeliest(score, drift)]
    lines = even + by
    lines = np.array([_peak(profile, x) for x in lines])
    for index, line in fixed.items():
        lines[index] = line
    # A line counts where a seam is seen; where fabric meets the same fabric there is none.
    shown = np.interp(lines, np.arange(length), profile, left=0.0, right=0.0) > SEEN
    inside = (lines > 2.5) & (lines < length - 2.5)
    told = (shown & inside) | np.isin(np.arange(len(lines)), list(fixed))
    return _even(lines, told, axis, shared)


def _likeliest(score: Floats, drift: Floats) -> NDArray[np.intp]:
    """Which move of each line is the likeliest, all in a row: `score` of each, shape (lines, moves), less their drift."""
    best, come_from = score[0], []
    for line in score[1:]:
        through = best[None, :] - drift
        come_from.append(through.argmax(axis=1))
        best = through.max(axis=1) + line
    chosen = [int(best.argmax())]
    for back in reversed(come_from):
        chosen.append(int(back[chosen[-1]]))
    return np.array(chosen[::-1])


def _peak(profile: Floats, x: float) -> float:
    """Move a line by less than a pixel onto the top of its peak."""
    k = round(x)
    if not 3 <= k < len(profile) - 3:
        return x
    k = k - 1 + int(profile[k - 1 : k + 2].argmax())
    bend = profile[k - 1] - 2 * profile[k] + profile[k + 1]
    if bend > -1e-9:
        return x
    return k + float(np.clip(0.5 * (profile[k - 1] - profile[k + 1]) / bend, -0.5, 0.5))


def _even(lines: Floats, told: NDArray[np.bool_], axis: Axis, shared: bool) -> PlacedLines:
    """Fit the even grid: each line lies at first + pitch * number, or one gap before it where a block ends."""
    index = np.arange(len(lines))
    number = index.astype(np.float64) if shared else (index + 1) // 2
    before = np.zeros(len(lines)) if shared else (index % 2).astype(np.float64)
    terms = np.stack([np.ones(len(lines)), number, -before], axis=1)[:, : 2 if shared else 3]
    prior = np.array([axis.first, axis.pitch, axis.gap])[: terms.shape[1]]
    # What was found from the whole picture counts like one poor line, so that two lines do not decide a pitch.
    soft = np.diag([0.15, 0.5, 0.15])[: terms.shape[1], : terms.shape[1]]
    weight = told.astype(np.float64)
    for _ in range(4):
        system = np.concatenate([terms * weight[:, None], soft])
        fit, *_ = np.linalg.lstsq(system, np.concatenate([lines * weight, soft @ prior]), rcond=None)
        miss = np.abs(lines - terms @ fit)
        usual = max(0.3, 1.48 * float(np.median(miss[told])) if told.any() else 1.0)
        weight = told / np.maximum(1.0, miss / (2 * usual))
    off = (lines - terms @ fit)[told]
    sigma = float(np.sqrt((off**2).mean() + 0.1**2)) if len(off) else 1.0
    spread = sigma**2 * np.linalg.inv(system.T @ system)
    # Where no seam is seen a line lies where the even grid has it.
    settled = np.where(told, lines, terms @ fit)
    spans = np.stack([settled[:-1], settled[1:]], axis=1) if shared else settled.reshape(-1, 2)
    # A line of the working picture is known to a few tenths of a pixel at best, however well all agree.
    floor = 0.1
    return PlacedLines(
        spans=spans,
        first=float(fit[0]),
        pitch=float(fit[1]),
        gap=0.0 if shared else float(fit[2]),
        line_sigma=sigma,
        pitch_sigma=float(np.sqrt(spread[1, 1])) + floor / max(1, axis.count),
        gap_sigma=0.0 if shared else float(np.sqrt(spread[2, 2])) + floor,
        end_sigma=float(np.sqrt(spread[0, 0])) + floor,
    )
