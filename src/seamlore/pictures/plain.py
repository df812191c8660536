"""Cloths without color: grays and hatchings that stay apart on a copier."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from typing import Literal, TypeVar

from seamlore.drawing.shapes import Color, Hatch, Paint, Swatch

Key = TypeVar("Key", bound=Hashable)
Marks = Literal["rising", "falling", "level", "upright", "checks", "dots"]
_MARKS: tuple[Marks, ...] = ("dots", "rising", "level", "falling", "upright", "checks")
# Ground and ink of light, medium and dark cloths; a copier keeps these three apart (chosen by eye).
_GROUNDS: tuple[tuple[Color, Color], ...] = (("#ffffff", "#555555"), ("#c4c4c4", "#3c3c3c"), ("#6e6e6e", "#e8e8e8"))
_LIMITS = (0.7, 0.42)
# How a photograph's swatch is taken: its middle is not looked up, and it lies between light and dark.
_MEDIUM = 0.5


def plain_cloths(cloths: Mapping[Key, Paint]) -> dict[Key, Paint]:
    """Give each cloth a gray or a hatching: light, medium and dark stay so, and no two that differ become alike.

    Parameters
    ----------
    cloths : mapping of key to paint

    Returns
    -------
    dict of key to paint
        The first of each value is a plain gray, those that follow are hatched; after seven of one value the hatchings
        come again, closer.

    Examples
    --------
    >>> plain_cloths({"A": "#33456a", "B": "#efe7d7", "C": "#33456a"})
    {'A': '#6e6e6e', 'B': '#ffffff', 'C': '#6e6e6e'}
    >>> plain_cloths({})
    {}
    """
    chosen = _chosen(cloths.values())
    return {key: chosen[paint] for key, paint in cloths.items()}


def _chosen(paints: Iterable[Paint]) -> dict[Paint, Paint]:
    counts = [0, 0, 0]
    found: dict[Paint, Paint] = {}
    for paint in paints:
        if paint in found:
            continue
        light = lightness(paint)
        value = 0 if light > _LIMITS[0] else 1 if light > _LIMITS[1] else 2
        found[paint] = _nth(value, counts[value])
        counts[value] += 1
    return found


def _nth(value: int, number: int) -> Paint:
    ground, ink = _GROUNDS[value]
    if number == 0:
        return ground
    turn, which = divmod(number - 1, len(_MARKS))
    return Hatch(ground, ink, _MARKS[which], max(0.5, 1.8 / (1 + turn)))


def lightness(paint: Paint) -> float:
    """Tell how light a cloth is, 0 to 1, as the eye sees it.

    Examples
    --------
    >>> lightness("#ffffff"), round(lightness("#33456a"), 2)
    (1.0, 0.27)
    """
    if isinstance(paint, Swatch):
        return _MEDIUM
    color = paint.ground if isinstance(paint, Hatch) else paint
    red, green, blue = (int(color[at : at + 2], 16) for at in (1, 3, 5))
    # The weights of ITU-R BT.601.
    return (0.299 * red + 0.587 * green + 0.114 * blue) / 255
