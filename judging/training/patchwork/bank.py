"""Fabrics on the shelf: made when first asked for, then cut from again and again, now and then replaced."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np

from judging.training.patchwork.cloth import TILE, Image, make_cloth
from judging.training.patchwork.outlines import Rng

_MOST = 220
_REPLACED = 0.008  # of the times one is taken from the full bank


@dataclass(eq=False)
class Bank:
    """Fabrics that windows drawn one after another share: making one anew for each takes too long.

    A window depends on its own seed and on what the bank holds, so that windows are the same again only when the same
    ones were drawn before them from a bank that was empty at first.

    Examples
    --------
    >>> bank, rng = Bank(), np.random.default_rng(0)
    >>> bank.take(rng) is bank.fabrics[0], len(bank.fabrics)
    (True, 1)
    """

    fabrics: list[Image] = field(default_factory=list)

    def take(self, rng: Rng) -> Image:
        """Give a fabric, shape (TILE, TILE, 3): a new one until the bank is full."""
        if len(self.fabrics) < _MOST:
            self.fabrics.append(make_cloth(rng))
            return self.fabrics[-1]
        number = int(rng.integers(_MOST))
        if rng.random() < _REPLACED:
            self.fabrics[number] = make_cloth(rng)
        return self.fabrics[number]


@dataclass(frozen=True, eq=False)
class Cloth:
    """A fabric as it comes into one window: turned, sized, a little lighter or darker.

    Attributes
    ----------
    picture : ndarray of float32, shape (n, n, 3)
        sRGB 0..255; a quarter larger than the window.

    Examples
    --------
    >>> rng = np.random.default_rng(0)
    >>> cloth = Cloth.cut(rng, Bank(), 64, zoom=0.5)
    >>> cloth.picture.shape, cloth.piece(rng, 20, 30).shape
    ((80, 80, 3), (20, 30, 3))
    """

    picture: Image

    @classmethod
    def cut(cls, rng: Rng, bank: Bank, side: int, zoom: float) -> Cloth:
        """Take a fabric for a window of so many pixels, seen so many times as large as it was drawn."""
        tile = bank.take(rng)
        angle = rng.uniform(0, 360) if rng.random() < 0.3 else 90.0 * rng.integers(4) + rng.normal(0, 1.5)
        matrix = cv2.getRotationMatrix2D((TILE / 2, TILE / 2), float(angle), float(zoom * rng.uniform(0.6, 1.6)))
        matrix = matrix + np.pad(rng.uniform(-60, 60, (2, 1)), ((0, 0), (2, 0)))
        size = side + side // 4
        picture = cv2.warpAffine(tile, matrix, (size, size), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT)
        shift = rng.normal(0, 14, 3).astype(np.float32) if rng.random() < 0.7 else np.zeros(3, np.float32)
        return cls(np.clip(picture * np.float32(rng.uniform(0.85, 1.15)) + shift, 0, 255))

    def piece(self, rng: Rng, tall: int, wide: int) -> Image:
        """Cut a piece of it from anywhere."""
        height, width = self.picture.shape[:2]
        y = int(rng.integers(0, max(1, height - tall + 1)))
        x = int(rng.integers(0, max(1, width - wide + 1)))
        return self.picture[y : y + tall, x : x + wide]
