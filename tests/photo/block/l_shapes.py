"""Blocks that look different each way they lie, drawn as arrays."""

import numpy as np

from seamlore.photo.stack import move_square

SIDE = 48
# All blocks here are drawn by the tests, so their truth is exact: custom, no source.


def l_shape(rng: np.random.Generator, swap: bool = False) -> np.ndarray:
    """A block that looks different each way it lies, in two fabrics of its own."""
    light, dark = rng.uniform(70, 90), rng.uniform(15, 35)
    light, dark = (dark, light) if swap else (light, dark)
    block = np.full((SIDE, SIDE, 3), 0.0, dtype=np.float32)
    block[..., 0] = light
    block[8:40, 8:16, 0] = dark
    block[32:40, 8:30, 0] = dark
    block[..., 1:] = rng.normal(0, 8, 2)
    return block + rng.normal(0, 2, block.shape).astype(np.float32)


def stack_of(moves: list[int], seed: int = 1) -> np.ndarray:
    rng = np.random.default_rng(seed)
    return np.concatenate([move_square(l_shape(rng)[None], move) for move in moves]).astype(np.float32)
