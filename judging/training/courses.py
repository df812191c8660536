"""Which trainings, in which order, made the networks: on which pictures, for how many steps, from which seeds.

The eye and the edges that are kept were made by the same trainings in the same order, but each ran for a stated time instead of a
number of steps, and on the pictures that were drawn then: kinds of quilts were added between the trainings (decisions
"A trained eye finds the block grid" and "A network finds a quilt's edges first"), and some seeds of the later ones were
not written down. So a course makes networks anew, by today's pictures; it does not give the kept ones to the last bit.
The same course twice does: a tiny one gave the same file. Steps are as many as an H200 does in the times that stand
beside them, about ten a second as measured; no course was run whole since it is written in steps.

The seams that are kept (decision "A network tells seams from prints") were not made by their course to the letter either.
Of their first training 220,000 windows and 14,716 steps were wanted, by PyTorch's OneCycleLR over all of those steps. The
machine's time ended it after some 11,700 steps, with about 82,000 windows drawn; its slow average as it was written at
step 10,000 was gone on from. Windows came in as they were drawn, each process with a bank of fabrics of its own that it
kept from chunk to chunk, and without what is laid on plain squares, labels, printed pieces and too little light, which
were added for the trainings after it. The second training ran whole. The third was ended by the clock; the slow average of its
step 18,000 is kept, so that the end of the plan, where the rate falls to nothing, is missing. One that went on from there
with 26,112 windows, rate falling to nothing over 12,900 steps, did worse on windows held out (loss 0.1475, 0.1462 before)
and was not kept.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

BATCH = 64
CHUNK = 64
HELD = 12 * CHUNK
_WARM_STEPS = 200
_LEAST_RATE = 0.02


@dataclass(frozen=True, slots=True)
class Training:
    """One training of a network.

    Attributes
    ----------
    first : int
        Number of its first picture after those that are held out, which are 0 to `held` for all trainings.
    pictures : int
        How many there are, windows for the seams; the training begins with some and takes in the rest as it goes on.
    steps : int
        Of one batch each.
    photographed : bool
        Whether photographs are made too; the eye needs none.
    rate : float
        The highest learning rate; the seams' rises to it and falls by OneCycleLR instead of `rate_at`.
    seed : int
        Of the order in which pictures are shown, and of what a camera does to them.
    batch, held, chunk : int
        Pictures in a step, held out to judge by, and made at a time.
    filled : float
        The share of the steps by which all pictures are taken in.
    """

    first: int
    pictures: int
    steps: int
    photographed: bool = False
    rate: float = 1.5e-3
    seed: int = 0
    batch: int = BATCH
    held: int = HELD
    chunk: int = CHUNK
    filled: float = 0.5

    def chunks(self) -> list[tuple[int, bool]]:
        """Give the number of the first picture of each chunk, and whether it is held out, in the order of use.

        Examples
        --------
        >>> Training(first=8, pictures=4, steps=1, held=2, chunk=2).chunks()
        [(0, True), (10, False), (12, False)]
        """
        held = [(start, True) for start in range(0, self.held, self.chunk)]
        after = self.first + self.held
        return held + [(start, False) for start in range(after, after + self.pictures, self.chunk)]

    def chunks_by(self, step: int) -> int:
        """Give how many chunks, held out and not, are taken in before a step: so many whatever is made by then.

        A sixteenth of the pictures is there at the first step, all at the middle one or at that of `filled`.

        Examples
        --------
        >>> way = Training(first=0, pictures=64, steps=100, held=4, chunk=2)
        >>> [way.chunks_by(step) for step in (0, 25, 50, 99)]
        [4, 19, 34, 34]
        """
        held, every = len(range(0, self.held, self.chunk)), len(self.chunks())
        share = 1 / 16 + (1 - 1 / 16) * min(1.0, step / (self.filled * self.steps))
        return held + min(every - held, math.ceil(share * (every - held)))

    def rate_at(self, step: int) -> float:
        """Give the learning rate of a step: rising at first, then falling by half a cosine.

        Examples
        --------
        >>> way = Training(first=0, pictures=64, steps=1000, rate=1.0)
        >>> [round(way.rate_at(step), 3) for step in (0, 199, 500, 999)]
        [0.005, 0.907, 0.51, 0.02]
        """
        fall = 0.5 * (1 + math.cos(math.pi * step / self.steps))
        return self.rate * min(1.0, (step + 1) / _WARM_STEPS) * (_LEAST_RATE + (1 - _LEAST_RATE) * fall)

    def small(self) -> Training:
        """Give the same at a tiny size, to see that it runs."""
        return replace(self, pictures=4, steps=4, batch=2, held=2, chunk=2)


# In order; each goes on from the network of the one before.
COURSES: dict[str, tuple[Training, ...]] = {
    "eye": (
        # Twice 9 minutes, then 5 on pictures made harder.
        Training(first=0, pictures=29_952, steps=11_000),
        Training(first=30_000, pictures=29_952, steps=3_000, rate=7.5e-4, seed=1),
        # 1,400 s beside the other network, on the same pictures.
        Training(first=60_000, pictures=29_952, steps=14_000, photographed=True, rate=7.5e-4, seed=2),
        Training(first=100_000, pictures=59_968, steps=14_000, rate=7.5e-4, seed=3),
        # 9 minutes each.
        Training(first=200_000, pictures=57_984, steps=5_400, rate=7.5e-4, seed=4),
        Training(first=300_000, pictures=59_648, steps=5_400, rate=7.5e-4, seed=5),
    ),
    "edges": (Training(first=60_000, pictures=29_952, steps=14_000, photographed=True),),
    "seams": (
        Training(first=0, pictures=81_984, steps=12_000, rate=3e-3, seed=20261130, batch=192, held=1024),
        # 450 s, and 520 s until its step 18,000.
        Training(
            first=1_000_000,
            pictures=37_632,
            steps=16_000,
            rate=1.5e-3,
            seed=1,
            batch=192,
            held=1024,
            chunk=256,
            filled=0.85,
        ),
        Training(
            first=2_000_000,
            pictures=91_648,
            steps=30_000,
            rate=1.5e-3,
            seed=2,
            batch=192,
            held=1024,
            chunk=256,
            filled=0.85,
        ),
    ),
}
