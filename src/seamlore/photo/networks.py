"""Run the trained networks that lie beside this module, and prepare what they look at."""

from __future__ import annotations

from functools import cached_property
from importlib.resources import files
from threading import Lock
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

SIDE_PX = 512
# Only what stops a network is told; what the library wonders about the machine is none of a quilter's business.
_ERRORS_ONLY = 3


class Network:
    """One trained network: an open network file (ONNX) of this folder, read when it is first asked.

    It runs on the processor, on as many threads as the image library may use when it is read.

    Parameters
    ----------
    name : str
        Of the file.
    outputs : tuple of str
        What it gives, by name.
    """

    def __init__(self, name: str, outputs: tuple[str, ...]) -> None:
        self.name, self.outputs = name, outputs
        # Two studies may be read at once: the file is read for the first of them only.
        self._one_reads = Lock()

    @cached_property
    def _read(self) -> Any:
        import onnxruntime  # a tenth of a second, and not every command looks at a photograph

        # Only the library's builds for Windows count their users; there too nothing may leave the machine.
        onnxruntime.disable_telemetry_events()
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = cv2.getNumThreads()
        # Kept between two looks, what it works in would be 250 MB for nothing gained.
        options.enable_cpu_mem_arena = False
        options.log_severity_level = _ERRORS_ONLY
        stored = (files("seamlore.photo") / self.name).read_bytes()
        return onnxruntime.InferenceSession(stored, options, providers=["CPUExecutionProvider"])

    def run(self, planes: NDArray[np.float32]) -> tuple[NDArray[np.float32], ...]:
        """Run it on prepared planes, shape (1, 4, SIDE_PX, SIDE_PX); gives what `outputs` names, raw."""
        with self._one_reads:
            network = self._read
        return tuple(network.run(list(self.outputs), {"picture": planes}))


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
