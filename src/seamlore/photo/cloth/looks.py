"""What a whole quilt looks like, so much reduced that two photographs of one quilt give nearly the same."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from seamlore.photo.cielab import lab_of

_SIDE = 24
_SOFT = 5.0  # what changes more slowly over the quilt is the light's
# From this likeness on two photographs may be of one quilt. Of 22 real quilts, each seen twice with corners off by 1 % of
# its width and in other light, the same came to 0.81 at least, any two to 0.39 at most; corners off by 2 % gave 0.55.
MAY_BE_ONE = 0.65


def looks_of(pixels: NDArray[np.uint8]) -> bytes:
    """Reduce a flattened quilt to what it looks like: `_SIDE` x `_SIDE` colors, freed of light, as signed bytes.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
        The quilt laid flat, edge to edge.

    Examples
    --------
    >>> len(looks_of(np.zeros((90, 70, 3), np.uint8)))
    1728
    """
    small = np.asarray(cv2.resize(pixels, (_SIDE, _SIDE), interpolation=cv2.INTER_AREA), np.uint8)
    lab = lab_of(small)
    lab = lab - cv2.GaussianBlur(lab, (0, 0), _SOFT)
    size = float(np.sqrt((lab**2).mean()))
    return bytes(np.clip(np.rint(lab / max(size, 1.0) * 32), -127, 127).astype(np.int8).tobytes())


def likeness(one: bytes, many: list[bytes]) -> NDArray[np.float64]:
    """Say how much each of many quilts looks like one, whichever way round each lies: correlations, shape (n,).

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> quilt = rng.integers(0, 255, (80, 80, 3), np.uint8)
    >>> likeness(looks_of(quilt), [looks_of(quilt[::-1, ::-1])]).round(1).tolist()
    [1.0]
    >>> likeness(looks_of(quilt), []).tolist()
    []
    """
    if not many:
        return np.zeros(0)
    square = np.frombuffer(one, np.int8).reshape(_SIDE, _SIDE, 3).astype(np.float32)
    turns = np.stack([np.rot90(square, turn).ravel() for turn in range(4)])
    there = np.frombuffer(b"".join(many), np.int8).reshape(len(many), -1).astype(np.float32)
    length = np.linalg.norm(there, axis=1)[:, None] * np.linalg.norm(turns, axis=1)[None] + 1e-6
    return np.asarray((there @ turns.T / length).max(axis=1), np.float64)
