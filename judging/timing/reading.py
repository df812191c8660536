"""How long a large photograph takes to read, beside merely decoding and warping it in the same run.

Two yardsticks. As the program itself does both, every pixel kept: opened safely, and flattened at its full size along the
edges that were found, by cubic interpolation. And barely: decoded and warped by four corners, by linear interpolation.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import cv2

from judging.rendering.quilts import make_quilt

# In a process of its own, so that its memory is that of one reading and its libraries are loaded but once.
_WORK = """
import json, sys, time
from pathlib import Path
import cv2, numpy as np
from seamlore.lengths import inches
from seamlore.photo.flatten import flatten
from seamlore.photo.opening import open_photo
from seamlore.photo.read import look, read_photo
path, corners, size = Path(sys.argv[1]), json.loads(sys.argv[2]), json.loads(sys.argv[3])
tape = tuple(inches(side) for side in size)
def barely():
    began = time.perf_counter()
    pixels = cv2.imdecode(np.frombuffer(path.read_bytes(), np.uint8), cv2.IMREAD_COLOR)
    wide, high = pixels.shape[1], round(pixels.shape[1] * size[1] / size[0])
    flat = np.array([[0, 0], [wide, 0], [wide, high], [0, high]], np.float32)
    cv2.warpPerspective(pixels, cv2.getPerspectiveTransform(np.array(corners, np.float32), flat), (wide, high))
    return time.perf_counter() - began
frame = look(open_photo(path), size=tape).flat.frame
def warp():
    began = time.perf_counter()
    photo = open_photo(path)
    flatten(photo, frame, longest_px=round(photo.size_px[0] * max(1, size[1] / size[0])))
    return time.perf_counter() - began
def read(given):
    began = time.perf_counter()
    read_photo(open_photo(path), corners=corners if given else None, size=tape)
    return time.perf_counter() - began
given, found = min(read(True) for _ in range(2)), min(read(False) for _ in range(2))
# The most that this process held; what the system keeps for its children would count the parent's memory too.
held = next(line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM"))
bare, plain = min(barely() for _ in range(3)), min(warp() for _ in range(3))
print(json.dumps([bare, plain, given, found, int(held.split()[1]) / 1024]))
"""


@dataclass(frozen=True, slots=True)
class Timing:
    """Seconds for one photograph of 12 megapixels, and the most memory used.

    `plain_s` is to decode and warp it as the program does, `bare_s` barely.
    """

    megapixels: float
    bare_s: float
    plain_s: float
    given_s: float
    found_s: float
    memory_mb: float

    @property
    def ratio(self) -> float:
        """How many times as long reading takes as decoding and warping, corners found."""
        return self.found_s / self.plain_s

    def __str__(self) -> str:
        marks = [
            ("in 2 s", self.found_s <= 2),
            ("ratio under 10", self.ratio < 10),
            ("under 700 MB", self.memory_mb < 700),
        ]
        said = ", ".join(f"{name}: {'pass' if passed else 'MISS'}" for name, passed in marks)
        return (
            f"A photograph of {self.megapixels:.0f} megapixels: decoded and warped as the program does it, along its edges "
            f"and at full size, in {self.plain_s:.2f} s; read in {self.given_s:.2f} s with corners given and "
            f"{self.found_s:.2f} s with corners found (ratio {self.ratio:.1f}), {self.memory_mb:.0f} MB at most. {said}. "
            f"Barely decoded and warped by four corners it takes {self.bare_s:.2f} s (ratio "
            f"{self.found_s / self.bare_s:.1f})."
        )


def time_reading(seed: int = 5) -> Timing:
    """Render one photograph of 12 megapixels and time its reading in a process of its own."""
    pixels, truth = make_quilt(seed, kind="straight", long_side_px=4000, aspect=4 / 3, rows=8, columns=7)
    with tempfile.TemporaryDirectory() as folder:
        photo = Path(folder) / "large.jpg"
        cv2.imwrite(str(photo), pixels[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 90])
        words = [str(photo), str([list(each) for each in truth.corners or ()]), str(list(truth.size or ()))]
        # As the program itself is started.
        environment = os.environ | {"OPENBLAS_NUM_THREADS": "1"}
        done = subprocess.run(
            [sys.executable, "-c", _WORK, *words], capture_output=True, text=True, check=True, env=environment
        )
    bare, plain, given, found, memory = (float(each) for each in done.stdout.strip().strip("[]").split(","))
    return Timing(pixels.shape[0] * pixels.shape[1] / 1e6, bare, plain, given, found, memory)
