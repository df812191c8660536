"""How a picture repeats under shifts: where a block stands again, light on light and seam on seam.

Light and dark places repeat where blocks are alike; seams repeat even where every block is of other fabrics. Both are
asked for at once. The mean likeness over all the shifts of a grid is the part of the picture that one stacked block
explains, so it judges a grid without making the stack.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.steps_energy import Evidence, Map

Floats = NDArray[np.float64]

# Likeness is taken at half the working size: blocks of a 30 x 30 quilt are still 10 px.
HALF = 2
# Light and dark, colour; seams by direction, seams in any direction.
WEIGHTS = (0.5, 0.5, 1.0, 0.5)


@dataclass(frozen=True, eq=False)
class Likeness:
    """Likeness -1..1 of the picture to itself under every shift.

    `table` has no shift in its middle; `cloth` is its part from light, dark and colour, `seams` that from seams.
    `size` is the width and height compared, in the table's own pixels, each `HALF` working pixels.
    """

    table: Map
    cloth: Map
    seams: Map
    size: tuple[int, int]

    def at(self, across: Floats, down: Floats, table: Map | None = None) -> Floats:
        """Look up the likeness at shifts in working pixels, both of the same shape."""
        looked = self.table if table is None else table
        height, width = looked.shape
        x = (across / HALF + width // 2).astype(np.float32).reshape(1, -1)
        y = (down / HALF + height // 2).astype(np.float32).reshape(1, -1)
        return cv2.remap(looked, x, y, cv2.INTER_LINEAR, borderValue=0).astype(np.float64).reshape(across.shape)


@dataclass(frozen=True)
class Pitch:
    """One grid pitch that the picture may have.

    Attributes
    ----------
    across, down
        Distance from block to block, in working pixels.
    likeness
        Mean likeness over all shifts of the grid.
    alternating
        Mean likeness over the shifts that keep to the same colour of a chessboard.
    halved
        Likeness half-way across, half-way down, and half-way both: what a finer grid would rest on.
    """

    across: float
    down: float
    likeness: float
    alternating: float
    halved: tuple[float, float, float]


def _without_drift(channel: Map, blur: float) -> Map:
    fine = cv2.GaussianBlur(channel, (0, 0), blur)
    return fine - drift(fine)


def drift(values: Map) -> Map:
    """Give the slow change of a picture, from light and large areas, over about a seventh of its size."""
    height, width = values.shape[:2]
    small = cv2.resize(values, (max(8, width // 8), max(8, height // 8)), interpolation=cv2.INTER_AREA)
    slow = cv2.GaussianBlur(small, (0, 0), max(small.shape[:2]) / 7)
    return cv2.resize(slow, (width, height), interpolation=cv2.INTER_LINEAR)


def channels(evidence: Evidence) -> list[list[Map]]:
    """Make what is compared: lightness, colour, seams by direction, seams in any direction; each without slow drift."""
    lab = [np.ascontiguousarray(evidence.lab[..., k]) for k in range(3)]
    both = np.hypot(evidence.across, evidence.down)
    groups = [[lab[0]], lab[1:], [evidence.across, evidence.down], [both]]
    return [[_without_drift(channel, 1.5) for channel in group] for group in groups]


def _autocorrelate(group: list[Map], inside: Map) -> Map:
    height, width = inside.shape
    shape = (cv2.getOptimalDFTSize(2 * height), cv2.getOptimalDFTSize(2 * width))
    mask = np.fft.rfft2(inside, shape)
    product = np.zeros((shape[0], shape[1]), np.float32)
    power = np.zeros_like(product)
    for channel in group:
        seen = channel * inside
        product += np.fft.irfft2(np.abs(np.fft.rfft2(seen, shape)) ** 2, shape).astype(np.float32)
        square = np.fft.rfft2(seen * seen, shape)
        power += np.fft.irfft2((square * np.conj(mask)).real, shape).astype(np.float32)
    # Shifts that leave next to nothing to compare say nothing.
    floor = 0.02 * power[0, 0]
    # Of a picture without change only the rounding would be compared.
    nothing = 1e-5 * inside.size
    return np.fft.fftshift(product / np.maximum(power, max(floor, nothing))).astype(np.float32)


def compare(evidence: Evidence, inside: tuple[int, int, int, int]) -> Likeness:
    """Compare the picture with itself under every shift.

    Parameters
    ----------
    evidence : Evidence
        The picture at working size.
    inside : tuple of int
        Left, top, right, bottom of what is compared, in working pixels: the quilt without its borders.

    Returns
    -------
    Likeness
    """
    left, top, right, bottom = inside
    size = (max(8, (right - left) // HALF), max(8, (bottom - top) // HALF))
    everywhere = np.ones((size[1], size[0]), np.float32)
    parts = []
    for group, weight in zip(channels(evidence), WEIGHTS, strict=True):
        small = [cv2.resize(c[top:bottom, left:right], size, interpolation=cv2.INTER_AREA) for c in group]
        parts.append(cv2.GaussianBlur(_autocorrelate(small, everywhere), (0, 0), 1.0) * weight)
    cloth, seams = parts[0] + parts[1], parts[2] + parts[3]
    return Likeness((cloth + seams) / sum(WEIGHTS), cloth / sum(WEIGHTS[:2]), seams / sum(WEIGHTS[2:]), size)


_REACH = np.arange(-4, 5)
_COLUMN, _ROW = (each.astype(np.float64).ravel() for each in np.meshgrid(_REACH, _REACH))


def mean_likeness(
    likeness: Likeness,
    across: float,
    down: float,
    offset: tuple[float, float] = (0.0, 0.0),
    *,
    chess: bool = False,
    table: Map | None = None,
) -> float:
    """Average the likeness over the shifts of a grid, near ones counting most; `offset` is in parts of the pitch."""
    i, j = _COLUMN + offset[0], _ROW + offset[1]
    x, y = i * across, j * down
    width, height = likeness.size[0] * HALF, likeness.size[1] * HALF
    overlap = np.maximum(1 - np.abs(x) / width, 0) * np.maximum(1 - np.abs(y) / height, 0)
    weight = np.where(overlap > 0.15, overlap, 0) / (1 + np.abs(i) + np.abs(j))
    weight[(np.abs(i) < 1e-9) & (np.abs(j) < 1e-9)] = 0
    if chess:
        weight[(np.abs(i + j) % 2) > 0.5] = 0
    total = float(weight.sum())
    return float((likeness.at(x, y, table) * weight).sum() / total) if total > 0 else 0.0


def weigh(likeness: Likeness, across: float, down: float) -> Pitch:
    """Say how well a pitch explains the picture."""
    return Pitch(
        across,
        down,
        mean_likeness(likeness, across, down),
        mean_likeness(likeness, across, down, chess=True),
        (
            mean_likeness(likeness, across, down, (0.5, 0.0)),
            mean_likeness(likeness, across, down, (0.0, 0.5)),
            mean_likeness(likeness, across, down, (0.5, 0.5)),
        ),
    )


def _peaks(profile: Floats, low: int, high: int, most: int) -> list[int]:
    tops = [
        i for i in range(max(low, 1), min(high, len(profile) - 1)) if profile[i - 1] <= profile[i] > profile[i + 1]
    ]
    tops.sort(key=lambda i: -(profile[i] - profile[i // 2 : i + 1].min()))
    return tops[:most]


def _shifts(likeness: Likeness, *, down: bool, shortest: float) -> list[float]:
    """Give the shifts along one axis at which the picture is most like itself, and their halves."""
    table = likeness.table.T if down else likeness.table
    span = likeness.size[1 if down else 0]
    other = likeness.size[0 if down else 1]
    middle = (table.shape[0] // 2, table.shape[1] // 2)
    near = table[middle[0] - 2 : middle[0] + 3].max(axis=0)[middle[1] :]
    broad = table[middle[0] - other // 2 : middle[0] + other // 2 + 1].mean(axis=0)[middle[1] :]
    low, high = int(shortest / HALF), int(span * 0.78)
    found = {float(i) for profile in (near, broad) for i in _peaks(profile.astype(np.float64), low, high, 10)}
    found |= {half for i in found if (half := i / 2) >= low}
    # With two or three blocks there is hardly a repeat to be seen: try what would fill the quilt.
    found |= {span / count for count in (2, 3) if span / count >= low}
    merged: list[float] = []
    for shift in sorted(found):
        if not merged or shift - merged[-1] > 0.51:
            merged.append(shift)
    return [shift * HALF for shift in merged]


def _sharpen(likeness: Likeness, pitch: Pitch) -> Pitch:
    """Move a pitch to where its likeness is best, a fraction of a pixel at a time."""
    across, down = pitch.across, pitch.down
    chess = pitch.alternating > 1.3 * pitch.likeness
    for step in (0.6, 0.2):
        tries = np.arange(-3, 4) * step
        across = max(across + tries, key=lambda a: mean_likeness(likeness, a, down, chess=chess))
        down = max(down + tries, key=lambda d: mean_likeness(likeness, across, d, chess=chess))
    return weigh(likeness, float(across), float(down))


def pitches(likeness: Likeness, *, shortest: float = 14.0, most: int = 12) -> list[Pitch]:
    """List the pitches that the picture may have, the most likely first.

    Parameters
    ----------
    likeness : Likeness
        Of the picture to itself.
    shortest : float
        The shortest pitch worth looking for, in working pixels.
    most : int
        How many to give.

    Returns
    -------
    list of Pitch
        Best first; empty when nothing repeats.
    """
    across = _shifts(likeness, down=False, shortest=shortest)
    down = _shifts(likeness, down=True, shortest=shortest)
    found = [weigh(likeness, a, d) for a in across for d in down if 0.4 < a / d < 2.5]
    found.sort(key=lambda pitch: worth(pitch) * (pitch.across * pitch.down) ** -0.08, reverse=True)
    kept: list[Pitch] = []
    for pitch in found:
        if all(abs(p.across / pitch.across - 1) > 0.04 or abs(p.down / pitch.down - 1) > 0.04 for p in kept):
            if any(_only_larger(pitch, finer) for finer in found[: 4 * most]):
                continue
            kept.append(pitch)
        if len(kept) == most:
            break
    kept = sorted((_sharpen(likeness, pitch) for pitch in kept), key=worth, reverse=True)
    return sorted(kept + _squarer(likeness, kept), key=worth, reverse=True)


def _squarer(likeness: Likeness, tried: list[Pitch]) -> list[Pitch]:
    """Add multiples: of a block of strips the strips repeat better than the block; so may its patches."""
    wanted: list[tuple[float, float]] = []
    for pitch in tried:
        times = pitch.across / pitch.down
        if max(times, 1 / times) > 1.55:
            wanted.append((pitch.across * max(1, round(1 / times)), pitch.down * max(1, round(times))))
    # The patches of a block can repeat better than the block.
    wanted += [(pitch.across * times, pitch.down * times) for pitch in tried[:2] for times in (2, 3)]
    found: list[Pitch] = []
    for across, down in wanted:
        fits = across < 1.4 * likeness.size[0] and down < 1.4 * likeness.size[1]
        known = any(abs(p.across / across - 1) < 0.03 and abs(p.down / down - 1) < 0.03 for p in tried + found)
        if fits and not known:
            found.append(weigh(likeness, across, down))
    return found


def _only_larger(pitch: Pitch, finer: Pitch) -> bool:
    """Tell whether a pitch is a multiple of a finer one and explains next to nothing more."""
    times = (pitch.across / finer.across, pitch.down / finer.down)
    whole = (round(times[0]), round(times[1]))
    near = all(abs(t - w) < 0.06 for t, w in zip(times, whole, strict=True))
    return near and min(whole) >= 1 and whole[0] * whole[1] > 1 and worth(finer) > 0.93 * worth(pitch)


def worth(pitch: Pitch) -> float:
    """Judge a pitch by what its stacked block, or its two alternating blocks, explain."""
    return max(pitch.likeness, 0.95 * pitch.alternating)
