"""Where a quilt and its four edges lie in a photograph, as a small trained network sees them.

The network looks at the whole photograph, squeezed to a square of 512 px, and says for each of 256 by 256 spots how
likely the quilt covers it, and how likely its top, right, bottom or left edge runs through it: through what lies on the
edge, too. It was trained by `judging/training/train.py` on pictures drawn by rule, with block designs, grounds and seeds that no
judging uses; no photograph of a real quilt took part.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamlore.photo.networks import Network, planes_of, squeezed

Floats = NDArray[np.float32]

SPOTS = 256
EDGES = Network("edges/network.onnx", ("edges",))


@dataclass(frozen=True, eq=False)
class SeenEdges:
    """What the network says of a photograph; each spot stands for one of 256 by 256 equal parts of the picture.

    Attributes
    ----------
    quilt
        How likely the quilt covers each spot, shape (256, 256), 0..1.
    edges
        How likely its top, right, bottom and left edge runs through each spot, shape (4, 256, 256), 0..1.
    """

    quilt: Floats
    edges: Floats


def see_edges(pixels: NDArray[np.uint8]) -> SeenEdges:
    """Look for the quilt in a photograph.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        An upright photograph, sRGB.

    Returns
    -------
    SeenEdges

    Examples
    --------
    >>> photo = np.full((360, 480, 3), 90, np.uint8)
    >>> photo[60:300, 90:390] = (200, 60, 60)
    >>> seen = see_edges(photo)
    >>> bool(seen.quilt[128, 128] > 0.5 > seen.quilt[10, 10]), seen.edges.shape
    (True, (4, 256, 256))
    """
    (said,) = EDGES.run(planes_of(squeezed(pixels), pixels.shape[1] / pixels.shape[0]))
    shares = 1 / (1 + np.exp(-said[0]))
    return SeenEdges(shares[0], shares[1:])
