"""The pictures of a training, kept in files: made once, in as many processes as there are, and taken in their order."""

from __future__ import annotations

import multiprocessing
import multiprocessing.pool
import time
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from judging.training.courses import Training
from judging.training.samples import MOST, make_sample

Arrays = dict[str, NDArray[Any]]


def chunk_path(folder: Path, start: int, *, photographed: bool) -> Path:
    """Name the file of a chunk by the number of its first picture."""
    return folder / f"{'seen' if photographed else 'flat'}_{start:08d}.npz"


def make_chunk(job: tuple[Path, int, int, bool]) -> None:
    """Make some pictures and keep them in a file: (folder, first, how many, whether photographed too)."""
    import cv2

    cv2.setNumThreads(1)
    folder, start, count, photographed = job
    made: dict[str, list[Any]] = {}
    for k in range(start, start + count):
        try:
            sample = make_sample(k, photographed=photographed)
        except Exception as fault:
            # One picture of many thousands is passed over, and told; the same one each time.
            print(f"picture {k} left out: {type(fault).__name__}: {fault}", flush=True)
            continue
        lines = np.full((2, 2, MOST), np.nan, np.float32)
        for axis, spans in enumerate((sample.columns, sample.rows)):
            lines[axis, :, : len(spans)] = spans.T
        for name in ("pixels", "aspect", "setting", "photo", "photo_aspect", "lies"):
            made.setdefault(name, []).append(getattr(sample, name))
        made.setdefault("lines", []).append(lines)
    path = chunk_path(folder, start, photographed=photographed)
    part = path.with_suffix(".part")
    with part.open("wb") as out:
        np.savez(out, allow_pickle=False, **{name: np.stack(each) for name, each in made.items()})
    part.rename(path)


class Pictures:
    """The chunks of one training, made by other processes while those that are there are taken in.

    What is taken in before a step depends on the step alone (`Training.chunks_by`), never on how fast pictures are made.

    Parameters
    ----------
    training : Training
    folder : Path
        Of the files; what is there already is not made again.
    processes : int
        That make pictures; 0 when another training makes them.
    """

    def __init__(self, training: Training, folder: Path, processes: int) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.training, self.folder, self.taken = training, folder, 0
        jobs = [
            (folder, start, training.chunk, training.photographed)
            for start, _ in training.chunks()
            if not chunk_path(folder, start, photographed=training.photographed).exists()
        ]
        self._pool: multiprocessing.pool.Pool | None = None
        if processes and jobs:
            # Each begins afresh, since this one may hold a graphics card.
            self._pool = multiprocessing.get_context("spawn").Pool(processes)
            self._making = self._pool.map_async(make_chunk, jobs, chunksize=1)

    def due(self, step: int) -> list[tuple[bool, Arrays]]:
        """Give the chunks to take in before a step, waiting for them: whether held out, and what is in them."""
        return [self.take() for _ in range(self.training.chunks_by(step) - self.taken)]

    def take(self) -> tuple[bool, Arrays]:
        """Give the next chunk, waiting for it."""
        start, held = self.training.chunks()[self.taken]
        path = chunk_path(self.folder, start, photographed=self.training.photographed)
        while not path.exists():
            if self._pool is not None and self._making.ready():
                self._making.get()  # tells what went wrong there
            time.sleep(0.05)
        self.taken += 1
        with np.load(path, allow_pickle=False) as stored:
            return held, {name: stored[name] for name in stored.files}

    def close(self) -> None:
        """End the processes."""
        if self._pool is not None:
            self._pool.terminate()
