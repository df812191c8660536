"""Patterns of patches, each number in fabrics of its own, drawn as stacks of blocks."""

import numpy as np

from seamlore.photo.triangles import by_pixel, print_noise

SIDE = 60
# Stacks are drawn by the tests: custom, no source.


def stack(pattern: np.ndarray, blocks: int, seed: int = 1, noise: float = 4.0) -> np.ndarray:
    """Copies of a pattern, each number in a fabric of its own in each block."""
    rng = np.random.default_rng(seed)
    colors = rng.uniform([20, -30, -30], [90, 30, 30], (blocks, int(pattern.max()) + 1, 3))
    lab = colors[:, pattern]
    return (lab + rng.normal(0, noise, lab.shape[:3])[..., None] * [1, 0.2, 0.2]).astype(np.float32)


def squares(count: int) -> np.ndarray:
    cell = np.arange(SIDE) * count // SIDE
    return cell[:, None] * count + cell


def noise_of(lab: np.ndarray) -> np.ndarray:
    return print_noise(by_pixel(lab), lab.shape[1])
