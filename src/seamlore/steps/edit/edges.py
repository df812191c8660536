"""Edges of a quilt set right by hand on its photograph: bowed by their middle, kept when a corner moves."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

import numpy as np

from seamlore.errors import PhotoError
from seamlore.photo.bows import Bow, bow_at
from seamlore.photo.frame import Bows, Frame, Pair

# An edge whose corner moved farther than this, in parts of the quilt's width, is another edge than the one followed.
_SAME_EDGE = 0.02
# A bow is taken hold of between its corners; nearer to one, its middle would have to leap.
_NEAREST = 0.15


def bowed(frame: Frame, edge: int, point_px: Pair) -> Bows:
    """Bend an edge so that it runs through a point of the photograph.

    Parameters
    ----------
    frame : Frame
    edge : int
        0 top, 1 right, 2 bottom, 3 left.
    point_px : (x, y)
        In photograph pixels, where the edge was dragged to.

    Returns
    -------
    four tuples of float
        The bows of all edges; the others as they were.

    Raises
    ------
    PhotoError
        When the point lies too near to a corner.

    Examples
    --------
    >>> frame = Frame(((10, 10), (110, 10), (110, 60), (10, 60)), (100, 50))
    >>> bowed(frame, 0, (60, 7))[0]
    (0.06,)
    >>> bowed(frame, 0, (12, 7))
    Traceback (most recent call last):
        ...
    seamlore.errors.PhotoError: an edge bowed beside its corner: it is bowed by its middle; move the corner itself
    """
    x, y = (frame.straightened().to_quilt([point_px])[0] / frame.size).tolist()
    along, outside = ((x, -y), (y, x - 1), (x, y - 1), (y, -x))[edge]
    if not _NEAREST <= along <= 1 - _NEAREST:
        raise PhotoError("an edge bowed beside its corner", "it is bowed by its middle", "move the corner itself")
    old = frame.bows[edge] or (0.0,)
    stations = np.arange(1, len(old) + 1) / (len(old) + 1)
    # The whole edge follows its middle, most there and not at all at the corners.
    more = (outside - float(bow_at(old, along))) / (4 * along * (1 - along))
    bent: Bow = tuple(round(float(each), 6) for each in np.array(old) + more * 4 * stations * (1 - stations))
    return tuple(bent if side == edge else bow for side, bow in enumerate(frame.bows))  # type: ignore[return-value]


def bows_kept(frame: Frame, corners: Sequence[Sequence[float]]) -> Bows:
    """Give the bows that still hold when the corners have moved; an edge whose corner moved far is straight.

    Parameters
    ----------
    frame : Frame
        As it was.
    corners : four (x, y)
        In photograph pixels, as they are now.

    Examples
    --------
    >>> frame = Frame(((0, 0), (100, 0), (100, 50), (0, 50)), (2, 1), ((0.02,), (), (0.01,), ()))
    >>> bows_kept(frame, ((0, 1), (100, 0), (100, 50), (0, 50)))
    ((0.02,), (), (0.01,), ())
    >>> bows_kept(frame, ((0, 10), (100, 0), (100, 50), (0, 50)))
    ((), (), (0.01,), ())
    """
    (left, right, *_), far = frame.corners, []
    width = hypot(right[0] - left[0], right[1] - left[1])
    for (x0, y0), (x1, y1) in zip(frame.corners, corners, strict=True):
        far.append(hypot(x1 - x0, y1 - y0) > _SAME_EDGE * width)
    return tuple(  # type: ignore[return-value]
        () if far[side] or far[(side + 1) % 4] else bow for side, bow in enumerate(frame.bows)
    )
