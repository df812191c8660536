"""What she should know about a reading, in a quilter's words."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain
from typing import Literal

from seamlore.lengths import Length, Unit, in_unit, show, show_size
from seamlore.photo.grid.grid import Grid
from seamlore.photo.reading import AFTER, CUT_OFF

# Of 50 readings of 25 photographs of real quilts, with corners given and found, 15 had a confidence below this, and 8 of
# those were right, whatever it was; `python -m judging.scoring.warned` counts them anew.
SURE, _RIGHT = 0.8, 5
MOST = 2  # warnings, and no more: four that always stand are not read
# Beyond this the two sizes contradict the picture; corners and lens alone account for a few percent.
CONTRADICTS = 0.15
_SIDES = ("left", "top", "right", "bottom")


def remarks(
    grid: Grid,
    *,
    size: tuple[float, float],
    unit: Literal["in", "cm", "width"],
    per_unit: float,
    edge_sigma: float,
    proportion: float | None,
    waits: bool,
    counted: bool = False,
) -> list[str]:
    """Say what is doubtful or remarkable about a block grid.

    Parameters
    ----------
    grid : Grid
        In pixels of the flattened picture.
    size : (width, height)
        Of the quilt, in `unit`.
    unit : "in", "cm" or "width"
        Of the lengths; "width" when no size was given.
    per_unit : float
        Pixels in one unit.
    edge_sigma : float
        Uncertainty of where blocks end, in `unit`.
    proportion : float or None
        How many times as wide as tall the quilt looks in the photograph, when a size was given.
    waits : bool
        Whether the blocks are not read before rows and columns are counted.
    counted : bool
        Whether she has counted rows and columns.

    Returns
    -------
    list of str
        Whole sentences, the weightiest first.
    """
    said: list[str] = []
    if proportion is not None:
        said += _proportion_remark(size, unit, proportion)
    if grid.setting == "none":
        said.append(
            "No block grid was found: a crazy quilt, a medallion, a whole cloth or a single block has none. "
            "If you can count rows and columns of blocks, give them."
        )
        return said
    if grid.confidence < SURE and not counted:
        after = f": {AFTER}" if waits else ""
        said.append(
            f"The block grid is uncertain: {grid.rows} rows of {grid.columns} blocks fit best; of grids as doubtful, on "
            f"photographs of real quilts, about {_RIGHT} in 10 were right. Count the rows and columns on the quilt{after}."
        )
    said += _cut_remarks(grid, unit, per_unit, edge_sigma)
    return said


def weightiest(*groups: Iterable[str]) -> tuple[str, ...]:
    """Choose the warnings that are said, from groups of them, the weightiest group first.

    Examples
    --------
    >>> weightiest(["the edge is not seen"], [], ["the grid is doubtful", "blocks are cut off"], ["small"])
    ('the edge is not seen', 'the grid is doubtful')
    >>> weightiest([])
    ()
    """
    return tuple(dict.fromkeys(chain.from_iterable(groups)))[:MOST]


def _proportion_remark(size: tuple[float, float], unit: Literal["in", "cm", "width"], proportion: float) -> list[str]:
    given = size[0] / size[1]
    if max(given / proportion, proportion / given) <= 1 + CONTRADICTS or unit == "width":
        return []
    shown = show_size(_length(size[0], unit), _length(size[1], unit))
    turned = " Are width and height the wrong way round?" if abs(1 / given / proportion - 1) < 0.1 else ""
    return [
        f"The size {shown} makes the quilt {given:.2f} times as wide as tall; in the photograph it looks "
        f"{proportion:.2f} times as wide as tall. Check the size and the corners.{turned}"
    ]


def _cut_remarks(grid: Grid, unit: Literal["in", "cm", "width"], per_unit: float, edge_sigma: float) -> list[str]:
    """Name the sides at which the edge cuts the blocks, sides that lose alike together."""
    least = max(2 * edge_sigma * per_unit, 0.03 * min(grid.block))
    lost = [(side, -inset / per_unit) for side, inset in zip(_SIDES, grid.edge, strict=True) if -inset > least]
    said = []
    while lost:
        _, first = lost[0]
        alike = [each for each in lost if abs(each[1] - first) <= max(edge_sigma, 0.1 * first)]
        lost = [each for each in lost if each not in alike]
        sides = [side for side, _ in alike]
        names = " and ".join([", ".join(sides[:-1]), sides[-1]] if len(sides) > 1 else sides)
        amount = sum(each for _, each in alike) / len(alike)
        said.append(f"The blocks at the {names} {CUT_OFF} {_about(amount, unit, grid, per_unit)}.")
    return said


def _about(amount: float, unit: Literal["in", "cm", "width"], grid: Grid, per_unit: float) -> str:
    if unit == "width":
        return f"{100 * amount * per_unit / min(grid.block):.0f} % of a block"
    mark = in_unit("1/4" if unit == "in" else "0.5", Unit(unit))
    return show(_length(amount, unit), mark=mark)


def _length(number: float, unit: Literal["in", "cm", "width"]) -> Length:
    return in_unit(round(number, 6), Unit.INCH if unit == "in" else Unit.CM)
