"""From a pitch to a grid along one axis: where the blocks begin, how many there are, how wide the sashing is.

How strongly each strip of the picture follows the mean block tells blocks from borders, and the seams of the folded
picture tell block from sashing.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.folding import BINS, fold
from seamlore.photo.steps_energy import Map

Floats = NDArray[np.float64]

# A strip follows the mean block when it shows more than this part of its structure.
FOLLOWS = 0.35


@dataclass(frozen=True)
class Start:
    """Where a block begins within a pitch, and the sashing before it; both in working pixels.

    `seam` is how far the seams there go right through the picture (0 usual, 1 strong); `strip` how much the sashing
    changes along its length against the usual, 1 when there is none.
    """

    at: float
    gap: float
    seam: float
    strip: float


@dataclass(frozen=True)
class Axis:
    """A grid along one axis, in working pixels, and what speaks for it.

    Attributes
    ----------
    first, pitch, gap, count
        Where the first block begins (below 0 when the edge cuts it), the distance from block to block, the sashing
        between two blocks, how many blocks.
    line, weakest, outer
        How far the seams between blocks go right through, on average and for the weakest fifth, and those round all
        blocks that do not lie on the quilt's own edge; 0 usual, 1 strong.
    share
        How much of all the seams that go right through lies on the grid, 0..1.
    follow, missed
        How well the counted blocks follow the mean block, on average; how much that follows was not counted.
    strip
        How much the sashing changes along its length against the usual; 1 when there is none.
    raw
        The part of the lines between blocks on which a seam is seen, 0..1.
    length
        Of the axis.
    """

    first: float
    pitch: float
    gap: float
    count: int
    line: float
    weakest: float
    outer: float
    share: float
    follow: float
    missed: float
    strip: float
    raw: float
    length: int

    @property
    def last(self) -> float:
        """Where the last block ends."""
        return self.first + self.count * self.pitch - self.gap

    @property
    def ends(self) -> tuple[float, float]:
        """How far inside the quilt's two edges the blocks begin, as parts of the pitch; negative when cut."""
        return self.first / self.pitch, (self.length - self.last) / self.pitch

    @property
    def spans(self) -> Floats:
        """Start and end of every block, shape (count, 2)."""
        starts = self.first + self.pitch * np.arange(self.count)
        return np.stack([starts, starts + self.pitch - self.gap], axis=1)

    @property
    def worth(self) -> float:
        """A first judgement, to keep the best of many."""
        left, right = self.ends
        flush = sum(abs(end) < 0.06 for end in (left, right))
        cut = sum(end < -0.06 for end in (left, right))
        return (
            0.8 * self.line
            + 0.25 * self.outer
            + 1.5 * self.follow
            - 1.5 * self.missed
            - 0.6 * min(abs(left - right), 1.0)
            + 0.25 * flush
            - 0.15 * cut
            + (0.9 * (0.55 - self.strip) + 0.3 if self.gap > 0 else 0.0)
        )


@dataclass(frozen=True, eq=False)
class AxisView:
    """What one axis shows of its seams, whatever the pitch; each of shape (along,).

    `profile` says how far a seam goes right through the picture at each place, against the usual: 0 usual, 1 strong;
    `wide` is its greatest value near each place; `plain` how much each place changes along its line against the
    usual: near 0 in sashing of one fabric; `raw` the part of the line on which a seam is seen, 0..1, the greatest near
    each place.
    """

    profile: Floats
    wide: Floats
    plain: Floats
    raw: Floats

    @cached_property
    def strong(self) -> Floats:
        """Give the profile without what is below the usual."""
        return np.maximum(self.profile, 0.0)


def view(energy: Map, lab: Map, keep: slice) -> AxisView:
    """Look along one axis.

    Parameters
    ----------
    energy : ndarray, shape (across, along)
        Step energy with the axis in question second.
    lab : ndarray, shape (across, along, 3)
        CIELAB in the same order.
    keep : slice
        What of the first axis lies inside the borders.

    Returns
    -------
    AxisView
    """
    mean = energy[keep].mean(axis=0).astype(np.float64)
    usual = float(np.median(mean))
    spread = float(np.percentile(mean, 90)) - usual + 1e-6
    profile = np.clip((mean - usual) / spread, -1, 2.5)
    wide = np.maximum.reduce([np.roll(profile, shift) for shift in (-2, -1, 0, 1, 2)])
    smooth = cv2.GaussianBlur(lab, (0, 0), 2)[keep][::2]
    middle = np.median(smooth, axis=0)
    change = np.median(np.sqrt(((smooth - middle) ** 2).sum(axis=2)), axis=0).astype(np.float64)
    raw = np.maximum.reduce([np.roll(mean, shift) for shift in (-1, 0, 1)])
    return AxisView(profile, wide, change / (np.median(change) + 1e-6), raw)


