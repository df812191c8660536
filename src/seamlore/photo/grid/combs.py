"""Even grids along one axis that what the network sees there allows.

A comb is so many blocks of one size with one gap between them. Combs are laid through two strips in which blocks seem
to begin, with every count between them, and judged by what is seen at all of their lines, and by what is seen
elsewhere. Lengths are parts of the axis, 0..1.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.grid.network import STRIPS, Strips

Floats = NDArray[np.float64]

# A line may be off its even place by this part of the pitch, and by a strip anyway: nobody sews quite evenly.
_UNEVEN = 0.07
_MOST_STRIPS = 8
_LEAST = 0.004  # nothing is surer than this not to be there
_PEAK = 0.06  # below this nothing is taken to begin or end
_ANCHORS = 7
_NARROWEST = 3.4 / STRIPS
_KEPT = 60
_WIDEST_GAP = 0.6  # of the pitch
# Larger blocks are made of this many of the first combs, so many times as large, so many kept of each count.
_PARTED = 2
_TIMES = 6
_OF_EACH = 2
# Of the pitch: by how much blocks that fill the quilt may be longer or shorter, and from how far to how far aside they are
# taken to lie by mistake.
_FILLS, _SLID = 0.04, (0.06, 0.2)
_FIELD = 8.0  # lines that the agreement of the field of blocks is worth


@dataclass(frozen=True)
class Comb:
    """Blocks of one size along one axis.

    Attributes
    ----------
    first, pitch, gap, count
        Where the first block begins (below 0 when the edge cuts it), from block to block, between two blocks, how many.
    hit
        Sum over all lines of the log probability that a block begins or ends there.
    missed
        Sum over what else is seen to begin or end of the log probability that nothing does.
    least
        Probability at the weakest tenth of the lines.
    field
        Mean over the axis of how well the field of blocks agrees, 0..1.
    uneven
        How far the lines that are seen lie from their even places, root mean square, in parts of the pitch.
    """

    first: float
    pitch: float
    gap: float
    count: int
    hit: float
    missed: float
    least: float
    field: float
    uneven: float

    @property
    def last(self) -> float:
        """Where the last block ends."""
        return self.first + self.count * self.pitch - self.gap


def not_slid(comb: Comb) -> Comb:
    """Give a grid that begins at the edge for one that is as long as the quilt and lies a little aside as a whole.

    Whole blocks that fill a quilt from edge to edge are not cut off at one edge by what is left over at the other: so it
    looks where a seam inside every block is plainer to see than those between blocks.

    Examples
    --------
    >>> slid = Comb(0.024, 0.2, 0.0, 5, 0.0, 0.0, 1.0, 1.0, 0.0)
    >>> not_slid(slid).first, not_slid(replace(slid, pitch=0.19)).first
    (0.0, 0.024)
    """
    fills = abs(comb.count * comb.pitch - 1) < _FILLS * comb.pitch and comb.gap == 0
    slid = _SLID[0] * comb.pitch < abs(comb.first) < _SLID[1] * comb.pitch
    return replace(comb, first=0.0, pitch=1 / comb.count) if fills and slid else comb


def peaks(values: Floats, least: float = _PEAK) -> tuple[Floats, Floats]:
    """Find where something seems to be: places in parts of the axis, and how likely.

    Examples
    --------
    >>> values = np.zeros(256)
    >>> values[[40, 41, 200]] = 0.5, 0.5, 0.9
    >>> [part.round(3).tolist() for part in peaks(values)]
    [[0.16, 0.783], [0.5, 0.9]]
    """
    padded = np.concatenate([[0.0], values, [0.0]])
    top = (values >= least) & (values > padded[:-2]) & (values >= padded[2:])
    at = np.flatnonzero(top)
    before, here, after = padded[at], padded[at + 1], padded[at + 2]
    bend = before - 2 * here + after
    with np.errstate(divide="ignore", invalid="ignore"):
        off = np.where(bend < -1e-9, 0.5 * (before - after) / bend, 0.0)
    return (at + 0.5 + np.clip(off, -0.5, 0.5)) / len(values), here


def _wide(values: Floats) -> Floats:
    """Give the greatest value within 0, 1, 2 ... strips of each strip, as logs; shape (_MOST_STRIPS + 1, strips)."""
    near = [values]
    for _ in range(_MOST_STRIPS):
        padded = np.pad(near[-1], 1, mode="edge")
        near.append(np.maximum.reduce([padded[:-2], padded[1:-1], padded[2:]]))
    return np.log(np.clip(np.stack(near), _LEAST, 1.0))


def _reach(pitch: Floats) -> NDArray[np.intp]:
    """Give within how many strips of its even place a line is looked for."""
    return np.clip(np.rint(_UNEVEN * pitch * STRIPS), 1, _MOST_STRIPS).astype(np.intp)


def _at(logs: Floats, places: NDArray[np.floating[Any]], pitch: Floats) -> Floats:
    """Look up strips; places beyond the edges belong to the edge. `pitch` has the shape of `places`, or stretches to it."""
    at = np.clip(places * STRIPS - 0.5, 0, STRIPS - 1)
    low = np.minimum(at.astype(np.intp), STRIPS - 2)
    part = at - low
    reach = _reach(pitch)
    return np.asarray((1 - part) * logs[reach, low] + part * logs[reach, low + 1])


@dataclass(frozen=True, eq=False)
class _Seen:
    """What is looked up again and again: places and likelihood of peaks, and the logs of what is near each strip."""

    begin_peaks: tuple[Floats, Floats]
    end_peaks: tuple[Floats, Floats]
    begins: Floats
    ends: Floats
    field: Floats


def combs(seen: Strips, *, most: int = 10, count: int | None = None) -> list[Comb]:
    """List the combs that one axis may have, the best first; then those of larger blocks that these may be parts of.

    Parameters
    ----------
    seen : Strips
        What is seen along the axis.
    most : int
        How many are kept, not counting those of larger blocks.
    count : int, optional
        How many blocks there are, when it is known: only such combs are given, and always one.

    Returns
    -------
    list of Comb

    Examples
    --------
    >>> begins = np.zeros(256)
    >>> begins[[0, 64, 128, 192]] = 0.9
    >>> seen = Strips(begins, np.roll(begins, -1), np.ones(256))
    >>> best = combs(seen)[0]
    >>> best.count, round(best.pitch, 2), best.gap
    (4, 0.25, 0.0)
    >>> nothing = Strips(np.zeros(256), np.zeros(256), np.zeros(256))
    >>> combs(nothing), [comb.count for comb in combs(nothing, most=1, count=3)]
    ([], [3])
    """
    known = _Seen(peaks(seen.begins), peaks(seen.ends), _wide(seen.begins), _wide(seen.ends), seen.field)
    tries = _anchored(known, count)
    if count is not None:
        whole = np.flatnonzero(seen.field > 0.5)
        low, high = (whole[0] / STRIPS, (whole[-1] + 1) / STRIPS) if len(whole) else (0.0, 1.0)
        tries += [(a, (b - a) / count, count) for a, b in dict.fromkeys([(0.0, 1.0), (float(low), float(high))])]
    laid = [
        (first, pitch, gap, number)
        for start, pitch, n in tries
        for gap in _gaps(known.ends, start, pitch, n)
        for first, number in _extended(start, pitch, gap, n, count)
    ]
    kept = _best(known, laid, most=most)
    return kept + _coarser(known, kept, count)


def _coarser(seen: _Seen, kept: list[Comb], count: int | None) -> list[Comb]:
    """Give combs of blocks twice to six times as large as those found: what is seen may be the parts of a block."""
    laid = [
        (first, pitch, gap, number)
        for comb in kept[:_PARTED]
        for times in range(2, _TIMES + 1)
        for start in (comb.first + k * comb.pitch for k in range(times))
        if (n := round((comb.last + comb.gap - start) / (times * comb.pitch) + 0.3)) >= 2
        for pitch in [times * comb.pitch]
        for gap in _gaps(seen.ends, start, pitch, n)
        for first, number in _extended(start, pitch, gap, n, count)
    ]
    return _best(seen, laid, but=kept, of_each=_OF_EACH)


def _best(
    seen: _Seen,
    laid: list[tuple[float, float, float, int]],
    *,
    but: Sequence[Comb] = (),
    most: int | None = None,
    of_each: int | None = None,
) -> list[Comb]:
    """Settle and judge combs, and give the best first, none of them alike or like those in `but`: so many, and so many of
    each count; all when not told."""
    if not laid:
        return []
    judged = _judged(seen, np.array(laid))
    first, pitch, gap, count = judged[:4]
    last = first + count * pitch - gap

    def unlike(comb: Comb) -> NDArray[np.bool_]:
        near = 0.12 * np.minimum(pitch, comb.pitch)
        ends = np.maximum(np.abs(first - comb.first), np.abs(last - comb.last))
        return np.asarray((count != comb.count) | (np.maximum(ends, np.abs(gap - comb.gap)) >= near))

    left = np.ones(len(first), dtype=bool)
    for comb in but:
        left &= unlike(comb)
    best: list[Comb] = []
    while left.any() and len(best) != most:
        a, b, c, number, *rest = judged[:, left.argmax()].tolist()
        comb = Comb(a, b, c, int(number), *rest)
        best.append(comb)
        left &= unlike(comb)
        if sum(other.count == comb.count for other in best) == of_each:
            left &= count != comb.count
    return best


def _anchored(seen: _Seen, count: int | None) -> list[tuple[float, float, int]]:
    """List first begin, pitch and count of combs through two anchors each, those first on whose lines blocks begin."""
    at, _ = seen.begin_peaks
    at = at if len(at) and at[0] < 1.5 / STRIPS else np.concatenate([[0.0], at])
    firsts, lasts = at[:_ANCHORS], at[-_ANCHORS:]
    a, b, m = (each.ravel() for each in np.meshgrid(firsts, lasts, np.arange(1.0, 64), indexing="ij"))
    pitch = (b - a) / m
    # The last block may reach beyond the edge, but most of one must show.
    good = (pitch > _NARROWEST) & (a + pitch * m < 1 - 0.04 * pitch)
    if count is not None:
        good &= (m + 1 == count) | (m + 2 == count)
    a, pitch, m = a[good], pitch[good], m[good]
    if not len(a):
        return []
    number = np.arange(64.0)
    lines: Floats = a[:, None] + pitch[:, None] * number
    use = number <= m[:, None]
    told = np.where(use, _at(seen.begins, lines, pitch[:, None]), 0.0).sum(axis=1)
    # What is passed over counts too: a coarse comb meets few lines, all good.
    places, values = seen.begin_peaks
    if len(places):
        away = np.abs((places[None, :] - a[:, None]) / pitch[:, None])
        off = np.abs(away - np.round(away)) * pitch[:, None]
        inside = (places > a[:, None] - 0.5 * pitch[:, None]) & (places < (a + (m + 0.5) * pitch)[:, None])
        lost = np.log(np.clip(1 - values, _LEAST, 1))[None, :]
        told = told + np.where(inside & (off > _slack(pitch)[:, None]), lost, 0.0).sum(axis=1)
    order = np.argsort(-told, kind="stable")
    a, pitch, m = a[order], pitch[order], m[order]
    left = np.ones(len(a), dtype=bool)
    picked: list[tuple[float, float, int]] = []
    while left.any() and len(picked) < _KEPT:
        k = int(left.argmax())
        picked.append((float(a[k]), float(pitch[k]), int(m[k]) + 1))
        left &= (m != m[k]) | (np.abs(a[k] - a) >= 0.1 * pitch) | (np.abs(pitch[k] / pitch - 1) >= 0.03)
    return picked


def _slack(pitch: Floats) -> Floats:
    return np.maximum(1.6 / STRIPS, _UNEVEN * pitch)


def _gaps(ends: Floats, start: float, pitch: float, count: int) -> list[float]:
    """Give no gap, and the two gaps between blocks where blocks most likely end."""
    nexts: Floats = start + pitch * np.arange(1.0, count + 1)
    tries: Floats = np.arange(0.0, _WIDEST_GAP * pitch, 0.5 / STRIPS)
    told = _at(ends, nexts[None, : max(1, count - 1)] - tries[:, None], np.array(pitch)).mean(axis=1)
    inner = np.concatenate([[-np.inf], told, [-np.inf]])
    top = np.flatnonzero((told >= inner[:-2]) & (told > inner[2:]) & (tries > 1.2 / STRIPS))
    best = top[np.argsort(-told[top], kind="stable")][:2]
    return [0.0, *(float(tries[k]) for k in best)]


def _extended(start: float, pitch: float, gap: float, n: int, count: int | None) -> list[tuple[float, int]]:
    """Let the edge cut one more block at the beginning, or the last one be a border after all."""
    options = [(start, n)]
    if 0.03 * pitch + gap < start < 1.03 * pitch:
        options.append((start - pitch, n + 1))
    if n > 1:
        options += [(first, number - 1) for first, number in options]
    return [(first, number) for first, number in options if count is None or number == count]


def _judged(seen: _Seen, laid: Floats) -> Floats:
    """Settle combs and judge them, all at once; `laid` is first, pitch, gap and count of each, shape (combs, 4).

    Gives what `Comb` says of each, shape (9, combs), the likeliest first.
    """
    first, pitch, gap, uneven = _settled(seen, laid)
    count = laid[:, 3].astype(np.intp)
    number = np.arange(float(count.max()))
    use = number < count[:, None]
    starts: Floats = first[:, None] + pitch[:, None] * number
    stops = starts + (pitch - gap)[:, None]
    wide = pitch[:, None]
    told = np.concatenate([_at(seen.begins, starts, wide), _at(seen.ends, stops, wide)], axis=1)
    both = np.concatenate([use, use], axis=1)
    weakest = np.sort(np.where(both, told, np.inf), axis=1)[np.arange(len(laid)), 2 * count // 10]
    missed = np.zeros(len(laid))
    for (places, likely), lines in ((seen.begin_peaks, starts), (seen.end_peaks, stops)):
        if len(places):
            on = np.where(use, np.clip(lines, 0.5 / STRIPS, 1 - 0.5 / STRIPS), np.inf)
            off = np.abs(places - on[..., None]).min(axis=1)
            missed += np.where(off > _slack(pitch)[:, None], np.log(np.clip(1 - likely, _LEAST, 1)), 0.0).sum(axis=1)
    middle = (np.arange(STRIPS) + 0.5) / STRIPS
    last = first + pitch * count - gap
    inside = (middle > first[:, None]) & (middle < last[:, None])
    agree = np.where(inside, seen.field, 1 - seen.field).mean(axis=1)
    hit = np.where(both, told, 0.0).sum(axis=1)
    judged = np.stack([first, pitch, gap, count, hit, missed, np.exp(weakest), agree, uneven])
    # The log likelihood of what is seen, which is a first judgement.
    return np.asarray(judged[:, np.argsort(-(hit + missed + _FIELD * agree), kind="stable")])


def _settled(seen: _Seen, laid: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Fit first, pitch and gap of every comb to what is seen near its lines; say also how far that lies from them."""
    first, pitch, gap, count = laid.T
    number = np.arange(float(count.max()))
    use = number < count[:, None]
    slack = _slack(pitch)[:, None]
    # What was laid counts like one line that is hardly seen.
    soft = np.array([0.1, 0.3, 0.1]) ** 2
    normal = np.tile(np.diag(soft), (len(laid), 1, 1))
    right = soft * laid[:, :3]
    seen_at = []
    for (places, likely), ended in ((seen.begin_peaks, 0.0), (seen.end_peaks, 1.0)):
        if not len(places):
            continue
        lines = first[:, None] + pitch[:, None] * (number + ended) - gap[:, None] * ended
        away = np.abs(places - lines[..., None])
        nearest = away.argmin(axis=2)
        # What lies on the edge may be a block that is cut there.
        good = use & (away.min(axis=2) < slack) & (lines > 1 / STRIPS) & (lines < 1 - 1 / STRIPS)
        weight = np.where(good, likely[nearest], 0.0)
        terms = np.stack([np.ones_like(number), number + ended, np.full_like(number, -ended)], axis=1)
        normal += np.einsum("cn,ni,nj->cij", weight**2, terms, terms)
        right = right + (weight**2 * places[nearest]) @ terms
        seen_at.append((terms, places[nearest], weight))
    bare = gap == 0
    normal[bare, 2, :] = normal[bare, :, 2] = 0
    normal[bare, 2, 2], right[bare, 2] = 1, 0
    fit = np.linalg.solve(normal, right[..., None])[..., 0]
    told = sum((weight > 0).sum(axis=1) for _, _, weight in seen_at)
    few = np.asarray(told < 2) | np.zeros(len(laid), dtype=bool)
    fit = np.where(few[:, None], laid[:, :3], fit)
    whole, square = np.full(len(laid), 1e-9), np.zeros(len(laid))
    for terms, places_at, weight in seen_at:
        whole = whole + weight.sum(axis=1)
        square = square + (weight * (places_at - fit @ terms.T) ** 2).sum(axis=1)
    uneven = np.where(few, 0.0, np.sqrt(square / whole) / fit[:, 1])
    gap = np.where(few, gap, np.clip(fit[:, 2], 0, _WIDEST_GAP * fit[:, 1]))
    return fit[:, 0], fit[:, 1], gap, uneven
