"""Where columns and rows of blocks begin and end, as a small trained network sees them in a flattened picture.

The network looks at the whole quilt at once, squeezed to a square of 512 px: as it is, and where that is not enough once
more, turned half round and a little softened; what it says both times is averaged. It gives for each of 256 strips across
and down how likely a block begins there, how likely one ends there, and whether the strip belongs to the field of
blocks; and for the whole how likely the blocks are set straight, on point, or in no grid. It was trained by
`judging/training/train.py` on pictures drawn by rule, with block designs and seeds that no judging uses; no photograph of a
real quilt took part. The network file beside this module says with its check values what it must give.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.networks import Network, planes_of, squeezed

Floats = NDArray[np.float64]

STRIPS = 256
EYE = Network("grid/network.onnx", ("lines", "setting"))
# Softened by this much for the second look, so that no print is seen twice in the same way.
_SOFT_PX = 0.8


@dataclass(frozen=True, eq=False)
class Strips:
    """What the network says of one axis, for each of 256 strips along it; each of shape (256,), 0..1.

    Attributes
    ----------
    begins, ends
        How likely a block begins, or ends, in the strip. Blocks that the quilt's edge cuts begin or end at the edge.
    field
        How likely the strip lies between the outermost blocks' outer sides, and not in a border.
    """

    begins: Floats
    ends: Floats
    field: Floats


@dataclass(frozen=True, eq=False)
class Glance:
    """What the network says of a quilt.

    Attributes
    ----------
    across, down
        Of the columns and of the rows.
    straight, on_point, none
        How likely the blocks are set so; they add up to 1.
    """

    across: Strips
    down: Strips
    straight: float
    on_point: float
    none: float


def glances(square: NDArray[np.uint8], proportion: float) -> Iterator[Glance]:
    """Look at a flattened quilt once, then, if that is asked for, once more, turned half round and a little softened.

    Parameters
    ----------
    square : ndarray of uint8, shape (512, 512, 3)
        The flattened quilt, sRGB, as `squeezed` gives it; its edges are the edges of the picture.
    proportion : float
        How many times as wide as tall the quilt is.

    Yields
    ------
    Glance
        What the first look says; then what both say together.

    Examples
    --------
    >>> first, both = glances(np.full((512, 512, 3), 200, np.uint8), 1.5)
    >>> first.across.begins.shape, round(both.straight + both.on_point + both.none, 6)
    ((256,), 1.0)
    """
    lines, setting = EYE.run(planes_of(square, proportion))
    yield _glance(lines, _shares(setting[0]))
    soft = np.asarray(cv2.GaussianBlur(square, (0, 0), _SOFT_PX)[::-1, ::-1], dtype=np.uint8)
    turned, setting_turned = EYE.run(planes_of(soft, proportion))
    # Turned half round, what began ends, and the last strip is the first.
    turned = turned.reshape(2, STRIPS, 3)[:, ::-1][..., [1, 0, 2]].reshape(lines.shape)
    yield _glance((lines + turned) / 2, (_shares(setting[0]) + _shares(setting_turned[0])) / 2)


def glance(pixels: NDArray[np.uint8]) -> Glance:
    """Look at a flattened quilt twice, and give what both looks say together."""
    *_, both = glances(squeezed(pixels), pixels.shape[1] / pixels.shape[0])
    return both


def _glance(lines: NDArray[Any], setting: Floats) -> Glance:
    told = 1 / (1 + np.exp(-lines[0].astype(np.float64)))
    across, down = (
        Strips(*(np.ascontiguousarray(part[:, k]) for k in range(3))) for part in (told[:STRIPS], told[STRIPS:])
    )
    return Glance(across, down, float(setting[0]), float(setting[1]), float(setting[2]))


def _shares(raw: NDArray[np.float32]) -> Floats:
    part = np.exp(raw.astype(np.float64) - float(raw.max()))
    return np.asarray(part / part.sum())