def _best_run(value: Floats) -> tuple[int, int]:
    """Find the run of blocks whose values add up to most: first and one past the last."""
    best, best_total = (0, 0), 0.0
    start, total = 0, 0.0
    for k, v in enumerate(value):
        if total <= 0:
            start, total = k, 0.0
        total += float(v)
        if total > best_total:
            best_total, best = total, (start, k + 1)
    return best


def starts(seen: AxisView, pitch: float, field: Floats, *, gaps: bool = True, most: int = 8) -> list[Start]:
    """List where blocks may begin within a pitch, with and without sashing.

    Parameters
    ----------
    seen : AxisView
        The seams along the axis.
    pitch : float
        Distance from block to block.
    field : ndarray, shape (along,)
        How much each place counts: 1 where there are blocks, next to 0 in borders.
    gaps : bool
        Whether sashing is looked for.
    most : int
        How many seams within a pitch are tried.

    Returns
    -------
    list of Start
    """
    seam = fold(seen.profile, pitch, field)
    changes = fold(seen.plain, pitch, field)
    changes = changes / (np.percentile(changes, 80) + 1e-6)
    tops = [k for k in range(BINS) if seam[k - 1] <= seam[k] >= seam[(k + 1) % BINS]]
    tops = sorted(tops, key=lambda k: -seam[k])[:most]
    places = {k: float((k + _vertex(seam, k) + 0.5) / BINS * pitch) for k in tops}
    bare = [Start(places[k], 0.0, float(seam[k]), 1.0) for k in tops]
    sashed: list[Start] = []
    for k in tops if gaps else ():
        for m in tops:
            bins = (m - k) % BINS
            if 2 <= bins <= 0.5 * BINS:
                strip = float(changes[(k + 1 + np.arange(max(1, bins - 1))) % BINS].mean())
                if strip < 0.8:
                    gap = (places[m] - places[k]) % pitch
                    sashed.append(Start(places[m], gap, float(seam[k] + seam[m]) / 2, strip))
    return bare + sorted(sashed, key=lambda start: start.strip - start.seam)[:most]


def _vertex(values: Floats, k: int) -> float:
    """Give where a parabola through a peak and its neighbours is highest, in bins from the peak."""
    before, here, after = values[k - 1], values[k], values[(k + 1) % len(values)]
    bend = before - 2 * here + after
    return float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5)) if bend < -1e-9 else 0.0


def balanced(length: float, pitch: float) -> list[Start]:
    """Give the two starts that leave as much at one end as at the other: a seam or a block at the quilt's middle."""
    return [Start((length / 2 + half * pitch) % pitch, 0.0, 0.0, 1.0) for half in (0.0, 0.5)]


def counted_up(follows: Floats) -> Floats:
    """Add up along an axis by how much each place follows the mean block more than it must, shape (along + 1,)."""
    return np.concatenate([[0.0], np.cumsum(follows - FOLLOWS)])


