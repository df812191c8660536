"""How sure it is that the seams of the block are right: what speaks for it, weighed on rendered quilts."""

from __future__ import annotations

from dataclasses import astuple, dataclass

import numpy as np

from seamlore.photo.block.piecing import Piecing


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
        Part of the color change that the patches leave unexplained.
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


# Fitted by logistic regression (held back by a ridge) on 155 rendered quilts of the tuning set whose block grid was
# known, 7 of which had less than 0.93 of their seams right (F1); in ten-fold cross-validation the calibration error
# over ten bins was 0.02 (fitted anew by `python -m judging.fitting.block`). So few misses tell the doubtful from the sure, and not much about degrees of doubt.
_OFFSET = -5.08
_WEIGHTS = (2.215, 7.678, -1.43, -27.12, 0.006, 0.233, 0.024, -164.0)


def confidence(signs: Signs) -> float:
    """The probability, 0..1, that nearly all seams of the block are right, when its grid is.

    Examples
    --------
    >>> confidence(Signs(weakest=0.9, mean=0.95, left=0.1, misfit=0, blocks=4, side=5, patches=2, stray=0.005)) > 0.9
    True
    >>> confidence(Signs(weakest=0, mean=0, left=1, misfit=0, blocks=0, side=3, patches=0, stray=0.015)) < 0.1
    True
    """
    raw = _OFFSET + float(np.dot(_WEIGHTS, astuple(signs)))
    return float(1 / (1 + np.exp(-raw)))


@dataclass(frozen=True, slots=True)
class KindSigns:
    """What speaks for and against the drawing of one block as of its kind.

    Attributes
    ----------
    patches : int
        Of the drawing; 1 where the block is said to be plain.
    blocks : int
        How many blocks are of the kind.
    share : float
        Of all blocks, that are of the kind.
    agrees, shown, held : float
        How well this block agrees with the drawing, 0..1: in all, how much of what is drawn is seen in it, how much of
        what is seen in it is drawn.
    together : float
        How well all blocks of the kind agree with it.
    seams : float
        How long the seams are that are seen in the block, in its sides.
    parted : float
        Of the seams drawn in it, the share along which its cloth differs on the two sides, 0..1: a line of quilting
        parts nothing.
    known : bool
        Whether they are the seams of a block of the trade: what is drawn by mistake seldom has a name.
    """

    patches: int
    blocks: int
    share: float
    agrees: float
    shown: float
    held: float
    together: float
    seams: float
    parted: float
    known: bool

    @property
    def row(self) -> tuple[float, ...]:
        """As numbers that are weighed: those of a plain block are others than those of a pieced one."""
        if self.patches == 1:
            return (1.0, self.seams, float(np.log(self.blocks)), self.share, *(0.0,) * 11)
        pieced = (
            self.agrees,
            self.shown,
            self.held,
            self.together,
            float(np.log(self.blocks)),
            self.share,
            self.parted,
            float(self.known),
            # What is seen once is borne out by no other block; and one that strays from its kind may be of another.
            float(self.blocks == 1),
            abs(self.agrees - self.together),
        )
        return (0.0, 0.0, 0.0, 0.0, float(np.log(self.patches)), *pieced)


# Fitted by logistic regression (held back by a ridge), every photograph weighing alike, on the labeled photographs of
# real quilts and on as much weight of painted ones; `python -m judging.fitting.kinds` fits them anew and prints how they do on photographs left out.
_KIND_OFFSET = -7.161
_KIND_WEIGHTS = (
    7.599,
    -6.270,
    1.760,
    -1.288,
    0.846,
    2.284,
    2.135,
    0.622,
    0.929,
    -0.799,
    6.021,
    1.923,
    2.593,
    -2.533,
    -10.788,
)


FLOOR = 0.85  # below which the drawing of a block is not believed
FLOOR_OF_MANY, LEAST_OF_MANY = 0.57, 0.3  # the same of the middle one of very many blocks, and then of each
HARDLY = 0.7  # and below which a print or a picture may well have been taken for seams
PLAIN_FLOOR = (
    0.86  # and below which a block is not believed to be plain: much that is plain at first sight has a frame
)


def kind_confidence(signs: KindSigns) -> float:
    """The probability, 0..1, that the seams of a block are drawn right, when its grid is.

    Examples
    --------
    >>> sure = KindSigns(4, 12, 0.5, 0.98, 0.97, 0.99, 0.97, 2.5, 1.0, known=True)
    >>> weak = KindSigns(11, 1, 0.01, 0.4, 0.3, 0.6, 0.4, 2.5, 0.1, known=False)
    >>> kind_confidence(sure) > 0.4 > 0.1 > kind_confidence(weak)
    True
    """
    raw = _KIND_OFFSET + float(np.dot(_KIND_WEIGHTS, signs.row))
    return float(1 / (1 + np.exp(-raw)))


# Fitted the same way on the blocks whose drawing is hardly believed: how far their neighbors were seen to be plain, and how little is
# said for the seams drawn in them, tell prints and pictures taken for seams from piecing that could not be made out.
_PLAIN_OFFSET = -1.941
_PLAIN_WEIGHTS = (8.806, -0.299, -0.879)
_LEAST_SURE = 0.01
_LEAST_PLAIN = 0.2  # of such places; among pieced blocks one that cannot be read is not plain for that


def plain_confidence(plain_there: float, sure: float, seams: float) -> float:
    """The probability, 0..1, that a block whose seams are not believed is one piece of cloth.

    Parameters
    ----------
    plain_there : float
        The share of plain blocks in such places of the quilt, 0..1.
    sure : float
        How sure it is that the seams drawn in it are right, 0..1.
    seams : float
        How long the seams are that are seen in it, in its sides.

    Examples
    --------
    >>> plain_confidence(0.9, 0.02, 0.3) > 0.9 > 0.1 > plain_confidence(0.0, 0.3, 4.0)
    True
    """
    if plain_there < _LEAST_PLAIN:
        return 0.0
    raw = _PLAIN_OFFSET + float(np.dot(_PLAIN_WEIGHTS, plain_signs(plain_there, sure, seams)))
    return float(1 / (1 + np.exp(-raw)))


def plain_signs(plain_there: float, sure: float, seams: float) -> tuple[float, float, float]:
    """The three as numbers that are weighed."""
    return plain_there, float(np.log(sure + _LEAST_SURE)), seams
