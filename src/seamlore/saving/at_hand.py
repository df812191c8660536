"""The nearest fabric at hand for a damaged patch: by print first, then by color, as CIEDE2000 tells colors apart."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from seamlore.color.difference import delta_e_2000
from seamlore.color.lab import srgb_to_lab
from seamlore.errors import ShapeError

# How a print looks from where a quilt is looked at; words of the trade, the list our own.
PRINTS = ("plain", "small print", "large print", "dots", "stripe", "check")
_COLOR = re.compile(r"#[0-9a-f]{6}")


@dataclass(frozen=True, slots=True)
class AtHand:
    """A fabric at hand: its name in the stash, its color "#rrggbb" and its print, empty where that was not said."""

    name: str
    color: str
    print: str = ""


@dataclass(frozen=True, slots=True)
class Near:
    """A fabric at hand beside a cloth of the quilt.

    Parameters
    ----------
    fabric : AtHand
    difference : float
        CIEDE2000.
    same_print : bool or None
        None where one of both prints was not said.
    """

    fabric: AtHand
    difference: float
    same_print: bool | None


def nearest(color: str, print_: str, at_hand: Sequence[AtHand]) -> tuple[Near, ...]:
    """Order the fabrics at hand by how near they come to a cloth.

    Parameters
    ----------
    color : str
        "#rrggbb", as the photograph shows the cloth.
    print_ : str
        One of `PRINTS`, or empty where that was not said.
    at_hand : sequence of AtHand

    Returns
    -------
    tuple of Near
        Those of the same print first, then those of which one print was not said, then others; within each the nearest in
        color first.

    Examples
    --------
    >>> brown, plain = AtHand("brown sprig", "#7a5034", "small print"), AtHand("brown", "#754d33", "plain")
    >>> [each.fabric.name for each in nearest("#754d33", "small print", [plain, brown])]
    ['brown sprig', 'brown']
    >>> [each.fabric.name for each in nearest("#754d33", "", [brown, plain])], nearest("#754d33", "", [plain])[0].difference
    (['brown', 'brown sprig'], 0.0)
    """
    if not at_hand:
        return ()
    lab = srgb_to_lab([_rgb(color), *(_rgb(each.color) for each in at_hand)])
    apart = np.asarray(delta_e_2000(lab[0], lab[1:]), dtype=np.float64).tolist()
    found = [
        Near(each, far, each.print == print_ if each.print and print_ else None)
        for each, far in zip(at_hand, apart, strict=True)
    ]
    rank = {True: 0, None: 1, False: 2}
    return tuple(sorted(found, key=lambda each: (rank[each.same_print], each.difference, each.fabric.name)))


def _rgb(color: str) -> list[float]:
    if not _COLOR.fullmatch(color):
        raise ShapeError(f'the color "{color[:20]}"', "a color is # and six figures, 0 to f", "choose it anew")
    return [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
