"""A picture folded over a pitch into one mean block, and how strongly each strip of the picture follows that block."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.repeats import HALF, Pitch, drift
from seamlore.photo.steps_energy import Evidence, Map

Floats = NDArray[np.float64]

# The folded block is this many bins wide.
BINS = 48


def plain_margin(evidence: Evidence) -> tuple[int, int, int, int]:
    """Find the part of a quilt inside its plain borders: left, top, right, bottom in working pixels.

    A border of one fabric hardly changes along its length; blocks do. Pieced borders stay in.
    """
    smooth = cv2.GaussianBlur(evidence.lab, (0, 0), 3)
    width, height = evidence.size

    def trim(along: Map, length: int) -> tuple[int, int]:
        # Borders of the crossing sides stand at both ends of every line: leave them out.
        middle = along[int(0.22 * along.shape[0]) : int(0.78 * along.shape[0])]
        change = np.sqrt(middle.var(axis=0).sum(axis=-1))
        usual = float(np.median(change[int(0.3 * length) : int(0.7 * length)]))
        plain = change < 0.45 * usual
        low = 0
        while low < 0.3 * length and plain[low : low + 4].any():
            low += 1
        high = length
        while high > 0.7 * length and plain[high - 4 : high].any():
            high -= 1
        return low, high

    left, right = trim(smooth, width)
    top, bottom = trim(np.ascontiguousarray(smooth.transpose(1, 0, 2)), height)
    return left, top, right, bottom


def features(evidence: Evidence) -> Map:
    """Stack what a block is known by at half the working size: light and dark, colour, seams by direction.

    Gives shape (5, height, width); lightness and colour together weigh as much as the seams.
    """
    lab = cv2.GaussianBlur(evidence.lab, (0, 0), 1.5)
    lab = lab - drift(lab)
    seams = cv2.GaussianBlur(np.dstack([evidence.across, evidence.down]), (0, 0), 1.5)
    lab = lab / (np.sqrt(lab.var(axis=(0, 1)).sum()) + 1e-6)
    seams = (seams - seams.mean(axis=(0, 1))) / (np.sqrt(seams.var(axis=(0, 1)).sum()) + 1e-6)
    size = (lab.shape[1] // HALF, lab.shape[0] // HALF)
    small = [cv2.resize(group.astype(np.float32), size, interpolation=cv2.INTER_AREA) for group in (lab, seams)]
    return np.ascontiguousarray(np.dstack(small).transpose(2, 0, 1))


def _bins(length: int, pitch: float) -> Map:
    """Give the weight of every place along a line in every bin of a folded block, shape (length, BINS)."""
    at = (np.arange(length) + 0.5) % pitch / pitch * BINS - 0.5
    low = np.floor(at).astype(int)
    weights = np.zeros((length, BINS), np.float32)
    weights[np.arange(length), low % BINS] = 1 - (at - low)
    weights[np.arange(length), (low + 1) % BINS] += at - low
    return weights


def fold(profile: Floats, pitch: float, weight: Floats) -> Floats:
    """Fold a profile over a pitch into `BINS` bins, by weighted mean."""
    bins = _bins(len(profile), pitch).astype(np.float64) * weight[:, None]
    return np.asarray((profile @ bins) / np.maximum(bins.sum(axis=0), 1e-9))


@dataclass(frozen=True, eq=False)
class Folded:
    """How far each column and row of the picture follows the mean block, -0.5..1.2, at working size.

    `explained` is the part of the picture inside the borders that the mean block explains; `block` the mean block
    itself, shape (channels, BINS, BINS), from the picture's top left.
    """

    across: Floats
    down: Floats
    explained: float
    block: Map

    def mirrored(self, middle_x: float, middle_y: float) -> tuple[float, float]:
        """Say how much the mean block is like its mirror image, left to right and top to bottom, about a middle.

        The middle is in parts of the pitch. Most blocks are like themselves turned or mirrored about their middle,
        and hardly about another point but their corners.
        """
        power = float((self.block**2).sum()) + 1e-9
        found = []
        for axis, middle in ((2, middle_x), (1, middle_y)):
            shift = round(2 * middle * BINS) % BINS
            flipped = np.roll(np.flip(self.block, axis=axis), shift, axis=axis)
            found.append(float((self.block * flipped).sum()) / power)
        return found[0], found[1]

    def half_turned(self, middle_x: float, middle_y: float) -> float:
        """Say how much the mean block is like itself turned half round about a middle, in parts of the pitch."""
        shifts = (round(2 * middle_y * BINS) % BINS, round(2 * middle_x * BINS) % BINS)
        turned = np.roll(np.flip(self.block, axis=(1, 2)), shifts, axis=(1, 2))
        return float((self.block * turned).sum()) / (float((self.block**2).sum()) + 1e-9)


def follow(
    shown: Map, pitch: Pitch, inside: tuple[int, int, int, int], size: tuple[int, int], *, chess: bool
) -> Folded:
    """Measure how strongly each column and row of the picture follows its own mean block.

    Parameters
    ----------
    shown : ndarray, shape (channels, height, width)
        What `features` gives.
    pitch : Pitch
        Distance from block to block.
    inside : tuple of int
        Left, top, right, bottom inside the plain borders, in working pixels.
    size : tuple of int
        Width and height in working pixels.
    chess : bool
        Two kinds of block alternate; each is compared with its own kind.

    Returns
    -------
    Folded
    """
    _, height, width = shown.shape
    left, top, right, bottom = (v // HALF for v in inside)
    times = 2 if chess else 1
    across = _bins(width, pitch.across * times / HALF)
    down = _bins(height, pitch.down * times / HALF)
    columns, rows = np.zeros((width, 1), np.float32), np.zeros((height, 1), np.float32)
    columns[left:right], rows[top:bottom] = 1, 1
    fold_across, fold_down = across * columns, down * rows
    mass = np.maximum(np.outer(fold_down.sum(axis=0), fold_across.sum(axis=0)), 1e-6)
    block = fold_down.T @ (shown @ fold_across) / mass
    if chess:
        block = (block + np.roll(block, (BINS // 2, BINS // 2), axis=(1, 2))) / 2
    block -= block.mean(axis=(1, 2), keepdims=True)
    model = down @ (block @ across.T)

    def ratio(axis: int, soft: float, length: int) -> Floats:
        # Along a border nothing changes: without the mean of each line it follows no block.
        part = np.s_[:, top:bottom, :] if axis == 1 else np.s_[:, :, left:right]
        theirs, ours = (m[part] - m[part].mean(axis=axis, keepdims=True) for m in (shown, model))
        product, power = (theirs * ours).sum(axis=(0, axis)), (ours**2).sum(axis=(0, axis))
        smooth = [cv2.GaussianBlur(line[None], (0, 0), max(1.5, soft)).ravel() for line in (product, power)]
        followed: Map = np.clip(smooth[0] / np.maximum(smooth[1], 1e-9), -0.5, 1.2).astype(np.float32)
        stretched: Floats = cv2.resize(followed[None], (length, 1)).ravel().astype(np.float64)
        return stretched

    product, power = (model * shown).sum(axis=0), (model**2).sum(axis=0)
    seen = (shown[:, top:bottom, left:right] ** 2).sum()
    explained = float(2 * product[top:bottom, left:right].sum() - power[top:bottom, left:right].sum()) / float(seen)
    return Folded(
        ratio(1, pitch.across / HALF / 5, size[0]),
        ratio(2, pitch.down / HALF / 5, size[1]),
        explained,
        block,
    )
