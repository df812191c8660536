"""Run the trained networks that lie in the folders beside this module, and prepare what they look at."""

from __future__ import annotations

import os
from functools import cached_property
from importlib.resources import files
from threading import Lock
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

SIDE_PX = 512


class Network:
    """One trained network: an open network file (ONNX) in a folder of this room, read when it is first asked.

    Parameters
    ----------
    name : str
        Of the file, from this room's folder.
    outputs : tuple of str
        What it gives, by name.
    looks_at : str
        What it calls the picture that it is given.
    """

    def __init__(self, name: str, outputs: tuple[str, ...], looks_at: str = "picture") -> None:
        self.name, self.outputs, self.looks_at = name, outputs, looks_at
        # Two studies may be read at once, and the network holds what it was given.
        self._one_at_a_time = Lock()

    @cached_property
    def _read(self) -> Any:
        stored = (files("seamlore.photo") / self.name).read_bytes()
        # Of the image library's two ways to run networks the quicker for these. It is told by its own setting: what is
        # asked of the reader it heeds for files alone, and files it does not find under every name.
        os.environ["OPENCV_FORCE_DNN_ENGINE"] = str(cv2.dnn.ENGINE_CLASSIC)
        return cv2.dnn.readNetFromONNX(np.frombuffer(stored, np.uint8))

    def run(self, planes: NDArray[np.float32]) -> tuple[NDArray[np.float32], ...]:
        """Run it on prepared planes, such as `planes_of` makes; gives what `outputs` names, raw."""
        with self._one_at_a_time:
            self._read.setInput(planes, self.looks_at)
            # What is given back may lie in the network's own memory, which the next run fills.
            return tuple(np.array(each) for each in self._read.forward(list(self.outputs)))


def squeezed(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Squeeze a picture to a square of SIDE_PX.

    Examples
    --------
    >>> squeezed(np.zeros((60, 80, 3), np.uint8)).shape
    (512, 512, 3)
    """
    shrink = max(pixels.shape[:2]) >= SIDE_PX
    small = cv2.resize(pixels, (SIDE_PX, SIDE_PX), interpolation=cv2.INTER_AREA if shrink else cv2.INTER_LINEAR)
    return np.asarray(small, dtype=np.uint8)


def planes_of(square: NDArray[np.uint8], proportion: float) -> NDArray[np.float32]:
    """Prepare a squeezed picture: its colors about 0, and how wide to tall it was; shape (1, 4, SIDE_PX, SIDE_PX).

    Examples
    --------
    >>> planes_of(np.full((512, 512, 3), 255, np.uint8), 1.0)[0, :, 0, 0].tolist()
    [2.0, 2.0, 2.0, 0.0]
    """
    planes = np.empty((1, 4, SIDE_PX, SIDE_PX), np.float32)
    planes[0, :3] = (square.transpose(2, 0, 1).astype(np.float32) / 255 - 0.5) * 4
    planes[0, 3] = np.log(proportion)
    return planes
