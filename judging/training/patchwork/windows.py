"""Windows of patchwork by chance: what is seen, where seams run and which way."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from judging.training.patchwork.bank import Bank
from judging.training.patchwork.outlines import Rng
from judging.training.patchwork.sewing import Marks, mark, sew
from judging.training.patchwork.wear import light, photograph, quilt, raise_seams, stain

SEED = 20261130
SIDE = 128
WAYS = 5
_OVER = 2  # sewn so many times as large, and reduced
_BLOCKS_PX = (26, 64, 118)  # least, middle and most side of a block as it is seen; half are in each span


@dataclass(frozen=True, eq=False)
class Window:
    """A window of patchwork.

    Attributes
    ----------
    pixels : ndarray of uint8, shape (SIDE, SIDE, 3)
        sRGB.
    seams : ndarray of uint8, shape (SIDE, SIDE)
        255 on a seam, falling off within about a pixel.
    ways : ndarray of uint8, shape (SIDE, SIDE)
        On seams 1 across, 2 down, 3 rising, 4 falling, 5 any other way; 0 elsewhere.
    weight : ndarray of uint8, shape (SIDE, SIDE)
        255 where the seams are to be learned, less where they cannot be seen or just beside one.
    """

    pixels: NDArray[np.uint8]
    seams: NDArray[np.uint8]
    ways: NDArray[np.uint8]
    weight: NDArray[np.uint8]


def draw_window(rng: Rng, bank: Bank) -> Window:
    """Draw one window by chance, of fabrics of the bank, which may take in more.

    Examples
    --------
    >>> window = draw_window(np.random.default_rng((SEED, 0)), Bank())
    >>> window.pixels.shape, bool((window.ways[window.seams > 200] > 0).all())
    ((128, 128, 3), True)
    """
    least = int(rng.integers(2))
    side = float(np.exp(rng.uniform(*np.log(_BLOCKS_PX[least : least + 2]))))
    sewn = sew(rng, bank, side * _OVER, SIDE * _OVER)
    marks = mark(sewn)
    on_seam = np.asarray(_reduced(marks.seams).astype(np.float32) / 255, np.float32)
    picture = raise_seams(rng, _reduced(sewn.picture), on_seam, side)
    picture = quilt(rng, picture, [ring / _OVER for ring in sewn.rings], side)
    picture = stain(rng, light(rng, picture, side), side)
    seams = np.clip(on_seam * 1.6 * 255, 0, 255).astype(np.uint8)
    return Window(photograph(rng, picture), seams, marks.ways[::_OVER, ::_OVER].copy(), _weight(seams, marks))


def _reduced(picture: NDArray[Any]) -> NDArray[Any]:
    return cv2.resize(picture, (SIDE, SIDE), interpolation=cv2.INTER_AREA)


def _weight(seams: NDArray[np.uint8], marks: Marks) -> NDArray[np.uint8]:
    beside = cv2.dilate(seams, np.ones((5, 5), np.uint8)) > 60
    weight = np.full(seams.shape, 255, np.uint8)
    weight[beside & (seams < 100)] = 60
    weight[_reduced(marks.faint) > 60] = 50
    return weight


def draw_chunk(first: int, count: int) -> dict[str, NDArray[np.uint8]]:
    """Draw windows one after another from a bank that is empty at first: the same ones wherever and whenever.

    Parameters
    ----------
    first, count : int
        Number of the first window, which is drawn from the seed (SEED, first), and how many there are.

    Returns
    -------
    dict
        What windows have, each stacked: pixels, seams, ways, weight.

    Examples
    --------
    >>> chunk = draw_chunk(40, 2)
    >>> list(chunk), chunk["pixels"].shape
    (['pixels', 'seams', 'ways', 'weight'], (2, 128, 128, 3))
    """
    bank = Bank()
    made = [draw_window(np.random.default_rng((SEED, first + k)), bank) for k in range(count)]
    return {each.name: np.stack([getattr(window, each.name) for window in made]) for each in fields(Window)}
