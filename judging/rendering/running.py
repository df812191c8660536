"""Designs that run together: laid edge to edge, all alike, nothing shows where one block ends and the next begins."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np

from judging.rendering.blocks import design

_PX = 120
_PARTS = (2, 3, 4, 5, 6)


@cache
def runs_together(name: str) -> bool:
    """Tell whether a design, laid edge to edge, is its own pattern moved by a part of the block.

    Then the same quilt can be described with smaller blocks, and no eye could find the larger ones again.

    Examples
    --------
    >>> runs_together("Four Patch"), runs_together("Shoo Fly")
    (True, False)
    """
    block = design(name)
    keys = {letter: number + 1 for number, letter in enumerate(block.places)}
    drawn = np.zeros((_PX, _PX), np.uint8)
    for each in block.patches:
        cv2.fillPoly(drawn, [np.rint(each.points * _PX * 16 - 8).astype(np.int32)], keys[each.place], shift=4)
    box = np.ones((3, 3), np.uint8)
    around = np.pad(drawn, 2, mode="wrap")
    sure = (cv2.dilate(around, box) == cv2.erode(around, box))[2:-2, 2:-2]
    for parts in _PARTS:
        for down in range(parts):
            for across in range(parts):
                if down or across:
                    move = (down * _PX // parts, across * _PX // parts)
                    both = sure & np.roll(sure, move, axis=(0, 1))
                    if both.any() and float(np.mean((drawn != np.roll(drawn, move, axis=(0, 1)))[both])) < 0.01:
                        return True
    return False