def run(seen: AxisView, total: Floats, pitch: float, start: Start) -> Axis | None:
    """Count the blocks of a grid along one axis: those that follow the mean block, and what the edge has cut of them.

    Parameters
    ----------
    seen : AxisView
        The seams along the axis.
    total : ndarray, shape (along + 1,)
        What `counted_up` gives of how far each place follows the mean block.
    pitch : float
        Distance from block to block.
    start : Start
        Where blocks begin within a pitch.

    Returns
    -------
    Axis or None
        None when no block is seen.
    """
    length = len(seen.profile)
    body = pitch - start.gap
    firsts = np.arange(start.at - np.ceil((start.at + body) / pitch) * pitch, length, pitch)
    low, high = np.clip(firsts, 0, length), np.clip(firsts + body, 0, length)
    places = np.arange(length + 1)
    gain = (np.interp(high, places, total) - np.interp(low, places, total)) / body
    visible = (high - low) / body
    # A sliver of a block at the edge cannot be told from a border.
    gain = np.where(visible > 0.35, gain - 0.08 * (visible < 0.97), -0.5)
    a, b = _best_run(gain)
    if b == a:
        return None
    first, count = float(firsts[a]), b - a
    last = first + count * pitch - start.gap
    between = first + pitch * np.arange(1, count)
    lines = np.concatenate([between, between - start.gap]) if start.gap > 0 else between
    at = np.minimum(np.maximum(np.round(lines).astype(int), 0), length - 1)
    inner = seen.wide[at]
    outer = [seen.wide[round(x)] for x in (first, last) if 3 < x < length - 3]
    strong = seen.strong
    inside = strong[max(0, round(first) + 3) : min(length, round(last) - 2)]
    near = np.zeros(length, bool)
    for shift in (-2, -1, 0, 1, 2):
        near[np.minimum(np.maximum(at + shift, 0), length - 1)] = True
    on_grid = float(strong[near].sum())
    weights = visible[a:b]
    followed = float(np.maximum(gain, 0).sum())
    return Axis(
        first=first,
        pitch=pitch,
        gap=start.gap,
        count=count,
        line=float(inner.mean()) if len(inner) else 0.0,
        weakest=float(np.sort(inner)[(len(inner) - 1) // 5]) if len(inner) else 0.0,
        outer=float(np.mean(outer)) if outer else 0.0,
        share=on_grid / (float(inside.sum()) + 1e-6),
        follow=float(gain[a:b].sum() / weights.sum()) + FOLLOWS,
        missed=(followed - float(np.maximum(gain[a:b], 0).sum())) / max(followed, 1e-6),
        strip=start.strip,
        raw=float(seen.raw[at].mean()) if len(lines) else 0.0,
        length=length,
    )


def lay(seen: AxisView, follows: Floats, pitch: float, *, most: int = 4) -> list[Axis]:
    """List the straight grids that one axis may have at a given pitch, the best first; `follows` says how far each
    place follows the mean block."""
    field = np.where(follows > FOLLOWS, 1.0, 1e-3)
    total = counted_up(follows)
    tries = [*starts(seen, pitch, field), *balanced(len(seen.profile), pitch)]
    found = [axis for start in tries if (axis := run(seen, total, pitch, start)) is not None]
    return [_closer(seen, total, axis) for axis in apart(sorted(found, key=lambda axis: -axis.worth), most)]


def _closer(seen: AxisView, total: Floats, axis: Axis) -> Axis:
    """Stretch and shift a grid by a little so that its lines lie on seams, and count again."""
    if axis.count < 2:
        return axis
    number = np.arange(axis.count + 1)
    starts_at = axis.first + axis.pitch * number
    lines = np.concatenate([starts_at[:-1], starts_at[1:] - axis.gap]) if axis.gap > 0 else starts_at
    number = np.concatenate([number[:-1], number[1:]]) if axis.gap > 0 else number
    # The pitch comes from the whole picture: what it can be off by shrinks with the count of blocks.
    reach = min(0.025, 0.12 / axis.count) * axis.pitch
    stretch, shift = np.meshgrid(np.linspace(-reach, reach, 9), np.arange(-0.06, 0.061, 0.015) * axis.pitch)
    middle = axis.count / 2
    at = lines + stretch[..., None] * (number - middle) + shift[..., None]
    told = np.interp(at, np.arange(len(seen.wide)), seen.profile, left=0.0, right=0.0).sum(axis=-1)
    told = told - 0.3 * (stretch / reach) ** 2 - 0.3 * (shift / (0.06 * axis.pitch)) ** 2
    best = np.unravel_index(int(told.argmax()), told.shape)
    pitch = axis.pitch + float(stretch[best])
    first = axis.first - float(stretch[best]) * middle + float(shift[best])
    moved = run(seen, total, pitch, Start(first % pitch, axis.gap, 0.0, axis.strip))
    return moved if moved is not None else axis


def apart(found: list[Axis], most: int) -> list[Axis]:
    """Keep the first grids that differ from those before them, of those with sashing two thirds as many."""
    kept: list[Axis] = []
    for axis in found:
        alike = [k for k in kept if (k.gap > 0) == (axis.gap > 0)]
        if len(alike) < (most if axis.gap <= 0 else -(-2 * most // 3)) and all(
            abs(axis.first - k.first) + abs(axis.last - k.last) > 0.08 * axis.pitch for k in alike
        ):
            kept.append(axis)
    return kept
