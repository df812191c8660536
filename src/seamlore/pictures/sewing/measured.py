"""Sizes lettered beside what is sewn."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, degrees

import numpy as np

from seamlore.drawing.shapes import Line, Shape, Text
from seamlore.lengths import Length, show
from seamlore.pictures.lettering import across, down
from seamlore.plane.outline import Points
from seamlore.sewing.measuring import now_measures, tape_lies
from seamlore.sewing.steps import Outline

_TYPE_PT = 7.5


def measured(outline: Outline, drawn: Points, allowance: Length) -> list[Shape]:
    """Letter what something sewn should now measure the way the tape is laid: along it and across.

    Parameters
    ----------
    outline : tuple of corners
        Finished, in inches.
    drawn : ndarray, shape (n, 2)
        The same where it is drawn, in millimeters.
    allowance : Length
        What is still round it, in the unit that sizes are lettered in.

    Examples
    --------
    >>> from seamlore.lengths import inches
    >>> square = ((0, 0), (3, 0), (3, 3), (0, 3))
    >>> [each.words for each in measured(square, np.array(square) * 10.0, inches("1/4")) if isinstance(each, Text)]
    ['3 1/2 in', '3 1/2 in']
    """
    right, lower = tape_lies(outline)
    wide, tall = now_measures(outline, allowance, allowance.unit)
    laid = drawn @ np.array([[right, -lower], [lower, right]])
    (left, top), (far, foot) = laid.min(axis=0).tolist(), laid.max(axis=0).tolist()
    shapes = [
        *across(left, far, foot + 3.0, show(wide), size_pt=_TYPE_PT, above=False),
        *down(top, foot, far + 3.0, show(tall), size_pt=_TYPE_PT, left=False),
    ]
    return [_turned(each, right, lower) for each in shapes] if abs(lower) > 1e-9 else shapes


def _turned(shape: Shape, right: float, lower: float) -> Shape:
    """A line or words, turned about the corner of all so that what ran to the right runs along a direction."""
    if isinstance(shape, Line):
        runs = (tuple((x * right - y * lower, x * lower + y * right) for x, y, *_ in run) for run in shape.runs)
        return replace(shape, runs=tuple(runs))
    assert isinstance(shape, Text)
    turn = shape.turn_deg + degrees(atan2(lower, right))
    # Words are read from the foot of the page or from its right side.
    turn += 180 * (turn < -90 - 1e-6)
    return replace(
        shape,
        x=shape.x * right - shape.y * lower,
        y=shape.x * lower + shape.y * right,
        turn_deg=turn,
    )
