"""How sure it is that the seams of the block are right: what speaks for it, weighed on rendered quilts."""

from __future__ import annotations

from dataclasses import astuple, dataclass

import numpy as np

from seamlore.photo.piecing import Piecing


@dataclass(frozen=True, slots=True)
class Signs:
    """What speaks for and against a reading of the block.

    Attributes
    ----------
    weakest : float
        How clearly the fabric changes at the least clear tenth of the seams, 0..1.
    mean : float
        How clearly it changes at all of them.
    left : float
        Part of the colour change that the patches leave unexplained.
    misfit : float
        Part of it that another division would have explained.
    blocks : float
        Logarithm of how many blocks it was learnt from.
    side : float
        Logarithm of the block's side in pixels.
    patches : float
        Logarithm of how many patches there are.
    stray : float
        How far seams lie from their place, in parts of the block.
    """

    weakest: float
    mean: float
    left: float
    misfit: float
    blocks: float
    side: float
    patches: float
    stray: float

    @classmethod
    def of(cls, piecing: Piecing | None, blocks: int, side_px: float, stray: float) -> Signs | None:
        """Gather them; None when the piecing was given."""
        if piecing is None:
            return None
        votes = piecing.votes if len(piecing.votes) else np.zeros(1)
        return cls(
            weakest=float(np.quantile(votes, 0.1)),
            mean=float(votes.mean()),
            left=piecing.left,
            misfit=piecing.misfit,
            blocks=float(np.log(blocks)),
            side=float(np.log(side_px)),
            patches=float(np.log(len(piecing.areas))),
            stray=stray,
        )


_OFFSET = 0.0
_WEIGHTS = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def sureness(signs: Signs) -> float:
    """The probability, 0..1, that nearly all seams are right."""
    raw = _OFFSET + float(np.dot(_WEIGHTS, astuple(signs)))
    return float(1 / (1 + np.exp(-raw)))
