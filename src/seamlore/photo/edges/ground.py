"""What the quilt lies on, told from the rim of the picture: how likely each pixel is quilt rather than ground.

Colors and fine texture are counted into histograms, so that a ground may be of several colors (boards and
gaps, grass and soil). Nothing is taken to be quilt for its color alone: what the rim does not have is quilt.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Numbers = NDArray[np.float64]
Mask = NDArray[np.bool_]
Kinds = NDArray[np.int64]

# Texture, L*, a*, b*: bins of about 4 CIELAB units, the spread of a printed cotton in one light.
_BINS = (4, 24, 30, 30)
_COLOR_SPAN = 60.0
_BIN_AB = 4.0
# Spread of L* in a small window: plain cloth, woven texture, print, strong print (set by eye).
_TEXTURES = (1.5, 4.0, 9.0)
# How dark a shadow is beside the ground it falls on, and how much of the ground may lie in one (set by eye).
_SHADOWS = ((0.92, 0.3), (0.84, 0.3), (0.76, 0.2), (0.68, 0.1))
# No single pixel may outvote a patch.
_MOST_SAID = 3.0


def kinds_of(lab: Floats) -> Kinds:
    """Sort every pixel into a kind by color and fine texture.

    Parameters
    ----------
    lab : ndarray of float32, shape (h, w, 3)

    Returns
    -------
    ndarray of int, shape (h, w)

    Examples
    --------
    >>> kinds = kinds_of(np.zeros((9, 9, 3), np.float32))
    >>> int(kinds.min()) == int(kinds.max())
    True
    """
    light = lab[..., 0]
    mean = cv2.blur(light, (5, 5))
    spread = np.sqrt(np.maximum(cv2.blur(light * light, (5, 5)) - mean * mean, 0))
    texture = np.digitize(spread, _TEXTURES)
    calm = cv2.GaussianBlur(lab, (0, 0), 1.0)
    level = np.clip((calm[..., 0] * (_BINS[1] / 100)).astype(np.int64), 0, _BINS[1] - 1)
    red = np.clip(((calm[..., 1] + _COLOR_SPAN) / _BIN_AB).astype(np.int64), 0, _BINS[2] - 1)
    yellow = np.clip(((calm[..., 2] + _COLOR_SPAN) / _BIN_AB).astype(np.int64), 0, _BINS[3] - 1)
    return np.asarray(((texture * _BINS[1] + level) * _BINS[2] + red) * _BINS[3] + yellow)


def share_of_kinds(kinds: Kinds, where: Mask | None = None, *, blurred: int = 1) -> Numbers:
    """Count how large a share of some pixels each kind has, blurred over neighboring kinds.

    Parameters
    ----------
    kinds : ndarray of int
    where : ndarray of bool, same shape, optional
        Which pixels count; all when not given.
    blurred : int, optional
        How often the counts are blurred over neighboring colors.

    Returns
    -------
    ndarray, shape (number of kinds,)
        Sums to 1, or to 0 when no pixel counts.
    """
    counted = kinds.ravel() if where is None else kinds[where]
    share = np.bincount(counted, minlength=int(np.prod(_BINS))).astype(np.float64).reshape(_BINS)
    for _ in range(blurred):
        for axis, part in ((0, 0.15), (1, 0.25), (2, 0.25), (3, 0.25)):
            here = np.moveaxis(share, axis, 0)
            spread = (1 - 2 * part) * here
            spread[1:] += part * here[:-1]
            spread[:-1] += part * here[1:]
            # What would go past the last kind stays there.
            spread[0] += part * here[0]
            spread[-1] += part * here[-1]
            share = np.moveaxis(spread, 0, axis)
    return np.asarray(share.ravel() / max(share.sum(), 1e-12))


def with_shadows(share: Numbers) -> Numbers:
    """Add to a ground what it looks like in the shadow that a quilt throws beside itself.

    A shadow scales a color toward black: lightness and color alike, by less than half.

    Parameters
    ----------
    share : ndarray, shape (number of kinds,)

    Returns
    -------
    ndarray, shape (number of kinds,)
    """
    seen = np.flatnonzero(share > 1e-7)
    texture, level, red, yellow = np.unravel_index(seen, _BINS)
    whole = share.copy()
    for depth, part in _SHADOWS:
        dark = (
            texture,
            ((level + 0.5) * depth).astype(np.int64),
            ((red + 0.5 - _BINS[2] / 2) * depth + _BINS[2] / 2).astype(np.int64),
            ((yellow + 0.5 - _BINS[3] / 2) * depth + _BINS[3] / 2).astype(np.int64),
        )
        np.add.at(whole, np.ravel_multi_index(dark, _BINS), part * share[seen])
    return np.asarray(whole / max(whole.sum(), 1e-12))


def overlap(one: Numbers, two: Numbers) -> float:
    """Give how alike two shares of kinds are: 0 nothing in common, 1 the same (Bhattacharyya's coefficient).

    Examples
    --------
    >>> overlap(np.array([0.5, 0.5]), np.array([0.5, 0.5]))
    1.0
    >>> overlap(np.array([1.0, 0.0]), np.array([0.0, 1.0]))
    0.0
    """
    return float(np.sqrt(one * two).sum())


def quilt_over_ground(kinds: Kinds, quilt: Numbers, ground: Numbers) -> Floats:
    """Give the log of how much likelier each pixel is quilt than ground, within +-3.

    Parameters
    ----------
    kinds : ndarray of int, shape (h, w)
    quilt, ground : ndarray, shape (number of kinds,)

    Returns
    -------
    ndarray of float32, shape (h, w)
    """
    said = np.log(quilt + 1e-9) - np.log(ground + 1e-9)
    return np.asarray(np.clip(said, -_MOST_SAID, _MOST_SAID)[kinds], dtype=np.float32)


@dataclass(frozen=True)
class Scene:
    """One small picture of a quilt on its ground, with what is asked of it again and again.

    Attributes
    ----------
    lab
        float32, shape (h, w, 3).
    kinds
        Kind of every pixel, shape (h, w).
    anything
        Share of every kind in the whole picture, much blurred.
    """

    lab: Floats
    kinds: Kinds
    anything: Numbers

    @property
    def shape(self) -> tuple[int, int]:
        """Height and width in pixels."""
        return self.lab.shape[0], self.lab.shape[1]


def scene_of(lab: Floats) -> Scene:
    """Make a scene of a small CIELAB picture."""
    kinds = kinds_of(lab)
    return Scene(lab, kinds, share_of_kinds(kinds, blurred=4))


def depth_maps(shape: tuple[int, int]) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """Give every pixel's distance from the top, right, bottom and left of the picture.

    Examples
    --------
    >>> [int(depth[0, 1]) for depth in depth_maps((3, 4))]
    [0, 2, 2, 1]
    """
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float64)
    return y, shape[1] - 1 - x, shape[0] - 1 - y, x


def maps_by_side(
    scene: Scene, inside: Mask, reach_px: tuple[float, ...], band_px: float, at_rim: Mask
) -> list[Floats]:
    """Map quilt against ground as each side of the picture knows the ground.

    Parameters
    ----------
    scene : Scene
    inside : ndarray of bool, shape (h, w)
        What is taken for quilt so far.
    reach_px : four floats
        How far from the top, right, bottom and left the ground is taken from.
    band_px : float
        The rim that is ground on whichever side.
    at_rim : ndarray of bool, shape (4,)
        Sides at which the quilt reaches the rim, which then is no ground.

    Returns
    -------
    list of four ndarrays of float32, shape (h, w)
        For the top, right, bottom and left.
    """
    depths = depth_maps(scene.shape)
    rim = np.zeros(scene.shape, dtype=bool)
    for depth, quilted in zip(depths, at_rim, strict=True):
        rim |= (depth < band_px) & ~(inside & quilted)
    everywhere = share_of_kinds(scene.kinds, rim)
    # Half of the quilt is "anything": a border that the middle does not have is quilt all the same.
    quilt = 0.5 * share_of_kinds(scene.kinds, inside) + 0.5 * scene.anything
    maps = []
    for depth, reach in zip(depths, reach_px, strict=True):
        near = (depth < reach) & ~inside
        here = share_of_kinds(scene.kinds, near) if near.sum() > 50 else everywhere
        ground = 0.6 * here + 0.3 * everywhere + 0.1 * scene.anything
        maps.append(quilt_over_ground(scene.kinds, quilt, ground))
    return maps
