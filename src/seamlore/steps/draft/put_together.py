"""Blocks put together from the units of patchwork, and colored light and dark as they are seen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from seamlore.color.value import values_of
from seamlore.draft.block import Block, Patch, Place, block, patch
from seamlore.steps.draft.partings import (
    ACROSS,
    cost_of,
    labels_of,
)

if TYPE_CHECKING:
    # Opens pictures: slow to import.
    pass

Floats = NDArray[np.float64]

_GRIDS = (2, 3, 4)  # units across and down
_HALF = Fraction(1, 2)
_CORNERS = (
    (Fraction(0), Fraction(0)),
    (Fraction(1), Fraction(0)),
    (Fraction(1), Fraction(1)),
    (Fraction(0), Fraction(1)),
)
_MIDDLE = (_HALF, _HALF)


def units() -> dict[str, tuple[tuple[tuple[Fraction, Fraction], ...], ...]]:
    """The units that a cell of a grid may be: outlines in 0..1 of the cell."""
    nw, ne, se, sw = _CORNERS
    sides = tuple(zip(_CORNERS, (*_CORNERS[1:], _CORNERS[0]), strict=True))
    found = {
        "square": ((nw, ne, se, sw),),
        "falling": ((nw, ne, se), (nw, se, sw)),
        "rising": ((nw, ne, sw), (ne, se, sw)),
        "quarters": tuple((a, b, _MIDDLE) for a, b in sides),
    }
    for number, (a, b) in enumerate(sides):
        # A goose whose tip lies on the middle of the side across.
        c, d = _CORNERS[(number + 2) % 4], _CORNERS[(number + 3) % 4]
        tip = ((c[0] + d[0]) / 2, (c[1] + d[1]) / 2)
        found[f"goose {number}"] = ((a, b, tip), (b, c, tip), (d, a, tip))
    return found


def from_units(colors: Floats) -> Iterator[tuple[str, Block]]:
    """Put blocks together from units on small grids, each unit the one that parts its own cloth best.

    Parameters
    ----------
    colors : ndarray, shape (places, blocks x 3)
        What is seen at the places of a block, in CIELAB.

    Yields
    ------
    (str, Block)
        The key that it is offered under, and the block.
    """
    each_unit = {name: (rings, labels_of(_block("unit", 1, rings))) for name, rings in units().items()}
    for count in _GRIDS:
        side = ACROSS // count
        # A unit is looked at in as many places as there are in its cell.
        ticks = ((np.arange(side) + 0.5) / side * ACROSS).astype(int)
        within = (ticks[:, None] * ACROSS + ticks[None]).ravel()
        patches = []
        for row in range(count):
            for column in range(count):
                rows = np.arange(row * side, (row + 1) * side)[:, None] * ACROSS
                seen = colors[(rows + np.arange(column * side, (column + 1) * side)).ravel()]
                _, name = min((cost_of(seen, labels[within]), name) for name, (_, labels) in each_unit.items())
                patches += [
                    tuple(((column + x) / count, (row + y) / count) for x, y in ring) for ring in each_unit[name][0]
                ]
        made = _block(f"{count} by {count} units", 2 * count, patches)
        yield f"units {count}", colored(made.name, made.divisions, made.patches, colors)


def _block(name: str, divisions: int, rings: Sequence[Sequence[tuple[Fraction, Fraction]]]) -> Block:
    return block(name, divisions, [patch(ring, "A") for ring in rings], {"A": Place("light")})


def colored(name: str, divisions: int, patches: Sequence[Patch], colors: Floats) -> Block:
    """Give a block a place for each value, its patches as light or dark as they are seen in `colors` (see `from_units`)."""
    plain = block(name, divisions, [replace(each, place="A") for each in patches], {"A": Place("light")})
    labels = labels_of(plain)
    light = colors[:, ::3].mean(axis=1)
    told = np.array(
        [light[labels == k].mean() if (labels == k).any() else light.mean() for k in range(len(plain.patches))]
    )
    areas = [float(each.area) for each in plain.patches]
    values = values_of(told, areas)
    letters = {value: letter for letter, value in zip("ABC", dict.fromkeys(values), strict=False)}
    made = [replace(each, place=letters[value]) for each, value in zip(plain.patches, values, strict=True)]
    return block(name, divisions, made, {letter: Place(value) for value, letter in letters.items()})
