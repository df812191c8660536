"""What tells one printed cloth from another, in figures that neither light nor the way it was turned changes much."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.cielab import lab_of

Floats = NDArray[np.float32]

# The one scale at which cloth is held against cloth. A phone's photograph of a bed quilt has 10 to 20 px in a centimeter.
PX_PER_CM = 8.0
# How far figures of a print reach, in centimeters: what is finer is the camera's, what is coarser is folds and shadow.
_SIGMAS_CM = (0.06, 0.11, 0.2, 0.36, 0.65)
# Wavelengths between which the energy of a print is counted, in centimeters.
_WAVES_CM = np.geomspace(0.36, 5.2, 10)
_SIDE = 96  # pixels of the square in which its spectrum is taken
_FAINT = 0.35  # below which a print is not seen, in CIELAB
_SOFT_CM = 1.6  # over which shadows and stains are taken off, before the print is looked at
_LEAST_PX = 60


@dataclass(frozen=True, eq=False)
class Cut:
    """One patch of a cloth.

    Attributes
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        sRGB.
    mask : ndarray of uint8, shape (height, width)
        255 on the patch, 0 round it.
    """

    pixels: NDArray[np.uint8]
    mask: NDArray[np.uint8]

    @property
    def seen_px(self) -> int:
        """How many pixels the patch has."""
        return int(np.count_nonzero(self.mask))


NAMES = (
    *("L*", "a*", "b*"),
    *(f"{channel} of {sigma} cm" for channel in ("L*", "a*", "b*") for sigma in _SIGMAS_CM[:-1]),
    *(f"{fold} of {sigma} cm" for fold in ("stripe", "check") for sigma in _SIGMAS_CM[1:-1]),
    *(f"{channel} at {share}" for channel, shares in (("L*", (2, 10, 90, 98)), ("a*", (5, 95)), ("b*", (5, 95))) for share in shares),
    *("L* with a*", "L* with b*", "a* with b*"),
    *(f"{low:.2f} to {high:.2f} cm" for low, high in pairwise(_WAVES_CM)),
)  # fmt: skip
# Of the figures, those that say how strong the print is.
_STRENGTH = [NAMES.index(f"{channel} of {sigma} cm") for channel in ("L*", "a*", "b*") for sigma in _SIGMAS_CM[1:-1]]


def describe(cuts: Sequence[Cut]) -> NDArray[np.float32]:
    """Describe a cloth by its patches.

    Parameters
    ----------
    cuts : sequence of Cut
        At `PX_PER_CM`; each weighs as much as it is large.

    Returns
    -------
    ndarray of float32, shape (len(NAMES),)

    Examples
    --------
    >>> plain = Cut(np.full((40, 40, 3), 128, np.uint8), np.full((40, 40), 255, np.uint8))
    >>> describe([plain]).shape == (len(NAMES),), bool(strength(describe([plain])) < 0.01)
    (True, True)
    >>> bool(describe([]).any())
    False
    """
    found, weights = [], []
    for each in cuts:
        if each.seen_px >= _LEAST_PX:
            found.append(_of_one(each))
            weights.append(each.seen_px)
    if not found:
        return np.zeros(len(NAMES), dtype=np.float32)
    return np.average(np.stack(found), axis=0, weights=weights).astype(np.float32)


def strength(described: NDArray[np.floating]) -> NDArray[np.float64]:
    """How strong the print is in CIELAB, of one description or of rows of them: 0 of a plain cloth."""
    energy = np.maximum(np.exp(np.asarray(described, np.float64)[..., _STRENGTH]) - _FAINT, 0)
    return np.asarray(np.sqrt((energy**2).sum(axis=-1)))


def freed(lab: Floats, mask: Floats) -> Floats:
    """Take off what changes slowly over a patch, which is light, folds and stains; the mean stays 0."""
    slow = _mean_within(lab, mask, _SOFT_CM * PX_PER_CM)
    return (lab - slow) * mask[..., None]


def _mean_within(lab: Floats, mask: Floats, sigma: float) -> Floats:
    """Blur inside the patch alone."""
    weight = cv2.GaussianBlur(mask, (0, 0), sigma, borderType=cv2.BORDER_CONSTANT)
    soft = cv2.GaussianBlur(lab * mask[..., None], (0, 0), sigma, borderType=cv2.BORDER_CONSTANT)
    return np.asarray(soft / np.maximum(weight, 1e-3)[..., None], dtype=np.float32)


def _of_one(cut: Cut) -> Floats:
    lab = lab_of(cut.pixels)
    mask = (cut.mask > 0).astype(np.float32)
    inside = mask > 0
    color = lab[inside].mean(axis=0)
    print_ = freed(lab, mask)
    soft = [_mean_within(print_, mask, sigma * PX_PER_CM) for sigma in _SIGMAS_CM]
    energy, turns = [], []
    for number, (fine, coarse) in enumerate(pairwise(soft)):
        band = fine - coarse
        energy.append(np.log(_FAINT + np.sqrt((band[inside] ** 2).mean(axis=0))))
        if number:
            turns.append(_turns(fine, mask))
    values = soft[0][inside]
    shares = [
        *np.percentile(values[:, 0], (2, 10, 90, 98)),
        *np.percentile(values[:, 1], (5, 95)),
        *np.percentile(values[:, 2], (5, 95)),
    ]
    spread = values.std(axis=0) + 1.0
    centered = (values - values.mean(axis=0)) / spread
    together = [float((centered[:, one] * centered[:, two]).mean()) for one, two in ((0, 1), (0, 2), (1, 2))]
    return np.concatenate(
        [
            color,
            np.stack(energy, axis=1).ravel(),
            np.array(turns).T.ravel(),
            np.array(shares),
            np.array(together),
            _waves(soft[0], mask),
        ]
    ).astype(np.float32)


def _turns(fine: Floats, mask: Floats) -> tuple[float, float]:
    """How much a print runs one way (a stripe), and how much two ways at right angles (a check); 0..1 each."""
    inner = cv2.erode(mask, np.ones((3, 3), np.uint8), borderType=cv2.BORDER_CONSTANT, borderValue=0)
    across, down = (cv2.Sobel(fine, cv2.CV_32F, x, y, scale=0.125) for x, y in ((1, 0), (0, 1)))
    turn = ((across + 1j * down) ** 2).sum(axis=2) * inner
    size = float(np.abs(turn).sum()) + _FAINT * float(inner.sum()) * 0.05 + 1e-6
    fourth = np.abs(turn) * np.exp(2j * np.angle(turn))
    return float(np.abs(turn.sum())) / size, float(np.abs(fourth.sum())) / size


def _waves(print_: Floats, mask: Floats) -> Floats:
    """How the energy of a print is shared out among wavelengths, as logarithms."""
    height, width = (min(side, _SIDE) for side in mask.shape)
    top, left = (mask.shape[0] - height) // 2, (mask.shape[1] - width) // 2
    some = (slice(top, top + height), slice(left, left + width))
    # Softened at its rim, lest the rim itself is taken for a print.
    far = cv2.distanceTransform(np.pad((mask[some] > 0).astype(np.uint8), 1), cv2.DIST_L2, 3)[1:-1, 1:-1]
    window = np.minimum(far / (0.35 * max(float(far.max()), 1.0)), 1.0)[..., None]
    taken = print_[some] * window
    taken -= window * taken.sum(axis=(0, 1)) / max(float(window.sum()), 1.0)
    power = np.zeros((_SIDE, _SIDE // 2 + 1))
    for channel in range(3):
        power += np.abs(np.fft.rfft2(taken[..., channel], (_SIDE, _SIDE))) ** 2
    share = np.bincount(_WAVE_OF.ravel(), weights=power.ravel(), minlength=len(_WAVES_CM) + 1)[1:-1]
    share = share + 0.004 * share.sum() + 1e-3 * float(window.sum())
    return np.asarray(np.log(share / share.sum()), np.float32)


def _wave_of() -> NDArray[np.intp]:
    down, across = np.fft.fftfreq(_SIDE)[:, None], np.fft.rfftfreq(_SIDE)[None, :]
    length_cm = 1 / np.maximum(np.hypot(down, across), 1e-6) / PX_PER_CM
    return np.asarray(np.digitize(length_cm, _WAVES_CM), np.intp)


_WAVE_OF = _wave_of()
