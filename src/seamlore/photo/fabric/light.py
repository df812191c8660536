"""How the light falls over a quilt, told from swatches that seem to be of one fabric in many places."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.fabric.fabrics import Swatches, gather_fabrics

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_LEAST = 10  # swatches from which the fall of light can be told
_LEAST_BLOCKS = 3
_SCRAPPY = 0.12  # by which the lightness of fabrics in one place may well differ, as a logarithm
_ONE_FABRIC = 0.06  # by which that of one fabric may
_LOOSE = 3.0  # how freely fabrics are gathered while the light between them is not known yet
_MOST = 400  # swatches are enough for that
_WAVES = 6  # half waves over the quilt's side, of the quickest change of light
_STRENGTH, _NOISE = 0.15, 0.03  # of the light's slowest wave, and of one swatch, as logarithms


def even_light(swatches: Swatches, at: NDArray[np.floating] | Ints) -> Floats:
    """How far each swatch is from what it would be in even light, in CIELAB, shape (swatches, 3).

    Light falls off smoothly over a quilt, and fabrics do not: what all patches do together from one side of the quilt
    to the other is the light's. So corrected, swatches are gathered into fabrics, freely; and what all fabrics do
    together from one spot to the next is the light's again: shadows and folds. Light multiplies: by the definition of
    CIELAB (CIE 15) the same factor then multiplies L* + 16, a* and b*, so that a pale fabric changes more than a dark
    one.

    Parameters
    ----------
    swatches : Swatches
    at : ndarray, shape (swatches, 2)
        Where in the quilt each swatch lies.

    Examples
    --------
    >>> where, lab = np.array([[0, 0], [1, 0]]), np.array([[80, 0, 0], [20, 0, 0.0]])
    >>> two = Swatches(where, lab, np.zeros((2, 4)), np.ones((2, 3)), np.full(2, 99.0))
    >>> even_light(two, np.array([[0, 0], [1, 0]])).tolist()
    [[0.0, 0.0, 0.0], [0.0, 0.0, 0.0]]
    """
    count = len(swatches.lab)
    if count < _LEAST or np.ptp(swatches.where[:, 0]) < _LEAST_BLOCKS:
        return np.zeros_like(swatches.lab)
    along = (at - at.min(axis=0)) / np.maximum(np.ptp(at, axis=0), 1e-9)
    light = np.log(np.maximum(swatches.lab[:, 0], 0) + 16)
    x, y = 2 * along.T - 1
    slopes = np.stack([x, y, x * x, x * y, y * y], axis=-1)
    first = slopes @ _shared(slopes, light, swatches.where[:, 1], np.full(5, 0.02 * count), _SCRAPPY)
    some = np.unique(np.linspace(0, count - 1, _MOST).astype(np.intp))
    fabric = gather_fabrics(swatches.some(some), _off(swatches.lab, first)[some], apart=_LOOSE)
    waves, stiffness = _waves(along)
    fall = waves @ _shared(waves[some], light[some], fabric, stiffness, _ONE_FABRIC)
    return _off(swatches.lab, fall)


def _off(lab: Floats, fall: Floats) -> Floats:
    """What light that falls so, as a logarithm, has made of CIELAB."""
    factor = np.exp(fall - fall.mean())
    off: Floats = (lab + np.array([16.0, 0, 0])) * (1 - 1 / factor)[:, None]
    return off


def _waves(along: Floats) -> tuple[Floats, Floats]:
    """Half waves across and down the quilt, shape (swatches, waves), and how little each is to be expected."""
    waves, stiffness = [], []
    for across in range(_WAVES + 1):
        for down in range(_WAVES + 1 - across):
            if across + down:
                waves.append(np.cos(np.pi * across * along[:, 0]) * np.cos(np.pi * down * along[:, 1]))
                stiffness.append((_NOISE / _STRENGTH) ** 2 * (across**2 + down**2))
    return np.stack(waves, axis=-1), np.array(stiffness)


def _shared(shapes: Floats, light: Floats, group: Ints, stiffness: Floats, stray: float) -> Floats:
    """How much of each shape all groups share in their lightness, by least squares that few strays do not sway."""
    weights = np.ones(len(light))
    fit = np.zeros(shapes.shape[1])
    columns = np.concatenate([shapes, light[:, None]], axis=1).T
    for _ in range(5):
        total = np.maximum(np.bincount(group, weights=weights), 1e-9)
        means = [(np.bincount(group, weights=weights * column) / total)[group] for column in columns]
        own = (columns - np.stack(means)).T
        pull = own[:, :-1].T * weights
        fit = np.linalg.solve(pull @ own[:, :-1] + np.diag(stiffness), pull @ own[:, -1])
        weights = 1 / (1 + ((own[:, -1] - own[:, :-1] @ fit) / stray) ** 2)
    return fit
