"""Which patches of the block are cut from one fabric, and which places are light, medium or dark."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Value = Literal["light", "medium", "dark"]

_LIGHT = 3.0  # color difference (CIELAB) that uneven light alone makes across a block
_CLEAR = 3.0
_LIKE = 2.0  # how many times its uncertainty two scrappy patches' mean colors may differ and still be one place
_SCRAPPY = 8.0  # spread of color over the blocks (CIELAB) from which a place takes many fabrics
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def gather_places(means: Floats, noise: Floats, areas: Floats, size: int) -> Ints:
    """Find which patches take the same place: the same fabric in most blocks, or the same run of many.

    Parameters
    ----------
    means : ndarray, shape (patches, blocks, 3)
        CIELAB of each patch in each block, patches in reading order.
    noise : ndarray, shape (blocks,)
        How restless the fabrics of each block are: variance of a mean, times its pixels.
    areas : ndarray, shape (patches,)
        In parts of the block.
    size : int
        Side of the stack in pixels.

    Returns
    -------
    ndarray of int, shape (patches,)
        Number of the place, in reading order.

    Examples
    --------
    >>> colors = np.array([[[80, 0, 0], [70, 9, 0]], [[20, 0, 0], [20, 0, 0]], [[80, 0, 0], [70, 9, 0]]], float)
    >>> gather_places(colors, np.ones(2), np.full(3, 1 / 3), 10).tolist()
    [0, 1, 0]
    >>> gather_places(np.zeros((1, 1, 3)), np.ones(1), np.ones(1), 10).tolist()
    [0]
    """
    pixels = areas * size * size
    step = ((means[:, None] - means[None]) ** 2).sum(axis=3)
    spread = noise * (1 / pixels[:, None, None] + 1 / pixels[None, :, None]) + _LIGHT**2
    apart = np.clip(step / (2 * spread) - _CLEAR, -_CLEAR, _CLEAR).mean(axis=2)
    place = _linked(apart)
    if means.shape[1] >= 6:
        place = _joined_scrappy(means, noise, pixels, place)
    return _in_order(place)


def _linked(apart: Floats) -> Ints:
    """Join groups while the mean of their votes says that they are of one fabric."""
    between = apart.copy()
    np.fill_diagonal(between, np.inf)
    sizes, place = np.ones(len(apart)), np.arange(len(apart))
    while True:
        one, two = np.unravel_index(int(between.argmin()), between.shape)
        if not between[one, two] < 0:
            return place
        row = (sizes[one] * between[one] + sizes[two] * between[two]) / (sizes[one] + sizes[two])
        between[one], between[:, one] = row, row
        between[two], between[:, two] = np.inf, np.inf
        between[one, one] = np.inf
        sizes[one] += sizes[two]
        place[place == place[two]] = place[one]


def _joined_scrappy(means: Floats, noise: Floats, pixels: Floats, place: Ints) -> Ints:
    """Join places that take many fabrics, never the same in one block, but of one run of colors."""
    numbers = np.unique(place)
    color = np.stack([_over(means, pixels, place == number) for number in numbers])
    middle, wide = color.mean(axis=1), color.var(axis=1)
    blocks = means.shape[1]
    scrappy = np.sqrt(wide.sum(axis=1)) > _SCRAPPY
    joined = place.copy()
    for a, one in enumerate(numbers):
        for b, two in enumerate(numbers[:a]):
            if not (scrappy[a] and scrappy[b]):
                continue
            error = (wide[a] + wide[b]) / blocks + 4.0
            alike = (((middle[a] - middle[b]) ** 2 / error).sum() / 3) < _LIKE**2
            if alike and 0.4 < wide[a].sum() / wide[b].sum() < 2.5:
                joined[joined == joined[place == one][0]] = joined[place == two][0]
    return joined


def _over(means: Floats, pixels: Floats, members: NDArray[np.bool_]) -> Floats:
    weighted: Floats = np.average(means[members], axis=0, weights=pixels[members])
    return weighted


def _in_order(place: Ints) -> Ints:
    first = {int(number): int(np.flatnonzero(place == number)[0]) for number in np.unique(place)}
    rank = {number: order for order, number in enumerate(sorted(first, key=first.__getitem__))}
    return np.array([rank[int(number)] for number in place], dtype=np.intp)


def letter(number: int) -> str:
    """The letter of a place, A for the first; after Z they are all Z, for a block has no more places.

    Examples
    --------
    >>> letter(0), letter(2), letter(99)
    ('A', 'C', 'Z')
    """
    return _LETTERS[min(number, len(_LETTERS) - 1)]


def values_of(lightness: Floats) -> tuple[Value, ...]:
    """Call each place light, medium or dark, as it stands against the others of its block.

    Where all are nearly alike, each is called by its own lightness.

    Parameters
    ----------
    lightness : ndarray, shape (places,)
        CIELAB lightness, 0..100.

    Examples
    --------
    >>> values_of(np.array([80.0, 30.0, 55.0]))
    ('light', 'dark', 'medium')
    >>> values_of(np.array([82.0]))
    ('light',)
    """
    low, high = float(lightness.min()), float(lightness.max())
    if high - low < 12.0:
        low, high = 30.0, 80.0
    share = (lightness - low) / (high - low)
    return tuple("light" if each > 2 / 3 else "dark" if each < 1 / 3 else "medium" for each in share)
