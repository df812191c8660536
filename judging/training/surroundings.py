"""Grounds made up by chance, to train on: what a quilt may lie on or hang before is never all known beforehand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from judging.rendering.cloth import Cloth
from judging.rendering.grounds import Place, draw_ground
from judging.rendering.recipe import GROUNDS

Floats = NDArray[np.floating[Any]]


def chance_ground(at: Floats, cloths: Sequence[Cloth], rng: np.random.Generator) -> Floats:
    """Draw a ground, or two that meet in a straight line.

    Parameters
    ----------
    at : ndarray, shape (height, width, 2)
        The spot of the ground that each pixel sees, in inches.
    cloths : sequence of Cloth
        What cloth on the ground is cut from.
    rng : Generator

    Returns
    -------
    ndarray, shape (height, width, 3)
        RGB 0..1.
    """
    drawn = _one(at, cloths, rng)
    if rng.random() < 0.25:
        other = _one(at, cloths, rng)
        place = Place(at, rng)
        edge = float(rng.uniform(np.percentile(place.y, 3), np.percentile(place.y, 97)))
        beyond = (place.y > edge)[..., None]
        if rng.random() < 0.3:
            beyond &= (place.x > float(rng.uniform(np.percentile(place.x, 3), np.percentile(place.x, 97))))[..., None]
        drawn = np.where(beyond, other, drawn)
    return np.asarray(np.clip(drawn, 0, 1), dtype=np.float32)


def _one(at: Floats, cloths: Sequence[Cloth], rng: np.random.Generator) -> Floats:
    if rng.random() < 0.6:
        return draw_ground(str(rng.choice(GROUNDS)), at, rng)
    place = Place(at, rng)
    kinds: tuple[Callable[[Place, Sequence[Cloth]], Floats], ...] = (_cloth, _patchwork, _patchwork, _bands, _mottled)
    return kinds[int(rng.integers(len(kinds)))](place, cloths)


def _pick(cloths: Sequence[Cloth], count: int, rng: np.random.Generator) -> NDArray[np.uint8]:
    return np.stack([cloths[int(rng.integers(len(cloths)))].tile for _ in range(count)])


def _cut(place: Place, tiles: NDArray[np.uint8], which: Floats, fine: float) -> Floats:
    """Look every spot up in the tile that it is cut from; `fine` pixels of the tile to an inch."""
    size = tiles.shape[1]
    u, v = ((each * fine).astype(np.int32) % size for each in (place.x, place.y))
    return np.asarray(tiles[which.astype(np.int32), v, u].astype(np.float32) / 255)


def _cloth(place: Place, cloths: Sequence[Cloth]) -> Floats:
    """One printed cloth, or widths of several."""
    rng = place.rng
    tiles = _pick(cloths, int(rng.integers(1, 4)), rng)
    width = float(rng.uniform(6, 60))
    which = place.each(np.floor(place.x / width), 0, len(tiles) - 0.01)
    return np.asarray(
        _cut(place, tiles, which, float(rng.uniform(4, 16))) * (1 + 0.05 * place.noise(8, 8))[..., None]
    )


def _patchwork(place: Place, cloths: Sequence[Cloth]) -> Floats:
    """Another quilt: squares, halves of squares, bars or nine patches, sashed or edge to edge."""
    rng = place.rng
    side = float(np.exp(rng.uniform(np.log(1.5), np.log(14))))
    tiles = _pick(cloths, int(rng.integers(2, 12)), rng)
    x, y = place.x / side, place.y / side
    column, row = np.floor(x), np.floor(y)
    u, v = x - column, y - row
    kind = int(rng.integers(4))
    part = np.zeros_like(u)
    if kind == 1:
        turned = (place.each(column * 7 + row, 0, 2) > 1) & (rng.random() < 0.5)
        part = np.where(turned, u + v > 1, u > v)
    elif kind == 2:
        part = np.floor(u * int(rng.integers(2, 6)))
    elif kind == 3:
        part = (np.floor(u * 3) + np.floor(v * 3)) % 2
    same = rng.random() < 0.4
    seed = part * 331 if same else column * 53 + row * 17 + part * 331
    which = place.each(seed, 0, len(tiles) - 0.01)
    if rng.random() < 0.35:
        gap = float(rng.uniform(0.1, 0.35))
        which = np.where((u < gap) | (v < gap), 0, which)
    seam = np.minimum(np.minimum(u, 1 - u), np.minimum(v, 1 - v)) * side
    shade = 1 - 0.15 * np.exp(-seam / 0.15)
    drawn = _cut(place, tiles, which, float(rng.uniform(8, 16)))
    return np.asarray(drawn * (shade * (0.95 + 0.05 * place.noise(3, 3)))[..., None])


def _bands(place: Place, cloths: Sequence[Cloth]) -> Floats:
    """Bands of two or three colors one way, or both ways as a plaid, of even or uneven widths."""
    rng = place.rng
    width = float(np.exp(rng.uniform(np.log(0.4), np.log(9))))
    inks = rng.uniform(0.05, 0.98, (3, 3)).astype(np.float32)

    def one_way(along: Floats) -> Floats:
        at = along / width
        if rng.random() < 0.5:
            at = at + 0.35 * np.sin(at * 2.1)
        return np.asarray(inks[np.floor(at).astype(np.int32) % int(rng.integers(2, 4))])

    drawn = one_way(place.y)
    if rng.random() < 0.5:
        drawn = (drawn + one_way(place.x)) / 2
    return np.asarray(drawn * (1 + 0.06 * place.noise(4, 4) + 0.03 * place.noise(0.3, 0.3))[..., None])


def _mottled(place: Place, cloths: Sequence[Cloth]) -> Floats:
    """Two colors that run into each other, in grains of any size and stretch."""
    rng = place.rng
    one, two = rng.uniform(0.05, 0.98, (2, 3)).astype(np.float32)
    big = float(np.exp(rng.uniform(np.log(0.4), np.log(20))))
    stretch = float(np.exp(rng.normal(0, 0.8)))
    mix = np.clip(0.5 + rng.uniform(0.1, 0.6) * place.noise(big * stretch, big / stretch), 0, 1)[..., None]
    drawn = one + mix * (two - one)
    return np.asarray(drawn * (1 + rng.uniform(0, 0.2) * place.noise(0.3, 0.4))[..., None])
